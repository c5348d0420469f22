"""Rules about weather, track, settings and clutch checks: a few rows in, the exact questions out."""

import datetime as dt
import statistics
import threading
from collections.abc import Iterator
from typing import Any

import duckdb
import pytest

from pipeline.garage.dictionary import Kind
from pipeline.garage.logbook import Garage
from pipeline.store.database import query
from tests.ingest.doubt_cases import DAY, asked, empty_store, put, run_rules, slips

STATION = 28.62  # about 29.94 as altimeter setting at 1250 ft


def weather(*changes: dict[str, Any]) -> list[dict[str, Any]]:
    """Four ordinary readings, an hour and a half apart, then one for each of the changes."""
    rows = []
    for at in range(4 + len(changes)):
        row: dict[str, Any] = {
            "read_at": DAY + dt.timedelta(hours=10 + 1.5 * at), "air_temp_degf": 76.0 + at,
            "pressure_inhg": STATION - 0.01 * at, "pressure_kind": "station", "humidity_pct": 55.0 - at,
        }  # fmt: skip
        rows.append(row | (changes[at - 4] if at >= 4 else {}))
    return rows


WEATHER = {
    "ordinary": ({}, []),
    "degC under degF": ({"air_temp_degf": 26.5}, [("air_temp_degf", "79.7", "celsius")]),
    "altimeter for station": (
        {"pressure_inhg": 29.9}, [("pressure_kind", "altimeter", "altimeter_or_station")]
    ),
    "station for altimeter": (
        {"pressure_kind": "altimeter"}, [("pressure_kind", "station", "altimeter_or_station")]
    ),
    "humidity as a fraction": ({"humidity_pct": 0.51}, [("humidity_pct", "51", "humidity_fraction")]),
    "dew point above the air": ({"dew_point_degf": 88.0}, [("dew_point_degf", None, "moisture_above_air")]),
    "wet bulb below the air": ({"wet_bulb_degf": 66.0}, []),
    "air that leaps and comes back": ({"air_temp_degf": 112.0}, [("air_temp_degf", None, "weather_leap")]),
    "pressure that leaps and comes back": (
        {"pressure_inhg": 26.58}, [("pressure_inhg", "28.58", "weather_leap")]
    ),
    "pressure without its point": ({"pressure_inhg": 2858.0}, [("pressure_inhg", "28.58", "out_of_range")]),
    "pressure in hPa": ({"pressure_inhg": 969.0}, [("pressure_inhg", "28.615", "out_of_range")]),
    "air with a minus sign": ({"air_temp_degf": -79.0}, [("air_temp_degf", "79", "out_of_range")]),
    "air no day has, and no point explains": (
        {"air_temp_degf": 139.0}, [("air_temp_degf", None, "out_of_range")]
    ),
    "a wind no meeting is run in": ({"wind_speed_mph": 90.0}, [("wind_speed_mph", "9", "out_of_range")]),
}  # fmt: skip


@pytest.mark.parametrize(("change", "expected"), WEATHER.values(), ids=WEATHER.keys())
def test_weather(change: dict[str, Any], expected: list[tuple[str, str | None, str]]) -> None:
    con = empty_store()
    put(con, "weather", weather(change))
    run_rules(con)
    assert asked(con) == [
        (6, column, suggestion, "questioned", rule) for column, suggestion, rule in expected
    ]


def test_air_that_repeats_another_day_is_asked_about() -> None:
    con = empty_store()
    rows = weather()
    put(con, "weather", [*rows, rows[1] | {"read_at": rows[1]["read_at"] + dt.timedelta(days=1)}])
    run_rules(con)
    assert asked(con) == [(len(rows) + 2, "date", "leave out row", "questioned", "weather_repeats")]


def test_an_altimeter_setting_far_from_those_of_the_season_is_asked_about() -> None:
    con = empty_store()
    readings = [29.95, 30.02, 29.91, 30.05, 31.42]
    rows = [
        {
            "read_at": DAY + dt.timedelta(days=7 * at, hours=10),
            "pressure_inhg": own,
            "pressure_kind": "altimeter",
        }
        for at, own in enumerate(readings)
    ]
    put(con, "weather", rows)
    run_rules(con)
    rules = [(row, rule) for row, column, *_, rule in asked(con) if column == "pressure_inhg"]
    assert rules == [(6, "altimeter_far_off")]


def test_a_lone_altimeter_reading_is_known_by_the_elevation() -> None:
    con = empty_store()
    put(con, "weather", weather()[:1])
    put(con, "weather", [weather()[0] | {"pressure_inhg": 29.98}], file="other.csv")
    con.execute("delete from typed_weather where file = 'weather.csv'")
    run_rules(con)
    assert [found[:3] for found in asked(con)] == [(2, "pressure_kind", "altimeter")]


def test_altimeter_readings_at_a_strip_without_elevation_are_asked_about_once() -> None:
    con = empty_store()
    put(con, "weather", [row | {"pressure_kind": "altimeter", "venue": "New Strip"} for row in weather()])
    run_rules(con)
    assert asked(con) == [(2, "pressure_kind", None, "questioned", "altimeter_without_elevation")]
    problem = con.execute("select problem from questions").fetchall()[0][0]
    assert "the elevation of New Strip, so 4 readings give no pressure. Add elevation" in problem


@pytest.mark.parametrize("n", range(1, 8))
def test_the_middle_of_the_others_is_found_from_three_of_them(n: int) -> None:
    values = [float(at * at) for at in range(n)]
    known = [None, *values, None][n // 2 : n // 2 + 3]
    con = duckdb.connect()
    con.execute(query("doubts/prepare/middle_without"))
    for place in range(1, n + 1):
        others = values[: place - 1] + values[place:]
        found = con.execute("select middle_without(?, ?, ?, ?, ?)", [place, n, *known]).fetchall()[0]
        assert found == (statistics.median(others) if others else None,)


def test_a_great_many_readings_of_one_strip_are_not_compared_in_pairs() -> None:
    con = empty_store()
    put(con, "weather", weather()[:1])
    con.execute(
        "insert into typed_weather by name select air.* replace (n + 2 as reading_id, n + 3 as row) "
        "from typed_weather as air, range(60000) as many (n)"
    )
    limit = threading.Timer(20.0, con.interrupt)
    limit.start()
    run_rules(con)
    limit.cancel()
    assert asked(con) == []


LIMITS = {
    "limits of the launch": (
        {"launch_rpm_limits": [5000, 5500]},
        "Outside launch_rpm_limits in garage.toml, 5000 to 5500 rpm.",
    ),
    "limit of the engine": ({"engine_rpm_limit": 5500}, "Above engine_rpm_limit in garage.toml, 5500."),
}


@pytest.mark.parametrize(("limits", "problem"), LIMITS.values(), ids=LIMITS.keys())
def test_a_past_run_outside_todays_limit_is_a_doubt_that_names_it(
    limits: dict[str, Any], problem: str
) -> None:
    con = empty_store()
    put(con, "timeslips", [row | {"launch_rpm": 5450.0} for row in slips({"launch_rpm": 5900.0})[:-1]])
    put(con, "timeslips", [slips({"launch_rpm": 5900.0})[-1]], file="late.csv")
    run_rules(con, Garage.model_validate({"car": [{"name": "Marigold", **limits}]}))
    assert con.execute("select severity, problem from questions").fetchall() == [("doubt", problem)]


def test_a_launch_rpm_no_engine_has_is_asked_about_by_its_own_range() -> None:
    con = empty_store()
    put(con, "timeslips", slips({"launch_rpm": 64000.0}, steady=1))
    run_rules(con, Garage.model_validate({"car": [{"name": "Marigold", "launch_rpm_limits": [5000, 7500]}]}))
    assert con.execute("select severity, problem from questions").fetchall() == [
        ("questioned", "Outside 1000 to 12000 rpm, where it must lie.")
    ]


def test_where_both_kinds_are_alike_nothing_is_asked() -> None:
    con = empty_store()
    low = [row | {"venue": "Low Strip", "pressure_inhg": 29.95} for row in weather({"pressure_inhg": 29.99})]
    put(con, "weather", low)
    run_rules(con)
    assert asked(con) == []


TRACK: dict[str, tuple[list[float], list[tuple[Any, ...]]]] = {
    "ordinary": ([95, 104, 110, 106], []),
    "degC under degF": ([95, 104, 43.3, 106], [(4, "track_temp_degf", "109.9", "questioned", "celsius")]),
    "below the air at noon": (
        [95, 71, 110, 106], [(3, "track_temp_degf", None, "doubt", "track_below_air")]
    ),
    "a digit too many": (
        [95, 104, 1104, 106], [(4, "track_temp_degf", "110.4", "questioned", "out_of_range")]
    ),
}  # fmt: skip


@pytest.mark.parametrize(("temps", "expected"), TRACK.values(), ids=TRACK.keys())
def test_track(temps: list[float], expected: list[tuple[Any, ...]]) -> None:
    con = empty_store()
    put(con, "weather", weather())
    rows = [
        {"read_at": DAY + dt.timedelta(hours=11 + at), "track_temp_degf": t} for at, t in enumerate(temps)
    ]
    put(con, "track", rows)
    run_rules(con)
    assert asked(con) == expected


def test_a_track_below_the_air_in_the_evening_is_no_mistake() -> None:
    con = empty_store()
    put(con, "weather", weather())
    put(con, "track", [{"read_at": DAY + dt.timedelta(hours=20), "track_temp_degf": 70.0}])
    run_rules(con)
    assert asked(con) == []


SETUPS: dict[str, tuple[dict[str, Any], list[tuple[str, str | None, str]]]] = {
    "ordinary": ({"preload_turns": 3.5, "counterweight_g": 5.0, "launch_rpm": 6300.0}, []),
    "turns without their point": ({"preload_turns": 35.0}, [("preload_turns", "3.5", "turns_past_limit")]),
    "turns with digits swapped": ({"preload_turns": 5.3}, [("preload_turns", "3.5", "turns_past_limit")]),
    "turns just past the limit": ({"preload_turns": 5.5}, [("preload_turns", None, "turns_past_limit")]),
    "one screw a turn and a half off": (
        {"preload_turns": 3.25, "preload_screws": [3, 3, 4.5, 3, 3, 3]},
        [("preload_turns", "3 3 3 3 3 3", "unequal_screws")],
    ),
    "a ring set crooked": ({"preload_turns": 3.083, "preload_screws": [3, 3, 3.5, 3, 3, 3]}, []),
    "screws alike": ({"preload_turns": 3.5, "preload_screws": [3.5] * 6}, []),
    "counterweight of six levers": (
        {"counterweight_g": 27.0}, [("counterweight_g", "4.5", "counterweight_total")]
    ),
    "launch rpm with digits swapped": (
        {"launch_rpm": 2600.0}, [("launch_rpm", "6200", "setting_out_of_reach")]
    ),
    "launch rpm in thousands": ({"launch_rpm": 6.2}, [("launch_rpm", "6200", "setting_out_of_reach")]),
    "launch rpm without a nought": ({"launch_rpm": 620.0}, [("launch_rpm", "6200", "setting_out_of_reach")]),
    "tire pressure without its point": (
        {"tire_pressure_psi": 105.0}, [("tire_pressure_psi", "10.5", "setting_out_of_reach")]
    ),
}  # fmt: skip


@pytest.mark.parametrize(("change", "expected"), SETUPS.values(), ids=SETUPS.keys())
def test_setups(change: dict[str, Any], expected: list[tuple[str, str | None, str]]) -> None:
    con = empty_store()
    usual = {"preload_turns": 3.0, "counterweight_g": 4.5, "launch_rpm": 6200.0, "tire_pressure_psi": 10.5}
    rows = [usual | {"set_at": DAY + dt.timedelta(days=7 * at)} for at in range(3)]
    put(con, "setups", [*rows, {"set_at": DAY + dt.timedelta(days=21), **change}])
    run_rules(con)
    assert asked(con) == [
        (5, column, suggestion, "questioned", rule) for column, suggestion, rule in expected
    ]


def test_turns_below_none_among_others_are_asked_about() -> None:
    con = empty_store()
    turns = [3.0, 3.5, 3.25, -3.0]
    put(
        con,
        "setups",
        [{"set_at": DAY + dt.timedelta(days=7 * at), "preload_turns": own} for at, own in enumerate(turns)],
    )
    run_rules(con)
    assert asked(con) == [(5, "preload_turns", "3", "questioned", "turns_below_none")]


@pytest.mark.parametrize(
    ("hour", "expected"),
    [
        (0.3, [(3, "time", "12:18", "questioned", "change_at_night")]),
        (21.8, [(3, "time", "09:48", "questioned", "change_at_night")]),
        (20.0, []),
        (8.0, []),
    ],
)
def test_a_change_in_the_night_of_a_day_raced_by_daylight(
    hour: float, expected: list[tuple[Any, ...]]
) -> None:
    con = empty_store()
    put(con, "timeslips", [{"run_at": DAY + dt.timedelta(hours=at)} for at in (10, 12, 15)])
    rows = [
        {"set_at": DAY - dt.timedelta(days=7), "preload_turns": 3.0},
        {"set_at": DAY + dt.timedelta(hours=hour), "preload_turns": 3.25},
    ]
    put(con, "setups", rows)
    run_rules(con)
    assert asked(con, "setups.csv") == expected


def test_two_changes_on_one_day_without_a_time_are_one_question() -> None:
    con = empty_store()
    put(con, "timeslips", [{"run_at": DAY + dt.timedelta(hours=at)} for at in (10, 12, 15)])
    put(con, "setups", [{"set_at": DAY, "preload_turns": 3.5}, {"set_at": DAY, "preload_turns": 3.0}])
    run_rules(con)
    assert asked(con, "setups.csv") == [(3, "time", None, "questioned", "changes_without_time")]


SLIP_SETTINGS = {
    "launch rpm with digits swapped": (
        {"launch_rpm": 2600.0},
        ("launch_rpm", "6200", "setting_out_of_reach"),
    ),
    "turns past the limit": ({"preload_turns": 30.0}, ("preload_turns", "3", "turns_past_limit")),
    "counterweight of six levers": (
        {"counterweight_g": 27.0},
        ("counterweight_g", "4.5", "counterweight_total"),
    ),
}


@pytest.mark.parametrize(("change", "expected"), SLIP_SETTINGS.values(), ids=SLIP_SETTINGS.keys())
def test_settings_on_slips(change: dict[str, Any], expected: tuple[str, str, str]) -> None:
    con = empty_store()
    usual = {"preload_turns": 3.0, "counterweight_g": 4.5, "launch_rpm": 6200.0}
    rows = [row | usual for row in slips(steady=8)]
    rows[4] |= change
    put(con, "timeslips", rows)
    run_rules(con)
    column, suggestion, rule = expected
    assert asked(con) == [(6, column, suggestion, "questioned", rule)]


def test_without_limits_only_what_no_clutch_has_is_asked() -> None:
    con = empty_store()
    put(con, "setups", [{"set_at": DAY, "preload_turns": 6.5}, {"set_at": DAY, "preload_turns": 65.0}])
    run_rules(con, Garage.model_validate({}))
    assert asked(con) == [(3, "preload_turns", "6.5", "questioned", "turns_past_limit")]


CHECKS: dict[str, tuple[list[dict[str, Any]], list[tuple[Any, ...]]]] = {
    "wearing": ([{"h": 2.151}, {"h": 2.155}, {"h": 2.157}, {"h": 2.162}], []),
    "serviced": ([{"h": 2.151}, {"h": 2.166}, {"h": 2.158, "shim_removed_in": 0.01}, {"h": 2.161}], []),
    "serviced, by the notes": (
        [{"h": 2.151}, {"h": 2.166}, {"h": 2.151, "notes": "new disc"}, {"h": 2.155}], []
    ),
    "read a hair lower": ([{"h": 2.151}, {"h": 2.155}, {"h": 2.154}, {"h": 2.158}], []),
    "a shim nobody wrote down": (
        [{"h": 2.151}, {"h": 2.156}, {"h": 2.161}, {"h": 2.166}, {"h": 2.157}, {"h": 2.160}],
        [(6, "shim_removed_in", "0.015", "questioned", "ring_height_down")],
    ),
    "digits swapped": (
        [{"h": 2.151}, {"h": 2.155}, {"h": 2.517}, {"h": 2.162}],
        [(4, "ring_height_in", "2.157", "questioned", "ring_height_down")],
    ),
    "one digit high": (
        [{"h": 2.151}, {"h": 2.195}, {"h": 2.157}, {"h": 2.162}],
        [(3, "ring_height_in", "2.155", "questioned", "ring_height_down")],
    ),
    "without its point": (
        [{"h": 2.151}, {"h": 2155.0}, {"h": 2.157}, {"h": 2.162}],
        [(3, "ring_height_in", "2.155", "questioned", "ring_height_down")],
    ),
    "written to the ten-thousandth": (
        [{"h": 2.1512}, {"h": 2.1550}, {"h": 2.6120}, {"h": 2.1627}],
        [(4, "ring_height_in", "2.1620", "questioned", "ring_height_down")],
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def judged_checks() -> Iterator[duckdb.DuckDBPyConnection]:
    """Every case as a car and a sheet of its own, judged together."""
    con = empty_store()
    for name, (checks, _) in CHECKS.items():
        rows = [
            {
                "car": name,
                "checked_at": DAY + dt.timedelta(days=7 * at),
                "ring_height_in": check["h"],
                **check,
            }
            for at, check in enumerate(checks)
        ]
        put(con, "checks", rows, file=name)
    run_rules(con)
    yield con
    con.close()


@pytest.mark.parametrize("case", CHECKS)
def test_checks(case: str, judged_checks: duckdb.DuckDBPyConnection) -> None:
    assert asked(judged_checks, case) == CHECKS[case][1]


@pytest.mark.parametrize("kind", ["timeslips", "weather", "track", "setups", "checks"])
def test_empty_sheets_raise_no_question(kind: Kind) -> None:
    con = empty_store()
    put(con, kind, [{}])
    run_rules(con)
    assert asked(con) == []


def test_degf_under_a_degc_heading() -> None:
    con = empty_store()
    con.execute(
        "insert into sheet_columns values ('track.csv', '', 3, 'Track C', 'track_temp_degf', 1.8, 32)"
    )
    degc = [35.0, 37.0, 96.0, 36.5, 38.0]
    rows = [
        {"read_at": DAY + dt.timedelta(hours=10 + at), "track_temp_degf": number * 1.8 + 32}
        for at, number in enumerate(degc)
    ]
    put(con, "track", rows)
    run_rules(con)
    assert asked(con) == [(4, "track_temp_degf", "96", "questioned", "fahrenheit")]


def test_two_figures_of_degf_alone_under_a_degc_heading() -> None:
    con = empty_store()
    con.execute(
        "insert into sheet_columns values ('track.csv', '', 3, 'Track C', 'track_temp_degf', 1.8, 32)"
    )
    put(con, "track", [{"read_at": DAY + dt.timedelta(hours=12), "track_temp_degf": 97 * 1.8 + 32}])
    run_rules(con)
    assert asked(con) == [(2, "track_temp_degf", "97", "questioned", "out_of_range")]


def test_a_track_that_leaps_and_comes_back() -> None:
    con = empty_store()
    degf = [98.0, 101.0, 63.0, 104.0, 102.0]
    put(con, "timeslips", [row | {"track_temp_degf": degf[at]} for at, row in enumerate(slips(steady=5))])
    run_rules(con)
    assert asked(con) == [(4, "track_temp_degf", "103", "questioned", "weather_leap")]


HPA = 0.0295299875
LEAPS = {"one digit wrong": (895.0, 995.0), "nothing like the others": (1026.0, 995.5)}


@pytest.mark.parametrize(("typed", "meant"), LEAPS.values(), ids=LEAPS.keys())
def test_a_leap_is_mended_in_the_unit_it_is_typed_in(typed: float, meant: float) -> None:
    con = empty_store()
    con.execute(
        "insert into sheet_columns values ('weather.csv', '', 3, 'hPa', 'pressure_inhg', $factor, 0)",
        {"factor": HPA},
    )
    hpa = [996.0, 996.0, typed, 995.0, 994.0, 994.0]
    rows = [
        {"read_at": DAY + dt.timedelta(hours=10 + at), "pressure_inhg": number * HPA}
        for at, number in enumerate(hpa)
    ]
    put(con, "weather", rows)
    run_rules(con)
    assert [(row, rule) for row, _, _, _, rule in asked(con)] == [(4, "weather_leap")]
    assert float(str(asked(con)[0][2])) == pytest.approx(meant * HPA, abs=0.02)


def test_a_leap_shows_on_a_day_whose_pressures_are_asked_about_as_altimeter_settings() -> None:
    con = empty_store()
    rows = [
        {"read_at": DAY + dt.timedelta(hours=10 + at), "pressure_inhg": number}
        for at, number in enumerate([29.96, 29.97, 28.96, 29.96, 29.95])
    ]
    put(con, "weather", rows)
    run_rules(con)
    assert (4, "pressure_inhg", "29.96", "questioned", "weather_leap") in asked(con)
    assert {each[1] for each in asked(con)} == {"pressure_inhg", "pressure_kind"}


@pytest.mark.parametrize(
    ("column", "usual", "typed"), [("counterweight_g", 9.5, 0.95), ("preload_turns", 2.5, 0.25)]
)
def test_a_setting_with_its_point_moved(column: str, usual: float, typed: float) -> None:
    con = empty_store()
    rows = [{"set_at": DAY + dt.timedelta(hours=at), column: usual} for at in range(5)]
    rows[2][column] = typed
    put(con, "setups", rows)
    run_rules(con)
    assert asked(con) == [(4, column, f"{usual:g}", "questioned", "setting_point_moved")]


def test_one_slip_with_its_air_is_one_sheet() -> None:
    con = empty_store()
    days = [DAY + dt.timedelta(days=7 * (at // 4), hours=at % 4) for at in range(12)]
    days[5] = days[5].replace(year=2024)
    put(con, "timeslips", [row | {"run_at": days[at]} for at, row in enumerate(slips(steady=12))], "all.csv")
    air = [{"read_at": day, "air_temp_degf": 70.0 + at, "sheet": "weather"} for at, day in enumerate(days)]
    put(con, "weather", air, "all.csv")
    run_rules(con)
    found = {(row, column, said, rule) for row, column, said, _, rule in asked(con, "all.csv")}
    assert found == {(7, "date", "2025-06-21", "wrong_year")}


def test_turns_that_are_no_eighths_where_all_others_are() -> None:
    con = empty_store()
    rows = [
        row | {"preload_turns": 2.5 + 0.25 * (at % 3), "launch_rpm": 5600}
        for at, row in enumerate(slips(steady=12))
    ]
    rows[4]["preload_turns"] = 2.775
    rows[7]["launch_rpm"] = 5567
    put(con, "timeslips", rows)
    run_rules(con)
    assert [(row, name, rule) for row, name, *_, rule in asked(con)] == [
        (6, "preload_turns", "setting_off_step"), (9, "launch_rpm", "setting_off_step"),
    ]  # fmt: skip


def test_turns_in_tenths_are_a_habit_too() -> None:
    con = empty_store()
    put(
        con,
        "timeslips",
        [row | {"preload_turns": 2.5 + 0.1 * (at % 4)} for at, row in enumerate(slips(steady=12))],
    )
    run_rules(con)
    assert asked(con) == []


@pytest.mark.parametrize(
    ("lowest", "expected"),
    [(28.86, [(4, "pressure_inhg", "29.86", "questioned", "weather_leap")]), (29.3, [])],
    ids=["an inch too few", "a storm"],
)
def test_the_only_air_pressure_of_a_day_far_from_the_usual_one(
    lowest: float, expected: list[tuple[Any, ...]]
) -> None:
    con = empty_store()
    rows = [
        {
            "read_at": DAY + dt.timedelta(days=7 * at, hours=10), "venue": "Low Strip",
            "air_temp_degf": 70.0 + at, "humidity_pct": 50.0 + at,
            "pressure_inhg": pressure, "pressure_kind": "station",
        }
        for at, pressure in enumerate([29.83, 29.90, lowest, 29.78, 29.81])
    ]  # fmt: skip
    put(con, "weather", rows)
    run_rules(con)
    assert asked(con) == expected


EXCHANGED = {
    "for one run": ([5600, 5600, 6500, 5600, 5600], [(4, "launch_rpm", "5600")]),
    "within fifties": ([5500, 5500, 5050, 5500, 5500], [(4, "launch_rpm", "5500")]),
    "and on to another": ([5500, 5500, 5050, 5800, 5800], [(4, "launch_rpm", "5500")]),
    "kept for a while": ([5600, 5600, 6500, 6500, 5600], []),
    "a change that is no exchange": ([5600, 5600, 5900, 5600, 5600], []),
}


@pytest.mark.parametrize(("rpm", "expected"), EXCHANGED.values(), ids=EXCHANGED.keys())
def test_two_figures_of_a_setting_exchanged(rpm: list[int], expected: list[Any]) -> None:
    con = empty_store()
    put(con, "timeslips", [row | {"launch_rpm": rpm[at]} for at, row in enumerate(slips(steady=5))])
    run_rules(con)
    assert asked(con) == [(*each, "questioned", "setting_exchanged") for each in expected]


ALONE = {
    "the first figure left out": ([2.75, 2.5, 2.75, 0.75, 2.75, 3.0], [(5, "preload_turns", "2.75")]),
    "kept for two runs": ([2.75, 2.5, 2.75, 0.75, 0.75, 3.0], []),
    "a step or two": ([2.75, 2.5, 2.75, 1.75, 2.75, 3.0], []),
    "nothing explains it": ([2.75, 2.5, 2.75, 6.5, 2.75, 3.0], []),
}


@pytest.mark.parametrize(("turns", "expected"), ALONE.values(), ids=ALONE.keys())
def test_a_setting_that_stands_alone(turns: list[float], expected: list[Any]) -> None:
    con = empty_store()
    put(con, "timeslips", [row | {"preload_turns": turns[at]} for at, row in enumerate(slips(steady=6))])
    run_rules(con, Garage.model_validate({}))
    assert asked(con) == [(*each, "questioned", "setting_leap") for each in expected]


TURNED = {
    "on one row": ([(98.0, 82.0)], [("air_temp_degf", "82"), ("track_temp_degf", "98")]),
    "in the evening": ([(80.0, 76.0)], []),
    "on many rows": ([(98.0, 82.0)] * 3, []),
}


@pytest.mark.parametrize(("last", "expected"), TURNED.values(), ids=TURNED.keys())
def test_air_and_track_exchanged(last: list[tuple[float, float]], expected: list[Any]) -> None:
    con = empty_store()
    pairs = [(76.0 + at, 94.0 + 1.5 * at) for at in range(8)]
    rows = [
        {"read_at": DAY + dt.timedelta(hours=9 + at), "air_temp_degf": air, "track_temp_degf": track}
        for at, (air, track) in enumerate([*pairs, *last])
    ]
    put(con, "weather", [row | {"sheet": "weather"} for row in rows], file="book.csv")
    put(con, "track", [row | {"sheet": "track"} for row in rows], file="book.csv")
    run_rules(con)
    assert [(each[1], each[2]) for each in asked(con) if each[3] == "questioned"] == expected
    assert {each[4] for each in asked(con)} <= {"air_and_track_exchanged", "track_below_air"}
