from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import capacity, clutch


def test_preload_adds_each_screws_own_turns() -> None:
    assert clutch.preload_from_turns(1600.0, 40.0, [3, 3, 3.5, 3, 3, 3]) == 1600.0 + 40.0 * 18.5
    assert clutch.preload_from_turns(1600.0, 40.0, 2.0) == 1680.0


def test_installed_heights_and_turns_give_one_load() -> None:
    rate, pitch, free = 35_000.0, 0.0254 / 24, 0.050
    base = clutch.preload_from_heights(rate, free, [0.045] * 6)
    turned = clutch.preload_from_heights(rate, free, [0.045 - 3 * pitch] * 6)
    by_turns = clutch.preload_from_turns(base, clutch.load_per_turn(rate, 24 / 0.0254), [3.0] * 6)
    assert turned == pytest.approx(by_turns, rel=1e-12)


def test_load_of_springs_by_hand() -> None:
    # 1,000 N/m pressed by 30 mm and 2,000 N/m by 5 mm: 30 N and 10 N.
    assert clutch.preload_from_heights([1e3, 2e3], [0.05, 0.04], [0.02, 0.035]) == pytest.approx(40.0)


def test_uneven_screws_are_named() -> None:
    assert clutch.turns_spread([3, 3.25, 1.5]) == 1.75
    assert clutch.uneven_screws([3, 3, 3, 3, 3, 3.0625]) == ()
    assert clutch.uneven_screws([3, 3, 3, 2.75, 3, 3.5]) == (4, 6)


@pytest.mark.parametrize(("effect", "left"), [("less load", 900.0), ("more load", 1100.0)])
def test_the_sign_of_wear_belongs_to_the_construction(effect: clutch.GrowthEffect, left: float) -> None:
    assert clutch.preload_after_wear(1000.0, 5, 20_000.0, 1e-3, effect) == left


def test_loose_springs_do_not_pull() -> None:
    left = clutch.preload_after_wear(50.0, 6, 35_000.0, np.array([0.0, 1e-3, np.nan]))
    assert left[:2].tolist() == [50.0, 0.0]
    assert np.isnan(left[2])


@given(st.floats(0.0, 0.1), st.floats(0.0, 10_000.0))
def test_centrifugal_load_grows_with_the_square_of_speed(counterweight: float, rpm: float) -> None:
    once = clutch.centrifugal_load(6, 0.03, counterweight, 0.09, rpm / 2)
    assert clutch.centrifugal_load(6, 0.03, counterweight, 0.09, rpm) == pytest.approx(4 * once, rel=1e-12)


@given(st.floats(0.05, 0.5), st.floats(0.0, 0.99))
def test_a_new_disc_never_holds_less_than_a_worn_in_one(outer: float, share: float) -> None:
    worn = capacity.effective_radius_worn(outer, outer * share)
    assert capacity.effective_radius_new(outer, outer * share) >= worn * (1 - 1e-12)


def test_all_meetings_of_capacity_and_torque_are_found() -> None:
    rpm = [3000, 4000, 5000, 6000, 7000]
    assert capacity.meeting_speeds(rpm, [1, 3, 1, 3, 3], [2, 2, 2, 2, 2]) == (3500.0, 4500.0, 5500.0)
    assert capacity.meeting_speeds(rpm, [1, 2, 3, 4, 5], [3, 3, 3, 3, 3]) == (5000.0,)
    assert capacity.meeting_speeds(rpm, [5] * 5, [3] * 5) == ()


def test_engine_torque_is_not_stretched_beyond_its_curve() -> None:
    found = capacity.torque_at([3000, 5000, 9000], ((4000.0, 400.0), (6000.0, 500.0)))
    assert found[1] == 450.0
    assert np.isnan(found[[0, 2]]).all()


REFUSED = [
    (lambda: clutch.preload_from_turns(1.0, 1.0, [-1.0]), "turns of -1 turns"),
    (lambda: clutch.load_per_turn(1.0, 24.0), "thread of 24 1/m"),
    (lambda: clutch.preload_from_heights(1.0, 0.05, 0.06), "share of the free length of 1.2"),
    (lambda: clutch.preload_after_wear(1.0, 6, 1.0, 0.5), "ring height growth of 0.5 m"),
    (lambda: clutch.centrifugal_load(6, 0.03, 6.0, 0.09, 6000.0), "counterweight of 6 kg"),
    (lambda: clutch.centrifugal_load(6, 0.03, 0.006, 0.09, 60_000.0), "engine speed of 60000 rpm"),
    (lambda: capacity.effective_radius_worn(0.1, 0.2), "inner over outer radius of 2"),
    (lambda: capacity.torque_capacity(3.0, 2, 1.0, 0.1), "friction coefficient of 3"),
    (lambda: capacity.highest_pressure_worn(1.0, 0.1, 0.0), "inner radius of 0 m"),
]


@pytest.mark.parametrize(("call", "sentence"), REFUSED)
def test_out_of_range_is_refused_with_a_sentence(call: object, sentence: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert str(refused.value).startswith(sentence)
