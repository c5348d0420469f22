from __future__ import annotations

import pytest

from pipeline.physics import correction as cf
from pipeline.physics.constants import INHG_PA, kelvin_from_degf
from pipeline.physics.vapor import vapor_pressure_from_humidity
from tests.reference.checks import Check, each

J1349 = "SAE J1349 (June 1990), as quoted"
J607 = "SAE J607, as quoted"
OWN = 2e-5  # five digits printed; 273 for 273.15 moves it 1e-5

TABLE = [  # dry hPa, degC, J1349, J607
    (990, 25, 1.00000, 1.04005),
    (1013.25, 15, 0.95341, 0.99900),
    (1000, 20, 0.97836, 1.02098),
    (980, 30, 1.02200, 1.05943),
    (950, 35, 1.07015, 1.10186),
    (850, 30, 1.20583, 1.22146),
]

FACTORS = [
    check
    for hpa, t, j1349, j607 in TABLE
    for check in (
        Check(
            f"J1349 {hpa} {t}",
            lambda a=(hpa * 100, t + 273.15): cf.j1349_factor(*a),
            j1349,
            J1349,
            "seen",
            abs=OWN,
        ),
        Check(
            f"J607 {hpa} {t}",
            lambda a=(hpa * 100, t + 273.15): cf.j607_factor(*a),
            j607,
            J607,
            "seen",
            abs=OWN,
        ),
    )
]


@each(FACTORS)
def test_factors_by_name(check: Check) -> None:
    check.hold()


WEATHER = [  # degF, station inHg, RH, vapor inHg, dry inHg, J607, J1349
    (85, 28.85, 0.85, 1.0320, 27.8180, 1.10113, 1.06931),
    (55, 30.10, 0.35, 0.1525, 29.9475, 0.99427, 0.94805),
    (85, 29.92, 0.50, 0.6071, 29.3129, 1.04497, 1.00559),
    (60, 29.92, 0.0, 0.0, 29.9200, 1.00000, 0.95455),
    (77, 29.235, 0.0, 0.0, 29.2350, 1.04004, 0.99999),
]


def vapor_inhg(degf: float, rh: float) -> float:
    return vapor_pressure_from_humidity(kelvin_from_degf(float(degf)), rh) / INHG_PA


def factor(name: str, degf: float, inhg: float, rh: float) -> float:
    dry = (inhg - vapor_inhg(degf, rh)) * INHG_PA
    ours = cf.j607_factor if name == "J607" else cf.j1349_factor
    return ours(dry, kelvin_from_degf(float(degf)))


FROM_WEATHER = [
    check
    for degf, inhg, rh, vapor, dry, j607, j1349 in WEATHER
    for check in (
        Check(
            f"vapor {degf} {rh}", lambda a=(degf, rh): vapor_inhg(*a), vapor, "Buck 1996", "derived", abs=6e-5
        ),
        Check(
            f"dry {degf} {inhg}",
            lambda a=(degf, inhg, rh): a[1] - vapor_inhg(a[0], a[2]),
            dry,
            "difference",
            "derived",
            abs=6e-5,
        ),
        Check(
            f"J607 {degf} {inhg} {rh}",
            lambda a=(degf, inhg, rh): factor("J607", *a),
            j607,
            J607,
            "derived",
            abs=OWN,
        ),
        Check(
            f"J1349 {degf} {inhg} {rh}",
            lambda a=(degf, inhg, rh): factor("J1349", *a),
            j1349,
            J1349,
            "derived",
            abs=OWN,
        ),
    )
] + [
    Check(
        "J607 explained 1",
        lambda: factor("J607", 85, 28.85, 0.85),
        1.1005,
        "a widely copied explanation",
        "seen",
        abs=1e-3,
    ),
    Check(
        "J607 explained 2",
        lambda: factor("J607", 55, 30.10, 0.35),
        0.994,
        "a widely copied explanation",
        "seen",
        abs=1e-3,
    ),
]


@each(FROM_WEATHER)
def test_factors_from_the_weather(check: Check) -> None:
    check.hold()


def test_the_two_standards_are_four_percent_apart() -> None:
    # The trap [derived]: never mix them in one log. A copied degF form divides by 505 and gives 1.0426 here.
    assert factor("J607", 77, 29.235, 0.0) / factor("J1349", 77, 29.235, 0.0) == pytest.approx(
        1.040, abs=1e-3
    )
    assert factor("J1349", 85, 29.92, 0.5) == pytest.approx(1.0056, abs=1e-4)


CUBE_ROOT = "constant power, Fox, Am. J. Phys. 41 (1973) 311"
CORRECTED = [
    Check(f"10.000 s at {f}", lambda f=f: cf.corrected_time(10.0, f), time, CUBE_ROOT, "derived", rel=1e-6)
    for f, time in [(1.05, 9.83868), (1.10, 9.68729), (0.97, 10.10205)]
]


@each(CORRECTED)
def test_corrected_time(check: Check) -> None:
    check.hold()
