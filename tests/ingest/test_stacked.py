"""Two tables under each other on one sheet: each row is read by the headings nearest above it."""

from pathlib import Path

import pytest

from pipeline.ingest import read_sheets, sheets
from tests.ingest.logbooks import GARAGE, HEADING, column, ingested, slips_of, write

FIRST = HEADING + "2025-05-04,14:00,1.482,3.952,6.061,\n2025-05-04,15:00,1.490,3.960,6.070,\n"
SECOND = "660 ft,330 ft,60 ft,time,date,launch rpm\n6.080,3.970,1.501,16:00,2025-05-04,5600\n"


def test_rows_below_other_headings_are_read_by_those(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, FIRST + "\n" + SECOND)
    assert column(con, "timeslips", "row", "t60_s", "t660_s", "launch_rpm") == [
        (2, 1.482, 6.061, None), (3, 1.490, 6.070, None), (6, 1.501, 6.080, 5600.0),
    ]  # fmt: skip
    assert report.problems == (
        "slips.csv, table 2: Row 5 has headings of its own; the rows below it are read by them.",
    )
    assert [(count.sheet, count.read, count.kept, count.set_aside) for count in report.sheets] == [
        ("", 4, 2, 2), ("table 2", 2, 1, 1),
    ]  # fmt: skip


def test_a_unit_in_the_lower_headings_counts_below_them_only(tmp_path: Path) -> None:
    upper = "date,time,air temp,humidity\n2025-05-04,14:00,81,50\n"
    lower = "date,time,air temp (C),humidity\n2025-05-05,14:00,20,50\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "air.csv": upper + lower}))
    assert column(con, "typed_weather", "air_temp_degf") == [81.0, 68.0]


def test_another_kind_of_sheet_may_stand_below(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, FIRST + "date,time,track temp\n2025-05-04,14:30,101\n")
    assert column(con, "track", "row", "track_temp_degf") == [(5, 101.0)]
    assert [(count.kind, count.read) for count in report.sheets] == [("timeslips", 3), ("track", 2)]


def test_the_upper_table_counts_when_the_lower_has_more_columns(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, "date,60 ft\n2025-05-04,1.482\n" + SECOND)
    assert column(con, "timeslips", "t60_s") == [1.482, 1.501]


def test_the_same_headings_again_begin_no_table(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, FIRST + FIRST.replace("05-04", "05-11"))
    assert len(column(con, "timeslips", "row")) == 4
    assert [count.set_aside for count in report.sheets] == [2]
    assert report.problems == ()


def test_group_headings_go_with_the_headings_under_them(tmp_path: Path) -> None:
    lower = ",,660,,60\nday,time,ft,mph,ft\n2025-05-06,10:00,6.1,116.2,1.477\n"
    con, report = slips_of(tmp_path, FIRST + lower)
    assert column(con, "timeslips", "t60_s", "v660_mph")[-1] == (1.477, 116.2)
    assert [(count.read, count.set_aside) for count in report.sheets] == [(3, 1), (3, 2)]


def test_a_second_table_is_found_in_a_long_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "CAREFUL_BYTES", 10)
    con, report = slips_of(tmp_path, FIRST + SECOND)
    assert column(con, "timeslips", "row", "t60_s") == [(2, 1.482), (3, 1.490), (5, 1.501)]
    assert [count.sheet for count in report.sheets] == ["", "table 2"]


def test_a_long_sheet_of_one_table_is_not_read_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "CAREFUL_BYTES", 10)
    monkeypatch.delattr(read_sheets, "stacked_tables_of")
    rows = "".join(f"5/{day}/2025,2:00 pm,1.48,3.95,6.06,date\n" for day in range(1, 31))
    con, _ = slips_of(tmp_path, HEADING + rows + HEADING)
    assert len(column(con, "timeslips", "row")) == 30
