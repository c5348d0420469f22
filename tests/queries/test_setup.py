from __future__ import annotations

import pytest

from tests.queries.given import at, runs_of, store

SETTINGS = "launch_rpm, preload_turns, counterweight_g, tire_pressure_psi"


def test_the_last_value_entered_of_each_adjustment_stays_in_force() -> None:
    con = store(
        timeslips=[{"run_at": at(clock)} for clock in ("09:00", "11:00", "13:00")],
        setups=[
            {"set_at": at("10:00"), "launch_rpm": 6000.0, "preload_turns": 3.0, "counterweight_g": 6.0},
            {"set_at": at("12:00"), "launch_rpm": 6200.0, "tire_pressure_psi": 11.0},
        ],
    )
    assert runs_of(con, SETTINGS) == [
        (None, None, None, None),
        (6000.0, 3.0, 6.0, None),
        (6200.0, 3.0, 6.0, 11.0),
    ]


def test_a_change_at_the_very_time_of_the_run_is_in_force() -> None:
    con = store(timeslips=[{"run_at": at("10:00")}], setups=[{"set_at": at("10:00"), "launch_rpm": 6000.0}])
    assert runs_of(con, "launch_rpm") == [(6000.0,)]


def test_a_change_dated_after_the_run_is_not() -> None:
    con = store(timeslips=[{"run_at": at("10:00")}], setups=[{"set_at": at("10:01"), "launch_rpm": 6000.0}])
    assert runs_of(con, "launch_rpm") == [(None,)]


def test_of_two_entries_at_one_time_the_later_entered_holds() -> None:
    setups = [
        {"set_at": at("10:00"), "launch_rpm": 6300.0, "entry_order": 9},
        {"set_at": at("10:00"), "launch_rpm": 6000.0, "preload_turns": 3.0, "entry_order": 4},
    ]
    con = store(timeslips=[{"run_at": at("11:00")}], setups=setups)
    assert runs_of(con, "launch_rpm, preload_turns") == [(6300.0, 3.0)]


def test_another_cars_setup_is_not_this_ones() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00")}],
        setups=[{"set_at": at("10:00"), "launch_rpm": 6000.0, "car": "Cobalt"}],
    )
    assert runs_of(con, "launch_rpm") == [(None,)]


def test_a_value_on_the_slip_wins_for_that_run_only() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00"), "launch_rpm": 6400.0}, {"run_at": at("12:00")}],
        setups=[{"set_at": at("10:00"), "launch_rpm": 6000.0, "counterweight_g": 6.0}],
    )
    assert runs_of(con, "launch_rpm, counterweight_g") == [(6400.0, 6.0), (6000.0, 6.0)]


def test_a_value_on_the_slip_needs_no_setup_sheet() -> None:
    con = store(timeslips=[{"run_at": at("11:00"), "launch_rpm": 6400.0, "preload_turns": 3.0}])
    assert runs_of(con, "launch_rpm, preload_turns, extras") == [(6400.0, 3.0, {})]


def test_a_value_under_question_on_the_slip_is_missing_not_carried() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00"), "questioned": ["launch_rpm"]}, {"run_at": at("12:00")}],
        setups=[{"set_at": at("10:00"), "launch_rpm": 6000.0}],
    )
    assert runs_of(con, "launch_rpm, use_t60, left_out_reason") == [
        (None, False, "launch rpm under question"),
        (6000.0, True, None),
    ]


def test_a_setting_under_question_is_unknown_until_written_again() -> None:
    con = store(
        timeslips=[{"run_at": at(clock)} for clock in ("09:30", "11:00", "13:00")],
        setups=[
            {"set_at": at("09:00"), "counterweight_g": 6.0},
            {"set_at": at("10:00"), "questioned": ["counterweight_g"]},
            {"set_at": at("12:00"), "counterweight_g": 7.0},
        ],
    )
    assert runs_of(con, "counterweight_g, use_t60, questioned") == [
        (6.0, True, []),
        (None, False, ["counterweight_g"]),
        (7.0, True, []),
    ]


def test_extra_adjustments_are_carried_and_overruled_by_name() -> None:
    con = store(
        garage={"adjustments": [{"adjustment": "shock_clicks"}, {"adjustment": "wing_deg"}]},
        timeslips=[
            {"run_at": at("11:00")},
            {"run_at": at("12:00"), "extras": {"shock_clicks": 9.0}},
            {"run_at": at("13:00"), "questioned": ["extra:wing_deg"]},
        ],
        setups=[
            {"set_at": at("09:00"), "extras": {"shock_clicks": 4.0, "wing_deg": 2.0}},
            {"set_at": at("10:00"), "extras": {"shock_clicks": 5.0}},
        ],
    )
    assert runs_of(con, "extras, left_out_reason") == [
        ({"shock_clicks": 5.0, "wing_deg": 2.0}, None),
        ({"shock_clicks": 9.0, "wing_deg": 2.0}, None),
        ({"shock_clicks": 5.0}, "another adjustment under question"),
    ]


SPREADS = [
    ({"preload_turns": 3.1, "preload_screws": [3.0, 3.0, 3.6, 3.0, 3.0, 3.0]}, {}, 0.6),
    ({"preload_turns": 3.0}, {}, 0.0),
    ({"preload_turns": 3.0}, {"preload_turns": 3.0}, 0.0),
    ({"preload_turns": 3.0}, {"preload_turns": 4.0}, None),
]


@pytest.mark.parametrize(("setup", "slip", "spread"), SPREADS)
def test_spread_of_the_screws(
    setup: dict[str, object], slip: dict[str, object], spread: float | None
) -> None:
    con = store(timeslips=[{"run_at": at("11:00"), **slip}], setups=[{"set_at": at("10:00"), **setup}])
    assert runs_of(con, "preload_spread_turns")[0][0] == pytest.approx(spread)


def test_a_run_of_an_unknown_hour_is_in_doubt_only_about_what_was_changed_that_day() -> None:
    con = store(
        timeslips=[{"run_at": at("00:00"), "has_time": False, "questioned": ["time"]}],
        setups=[
            {"set_at": at("01 10:00"), "preload_turns": 3.0, "counterweight_g": 6.0},
            {"set_at": at("13:00"), "preload_turns": 3.5},
        ],
    )
    assert runs_of(con, "preload_turns, counterweight_g, left_out_reason") == [
        (None, 6.0, "preload under question")
    ]
