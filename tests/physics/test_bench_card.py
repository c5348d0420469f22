from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.errors import OutOfRange, SlipledgerError
from pipeline.physics.bench_card import bench_card
from pipeline.physics.bench_records import BenchSetting, ClutchUnit, WearNow
from pipeline.physics.wear import Slope

UNIT = ClutchUnit(
    screws=8, springs=8, base_load_lb=300.0, least_base_load_lb=300.0, spring_rate_lb_per_in=125.0,
    load_per_turn_lb=125 / 20, safe_turns=6.0, levers=6, lever_mass_g=30.0, lever_radius_in=3.5,
    lever_ratio=1.0, counterweight_limits_g=(0.0, 12.0), friction=(0.28, 0.36), friction_faces=2,
    outer_diameter_in=10.0, inner_diameter_in=6.0, ring_height_new_in=2.150, service_growth_in=0.030,
    bearing_clearance_in=0.30, shims_in=(0.005, 0.010, 0.015),
)  # fmt: skip
SETTING = BenchSetting(
    turns=(3.0,), counterweight_g=10.0, launch_rpm=6000.0, shift_rpm=9000.0, engine_rpm_limit=9200.0,
    engine_torque=((4000.0, 480.0), (6000.0, 560.0), (8000.0, 520.0)),
)  # fmt: skip
WEAR = WearNow(
    ring_height_in=2.162, ring_heights_in=(2.161, 2.162, 2.163), grown_since_set_in=0.010,
    grown_since_service_in=0.012, growth=Slope(0.0004, 0.0003, 0.0005, 12), bearing_clearance_in=0.29,
)  # fmt: skip


def check(card: object, what: str) -> tuple[bool | None, str]:
    found = next(one for one in card.checks if one.what == what)  # type: ignore[attr-defined]
    return found.passed, found.sentence


def test_load_is_split_into_static_and_centrifugal() -> None:
    card = bench_card(UNIT, SETTING)
    # 300 + 8 x 3 x 125/20 lb; 6 x 40 g at 3.5 in and 6000 rpm: 24 times the 78.89965 lb/10 g of section 7.3.
    assert card.preload_lb == card.preload_when_set_lb == pytest.approx(450.0)
    assert card.at_launch.static_lb == pytest.approx(450.0)
    assert card.at_launch.centrifugal_lb == pytest.approx(24 * 78.89965, rel=1e-6)
    assert card.at_launch.plate_load_lb == pytest.approx(450.0 + 24 * 78.89965, rel=1e-6)


def test_capacity_is_a_band_for_worn_in_and_new() -> None:
    at = bench_card(UNIT, SETTING).at_launch
    # Two faces at friction 0.30: 2 x 0.30 x 4/12 ft worn in (mean radius), x 49/144 ft when new
    # (2/3 (5^3 - 3^3) / (5^2 - 3^2) = 49/12 in).
    assert at.plate_load_lb is not None
    assert at.worn_in_low_lb_ft == pytest.approx(at.plate_load_lb * 0.2 * 0.28 / 0.30)
    assert at.worn_in_high_lb_ft == pytest.approx(at.plate_load_lb * 0.2 * 0.36 / 0.30)
    assert at.new_low_lb_ft == pytest.approx(at.plate_load_lb * 0.6 * 49 / 144 * 0.28 / 0.30, rel=1e-6)
    assert at.new_high_lb_ft == pytest.approx(at.plate_load_lb * 0.6 * 49 / 144 * 0.36 / 0.30, rel=1e-6)


def test_the_curve_meets_the_engine_between_its_neighbours() -> None:
    card = bench_card(UNIT, SETTING)
    (low,), (high,) = card.meeting_rpm_low_friction, card.meeting_rpm_high_friction
    assert high < low  # more friction locks sooner
    below = max((p for p in card.curve if p.rpm < low), key=lambda p: p.rpm)
    above = min((p for p in card.curve if p.rpm > low), key=lambda p: p.rpm)
    assert below.worn_in_low_lb_ft < below.engine_lb_ft  # type: ignore[operator]
    assert above.worn_in_low_lb_ft > above.engine_lb_ft  # type: ignore[operator]
    assert [p.rpm for p in card.curve] == sorted({p.rpm for p in card.curve})
    assert card.curve[0].engine_lb_ft is None
    assert card.curve[-1].rpm == 9200.0


def test_the_curve_ends_at_the_engines_limit() -> None:
    past = ((4000.0, 480.0), (9500.0, 300.0))
    assert bench_card(UNIT, replace(SETTING, engine_torque=past)).curve[-1].rpm == 9200.0
    assert bench_card(UNIT, replace(SETTING, launch_rpm=9300.0)).curve[-1].rpm == 9300.0
    free = replace(SETTING, engine_rpm_limit=None, shift_rpm=9010.0)
    assert bench_card(UNIT, free).curve[-1].rpm == 9250.0


def test_what_one_step_is_worth() -> None:
    worth = {(one.what, one.at): one for one in bench_card(UNIT, SETTING, WEAR).worth}
    assert worth["preload", "launch"].load_lb == pytest.approx(50.0)
    assert worth["preload", "shift"].load_lb == pytest.approx(50.0)
    # One gram on each of six levers: section 7.3 has 78.89965 and 177.52421 lb for 10 g.
    assert worth["counterweight", "launch"].load_lb == pytest.approx(6 * 7.889965, rel=1e-6)
    assert worth["counterweight", "shift"].load_lb == pytest.approx(6 * 17.752421, rel=1e-6)
    assert worth["growth", "launch"].load_lb == pytest.approx(-10.0)
    assert worth["preload", "launch"].capacity_lb_ft == pytest.approx(50 * 0.2 * 0.32 / 0.30)
    assert {one.step for one in worth.values()} == {"1 turn", "1 g", "0.010 in"}


def test_wear_state_and_shims() -> None:
    wear = bench_card(UNIT, SETTING, WEAR).wear
    assert wear.preload_lost_lb == pytest.approx(10.0)
    assert wear.runs_to_service == pytest.approx(45.0)
    assert (wear.runs_to_service_sooner, wear.runs_to_service_later) == pytest.approx((36.0, 0.018 / 0.0003))
    assert wear.shim_to_remove_in == pytest.approx(0.010)
    assert wear.shims_in == pytest.approx((0.010,))


def test_growth_counts_from_new_when_no_service_is_known() -> None:
    wear = bench_card(UNIT, SETTING, WearNow(ring_height_in=2.166)).wear
    assert wear.grown_since_service_in == pytest.approx(0.016)
    assert wear.shims_in == pytest.approx((0.015,))
    assert wear.runs_to_service is None


def test_every_check_passes_on_a_sound_clutch() -> None:
    assert all(one.passed for one in bench_card(UNIT, SETTING, WEAR).checks)


BAD = [
    ("screws even", {"turns": (3.0, 3.0, 3.5, 3.0, 3.0, 3.0, 3.0, 3.0)}, {}, "Screw 3 differs"),
    ("turns", {"turns": (6.5,)}, {}, "6.5 turns pass the safe 6"),
    ("static load", {"turns": (0.0,)}, {"grown_since_set_in": 0.010}, "290 lb are below the least 300 lb"),
    ("engine speed", {"launch_rpm": 9300.0}, {}, "9300 rpm pass the 9200 rpm"),
    ("counterweight", {"counterweight_g": 14.0}, {}, "14 g a lever are outside 0 to 12 g"),
    ("ring even", {}, {"ring_heights_in": (2.160, 2.164)}, "Ring heights differ by 0.004 in"),
    ("bearing clearance", {}, {"bearing_clearance_in": 0.24}, "0.240 in is too small beside the 0.300 in"),
    ("bearing clearance", {}, {"bearing_clearance_in": 0.35}, "0.350 in is more than the 0.300 in"),
    ("growth", {}, {"grown_since_service_in": 0.030}, "Grown 0.030 in, service is due"),
]


@pytest.mark.parametrize(("what", "setting", "wear", "sentence"), BAD)
def test_each_check_can_fail(
    what: str, setting: dict[str, object], wear: dict[str, object], sentence: str
) -> None:
    card = bench_card(UNIT, replace(SETTING, **setting), replace(WEAR, **wear))  # type: ignore[arg-type]
    passed, words = check(card, what)
    assert passed is False
    assert words.startswith(sentence)


def test_what_is_not_given_is_left_out_and_named() -> None:
    bare = ClutchUnit(screws=8, base_load_lb=300.0, load_per_turn_lb=8.0)
    card = bench_card(bare, BenchSetting(turns=(3.0,), counterweight_g=0.0, launch_rpm=6000.0))
    assert card.preload_lb == pytest.approx(492.0)
    assert (card.at_launch.centrifugal_lb, card.at_launch.worn_in_low_lb_ft) == (None, None)
    assert (card.at_shift, card.meeting_rpm_low_friction) == (None, ())
    assert card.wear.preload_lost_lb is None
    assert {"spring_rate", "lever_ratio", "friction", "engine_torque", "shift_rpm"} <= set(card.missing)
    assert [one.what for one in card.worth] == ["preload"]
    assert all(one.passed is None for one in card.checks if one.what not in {"screws even"})


@pytest.mark.parametrize(
    ("given", "line"),
    [({"base_load_lb": None}, "base_load"), ({"screws": None, "springs": None}, "screws")],
)
def test_a_missing_line_is_named(given: dict[str, None], line: str) -> None:
    with pytest.raises(SlipledgerError, match=f"Add the line '{line}'"):
        bench_card(replace(UNIT, **given), SETTING)


def test_the_wrong_number_of_turns_is_refused() -> None:
    with pytest.raises(SlipledgerError, match="2 turns are given for 8 screws"):
        bench_card(UNIT, replace(SETTING, turns=(3.0, 3.0)))


UNREAL = [
    ({"launch_rpm": 60_000.0}, "launch rpm of 60000 rpm is outside 0 to 20000 rpm."),
    ({"shift_rpm": -1.0}, "shift rpm of -1 rpm"),
    ({"turns": (30.0,)}, "an adjuster setting of 30 turns"),
    ({"counterweight_g": -5.0}, "counterweight of -5 g"),
]


@pytest.mark.parametrize(("asked", "sentence"), UNREAL)
def test_what_no_clutch_has_is_refused_in_the_units_typed(asked: dict[str, object], sentence: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        bench_card(UNIT, replace(SETTING, **asked))  # type: ignore[arg-type]
    assert str(refused.value).startswith(sentence)
