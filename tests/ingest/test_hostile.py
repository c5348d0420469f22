"""Broken and hostile files: named in one sentence, nothing runs, memory stays bounded, rows are counted."""

import io
import os
import resource
import struct
import sys
import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from pipeline.ingest import workbook_guard
from tests.ingest.logbooks import HEADING, column, ingested, write

GOOD = HEADING + "2031-05-14,10:00,1.482,4.05,6.21,\n"
CAR = '[[car]]\nname = "Marigold"\n'
MEMORY_STEP_MB = 700  # far below what any of these files would unpack to


@pytest.fixture(autouse=True)
def one_car(tmp_path: Path) -> None:
    """Name the car, so that nothing but the spoilt file is told."""
    write(tmp_path, {"garage.toml": CAR})


def peak_mb() -> float:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / 1e6 if sys.platform == "darwin" else used / 1e3


def garbled() -> bytes:
    """Make a packed file with a part whose name says it is UTF-8 and is not."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as file:
        file.writestr("blätter.xml", "x")
    return packed.getvalue().replace("ä".encode(), b"\xff\xfe")


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
        ("garbled list of parts.xlsx", garbled()),
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


SHEET = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
ODS = "urn:oasis:names:tc:opendocument:xmlns"
NAMESPACES = f'xmlns:o="{ODS}:office:1.0" xmlns:t="{ODS}:table:1.0" xmlns:x="{ODS}:text:1.0"'


def workbook_of(cells: str, *, says: int | None = None) -> bytes:
    """Put rows of XML into a sound workbook; ``says`` is a size its part claims instead of the true one."""
    sound, spoilt = io.BytesIO(), io.BytesIO()
    with xlsxwriter.Workbook(sound, {"in_memory": True}) as book:
        book.add_worksheet("s")
    part = "xl/worksheets/sheet1.xml"
    with zipfile.ZipFile(sound) as old, zipfile.ZipFile(spoilt, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = f'<worksheet xmlns="{SHEET}"><sheetData>{cells}</sheetData></worksheet>'
            new.writestr(name, text if name == part else old.read(name))
        size = new.getinfo(part).file_size
    if says is None:
        return spoilt.getvalue()
    return spoilt.getvalue().replace(struct.pack("<L", size), struct.pack("<L", says))


def ods_of(rows: int, columns: int) -> bytes:
    """Make an .ods of one entry that says it stands in many rows and columns."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        new.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        new.writestr(
            "content.xml",
            f"<o:document-content {NAMESPACES}>"
            f'<o:body><o:spreadsheet><t:table t:name="s"><t:table-row t:number-rows-repeated="{rows}">'
            f'<t:table-cell o:value-type="string" t:number-columns-repeated="{columns}"><x:p>1</x:p>'
            "</t:table-cell></t:table-row></t:table></o:spreadsheet></o:body></o:document-content>",
        )
    return packed.getvalue()


SPACES = " " * 2_000_000
LETTERS = '<row><c t="str"><v>{}</v></c></row>'
CORNER = '<row r="1"><c r="A1"><v>1</v></c></row><row r="{row}"><c r={cell}><v>1</v></c></row>'


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("corner.xlsx", workbook_of(CORNER.format(row=1048576, cell='"XFD1048576"')), "row 1048576, column"),
        ("quoted.xlsx", workbook_of(CORNER.format(row=1048576, cell="\n'xfd1048576'")), "column 16384"),
        ("spaced.xlsx", workbook_of(CORNER.format(row=9, cell=SPACES + '"XFD9000000"')), "column 16384"),
        ("absurd.xlsx", workbook_of(CORNER.format(row=9, cell=f'"ZZZZZZ{"9" * 5000}"')), "column 321272406"),
        ("tall.xlsx", workbook_of(CORNER.format(row=999999, cell='"CV999999"')), "row 999999, column 100"),
        ("tall.ods", ods_of(1_048_576, 90), "row 1048576, column 90"),
        ("absurd.ods", ods_of(4_000_000_000, 4_000_000_000), "row 4000000000"),
        ("lying.xlsx", workbook_of(LETTERS.format("A" * 30_000_000), says=900), "longer than 900"),
        ("long.xlsx", workbook_of(LETTERS.format("A" * 30_000)), "tab s, row 1 has a cell"),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 5000, "Save it again as .xlsx or .ods"),
    ],
)  # fmt: skip
def test_a_workbook_out_of_all_measure_is_refused_before_it_is_opened(
    tmp_path: Path, name: str, content: bytes, told: str
) -> None:
    before = peak_mb()
    con, report = ingested(write(tmp_path, {name: content, "slips.csv": GOOD}))
    assert column(con, "timeslips", "t60_s") == [1.482]
    (problem,) = report.problems
    assert problem.startswith(name)
    assert told in problem
    assert peak_mb() - before < MEMORY_STEP_MB


def test_entries_far_apart_are_read_while_the_grid_stays_small(tmp_path: Path) -> None:
    book = xlsxwriter.Workbook(tmp_path / "book.xlsx", {"constant_memory": True})
    tab = book.add_worksheet("slips")
    tab.write_row(0, 0, ["date", "60 ft"])
    tab.write_row(120_000, 0, ["2031-05-14", 1.482])
    tab.set_row(120_001, None, book.add_format({"bold": True}))
    tab.write_blank(120_001, 16_000, None, book.add_format({"bold": True}))
    book.close()
    con, report = ingested(tmp_path)
    assert report.problems == ()
    assert column(con, "timeslips", "row", "t60_s") == [(120_001, 1.482)]


def test_an_ordinary_workbook_is_not_followed_cell_by_cell(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workbook_guard, "_Grid", None)
    book = xlsxwriter.Workbook(tmp_path / "book.xlsx")
    book.add_worksheet("slips").write_row(0, 0, ["date", "60 ft"])
    book.close()
    workbook_guard.refuse_hostile(tmp_path / "book.xlsx", "book.xlsx")


def test_a_spoilt_workbook_says_nothing_on_the_terminal(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    ingested(write(tmp_path, {"tall.ods": ods_of(3_000_000, 1)}))
    said = capfd.readouterr()
    assert said.err == ""
    assert said.out == ""


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
    inside = write(tmp_path / "inside", {"garage.toml": CAR, "own.csv": GOOD})
    (inside / "linked.csv").symlink_to(outside / "slips.csv")
    (inside / "folder").symlink_to(outside)
    con, report = ingested(inside)
    assert [(sheet.file, sheet.kind) for sheet in report.sheets if sheet.read] == [("own.csv", "timeslips")]
    assert column(con, "timeslips", "file", "t60_s") == [("own.csv", 1.482)]
    assert [problem.split(" is a link")[0] for problem in report.problems] == ["folder", "linked.csv"]


def test_pipes_devices_and_names_of_no_characters_are_named_not_opened(tmp_path: Path) -> None:
    write(tmp_path, {"own.csv": GOOD, "two\nlines \x1b[31m.csv": GOOD})
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "device.csv").symlink_to("/dev/zero")
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.csv")).write_text(GOOD, encoding="utf-8")
    con, report = ingested(tmp_path)
    assert column(con, "timeslips", "t60_s") == [1.482]
    assert sorted(problem.split(". ")[0] for problem in report.problems) == [
        "\\udcff.csv has a control character in its name",
        "device.csv is a link, and links are not followed",
        "pipe.csv is no ordinary file",
        "two\\nlines \\x1b[31m.csv has a control character in its name",
    ]
    assert all(problem.isprintable() for problem in report.problems)


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
