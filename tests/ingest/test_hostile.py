"""Broken and hostile files: named in one sentence, nothing runs, memory stays bounded, rows are counted."""

import resource
import sys
import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from tests.ingest.logbooks import HEADING, column, ingested, write

GOOD = HEADING + "2031-05-14,10:00,1.482,4.05,6.21,\n"
MEMORY_STEP_MB = 700  # far below what any of these files would unpack to


def peak_mb() -> float:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / 1e6 if sys.platform == "darwin" else used / 1e3


def bomb(path: Path) -> None:
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed,
        packed.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as file,
    ):
        for _ in range(600):
            file.write(b"0" * 1_000_000)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("binary.csv", bytes(range(256)) * 40),
        ("nul.csv", GOOD.encode() + b"\x00\x00\x00"),
        ("not a workbook.xlsx", b"PK\x03\x04 nothing of the kind"),
        ("text.xlsx", GOOD.encode()),
        ("text.ods", GOOD.encode()),
        ("text.xls", GOOD.encode()),
        ("wide.csv", b"a," * 1_000_000 + b"\n"),
        ("long cell.csv", GOOD.encode() + b"2031-05-15,10:00,1.4,4.0,6.2," + b"x" * 3_000_000 + b"\n"),
        ("half utf-16.csv", b"\xff\xfed\x00a\x00t"),
        ("wide and long.csv", (HEADING + "1,2,3\n" * 10).encode() + b"," * 2_500_000),
    ],
)
def test_an_unreadable_file_is_one_sentence_and_the_rest_is_read(
    tmp_path: Path, name: str, content: bytes
) -> None:
    con, report = ingested(write(tmp_path, {name: content, "slips.csv": GOOD}))
    assert column(con, "timeslips", "t60_s") == [1.482]
    (problem,) = report.problems
    assert name in problem
    assert "\n" not in problem
    assert [(sheet.kind, sheet.read) for sheet in report.sheets if sheet.file == name] == [("unreadable", 0)]


def test_a_zip_bomb_is_not_unpacked(tmp_path: Path) -> None:
    bomb(tmp_path / "bomb.xlsx")
    before = peak_mb()
    _, report = ingested(write(tmp_path, {"slips.csv": GOOD}))
    assert "bomb.xlsx" in report.problems[0]
    assert peak_mb() - before < MEMORY_STEP_MB


def test_formulas_html_and_sql_in_cells_stay_text(tmp_path: Path) -> None:
    nasty = [
        '=HYPERLINK("http://x")',
        "<script>alert(1)</script>",
        "'; drop table timeslips; --",
        "../../../x",
    ]
    rows = "".join(
        f'2031-05-14,1{at}:00,1.48{at},4.05,6.21,"{text.replace(chr(34), chr(34) * 2)}"\n'
        for at, text in enumerate(nasty)
    )
    con, report = ingested(write(tmp_path, {"slips.csv": HEADING + rows}))
    assert column(con, "timeslips", "notes") == nasty
    assert report.total.kept == 4


def test_hostile_names_of_files_and_headings_are_only_names(tmp_path: Path) -> None:
    name = "a'; drop table runs; --.csv"
    heading = 'date,time,60 ft,"x\'; drop table y",<b>\n'
    con, report = ingested(write(tmp_path, {name: heading + "2031-05-14,10:00,1.482,1,2\n"}))
    assert column(con, "timeslips", "file", "t60_s") == [(name, 1.482)]
    assert {unused for _, _, unused in report.unused} == {"x'; drop table y", "<b>"}


def test_a_link_out_of_the_logbook_is_not_followed(tmp_path: Path) -> None:
    outside = write(tmp_path / "outside", {"slips.csv": GOOD})
    inside = write(tmp_path / "inside", {"own.csv": GOOD})
    (inside / "linked.csv").symlink_to(outside / "slips.csv")
    (inside / "folder").symlink_to(outside)
    _, report = ingested(inside)
    assert [sheet.file for sheet in report.sheets] == ["own.csv"]


def test_a_workbook_with_a_link_to_elsewhere_is_read_as_its_stored_values(tmp_path: Path) -> None:
    book = xlsxwriter.Workbook(tmp_path / "book.xlsx")
    tab = book.add_worksheet("slips")
    tab.write_row(0, 0, ["date", "time", "60 ft", "330 ft"])
    tab.write_row(1, 0, ["2031-05-14", "10:00"])
    tab.write_formula(1, 2, "='[/etc/other.xlsx]Sheet1'!A1", None, 1.482)
    tab.write_url(1, 3, "http://example.invalid/x", string="4.05")
    book.close()
    con, _ = ingested(tmp_path)
    assert column(con, "typed_timeslips", "t60_s", "t330_s") == [(1.482, 4.05)]


@pytest.mark.parametrize("number", ["1e308", "-1e308", "9" * 400, "0" * 50 + "1.5", "1.5" + "0" * 200])
def test_absurd_numbers_are_told_never_raised(tmp_path: Path, number: str) -> None:
    _, report = ingested(write(tmp_path, {"slips.csv": HEADING + f"2031-05-14,10:00,{number},4.05,6.21,\n"}))
    assert report.total.read == 2
