from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import strip
from pipeline.physics.constants import FOOT_M, MPH_M_PER_S

SLIP = (1.4, 3.9, 6.0, 7.85, 9.4)


def test_a_missing_split_blanks_its_two_sections_only() -> None:
    parts = strip.sections((1.4, math.nan, 6.0, 7.85, 9.4))
    assert [math.isnan(part.time_s) for part in parts] == [False, True, True, False, False]
    assert strip.speeds_rise(parts)


def test_a_short_strip_has_fewer_sections() -> None:
    assert [(part.start_ft, part.end_ft) for part in strip.sections(SLIP[:3])] == [
        (0, 60),
        (60, 330),
        (330, 660),
    ]


def test_speeds_rise_while_a_car_accelerates() -> None:
    assert strip.speeds_rise(strip.sections(SLIP))
    assert not strip.speeds_rise(strip.sections((1.4, 3.9, 6.0, 7.85, 11.0)))


def test_splits_that_do_not_rise_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"section time of -0\.5 s"):
        strip.sections((1.4, 0.9))


@given(st.floats(1.0, 50.0), st.floats(0.1, 0.6), st.floats(5.0, 400.0))
def test_rollout_and_timed_split_make_the_whole_way(a: float, rollout: float, way: float) -> None:
    whole = strip.rollout_time(a, rollout) + strip.timed_split(a, rollout, way)
    assert whole == pytest.approx(math.sqrt(2 * (way + rollout) / a), rel=1e-12)
    assert strip.rollout_speed(a, rollout) == pytest.approx(a * strip.rollout_time(a, rollout), rel=1e-12)


def test_mean_acceleration_to_sixty_feet() -> None:
    assert strip.mean_acceleration(60 * FOOT_M, 1.4) == pytest.approx(2 * 18.288 / 1.96)


PASSES = [(9.4, 148.0, True), (9.4, 120.0, False), (14.0, 150.0, False), (6.0, 246.0, True)]


@pytest.mark.parametrize(("time_s", "mph", "fits"), PASSES)
def test_whole_pass(time_s: float, mph: float, fits: bool) -> None:
    assert strip.whole_pass_fits(time_s, mph * MPH_M_PER_S) is fits


def test_arrays() -> None:
    ratio = strip.whole_pass_ratio(np.array([9.4, np.nan]), np.array([66.0, 66.0]))
    assert ratio.shape == (2,)
    assert np.isnan(ratio[1])


@pytest.mark.parametrize(
    "call",
    [
        lambda: strip.trap_speed(0.0),
        lambda: strip.mean_acceleration(18.0, 0.0),
        lambda: strip.rollout_time(0.0, 0.3),
        lambda: strip.rollout_speed(10.0, 5.0),
        lambda: strip.whole_pass_ratio(0.0, 60.0),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
