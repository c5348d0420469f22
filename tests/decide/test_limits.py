"""Limits: what each line of garage.toml allows, and what is said when it is not there."""

from dataclasses import replace
from datetime import datetime

import polars as pl
import pytest

from pipeline.decide.lever_stacks import hardware_stacks
from pipeline.decide.limits import Limit, car_limits
from pipeline.garage.logbook import Garage
from pipeline.season.in_force import present_settings

CAR = {
    "name": "Marigold",
    "clutch": "eight",
    "launch_rpm_limits": [4500, 7400],
    "tire_pressure_limits": [8, 14],
}
CLUTCH = {
    "name": "eight",
    "screws": 8,
    "base_load": "300 lb",
    "least_base_load": "325 lb",
    "spring_rate": "125 lb/in",
    "threads_per_inch": 20,
    "safe_turns": 6,
    "counterweight_limits": ["0 g", "12 g"],
}
SHOCK = {"name": "shock", "label": "rear shock", "unit": "click", "limits": [0, 12], "quick": True}


def garage(car=None, clutch=None, shock=None) -> Garage:
    parts = {
        "car": [CAR | (car or {})],
        "clutch": [CLUTCH | (clutch or {})],
        "adjustment": [SHOCK | (shock or {})],
    }
    for table in parts.values():
        table[0] = {key: value for key, value in table[0].items() if value is not None}
    return Garage.model_validate(parts)


def runs(**columns) -> pl.DataFrame:
    height = len(next(iter(columns.values())))
    at = [datetime(2031, 4, 5, 10 + hour) for hour in range(height)]
    return pl.DataFrame({"run_id": list(range(1, height + 1)), "run_at": at} | columns)


def test_least_turns_carry_the_least_base_load():
    # 8 screws x 125/20 lb a turn = 50 lb a turn, so 325 lb needs half a turn over 300 lb.
    limit = car_limits(garage(), "Marigold").by_name["preload"]
    assert (limit.low, limit.high) == pytest.approx((0.5, 6.0))
    assert (limit.low_words, limit.high_words) == ("least_base_load 325 lb", "safe_turns 6")


def test_springs_that_carry_more_than_the_least_need_no_turn():
    # 300 lb at no turn are 20 lb over the least; half of that is lost to 0.010 in of wear, 8 x 125 lb/in.
    limit = car_limits(garage(clutch={"least_base_load": "280 lb"}), "Marigold", runs(wear_in=[0.010]))
    assert limit.by_name["preload"].low == 0.0


def test_a_limit_says_whose_it_is_and_in_what_unit():
    found = car_limits(garage(), "Marigold").by_name
    assert found["shock"].high_words == "limits 0 to 12 of rear shock"
    assert found["launch_rpm"].high_words == "launch_rpm_limits 4500 to 7400"
    assert found["tire_pressure"].low_words == "tire_pressure_limits 8 to 14 psi"


def test_wear_raises_the_least_turns_and_a_gain_is_not_counted_on():
    # 0.020 in x 8 springs x 125 lb/in = 20 lb, which is 0.40 turn.
    worn = runs(wear_in=[0.001, 0.020, None])
    assert car_limits(garage(), "Marigold", worn).by_name["preload"].low == pytest.approx(0.90)
    more = garage(clutch={"growth_effect": "more load"})
    assert car_limits(more, "Marigold", worn).by_name["preload"].low == pytest.approx(0.5)


def test_a_clutch_too_worn_for_any_safe_turns_gets_no_preload():
    found = car_limits(garage(clutch={"least_base_load": "700 lb"}), "Marigold")
    assert "preload" not in found.by_name
    assert "past safe_turns 6" in found.missing["preload"]
    assert "service" in found.missing["preload"]


@pytest.mark.parametrize(
    ("parts", "adjustment", "line"),
    [
        ({"clutch": {"screws": None}}, "preload", "'screws' to the [[clutch]]"),
        ({"clutch": {"springs": 16}}, "preload", "'load_per_turn' to the [[clutch]]"),
        ({"clutch": {"safe_turns": None}}, "preload", "'safe_turns' to the [[clutch]]"),
        ({"clutch": {"least_base_load": None}}, "preload", "'least_base_load' to the [[clutch]]"),
        ({"clutch": {"threads_per_inch": None}}, "preload", "'load_per_turn' to the [[clutch]]"),
        (
            {"clutch": {"counterweight_limits": None}},
            "counterweight",
            "'counterweight_limits' to the [[clutch]]",
        ),
        ({"car": {"launch_rpm_limits": None}}, "launch_rpm", "'launch_rpm_limits' to the [[car]] Marigold"),
        (
            {"car": {"tire_pressure_limits": None}},
            "tire_pressure",
            "'tire_pressure_limits' to the [[car]] Marigold",
        ),
        ({"shock": {"limits": None}}, "shock", "'limits' to the [[adjustment]] part of shock"),
        (
            {"car": {"clutch": None}},
            "preload",
            "[[clutch]] part with screws, safe_turns, base_load and least_base_load",
        ),
        ({"car": {"clutch": None}}, "counterweight", "[[clutch]] part with counterweight_limits"),
    ],
)
def test_no_limit_no_suggestion_and_the_line_to_add_is_named(parts, adjustment, line):
    found = car_limits(garage(**parts), "Marigold")
    assert adjustment not in found.by_name
    assert line in found.missing[adjustment]
    assert len(found.by_name) == 5 - len(found.missing)


def test_a_car_nobody_described_gets_no_limit_at_all():
    found = car_limits(Garage.model_validate({}), "Bluebell")
    assert found.by_name == {}
    assert set(found.missing) == {"preload", "counterweight", "launch_rpm", "tire_pressure"}


def test_unequal_screws_stop_any_suggestion_of_preload():
    uneven = runs(preload_spread_turns=[0.0, 0.5])
    found = car_limits(garage(), "Marigold", uneven)
    assert "preload" not in found.by_name
    assert "0.5 turn apart" in found.missing["preload"]
    assert "preload" in car_limits(garage(), "Marigold", uneven.head(1)).by_name


def test_screws_set_alike_since_the_last_run_are_believed():
    uneven = runs(preload_spread_turns=[0.5])

    def setups(*screws):
        return pl.DataFrame(
            {
                "set_at": [datetime(2031, 4, 6, hour) for hour in range(len(screws))],
                "entry_order": list(range(len(screws))),
                "preload_turns": [None if turns is None else sum(turns) / len(turns) for turns in screws],
                "preload_screws": pl.Series(screws, dtype=pl.List(pl.Float64)),
            }
        )

    alike, apart = [3.0] * 6, [3.0] * 5 + [3.5]
    for changes, told in (((alike,), False), ((alike, apart), True), ((alike, None), False), ((None,), True)):
        found = car_limits(garage(), "Marigold", uneven, setups(*changes))
        assert ("apart" in found.missing.get("preload", "")) is told


def test_quick_is_rpm_tire_and_what_the_garage_calls_quick():
    limits = car_limits(garage(), "Marigold").by_name
    quick = [name for name, limit in limits.items() if limit.is_quick]
    assert quick == ["launch_rpm", "tire_pressure", "shock"]


def rpm_limit(low=4500.0, high=7400.0) -> Limit:
    return Limit("launch_rpm", "launch rpm", "rpm", low, high, "least", "most", 50.0, 100.0, is_quick=True)


def test_settable_values_are_on_the_grid_with_the_present_one_as_it_is():
    assert rpm_limit().settable(6030) == (5950.0, 6000.0, 6030, 6050.0, 6100.0)


def test_settable_values_stop_at_the_limit_and_come_back_inside_from_past_it():
    assert rpm_limit(high=6040.0).settable(6000) == (5900.0, 5950.0, 6000.0)
    assert rpm_limit(high=6040.0).settable(6500) == (5950.0, 6000.0)
    assert rpm_limit(low=6010.0, high=6040.0).settable(6500) == (6040.0,)


def test_far_past_a_limit_the_nearest_value_of_the_grid_is_left():
    limit = Limit("preload", "preload", "turns", 0.6, 5.9, "", "", 0.25, 0.1, is_quick=False)
    assert limit.settable(9.0) == (5.75,)
    assert limit.settable(0.0) == (0.75,)


def test_only_what_is_past_is_brought_inside_and_only_if_time_allows():
    limits = car_limits(garage(), "Marigold")
    past = {"preload": 7.0, "launch_rpm": 6000.0}
    assert limits.smallest_legal(past) == {"preload": 6.0, "launch_rpm": 6000.0}
    assert limits.smallest_legal(past, quick_only=True) is None
    assert limits.smallest_legal({"launch_rpm": 7900.0}, quick_only=True) == {"launch_rpm": 7400.0}
    held = limits.without_preload("the ring was not measured")
    assert held.missing["preload"] == "No suggestion for preload: the ring was not measured."
    assert sorted(held.by_name) == sorted(limits.by_name.keys() - {"preload"})
    assert held.smallest_legal(past) is None


def test_a_gap_in_the_screws_counts_from_a_sixteenth_of_a_turn():
    for apart, stops in ((0.0625, False), (0.07, True)):
        uneven = runs(preload_spread_turns=[apart])
        assert ("preload" in car_limits(garage(), "Marigold", uneven).missing) is stops


def test_settable_counterweights_are_what_the_hardware_makes():
    limit = car_limits(
        garage(clutch={"counterweight_hardware": {"short bolt": "6 g", "nut": "1.5 g", "washer": "1 g"}}),
        "Marigold",
    ).by_name["counterweight"]
    assert limit.settable(7.5) == (6.0, 7.0, 7.5, 8.0, 8.5, 9.0, 9.5)
    assert limit.pieces(8.5) == "short bolt and nut and washer"


def test_a_lever_takes_one_bolt_and_nothing_hangs_without_it():
    stacks = hardware_stacks({"bolt": 6.0, "nut": 1.5})
    assert stacks == {
        0.0: (),
        6.0: ("bolt",),
        7.5: ("bolt", "nut"),
        9.0: ("bolt",) + ("nut",) * 2,
        10.5: ("bolt",) + ("nut",) * 3,
    }
    assert hardware_stacks({"slug": 2.0}) == {0.0: (), 2.0: ("slug",), 4.0: ("slug",) * 2, 6.0: ("slug",) * 3}


def test_a_setting_past_a_limit_is_said_with_both_numbers():
    said = car_limits(garage(), "Marigold").passed(
        {"preload": 6.5, "launch_rpm": 6000.0, "counterweight": 12.0}
    )
    assert len(said) == 1
    assert "6.5 turns is above 6 turns (safe_turns 6)" in said[0]


def test_present_setting_is_the_last_known_and_later_setups_override():
    made = runs(
        preload_turns=[3.0, 3.5, None],
        counterweight_g=[4.0, 4.0, 4.5],
        launch_rpm=[6000.0, 6100.0, 6200.0],
        tire_pressure_psi=[None, None, None],
        extras=[[{"key": "shock", "value": 4.0}], [], [{"key": "other", "value": 1.0}]],
    )
    assert present_settings(made, None, ["shock"]) == {
        "preload": 3.5, "counterweight": 4.5, "launch_rpm": 6200.0, "shock": 4.0,
    }  # fmt: skip
    setups = pl.DataFrame(
        {
            "set_at": [datetime(2031, 4, 1), datetime(2031, 4, 9)],
            "entry_order": [1, 2],
            "preload_turns": [1.0, 4.0],
            "counterweight_g": [1.0, None],
        }
    )
    assert present_settings(made, setups, ["shock"])["preload"] == 4.0
    assert present_settings(made, setups, ["shock"])["counterweight"] == 4.5


@pytest.mark.parametrize(
    ("name", "unit", "value", "words"),
    [
        ("preload", "turns", 1.0, "1 turn"),
        ("preload", "turns", 3.25, "3.25 turns"),
        ("launch_rpm", "rpm", 6250.0, "6250 rpm"),
        ("shock", "click", 6.0, "6 clicks"),
        ("shock", "click", 1.0, "1 click"),
    ],
)
def test_values_are_spoken_with_their_unit(name, unit, value, words):
    limit = Limit(name, name, unit, 0.0, 9999.0, "", "", 1.0, 1.0, is_quick=True)
    assert limit.spoken(value) == words


def test_wear_without_a_spring_rate_stops_the_preload_suggestion():
    described = {
        "name": "c",
        "screws": 8,
        "base_load": 300,
        "least_base_load": 300,
        "load_per_turn": 8,
        "safe_turns": 6,
    }
    garage = Garage.model_validate({"car": [{"name": "Marigold", "clutch": "c"}], "clutch": [described]})
    worn = pl.DataFrame({"run_id": [1], "run_at": [datetime(2031, 5, 2)], "wear_in": [0.01]})
    limits = car_limits(garage, "Marigold", worn)
    assert "preload" not in limits.by_name
    assert "spring_rate" in limits.missing["preload"]


def test_an_end_worked_out_is_said_to_hundredths_and_never_past_it():
    ends = replace(car_limits(garage(), "Marigold").by_name["preload"], low=0.360235, high=3.998)
    assert (ends.spoken_end(ends.low), ends.spoken_end(ends.high)) == ("0.37 turns", "3.99 turns")
