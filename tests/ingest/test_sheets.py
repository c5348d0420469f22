"""The quick reader of large files and the careful one agree cell for cell and line for line."""

import random
from datetime import datetime
from pathlib import Path
from typing import Any

import duckdb
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

from pipeline.ingest import load, read_sheets
from pipeline.ingest import sheets as reading
from pipeline.ingest.sheets import careful_rows
from tests.ingest.logbooks import GARAGE, HEADING, ingested, write

SEED = 660


@pytest.fixture(autouse=True)
def no_judging(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading alone is looked at here; the rules have their own tests."""
    monkeypatch.setattr(load, "find_doubts", lambda *_: None)


def many_rows(count: int, *, spoiled: str = "") -> str:
    luck = random.Random(SEED)
    rows = [
        f"2031-{1 + at // 800 % 12:02}-{1 + at // 25 % 28:02},{8 + at % 12}:{at % 60:02},"
        f"{1.4 + luck.random() * 0.1:.3f},{4 + luck.random() * 0.1:.3f},{6.2 + luck.random() * 0.1:.3f},"
        f"{luck.choice(['', 'good', chr(34) + 'a, b' + chr(34), 'ü'])}\n"
        for at in range(count)
    ]
    if spoiled:
        rows.insert(count // 2, spoiled)
    return HEADING + "".join(rows)


def rows_of(root: Path) -> list[Any]:
    con, report = ingested(root)
    assert report.total.read > 0
    return con.execute('select * from rows_timeslips order by sheet_no, "row"').fetchall()


@pytest.mark.parametrize(
    "spoiled",
    [
        "",
        "\n",
        '2031-05-14,10:00,1.482,4.05,6.21,"note over\ntwo lines"\n',
        "2031-05-14,10:00,1.482,4.05,6.21,spun, hard\n",
        "2031-05-14,10:00\n",
        '2031-05-14,10:00,1.482,4.05,6.21,"never closed\n',
        '2031-05-14,10:00,"1.482"x,4.05,6.21,\n',
        "2031-05-14,10:00,1.482,4.05,6.21,\r2031-05-15,10:00,1.482,4.05,6.21,\n",
    ],
)
def test_the_quick_and_the_careful_reader_agree(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, spoiled: str
) -> None:
    monkeypatch.setattr(read_sheets, "MOST_ROWS_LOOKED_AT", 0)  # both read by the headings
    root = write(tmp_path, {"garage.toml": GARAGE, "slips.csv": many_rows(3000, spoiled=spoiled)})
    careful = rows_of(root)
    monkeypatch.setattr(reading, "CAREFUL_BYTES", 0)
    assert rows_of(root) == careful


def test_line_numbers_hold_under_the_parallel_reader(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "CAREFUL_BYTES", 0)
    rows = "".join(f"2031-05-14,10:00,{at / 1e5:.5f},4.05,6.21,line {at}\n" for at in range(2, 60_002))
    con = duckdb.connect(config={"threads": 4})
    ingested(write(tmp_path, {"slips.csv": HEADING + rows}), con)
    wrong = con.execute(
        'select count(*) from rows_timeslips where "row" > 1 and notes <> \'line \' || "row"'
    ).fetchall()[0]
    assert wrong == (0,)
    assert con.execute("select count(*) from rows_timeslips").fetchall()[0] == (60_001,)


def test_latin_1_in_a_large_file_is_read_with_care(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "CAREFUL_BYTES", 0)
    sheet = many_rows(200, spoiled="2031-05-14,10:00,1.482,4.05,6.21,trübe\n").encode("cp1252")
    con, _ = ingested(write(tmp_path, {"slips.csv": sheet}))
    assert ("trübe",) in con.execute("select notes from typed_timeslips").fetchall()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a,b\n1,2\n", [(1, ["a", "b"]), (2, ["1", "2"])]),
        ("a,b\r\n1,2\r\n", [(1, ["a", "b"]), (2, ["1", "2"])]),
        ("a,b\r1,2", [(1, ["a", "b"]), (2, ["1", "2"])]),
        ('a,"b\nc"\n1,2\n', [(1, ["a", "b\nc"]), (3, ["1", "2"])]),
        ('a,"b""c"\n', [(1, ["a", 'b"c'])]),
        ('5" rain,b\n1,2\n', [(1, ['5" rain', "b"]), (2, ["1", "2"])]),
        ("a;b;c\n1,5;2;3\n", [(1, ["a", "b", "c"]), (2, ["1,5", "2", "3"])]),
        ("a\tb\n1\t2\n", [(1, ["a", "b"]), (2, ["1", "2"])]),
        ("\n\na,b\n", [(1, []), (2, []), (3, ["a", "b"])]),
    ],
)
def test_records_and_their_lines(text: str, expected: list[tuple[int, list[str]]]) -> None:
    assert list(careful_rows(text.encode(), "x.csv")) == expected


def test_times_of_day_of_an_ods_are_kept(tmp_path: Path) -> None:
    """OpenDocument 1.3, part 3, 19.385: such a cell holds a length of time, ``PT09H17M00S``."""
    book = OpenDocumentSpreadsheet()
    table = Table(name="Runs")
    for line in (["date", "time", "60", "660"], ["2031-05-14", "PT09H17M00S", "1.482", "6.21"]):
        row = TableRow()
        for text in line:
            is_time = text.startswith("PT")
            cell = TableCell(valuetype="time", timevalue=text) if is_time else TableCell(valuetype="string")
            cell.addElement(P(text="a quarter past" if is_time else text))
            row.addElement(cell)
        table.addElement(row)
    book.spreadsheet.addElement(table)
    root = write(tmp_path, {"garage.toml": GARAGE})
    book.save(str(root / "runs.ods"))
    con, _ = ingested(root)
    assert con.execute("select run_at, t60_s from timeslips").fetchall() == [
        (datetime(2031, 5, 14, 9, 17), 1.482)
    ]
