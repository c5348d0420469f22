from __future__ import annotations

import math

import pytest

from pipeline.physics import capacity, clutch, hardware
from pipeline.physics.constants import (
    FOOT_M,
    GRAM_KG,
    INCH_M,
    POUND_FOOT_NM,
    POUND_FORCE_N,
    POUND_KG,
    POUND_PER_INCH_N_PER_M,
    PSI_PA,
    STANDARD_GRAVITY,
)
from tests.reference.checks import Check, each

SHIGLEY = "Shigley, Mechanical Engineering Design, chapter 16"
JUVINALL = "Juvinall & Marshek, Fundamentals of Machine Component Design, multiple-disc clutch problem"
HOMEWORK = "textbook problem with its answer on a homework page, 12 faces"
OWN = 1e-9  # closed form against closed form
PRINTED = 5e-3  # published answers are rounded

# 6 hp at 200 rpm with a safety factor of 2; 5 and 7 in, 225 psi, f 0.2.
NEED_LB_IN = 2 * 33000 * 6 / (2 * math.pi * 200) * 12
INNER, OUTER = 2.5 * INCH_M, 3.5 * INCH_M
LB_IN = POUND_FOOT_NM / 12


def _force_at(pressure_pa: float, inner: float, outer: float) -> float:
    """Give the force at which a worn-in disc has this highest pressure."""
    return pressure_pa / capacity.highest_pressure_worn(1.0, outer, inner)


def _one_face(pressure_pa: float, inner: float, outer: float, friction: float) -> float:
    force = _force_at(pressure_pa, inner, outer)
    return capacity.torque_capacity(friction, 1, force, capacity.effective_radius_worn(outer, inner))


PER_FACE = _one_face(225 * PSI_PA, INNER, OUTER, 0.2) / LB_IN
FORCE = NEED_LB_IN * LB_IN / (0.2 * 2 * capacity.effective_radius_worn(OUTER, INNER))
C_OUT, C_IN = 0.150, 0.1125
D_OUT, D_IN = 3.25 * INCH_M, 2.0 * INCH_M

DISC = (
    [
        Check("A torque needed [lb-in]", lambda: NEED_LB_IN, 3781.52, JUVINALL, "derived", rel=2e-6),
        Check("A per face [lb-in]", lambda: PER_FACE, 2120.58, JUVINALL, "derived", rel=3e-6),
        Check("A faces", lambda: math.ceil(NEED_LB_IN / PER_FACE), 2, JUVINALL, "seen", rel=OWN),
        Check("A force [lb]", lambda: FORCE / POUND_FORCE_N, 3151.27, JUVINALL, "derived", rel=2e-6),
        Check("A force, printed", lambda: FORCE / POUND_FORCE_N, 3150, JUVINALL, "seen", rel=PRINTED),
        Check(
            "A highest pressure [psi]",
            lambda: capacity.highest_pressure_worn(FORCE, OUTER, INNER) / PSI_PA,
            200.62,
            JUVINALL,
            "derived",
            rel=3e-5,
        ),
        Check(
            "A highest pressure, printed",
            lambda: capacity.highest_pressure_worn(FORCE, OUTER, INNER) / PSI_PA,
            200,
            JUVINALL,
            "seen",
            rel=PRINTED,
        ),
        Check(
            "A lowest pressure [psi]",
            lambda: capacity.highest_pressure_worn(FORCE, OUTER, INNER) / PSI_PA * 5 / 7,
            143.30,
            JUVINALL,
            "derived",
            rel=4e-5,
        ),
        Check(
            "A lowest pressure, printed",
            lambda: capacity.highest_pressure_worn(FORCE, OUTER, INNER) / PSI_PA * 5 / 7,
            143,
            JUVINALL,
            "seen",
            rel=PRINTED,
        ),
        Check(
            "B [N m]",
            lambda: 12 * _one_face(0.1e6, 0.065, 0.100, 0.28),
            396.237,
            HOMEWORK,
            "derived",
            rel=2e-6,
        ),
        Check(
            "B, printed",
            lambda: 12 * _one_face(0.1e6, 0.065, 0.100, 0.28),
            396,
            HOMEWORK,
            "seen",
            rel=PRINTED,
        ),
        Check(
            "C pressure worn [kPa]",
            lambda: capacity.highest_pressure_worn(5000.0, C_OUT, C_IN) / 1000,
            188.63,
            SHIGLEY,
            "memory",
            rel=2e-5,
        ),
        Check(
            "C torque worn [N m]",
            lambda: capacity.torque_capacity(0.25, 1, 5000.0, capacity.effective_radius_worn(C_OUT, C_IN)),
            164.0625,
            SHIGLEY,
            "memory",
            rel=OWN,
        ),
        Check(
            "C pressure new [kPa]",
            lambda: capacity.pressure_new(5000.0, C_OUT, C_IN) / 1000,
            161.68,
            SHIGLEY,
            "memory",
            rel=2e-5,
        ),
        Check(
            "C torque new [N m]",
            lambda: capacity.torque_capacity(0.25, 1, 5000.0, capacity.effective_radius_new(C_OUT, C_IN)),
            165.1786,
            SHIGLEY,
            "memory",
            rel=1e-6,
        ),
        Check(
            "D force [lb]",
            lambda: _force_at(120 * PSI_PA, D_IN, D_OUT) / POUND_FORCE_N,
            1884.956,
            SHIGLEY,
            "memory",
            rel=1e-6,
        ),
        Check(
            "D torque [lb-in]",
            lambda: 6 * _one_face(120 * PSI_PA, D_IN, D_OUT, 0.24) / LB_IN,
            7125.13,
            SHIGLEY,
            "memory",
            rel=2e-6,
        ),
    ]
    + [
        Check(
            f"D torque at d {d} in [lb-in]",
            lambda d=d: 6 * _one_face(120 * PSI_PA, d / 2 * INCH_M, D_OUT, 0.24) / LB_IN,
            torque,
            SHIGLEY,
            "memory",
            rel=2e-6,
        )
        for d, torque in [(2, 5191.17), (3, 6768.88), (5, 5852.79), (6, 2544.69)]
    ]
    + [
        check
        for lb, worn, new in [(1200, 255.0, 259.7059), (2500, 531.25, 541.0539)]
        for check in (
            Check(
                f"E {lb} lb worn [lb-ft]",
                lambda lb=lb: (
                    capacity.torque_capacity(
                        0.3,
                        2,
                        lb * POUND_FORCE_N,
                        capacity.effective_radius_worn(5.25 * INCH_M, 3.25 * INCH_M),
                    )
                    / POUND_FOOT_NM
                ),
                worn,
                SHIGLEY,
                "derived",
                rel=OWN,
            ),
            Check(
                f"E {lb} lb new [lb-ft]",
                lambda lb=lb: (
                    capacity.torque_capacity(
                        0.3,
                        2,
                        lb * POUND_FORCE_N,
                        capacity.effective_radius_new(5.25 * INCH_M, 3.25 * INCH_M),
                    )
                    / POUND_FOOT_NM
                ),
                new,
                SHIGLEY,
                "derived",
                rel=1e-6,
            ),
        )
    ]
    + [
        Check(
            f"new over worn at {r}",
            lambda r=r: capacity.effective_radius_new(1.0, r) / capacity.effective_radius_worn(1.0, r),
            ratio,
            SHIGLEY,
            "derived",
            rel=1e-6,
        )
        for r, ratio in [(0.5, 1.037037), (0.6, 1.020833), (0.7, 1.010381), (0.8, 1.004115)]
    ]
)


@each(DISC)
def test_disc_torque(check: Check) -> None:
    check.hold()


def test_torque_at_a_fixed_pressure_peaks_at_the_known_radius_ratio() -> None:
    # Shigley chapter 16 [memory]: ri/ro = 1/sqrt(3) = 0.57735.
    best = max((_one_face(1e6, r / 10000, 1.0, 0.3), r / 10000) for r in range(4000, 8000))
    assert best[1] == pytest.approx(0.57735, abs=1e-4)


ASME = "ASME B1.1 unified threads"
HOOKE = "Hooke's law"
SCREWS = [
    Check(
        f"{k} lb/in on 20 tpi [lb per turn]",
        lambda k=k: clutch.load_per_turn(k * POUND_PER_INCH_N_PER_M, 20 / INCH_M) / POUND_FORCE_N,
        per_turn,
        HOOKE,
        "derived",
        rel=1e-5,
    )
    for k, per_turn in [(200, 10.0), (300, 15.0), (400, 20.0), (600, 30.0)]
] + [
    check
    for name, d, tpi, pitch in [
        ("1/4-20", 0.25, 20, 0.217524),
        ("5/16-24", 0.3125, 24, 0.285437),
        ("3/8-24", 0.375, 24, 0.347937),
        ("7/16-20", 0.4375, 20, 0.405024),
        ("1/2-20", 0.5, 20, 0.467524),
    ]
    for check in (
        Check(
            f"{name} pitch diameter [in]",
            lambda d=d, n=tpi: hardware.pitch_diameter(d * INCH_M, INCH_M / n) / INCH_M,
            pitch,
            ASME,
            "derived",
            rel=3e-6,
        ),
    )
]


@each(SCREWS)
def test_screws_and_threads(check: Check) -> None:
    check.hold()


RADIAL = [  # kg, in, rpm, N, lb
    (GRAM_KG, 4, 6000, 40.11007, 9.017103),
    (10 * GRAM_KG, 3.5, 6000, 350.96313, 78.89965),
    (10 * GRAM_KG, 3.5, 9000, 789.66705, 177.52421),
    (28.3495 * GRAM_KG, 4, 7000, 1547.7201, 347.9413),
    (POUND_KG, 5, 7000, 30954.428, 6958.832),
]
MECHANICS = "F = m r omega^2"


def radial(kg: float, inches: float, rpm: float) -> float:
    return clutch.centrifugal_load(1, 0.0, kg, inches * INCH_M, float(rpm))


CENTRIFUGAL = [
    check
    for kg, inches, rpm, newton, pound in RADIAL
    for check in (
        Check(
            f"{kg:.4f} kg {inches} in {rpm} [N]",
            lambda a=(kg, inches, rpm): radial(*a),
            newton,
            MECHANICS,
            "derived",
            rel=1e-6,
        ),
        Check(
            f"{kg:.4f} kg {inches} in {rpm} [lb]",
            lambda a=(kg, inches, rpm): radial(*a) / POUND_FORCE_N,
            pound,
            MECHANICS,
            "derived",
            rel=1e-6,
        ),
    )
] + [
    Check(
        "handbook constant, inches",
        lambda: radial(POUND_KG, 1, 1) / POUND_FORCE_N,
        2.840340e-5,
        MECHANICS,
        "derived",
        rel=1e-6,
    ),
    Check(
        "handbook constant, inches, printed",
        lambda: radial(POUND_KG, 1, 1) / POUND_FORCE_N,
        2.84e-5,
        "machinery handbooks",
        "memory",
        rel=2e-4,
    ),
    Check(
        "handbook constant, feet",
        lambda: radial(POUND_KG, 12, 1) / POUND_FORCE_N,
        3.408408e-4,
        MECHANICS,
        "derived",
        rel=1e-6,
    ),
    Check(
        "handbook constant, feet, printed",
        lambda: radial(POUND_KG, 12, 1) / POUND_FORCE_N,
        0.000341,
        "machinery handbooks",
        "memory",
        rel=6e-4,
    ),
    Check(
        "per gram inch",
        lambda: radial(GRAM_KG, 1, 1) / POUND_FORCE_N,
        6.261877e-8,
        MECHANICS,
        "derived",
        rel=1e-6,
    ),
]


@each(CENTRIFUGAL)
def test_centrifugal_force(check: Check) -> None:
    check.hold()


THEORY = "machine-theory textbook problem, four pages"
MOTOR_T = capacity.torque_capacity(0.35, 2, 570.0, capacity.effective_radius_worn(0.110, 0.080))


def test_torque_of_a_motor_clutch() -> None:
    # [derived] from the problem's numbers.
    assert pytest.approx(37.905, rel=1e-6) == MOTOR_T, THEORY


B18 = "ASME B18.2.2 dimensions, handbook densities"
HARDWARE = (
    [
        check
        for name, d, tpi, steel, aluminum in [
            ("1/4-20", 0.25, 20, 3.619, 1.245),
            ("5/16-24", 0.3125, 24, 5.211, 1.792),
            ("3/8-24", 0.375, 24, 7.553, 2.598),
        ]
        for check in (
            Check(
                f"{name} nut, steel [g]",
                lambda d=d, n=tpi: hardware.standard_nut_mass(d, n) / GRAM_KG,
                steel,
                B18,
                "seen",
                rel=2e-4,
            ),
            Check(
                f"{name} nut, aluminum [g]",
                lambda d=d, n=tpi: hardware.standard_nut_mass(d, n, "aluminum") / GRAM_KG,
                aluminum,
                B18,
                "seen",
                rel=4e-4,
            ),
        )
    ]
    + [
        check
        for d, tpi, steel, thread, light, light_thread in [
            (0.25, 20, 6.315, 4.781, 2.172, 1.644),
            (0.3125, 24, 9.866, 8.232, 3.394, 2.831),
            (0.375, 24, 14.208, 12.231, 4.887, 4.207),
        ]
        for check in (
            Check(
                f"rod {d} in, steel [g/in]",
                lambda d=d: hardware.rod_mass(d * INCH_M, INCH_M) / GRAM_KG,
                steel,
                B18,
                "derived",
                rel=1e-4,
            ),
            Check(
                f"thread {d}-{tpi}, steel [g/in]",
                lambda d=d, n=tpi: hardware.thread_mass(d * INCH_M, INCH_M / n, INCH_M) / GRAM_KG,
                thread,
                B18,
                "derived",
                rel=2e-4,
            ),
            Check(
                f"rod {d} in, aluminum [g/in]",
                lambda d=d: hardware.rod_mass(d * INCH_M, INCH_M, "aluminum") / GRAM_KG,
                light,
                B18,
                "derived",
                rel=2e-4,
            ),
            Check(
                f"thread {d}-{tpi}, aluminum [g/in]",
                lambda d=d, n=tpi: hardware.thread_mass(d * INCH_M, INCH_M / n, INCH_M, "aluminum") / GRAM_KG,
                light_thread,
                B18,
                "derived",
                rel=2e-4,
            ),
        )
    ]
    + [
        Check(
            f"bolt {d} in gains an inch [g]",
            lambda d=d: (hardware.bolt_mass(d, 24, 2.0) - hardware.bolt_mass(d, 24, 1.0)) / GRAM_KG,
            grams,
            "an old table of mild-steel bolts, its table 32",
            "seen",
            rel=tolerance,
        )
        for d, grams, tolerance in [(0.25, 6.30, 3e-3), (0.3125, 9.89, 3e-3), (0.375, 14.5, 2.5e-2)]
    ]
    + [
        Check(
            "steel over aluminum",
            lambda: hardware.DENSITIES["steel"] / hardware.DENSITIES["aluminum"],
            2.907,
            "handbook densities",
            "memory",
            rel=2e-4,
        ),
        Check(
            "fully threaded is lighter",
            lambda: (
                1
                - hardware.thread_mass(0.25 * INCH_M, INCH_M / 20, INCH_M)
                / hardware.rod_mass(0.25 * INCH_M, INCH_M)
            ),
            0.24,
            "geometry",
            "derived",
            abs=5e-3,
        ),
    ]
)


@each(HARDWARE)
def test_counterweight_hardware(check: Check) -> None:
    check.hold()


def test_a_foot_pound_is_the_same_in_both_systems() -> None:
    assert pytest.approx(POUND_KG * STANDARD_GRAVITY * FOOT_M, rel=1e-15) == POUND_FOOT_NM
