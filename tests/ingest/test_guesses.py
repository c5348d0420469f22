"""What an entry that cannot be may have been, by the rows around it: a logbook in, the suggestions out."""

from pathlib import Path

import pytest

from pipeline.ingest.spellings import close_lane
from tests.ingest.logbooks import GARAGE, ingested, write

HEADING = "date,time,lane,60 ft,330 ft,660 ft,launch rpm,track temp F,counterweight g"
RUNS = [
    [f"2031-05-{day}", f"{hour}:{10 + hour}", "LR"[hour % 2], f"1.4{hour}", f"4.0{hour}", f"6.2{hour}",
     "6200", str(80 + hour), "6.2"]
    for day in (17, 18, 23) for hour in (10, 11, 12, 13, 14, 15)
]  # fmt: skip
AIR = [[f"2031-05-{day}", f"{hour}:00", str(60 + hour), str(day + 30), f"29.{40 + hour}"]
       for day in (17, 18, 23) for hour in (10, 12, 14, 16)]  # fmt: skip
DATE, TIME, LANE, RPM, TRACK, WEIGHT = 0, 1, 2, 6, 7, 8


def asked(tmp_path: Path, files: dict[str, str]) -> dict[tuple[int, str], str | None]:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE} | files))
    rows = con.execute('select "row", "column", suggestion from questions where severity <> \'doubt\'')
    return {(row, column): suggestion for row, column, suggestion in rows.fetchall()}


def sheet(heading: str, rows: list[list[str]], *changes: tuple[int, int, str]) -> str:
    cells = [list(row) for row in rows]
    for row, column, text in changes:
        cells[row][column] = text
    return "\n".join([heading, *(",".join(row) for row in cells)]) + "\n"


def test_a_time_without_its_colon(tmp_path: Path) -> None:
    runs = [[day, clock.replace(":", ""), *rest] for day, clock, *rest in RUNS]
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, runs, (3, TIME, "3123"))}) == {(5, "time"): "13:23"}


def test_a_time_of_the_last_run_of_a_day_where_the_newest_stands_on_top(tmp_path: Path) -> None:
    found = asked(tmp_path, {"slips.csv": sheet(HEADING, RUNS[::-1], (0, TIME, "51:45"))})
    assert found == {(2, "time"): "15:45"}


@pytest.mark.parametrize(
    ("column", "name", "typed", "suggestion"),
    [
        (DATE, "date", "2031-05-71", "2031-05-17"),
        (DATE, "date", "2301-05-17", "2031-05-17"),
        (TIME, "time", "31:23", "13:23"),
        (TIME, "time", "15:23", "13:23"),
        (LANE, "lane", "E", "right"),
        (LANE, "lane", "rihgt", "right"),
        (RPM, "launch_rpm", "62000", "6200"),
        (TRACK, "track_temp_degf", "933", "93"),
        (TRACK, "track_temp_degf", "-93", "93"),
        (WEIGHT, "counterweight_g", "62", "6.2"),
        (WEIGHT, "counterweight_g", "-6.2", "6.2"),
    ],
)
def test_an_odd_entry_of_a_run(tmp_path: Path, column: int, name: str, typed: str, suggestion: str) -> None:
    changed = 3
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, RUNS, (changed, column, typed))}) == {
        (changed + 2, name): suggestion
    }


def test_clean_sheets_are_asked_nothing(tmp_path: Path) -> None:
    air = sheet("date,time,air temp,humidity,pressure", AIR)
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, RUNS), "air.csv": air}) == {}


def test_two_columns_exchanged(tmp_path: Path) -> None:
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, RUNS, (4, RPM, "94"), (4, TRACK, "6200"))}) == {
        (6, "launch_rpm"): "6200", (6, "track_temp_degf"): "94",
    }  # fmt: skip


def test_degf_written_as_degc_keeps_its_figures(tmp_path: Path) -> None:
    runs = [[*row[:TRACK], f"{30 + at % 6} C", *row[TRACK + 1 :]] for at, row in enumerate(RUNS)]
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, runs, (3, TRACK, "97 C"))}) == {
        (5, "track_temp_degf"): "97"
    }


@pytest.mark.parametrize(
    ("column", "name", "typed", "suggestion"),
    [
        (4, "pressure_inhg", "92.52", "29.52"), (4, "pressure_inhg", "2952", "29.52"),
        (4, "pressure_inhg", "2.952", "29.52"), (3, "humidity_pct", "488", "48"),
        (3, "humidity_pct", "550", "50"),
        (2, "air_temp_degf", "722", "72"), (1, "time", "21:00", None),
    ],
)  # fmt: skip
def test_an_odd_reading(tmp_path: Path, column: int, name: str, typed: str, suggestion: str | None) -> None:
    air = sheet("date,time,air temp,humidity,pressure", AIR, (5, column, typed))
    found = asked(tmp_path, {"air.csv": air})
    assert found == ({(7, name): suggestion} if suggestion else {})


@pytest.mark.parametrize(
    ("reactions", "asked_of"), [((".021", "-.03", "-.02"), 1), ((".021", ".03", ".02"), 0)]
)
def test_a_red_light_above_none(tmp_path: Path, reactions: tuple[str, ...], asked_of: int) -> None:
    rows = [[*run, "", ""] for run in RUNS]
    changes = [(at, 10, "red light") for at in range(3)] + [
        (at, 9, text) for at, text in enumerate(reactions)
    ]
    found = asked(tmp_path, {"slips.csv": sheet(f"{HEADING},reaction,outcome", rows, *changes)})
    assert found == ({(2, "reaction_s"): "-0.021"} if asked_of else {})


def test_a_second_season_of_its_own_is_no_wrong_year(tmp_path: Path) -> None:
    rows = [[f"2030-06-{run[DATE][-2:]}", *run[1:]] for run in RUNS[:6]] + RUNS[6:]
    assert asked(tmp_path, {"slips.csv": sheet(HEADING, rows)}) == {}


def test_a_day_in_a_year_far_from_all_others(tmp_path: Path) -> None:
    rows = RUNS[:12] + [["2013-05-23", *run[1:]] for run in RUNS[12:]]
    found = asked(tmp_path, {"slips.csv": sheet(HEADING, rows)})
    assert set(found.values()) == {"2031-05-23"}


def test_a_lane_that_could_be_either_gets_no_suggestion() -> None:
    assert [close_lane(text) for text in ("b", "9", "lrft")] == [None, None, "left"]


def test_a_doubled_figure_of_rpm_is_meant_as_round_as_the_others(tmp_path: Path) -> None:
    runs = [[*run[:RPM], "6200" if at < 9 else "6400", *run[RPM + 1 :]] for at, run in enumerate(RUNS)]
    found = asked(tmp_path, {"slips.csv": sheet(HEADING, runs, (12, RPM, "66500"))})
    assert found[14, "launch_rpm"] == "6500"
