"""Several numbers in a cell, settings as changes, dates in pieces, and entries by the number of a run."""

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, slips_of, write

SLIPS = "date,time,60 ft,330 ft,660 ft,mph"
ROWS = (
    ("2031-05-17,10:10", "1.482,4.061,6.303,109.9"), ("2031-05-17,12:10", "1.490,4.075,6.321,109.5"),
    ("2031-05-18,10:10", "1.471,4.040,6.281,110.2"), ("2031-05-18,12:10", "1.479,4.052,6.290,110.1"),
)  # fmt: skip


def sheet(heading: str, *cells: str) -> str:
    rows = "".join(f"{when},{slip},{cell}\n" for (when, slip), cell in zip(ROWS, cells, strict=True))
    return f"{SLIPS},{heading}\n{rows}"


@pytest.mark.parametrize(
    ("heading", "cells", "read"),
    [
        ("T/H/B", ("60/51/29.63", "63/48/29.64", "66/45/29.65", "70/41/29.61"), (60.0, 51.0, 29.63)),
        ("B-H-T", ("29.63 51 60", "29.64 48 63", "29.65 45 66", "29.61 41 70"), (60.0, 51.0, 29.63)),
        ("air", ("60F | 51% | 29.63", "63F | 48% | 29.64", "66F | 45% | 29.65", "70F | 41% | 29.61"),
         (60.0, 51.0, 29.63)),
    ],
)  # fmt: skip
def test_several_numbers_of_the_air_in_a_cell(
    tmp_path: Path, heading: str, cells: tuple[str, ...], read: tuple[float, ...]
) -> None:
    con, report = slips_of(tmp_path, sheet(heading, *cells))
    assert column(con, "weather", "air_temp_degf", "humidity_pct", "pressure_inhg")[0] == read
    assert column(con, "timeslips", "t60_s") == [1.482, 1.49, 1.471, 1.479]
    assert report.open_questions == 0


def test_a_setup_in_a_cell_and_what_may_be_something_else_is_asked(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, sheet("tune", "3 1/4/12/6200", "3 1/4/12/6300", "3/14/6200", "2 3/4/14/6200"))
    found = column(con, "timeslips", "preload_turns", "counterweight_g", "launch_rpm")
    assert found[0] == (3.25, 12.0, 6200.0)
    assert found[3] == (2.75, 14.0, 6200.0)
    assert column(con, "questions", "column", "value") == [("heading", "tune [2]")]


def test_dates_numbers_of_screws_and_slips_are_left_whole(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, sheet("preload turns", "3/3/3/3", "3/3/3.5/3", "3/3/3/3", "3/3/3/3"))
    assert column(con, "timeslips", "preload_turns")[0] == 3.0
    con, _ = slips_of(tmp_path, sheet("dials", "9/12/41", "9/12/41", "9/12/42", "9/11/41"))
    assert column(con, "weather", "air_temp_degf") == []


def test_settings_as_changes_from_the_one_before(tmp_path: Path) -> None:
    cells = ("6200,3 1/4,12 g", "+100,=,up 2", "same,+1/2 turn,nc", "-200,down 1/4,14")
    con, report = slips_of(tmp_path, sheet("launch rpm,turns,cw", *cells))
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g") == [
        (6200.0, 3.25, 12.0), (6300.0, 3.25, 14.0), (6300.0, 3.75, 14.0), (6100.0, 3.5, 14.0),
    ]  # fmt: skip
    assert report.open_questions == 0


def test_changes_from_nothing_known_and_a_lone_minus_are_asked(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, sheet("launch rpm,cw", "+100,12", "6200,-12", "6300,12", "+50,12"))
    assert column(con, "timeslips", "launch_rpm", "counterweight_g") == [
        (None, 12.0), (6200.0, None), (6300.0, 12.0), (6350.0, 12.0),
    ]  # fmt: skip


def test_a_sheet_with_the_newest_on_top_changes_from_below(tmp_path: Path) -> None:
    upside_down = (
        SLIPS
        + ",launch rpm\n"
        + "".join(
            f"{when},{slip},{rpm}\n"
            for (when, slip), rpm in zip(ROWS[::-1], ("=", "+100", "same", "6200"), strict=True)
        )
    )
    con, _ = slips_of(tmp_path, upside_down)
    assert column(con, "timeslips", "launch_rpm") == [6300.0, 6300.0, 6200.0, 6200.0]


def test_a_day_of_the_month_under_a_month_and_a_year(tmp_path: Path) -> None:
    rows = "3,10:00,1.48,4.05\n3.,12:00,1.49,4.06\n17th,11:00,1.47,4.04\nSun 18,11:00,1.47,4.05\n"
    con, _ = ingested(write(tmp_path, {"season 2031/May.csv": f"day,time,60 ft,330 ft\n{rows}"}))
    assert [str(at)[:10] for at in column(con, "timeslips", "run_at")] == [
        "2031-05-03", "2031-05-03", "2031-05-17", "2031-05-18",
    ]  # fmt: skip


def test_month_and_year_in_columns_of_their_own(tmp_path: Path) -> None:
    rows = "2031,May,3,1.48,4.05\n,,17,1.47,4.04\n,6,1,1.49,4.06\n"
    con, _ = ingested(write(tmp_path, {"a.csv": f"year,month,day,60 ft,330 ft\n{rows}"}))
    assert [str(at)[:10] for at in column(con, "timeslips", "run_at")] == [
        "2031-05-03",
        "2031-05-17",
        "2031-06-01",
    ]


def test_tables_side_by_side_each_with_its_pass(tmp_path: Path) -> None:
    rows = "1,2031-05-03,10:00,1.48,4.05,,1,61,50,29.5\n2,2031-05-03,12:00,1.49,4.06,,2,64,47,29.4\n"
    heads = "pass,date,time,60 ft,330 ft,,pass,air temp,humidity,baro\n"
    con, _ = ingested(write(tmp_path, {"a.csv": heads + rows}))
    assert [(str(at)[11:16], air) for at, air in column(con, "weather", "read_at", "air_temp_degf")] == [
        ("10:00", 61.0), ("12:00", 64.0),
    ]  # fmt: skip


def test_air_and_setups_by_the_number_of_the_run(tmp_path: Path) -> None:
    runs = "pass,date,time,strip,60 ft,330 ft\n" + "".join(
        f"{at},2031-05-{day},{10 + at}:00,Quarry Road,1.48,4.05\n" for day in (17, 18) for at in (1, 2)
    )
    air = "date,pass,air temp,humidity\n5/17/2031,1,61,50\n5/17/2031,2,63,47\n5/18/2031,Run 2,70,40\n"
    setups = "pass,launch rpm,turns\n1,6200,3\n2,6300,3\n"
    con, _ = ingested(write(tmp_path, {"runs.csv": runs, "air.csv": air}))
    assert [str(at)[:16] for at in column(con, "weather", "read_at")] == [
        "2031-05-17 11:00", "2031-05-17 12:00", "2031-05-18 12:00",
    ]  # fmt: skip
    con, report = ingested(write(tmp_path / "again", {"runs.csv": runs, "setups.csv": setups}))
    assert column(con, "setups", "set_at") == []  # pass 1 was run on two days
    assert any("setups.csv" in problem for problem in report.problems)
    first_day = "\n".join(runs.splitlines()[:3]) + "\n"
    con, _ = ingested(write(tmp_path / "once", {"runs.csv": first_day, "setups.csv": setups}))
    assert [str(at)[:16] for at in column(con, "setups", "set_at")] == [
        "2031-05-17 11:00",
        "2031-05-17 12:00",
    ]


def test_a_card_of_air_above_the_table(tmp_path: Path) -> None:
    top = "Strip,Quarry Road,,\nDate,2031-05-17,,\nWeather,9:45,,\nAir °C,17,,\nHumidity %,57,,\n"
    runs = "".join(f"1{at}:38,1.34{at},3.78{at},5.74{at}\n" for at in range(6))
    top += "Baro (station),29.15,,\n,,,\ntime,60 ft,330 ft,660 ft\n"
    con, _ = ingested(write(tmp_path, {"a.csv": top + runs}))
    found = column(
        con, "weather", "read_at", "air_temp_degf", "humidity_pct", "pressure_inhg", "pressure_kind"
    )
    assert [(str(at)[11:16], round(air, 1), *rest) for at, air, *rest in found] == [
        ("09:45", 62.6, 57.0, 29.15, "station")
    ]


@pytest.mark.parametrize("heading", ["where", "where / strip L-R", "Strecke", "miejsce / tor L-R"])
def test_a_strip_and_the_lane_behind_it_under_a_heading_of_the_strip_alone(
    tmp_path: Path, heading: str
) -> None:
    cells = ("Cinder L", "Cinder R", "Cinder R", "Cinder Flats L")
    con, report = slips_of(tmp_path, sheet(heading, *cells))
    assert column(con, "timeslips", "venue", "lane") == [
        ("Cinder Flats", lane) for lane in ("left", "right", "right", "left")
    ]  # fmt: skip
    assert report.open_questions == 0


def test_a_column_of_nothing_but_lowered_settings_changes_the_one_told_at_the_foot(tmp_path: Path) -> None:
    rows = [f"2031-05-{20 - at},1{at}:10,1.48{at},4.06{at},6.30{at},{rpm}" for at, rpm in enumerate(
        ("-200", "", "-100", "")
    )]  # fmt: skip
    foot = "BASELINE (first run): leave at 6400 rpm; nut 5.75 turns; 2.2 g per arm,,,,,"
    text = "\n".join(["newest on top,,,,,", "date,time,60 ft,330 ft,660 ft,rpm +/-", *rows, foot])
    con, report = slips_of(tmp_path, text + "\n")
    assert column(con, "timeslips", "launch_rpm") == [6100.0, None, 6300.0, None]
    assert report.open_questions == 0


def test_a_word_that_half_says_it_settles_what_the_numbers_leave_open(tmp_path: Path) -> None:
    cells = ('"6200 - 5,25 - 2,4"', '"6200 - 5 - 2,4"', '"6100 - 4,75 - 2,4"', '"6100 - 4,75 - 2,6"')
    con, report = slips_of(tmp_path, sheet("sprzęgło: obr/min - obroty nakrętki - gramy", *cells))
    assert column(con, "timeslips", "preload_turns", "launch_rpm")[0] == (5.25, 6200.0)
    assert report.open_questions == 0
