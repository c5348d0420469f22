from __future__ import annotations

import pytest

from pipeline.physics import strip
from pipeline.physics.constants import FOOT_M, INCH_M, MPH_M_PER_S, STANDARD_GRAVITY
from tests.reference.checks import Check, each

GEOMETRY = "speed = distance over time"
GLOSSARY = "a sanctioning body's glossary: mean over the last 66 ft"
SLIP = (1.400, 3.900, 6.000, 7.850, 9.400)

SECTIONS = (
    [
        check
        for at, (dt, mph) in enumerate(
            [(1.400, 29.22078), (2.500, 73.63636), (2.100, 107.14286), (1.850, 125.30713), (1.550, 140.76246)]
        )
        for check in (
            Check(
                f"section {at} time",
                lambda at=at: strip.sections(SLIP)[at].time_s,
                dt,
                GEOMETRY,
                "derived",
                abs=1e-9,
            ),
            Check(
                f"section {at} speed [mph]",
                lambda at=at: strip.sections(SLIP)[at].mean_speed / MPH_M_PER_S,
                mph,
                GEOMETRY,
                "derived",
                abs=1e-4,
            ),
        )
    ]
    + [
        Check(
            "whole [mph]",
            lambda: strip.mean_speed(1320 * FOOT_M, 9.4) / MPH_M_PER_S,
            95.74468,
            GEOMETRY,
            "derived",
            abs=1e-4,
        )
    ]
    + [
        Check(
            f"trap {mph} mph", lambda s=s: strip.trap_speed(s) / MPH_M_PER_S, mph, GLOSSARY, "seen", rel=1e-7
        )
        for mph, s in [(80, 0.5625), (100, 0.45), (140, 0.3214286), (200, 0.225)]
    ]
    + [
        Check(
            "one millisecond at 200 mph",
            lambda: (strip.trap_speed(0.224) - strip.trap_speed(0.225)) / MPH_M_PER_S,
            0.89,
            GLOSSARY,
            "derived",
            abs=5e-3,
        )
    ]
)


@each(SECTIONS)
def test_sections_and_trap(check: Check) -> None:
    check.hold()


CONSTANT = "constant acceleration from rest"
ROLLOUT = [  # g, time over 1 ft, speed mph, timed 60 ft, 60 ft from rest
    (1.0, 0.2493, 5.469, 1.6980, 1.9312),
    (1.5, 0.2036, 6.699, 1.3864, 1.5769),
    (2.0, 0.1763, 7.735, 1.2006, 1.3656),
    (2.5, 0.1577, 8.648, 1.0739, 1.2214),
]
HALF_INCH = [(1.0, 1.7025), (1.5, 1.3901)]


def timed60(g: float, rollout_m: float) -> float:
    return strip.timed_split(g * STANDARD_GRAVITY, rollout_m, 60 * FOOT_M)


STAGING = [
    check
    for g, time, mph, timed, rest in ROLLOUT
    for check in (
        Check(
            f"{g} g rollout [s]",
            lambda g=g: strip.rollout_time(g * STANDARD_GRAVITY, FOOT_M),
            time,
            CONSTANT,
            "derived",
            abs=6e-5,
        ),
        Check(
            f"{g} g rollout [mph]",
            lambda g=g: strip.rollout_speed(g * STANDARD_GRAVITY, FOOT_M) / MPH_M_PER_S,
            mph,
            CONSTANT,
            "derived",
            abs=6e-4,
        ),
        Check(f"{g} g timed 60 ft", lambda g=g: timed60(g, FOOT_M), timed, CONSTANT, "derived", abs=6e-5),
        Check(f"{g} g 60 ft from rest", lambda g=g: timed60(g, 0.0), rest, CONSTANT, "derived", abs=6e-5),
    )
] + [
    Check(f"{g} g, 11.5 in", lambda g=g: timed60(g, 11.5 * INCH_M), timed, CONSTANT, "derived", abs=6e-5)
    for g, timed in HALF_INCH
]


@each(STAGING)
def test_rollout(check: Check) -> None:
    check.hold()


def test_half_an_inch_of_staging_is_worth_four_thousandths() -> None:
    # [derived]: 4 ms of 60 ft time at 1.0 to 1.5 g.
    for g in (1.0, 1.5):
        assert timed60(g, 11.5 * INCH_M) - timed60(g, 12 * INCH_M) == pytest.approx(0.004, abs=1e-3)


def test_a_whole_pass_at_constant_power() -> None:
    # Fox (1973) [derived]: slip speed times elapsed time is 1338.6 s mph for the quarter.
    assert strip.whole_pass_ratio(10.0, 133.86 * MPH_M_PER_S) == pytest.approx(1.0, abs=1e-4)
    eighth = strip.whole_pass_ratio(6.634, 100.0 * MPH_M_PER_S, strip.EIGHTH_MILE_M)
    assert eighth == pytest.approx(1.0, abs=1e-4)
