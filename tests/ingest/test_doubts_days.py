"""Rules about dates and times of day: rows of a few sheets in, the exact questions out."""

import datetime as dt
from typing import Any

import pytest

from tests.ingest.doubt_cases import DAY, asked, empty_store, put, run_rules, slips

EVENTS = (dt.datetime(2025, 5, 10), dt.datetime(2025, 6, 7), dt.datetime(2025, 6, 21))


def three_events() -> list[dict[str, Any]]:
    """Four runs at each of three events, an hour apart from two in the afternoon."""
    rows = slips(steady=4 * len(EVENTS))
    return [
        row | {"run_at": EVENTS[at // 4] + dt.timedelta(hours=14 + at % 4)} for at, row in enumerate(rows)
    ]


def weather_of(events: tuple[dt.datetime, ...]) -> list[dict[str, Any]]:
    return [{"read_at": event + dt.timedelta(hours=15), "air_temp_degf": 78.0} for event in events]


DATES = {
    "last year's year": (dt.datetime(2024, 6, 7, 15), "wrong_year"),
    "next year's year": (dt.datetime(2026, 6, 7, 15), "wrong_year"),
    "day and month swapped": (dt.datetime(2025, 7, 6, 15), "day_and_month_swapped"),
}


@pytest.mark.parametrize(("written", "rule"), DATES.values(), ids=DATES.keys())
def test_a_stray_date_among_slips(written: dt.datetime, rule: str) -> None:
    con = empty_store()
    rows = three_events()
    rows[5]["run_at"] = written
    put(con, "timeslips", rows)
    put(con, "weather", weather_of(EVENTS))
    run_rules(con)
    assert asked(con) == [(7, "date", "2025-06-07", "questioned", rule)]


@pytest.mark.parametrize(("written", "rule"), DATES.values(), ids=DATES.keys())
def test_a_stray_date_among_weather_readings(written: dt.datetime, rule: str) -> None:
    con = empty_store()
    put(con, "timeslips", three_events())
    readings = weather_of((EVENTS[0], EVENTS[1], EVENTS[1], EVENTS[2]))
    readings[2]["read_at"] = written
    put(con, "weather", readings)
    run_rules(con)
    assert asked(con) == [(4, "date", "2025-06-07", "questioned", rule)]


def test_a_whole_evening_under_the_wrong_year() -> None:
    con = empty_store()
    rows = three_events()
    for row in rows[8:]:
        row["run_at"] = row["run_at"].replace(year=2024)
    put(con, "timeslips", rows)
    put(con, "weather", weather_of(EVENTS))
    run_rules(con)
    assert asked(con) == [(row, "date", "2025-06-21", "questioned", "wrong_year") for row in (10, 11, 12, 13)]


ASTRAY = {
    "a whole evening in another month": (slice(4, 8), {"month": 4}),
    "one run in another month": (slice(5, 6), {"month": 4}),
    "one run of an evening on another day": (slice(5, 6), {"day": 29}),
}


@pytest.mark.parametrize(("at", "change"), ASTRAY.values(), ids=ASTRAY.keys())
def test_a_day_out_of_the_order_of_its_sheet(at: slice, change: dict[str, int]) -> None:
    con = empty_store()
    days = [
        dt.datetime(2025, 5, 10),
        dt.datetime(2025, 5, 24),
        dt.datetime(2025, 6, 21),
        dt.datetime(2025, 6, 28),
    ]
    rows = [
        row | {"run_at": days[number // 4] + dt.timedelta(hours=14 + number % 4)}
        for number, row in enumerate(slips(steady=16))
    ]
    for row in rows[at]:
        row["run_at"] = row["run_at"].replace(**change)
    put(con, "timeslips", rows)
    run_rules(con)
    wanted = ("date", "2025-05-24", "questioned", "wrong_month")
    assert asked(con) == [(row + 2, *wanted) for row in range(16)[at]]


def test_a_first_evening_at_another_strip_is_of_no_day_of_the_next() -> None:
    con = empty_store()
    days = [
        dt.datetime(2025, 6, 18),
        dt.datetime(2025, 6, 15),
        dt.datetime(2025, 7, 13),
        dt.datetime(2025, 8, 17),
    ]
    days += [dt.datetime(2025, 9, 14), dt.datetime(2025, 9, 21)]
    strips = ("Cinder Flats", "Low Strip", "Low Strip", "Cinder Flats", "Low Strip", "Low Strip")
    rows = [
        row | {"run_at": days[at // 3] + dt.timedelta(hours=14 + at % 3), "venue": strips[at // 3]}
        for at, row in enumerate(slips(steady=18))
    ]
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == [(row, "date", "2025-05-18", "questioned", "wrong_month") for row in (2, 3, 4)]


def test_days_with_the_newest_on_top_and_two_meets_mixed_are_in_no_wrong_month() -> None:
    con = empty_store()
    rows = three_events()
    put(con, "timeslips", [*rows[8:], *rows[:4], *rows[4:8]])
    run_rules(con)
    assert asked(con) == []


def test_two_seasons_in_one_logbook_are_no_mistake() -> None:
    con = empty_store()
    rows = three_events()
    older = [row | {"run_at": row["run_at"].replace(year=2024), "v660_mph": 116.0} for row in rows]
    put(con, "timeslips", [*older, *rows])
    run_rules(con)
    assert asked(con) == []


def test_a_sheet_with_the_newest_on_top_is_no_mistake() -> None:
    con = empty_store()
    put(con, "timeslips", three_events()[::-1])
    run_rules(con)
    assert asked(con) == []


def test_a_setup_between_events_is_no_mistake() -> None:
    con = empty_store()
    put(con, "timeslips", three_events())
    days = (dt.datetime(2025, 5, 9), dt.datetime(2025, 6, 3), dt.datetime(2025, 6, 12))
    put(con, "setups", [{"set_at": day, "preload_turns": 3.0 + at / 2} for at, day in enumerate(days)])
    run_rules(con)
    assert asked(con) == []


CLOCKS = {
    "three in the night": (dt.timedelta(hours=3), "15:00"),
    "evening in the morning": (dt.timedelta(hours=4, minutes=30), "16:30"),
}


@pytest.mark.parametrize(("clock", "suggestion"), CLOCKS.values(), ids=CLOCKS.keys())
def test_am_for_pm_on_a_slip(clock: dt.timedelta, suggestion: str) -> None:
    con = empty_store()
    rows = slips(steady=5)
    for at, row in enumerate(rows):
        row["run_at"] = DAY + dt.timedelta(hours=13.5 + at)
    at = 2 if suggestion == "15:00" else 3
    rows[at]["run_at"] = DAY + clock
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == [(at + 2, "time", suggestion, "questioned", "am_pm_slip")]


def test_am_for_pm_on_a_weather_reading() -> None:
    con = empty_store()
    put(con, "timeslips", three_events())
    hours = (13, 14.5, 4, 17)
    put(
        con, "weather", [{"read_at": EVENTS[1] + dt.timedelta(hours=h), "air_temp_degf": 78.0} for h in hours]
    )
    run_rules(con)
    assert asked(con) == [(4, "time", "16:00", "questioned", "am_pm_slip")]


def test_a_long_day_is_no_mistake() -> None:
    con = empty_store()
    rows = slips(steady=8)
    for at, row in enumerate(rows):
        row["run_at"] = DAY + dt.timedelta(hours=9 + 1.8 * at)
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == []


SETTINGS = [
    {"set_at": DAY + dt.timedelta(hours=8), "launch_rpm": 6000.0},
    {"set_at": DAY + dt.timedelta(hours=13), "launch_rpm": 6400.0},
]


def with_rpm(change_after: int) -> list[dict[str, Any]]:
    rows = slips(steady=6)
    return [
        row
        | {"run_at": DAY + dt.timedelta(hours=10 + at), "launch_rpm": 6000.0 if at < change_after else 6400.0}
        for at, row in enumerate(rows)
    ]


LATE_SETUPS = {
    "in time": (13.0, []),
    "hours late": (17.5, [(3, "time", "13:00", "questioned", "setup_after_its_runs")]),
    "a day late": (24.0, [(3, "date", "2025-06-14", "questioned", "setup_after_its_runs")]),
}


@pytest.mark.parametrize(("hour", "expected"), LATE_SETUPS.values(), ids=LATE_SETUPS.keys())
def test_a_change_dated_after_the_runs_that_carry_it(hour: float, expected: list[tuple[Any, ...]]) -> None:
    con = empty_store()
    put(con, "timeslips", with_rpm(change_after=3))
    put(con, "setups", [SETTINGS[0], SETTINGS[1] | {"set_at": DAY + dt.timedelta(hours=hour)}])
    run_rules(con)
    assert asked(con) == expected


OFF = {
    "two hours": (5, 130, (7, "15:10")),
    "five hours in the middle": (6, -300, (8, "16:00")),
    "the first of a day": (4, 190, (6, "14:10")),
    "the last of a day": (7, -310, (9, "16:50")),
}


@pytest.mark.parametrize(("at", "minutes", "expected"), OFF.values(), ids=OFF.keys())
def test_an_hour_off_stands_out_of_the_sheets_order(at: int, minutes: int, expected: tuple[int, str]) -> None:
    con = empty_store()
    rows = three_events()
    rows[at]["run_at"] += dt.timedelta(minutes=minutes)
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == [(expected[0], "time", expected[1], "questioned", "clock_out_of_order")]


def test_runs_in_no_order_are_no_slip_of_the_pen() -> None:
    con = empty_store()
    rows = three_events()
    put(con, "timeslips", [rows[at] for at in (3, 0, 2, 1, 7, 4, 6, 5, 8, 11, 9, 10)])
    run_rules(con)
    assert asked(con) == []
