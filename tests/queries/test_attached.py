from __future__ import annotations

from typing import Any

import duckdb
import pytest

from pipeline.store.attached import attached_to
from tests.queries.given import DEFAULTS, GARAGE, Row, at, runs_of, store

PLACES = {kind: {"file": f"{kind}.csv", "sheet": ""} for kind in DEFAULTS}


def attached(**sheets: list[Row]) -> tuple[duckdb.DuckDBPyConnection, Any, Any]:
    """Build runs from rows that stand on sheets, and give the connection, what was used and what was not."""
    placed = {kind: [PLACES[kind] | row for row in rows] for kind, rows in sheets.items()}
    con = store(**placed)
    runs_of(con, "run_id")
    return con, *attached_to(con, GARAGE["cars"][0]["car"])


def uses(used: Any, kind: str) -> list[tuple[Any, ...]]:
    """Row, quantities and hours off (runs off for a check) of everything of a kind, in order of run."""
    apart = "off_runs" if kind == "checks" else "off_h"
    mine = used.filter(used["file"] == f"{kind}.csv").select("run_of_event", "row", "quantities", apart)
    return mine.rows()


def test_each_setting_comes_from_the_row_in_force_or_from_the_slip() -> None:
    _, used, unused = attached(
        timeslips=[{"run_at": at("11:00"), "launch_rpm": 6400.0}, {"run_at": at("13:00")}],
        setups=[
            {"set_at": at("10:00"), "launch_rpm": 6000.0, "preload_turns": 3.0},
            {"set_at": at("12:00"), "counterweight_g": 6.0},
            {"set_at": at("14:00"), "counterweight_g": 7.0},
        ],
    )
    assert uses(used, "setups") == [
        (1, 2, ["preload_turns"], -1.0),
        (2, 3, ["counterweight_g"], -1.0),
        (2, 2, ["launch_rpm", "preload_turns"], -3.0),
    ]
    assert uses(used, "timeslips") == [(1, 2, ["launch_rpm"], 0.0)]
    assert used.filter(used["is_on_slip"])["row"].to_list() == [2]
    assert unused.select("kind", "row", "why").rows() == [
        ("setup", 4, "no run of the car while it was in force")
    ]


def test_of_two_setups_at_one_time_the_one_that_holds_is_named() -> None:
    _, used, unused = attached(
        timeslips=[{"run_at": at("11:00")}],
        setups=[
            {"set_at": at("10:00"), "launch_rpm": 6300.0, "entry_order": 9},
            {"set_at": at("10:00"), "launch_rpm": 6000.0, "entry_order": 4},
        ],
    )
    assert uses(used, "setups") == [(1, 2, ["launch_rpm"], -1.0)]
    assert unused["row"].to_list() == [3]


def test_an_entry_in_question_is_named_as_such() -> None:
    _, used, _ = attached(
        timeslips=[{"run_at": at("11:00")}],
        setups=[{"set_at": at("10:00"), "questioned": ["launch_rpm"]}],
    )
    assert used.select("row", "is_questioned").rows() == [(2, True)]


WEATHER = [
    ("between two, both", "10:30", ["10:00", "12:00"], [(2, -0.5), (3, 1.5)]),
    ("after the last, that one", "13:00", ["10:00", "12:00"], [(3, -1.0)]),
    ("out of reach, none", "23:00", ["10:00", "12:00"], []),
    ("at the very time of one, it and the next", "10:00", ["10:00", "12:00"], [(2, 0.0), (3, 2.0)]),
]


@pytest.mark.parametrize(
    ("run", "read", "taken"), [case[1:] for case in WEATHER], ids=[c[0] for c in WEATHER]
)
def test_weather_comes_from_the_readings_around_the_run(
    run: str, read: list[str], taken: list[tuple[int, float]]
) -> None:
    weather = [{"read_at": at(clock), "air_temp_degf": 80.0} for clock in read]
    _, used, _ = attached(timeslips=[{"run_at": at(run)}], weather=weather)
    assert uses(used, "weather") == [(1, row, ["air temp"], off_h) for row, off_h in taken]


def test_a_run_without_a_time_of_day_takes_all_readings_of_its_day() -> None:
    _, used, unused = attached(
        timeslips=[{"run_at": at("00:00"), "has_time": False}],
        weather=[{"read_at": at(moment), "air_temp_degf": 80.0} for moment in ("10:00", "16:00", "03 10:00")],
    )
    assert uses(used, "weather") == [(1, 2, ["air temp"], None), (1, 3, ["air temp"], None)]
    assert unused.select("row", "why").rows() == [(4, "no run near it")]


@pytest.mark.parametrize(
    ("slip", "taken"),
    [
        ({"lane": "left"}, [("track.csv", 3)]),
        ({"lane": "right"}, [("track.csv", 2), ("track.csv", 3)]),
        ({"lane": "left", "track_temp_degf": 99.0}, [("timeslips.csv", 2)]),
        ({"lane": "left", "questioned": ["track_temp_degf"]}, []),
    ],
)
def test_a_track_temperature_comes_from_the_slip_then_the_lane_then_any(
    slip: Row, taken: list[tuple[str, int]]
) -> None:
    _, used, _ = attached(
        timeslips=[{"run_at": at("11:00"), **slip}],
        track=[
            {"read_at": at("10:30"), "track_temp_degf": 100.0},
            {"read_at": at("11:30"), "track_temp_degf": 104.0, "lane": "left"},
        ],
    )
    assert used.filter(used["kind"] == "track").sort("row").select("file", "row").rows() == taken


def test_wear_comes_from_the_checks_around_the_run_and_the_last_service() -> None:
    _, used, unused = attached(
        timeslips=[{"run_at": at(clock)} for clock in ("10:00", "11:00", "14:00")],
        setups=[{"set_at": at("09:00"), "preload_turns": 3.0}],
        checks=[
            {"checked_at": at("09:00"), "ring_height_in": 2.2},
            {"checked_at": at("12:00"), "ring_height_in": 2.19, "shim_removed_in": 0.02},
            {"checked_at": at("16:00"), "ring_height_in": 2.191},
            {"checked_at": at("17:00"), "bearing_clearance_in": 0.2},
        ],
    )
    assert uses(used, "checks") == [
        (1, 2, ["ring height"], 0),
        (1, 3, ["ring height"], 2),
        (2, 3, ["ring height"], 1),
        (2, 2, ["ring height"], -1),
        (3, 3, ["ring height", "service"], 0),
        (3, 4, ["ring height"], 1),
    ]
    assert unused.select("kind", "row", "why").rows() == [("check", 5, "no ring height in it")]


def test_what_no_run_used_says_why() -> None:
    con, _, unused = attached(
        timeslips=[{"run_at": at("11:00"), "track_temp_degf": 99.0}],
        weather=[
            {"read_at": at("03 13:00"), "air_temp_degf": 80.0},
            {"read_at": at("11:00"), "venue": "Quarry Road", "air_temp_degf": 80.0},
            {"read_at": at("11:00"), "venue": None, "air_temp_degf": 80.0},
            {"read_at": at("11:00"), "notes": "no instruments"},
        ],
        track=[{"read_at": at("11:00"), "track_temp_degf": 100.0}],
        setups=[{"set_at": None, "launch_rpm": 6000.0}, {"set_at": at("10:00"), "notes": "looked at it"}],
    )
    assert unused.select("kind", "row", "why", "nearest_run_h").rows() == [
        ("setup", 2, "car or date is not known", None),
        ("setup", 3, "nothing in it can be used", None),
        ("track", 2, "the runs near it took others", 0.0),
        ("weather", 2, "no run near it", 26.0),
        ("weather", 3, "no run at this strip", None),
        ("weather", 4, "strip or date is not known", None),
        ("weather", 5, "nothing in it can be used", 0.0),
    ]
    rows = con.sql("select count(*) from attached_uses").fetchall()[0]
    assert rows == (1,)
