"""Facts of the trade (common practice, no source) and what our functions make of them."""

from __future__ import annotations

import pytest

from pipeline.physics import capacity, clutch
from pipeline.physics.constants import (
    HORSEPOWER_W,
    INCH_M,
    POUND_FOOT_NM,
    POUND_FORCE_N,
    POUND_PER_INCH_N_PER_M,
    RPM_RAD_PER_S,
)
from tests.reference.checks import Check, each

PRACTICE = "common practice, no source"


def total_lb(rate: float, turns: float) -> float:
    per_turn = clutch.load_per_turn(rate * POUND_PER_INCH_N_PER_M, 24 / INCH_M)
    return clutch.preload_from_turns(360 * POUND_FORCE_N, per_turn, [turns] * 6) / POUND_FORCE_N


def lost_lb(rate: float, growth_in: float) -> float:
    start = 2000 * POUND_FORCE_N
    left = clutch.preload_after_wear(start, 6, rate * POUND_PER_INCH_N_PER_M, growth_in * INCH_M)
    return (start - left) / POUND_FORCE_N


def torque_lb_ft(hp: float, rpm: float) -> float:
    return hp * HORSEPOWER_W / (rpm * RPM_RAD_PER_S) / POUND_FOOT_NM


def load_lb(hp: float, rpm: float) -> float:
    """Plate load that holds the torque at friction 0.35, mean radius 4.5 in, two faces."""
    per_newton = capacity.torque_capacity(0.35, 2, 1.0, 4.5 * INCH_M)
    return torque_lb_ft(hp, rpm) * POUND_FOOT_NM / per_newton / POUND_FORCE_N


TRADE = [
    Check("360 lb over six springs", lambda: total_lb(200, 0) / 6, 60, PRACTICE, "trade", rel=1e-9),
    Check("3 turns at 200 lb/in", lambda: total_lb(200, 3), 510, PRACTICE, "trade", rel=1e-9),
    Check("3 turns at 300 lb/in", lambda: total_lb(300, 3), 585, PRACTICE, "trade", rel=1e-9),
    Check("5 turns at 200 lb/in add", lambda: total_lb(200, 5) - 360, 250, PRACTICE, "trade", rel=1e-9),
    Check(
        "360 lb hold [lb-ft]",
        lambda: (
            capacity.torque_capacity(
                0.3, 2, 360 * POUND_FORCE_N, capacity.effective_radius_worn(5.25 * INCH_M, 3.25 * INCH_M)
            )
            / POUND_FOOT_NM
        ),
        76.5,
        PRACTICE,
        "trade",
        rel=1e-9,
    ),
    Check("5 turns of 24 tpi [in]", lambda: 5 / 24, 0.20833, PRACTICE, "trade", abs=5e-6),
    Check("7 turns of 24 tpi [in]", lambda: 7 / 24, 0.29167, PRACTICE, "trade", abs=5e-6),
    *(
        Check(
            f"growth {g} at {k} lb/in costs [lb]",
            lambda k=k, g=g: lost_lb(k, g),
            lb,
            PRACTICE,
            "trade",
            rel=1e-9,
        )
        for k, g, lb in [
            (200, 0.010, 12),
            (200, 0.020, 24),
            (300, 0.010, 18),
            (300, 0.020, 36),
            (600, 0.010, 36),
            (600, 0.020, 72),
        ]
    ),
    Check(
        "0.010 in in turns",
        lambda: lost_lb(200, 0.010) / (total_lb(200, 1) - 360),
        0.24,
        PRACTICE,
        "trade",
        rel=1e-9,
    ),
    Check(
        "0.020 in in turns",
        lambda: lost_lb(200, 0.020) / (total_lb(200, 1) - 360),
        0.48,
        PRACTICE,
        "trade",
        rel=1e-9,
    ),
    Check("quarter inch [mm]", lambda: 0.25 * INCH_M * 1000, 6.35, PRACTICE, "trade", rel=1e-9),
    *(
        Check(
            f"{hp} hp at {rpm} [lb-ft]",
            lambda hp=hp, rpm=rpm: torque_lb_ft(hp, rpm),
            lb_ft,
            PRACTICE,
            "trade",
            abs=0.06,
        )
        for hp, rpm, lb_ft in [
            (600, 6500, 484.8),
            (600, 7500, 420.2),
            (900, 6500, 727.2),
            (900, 7500, 630.3),
            (1200, 6500, 969.6),
            (1200, 7500, 840.3),
        ]
    ),
    *(
        Check(
            f"{hp} hp at {rpm} needs [lb]",
            lambda hp=hp, rpm=rpm: load_lb(hp, rpm),
            lb,
            PRACTICE,
            "trade",
            abs=0.6,
        )
        for hp, rpm, lb in [
            (600, 6500, 1847),
            (600, 7500, 1601),
            (900, 6500, 2770),
            (900, 7500, 2401),
            (1200, 6500, 3694),
            (1200, 7500, 3201),
        ]
    ),
]


@each(TRADE)
def test_trade_facts(check: Check) -> None:
    check.hold()


def test_a_shim_as_thick_as_the_growth_restores_the_preload() -> None:
    # Common practice, no source.
    start, rate = 510 * POUND_FORCE_N, 200 * POUND_PER_INCH_N_PER_M
    worn = clutch.preload_after_wear(start, 6, rate, 0.015 * INCH_M)
    restored = clutch.preload_after_wear(start, 6, rate, (0.015 - 0.015) * INCH_M)
    assert worn == pytest.approx(start - 18 * POUND_FORCE_N, rel=1e-9)
    assert restored == start
