from __future__ import annotations

import math

import pytest

from pipeline.garage.units import conversion, parse_quantity
from pipeline.physics import constants as c
from tests.reference.checks import Check, each

EXACT = 1e-12  # exact by definition, up to rounding of the double
SP811 = "NIST SP 811 (2008), appendix B"

CONSTANTS = [
    Check("inch [m]", lambda: c.INCH_M, 0.0254, SP811, "memory", rel=EXACT),
    Check("foot [m]", lambda: c.FOOT_M, 0.3048, SP811, "memory", rel=EXACT),
    Check("mile [m]", lambda: c.MILE_M, 1609.344, SP811, "memory", rel=EXACT),
    Check("pound [kg]", lambda: c.POUND_KG, 0.45359237, SP811, "memory", rel=EXACT),
    Check("gravity [m/s2]", lambda: c.STANDARD_GRAVITY, 9.80665, SP811, "memory", rel=EXACT),
    Check(
        "gravity [ft/s2]", lambda: c.STANDARD_GRAVITY / c.FOOT_M, 32.17404855643, SP811, "derived", rel=EXACT
    ),
    Check("pound force [N]", lambda: c.POUND_FORCE_N, 4.4482216152605, SP811, "lib", rel=EXACT),
    Check("psi [Pa]", lambda: c.PSI_PA, 6894.757293168361, SP811, "lib", rel=EXACT),
    Check("inHg, conventional [Pa]", lambda: c.INHG_PA, 3386.388640341, SP811, "lib", rel=1e-9),
    Check("atmosphere [inHg]", lambda: 101325 / c.INHG_PA, 29.92125558, SP811, "lib", rel=1e-9),
    Check("29.92 inHg [hPa]", lambda: 29.92 * c.INHG_PA / 100, 1013.2074812, SP811, "lib", rel=1e-9),
    Check("29.235 inHg [hPa]", lambda: 29.235 * c.INHG_PA / 100, 990.0107, SP811, "derived", rel=1e-6),
    Check("990 hPa [inHg]", lambda: 99000 / c.INHG_PA, 29.234683, SP811, "derived", rel=1e-6),
    Check("horsepower [W]", lambda: c.HORSEPOWER_W, 745.6998715823, SP811, "lib", rel=EXACT),
    Check(
        "lb-ft x rpm per hp",
        lambda: c.HORSEPOWER_W / (c.POUND_FOOT_NM * c.RPM_RAD_PER_S),
        5252.113122,
        "33000/(2 pi)",
        "derived",
        rel=1e-9,
    ),
    Check("mph [m/s]", lambda: c.MPH_M_PER_S, 0.44704, SP811, "lib", rel=EXACT),
    Check("mph [ft/s]", lambda: c.MPH_M_PER_S / c.FOOT_M, 22 / 15, SP811, "derived", rel=EXACT),
    Check("grain [kg]", lambda: c.GRAIN_KG, 6.479891e-5, SP811, "lib", rel=EXACT),
    Check("grains in a pound", lambda: c.POUND_KG / c.GRAIN_KG, 7000, SP811, "derived", rel=EXACT),
    Check("pound-foot [N m]", lambda: c.POUND_FOOT_NM, 1.3558179483314, SP811, "lib", rel=EXACT),
    Check("lb/in [N/m]", lambda: c.POUND_PER_INCH_N_PER_M, 175.12683524648, SP811, "lib", rel=EXACT),
    Check("lb/ft3 [kg/m3]", lambda: c.POUND_PER_FOOT3, 16.01846337396, SP811, "lib", rel=EXACT),
    Check("rpm [rad/s]", lambda: c.RPM_RAD_PER_S, 0.10471975512, SP811, "lib", rel=1e-11),
]


@each(CONSTANTS)
def test_constants_are_the_defined_ones(check: Check) -> None:
    check.hold()


TYPED = [
    # typed, unit, canonical, expected
    ("1 mile", "ft", 5280.0),
    ("101325 Pa", "inHg", 29.92125558),
    ("1013.25 hPa", "inHg", 29.92125558),
    ("990 mbar", "inHg", 29.234683),
    ("99 kPa", "inHg", 29.234683),
    ("15 C", "degF", 59.0),
    ("25 degC", "degF", 77.0),
    ("-40 C", "degF", -40.0),
    ("288.70555556 K", "degF", 60.0),
    ("29.4444444 C", "degF", 85.0),
    ("0.45359237 kg", "lb", 1.0),
    ("28.349523125 g", "g", 28.349523125),
    ("1 oz", "g", 28.349523125),
    ("25.4 mm", "in", 1.0),
    ("1 lb", "g", 453.59237),
    ("100 km/h", "mph", 62.1371192),
    ("1.3558179483314 N-m", "lb-ft", 1.0),
    ("6894.757293168 Pa", "psi", 1.0),
    ("1 bar", "psi", 14.503773773),
    ("10 g/kg", "gr/lb", 70.0),
]


@pytest.mark.parametrize(("typed", "canonical", "expected"), TYPED)
def test_typed_units_reach_the_canonical_one(typed: str, canonical: str, expected: float) -> None:
    # NIST SP 811, appendix B [lib]: the table beside the numbers of the definition.
    assert parse_quantity(typed, canonical) == pytest.approx(expected, rel=2e-8, abs=2e-7)


@pytest.mark.parametrize(
    ("degf", "degc"), [(59, 15), (60, 15.5555556), (77, 25), (85, 29.4444444), (-40, -40)]
)
def test_fahrenheit(degf: float, degc: float) -> None:
    # (F - 32)/1.8, SP 811 appendix B.8 [memory]; 8 digits are printed.
    assert c.kelvin_from_degf(degf) - 273.15 == pytest.approx(degc, abs=1e-7)
    assert c.degf_from_kelvin(degc + 273.15) == pytest.approx(degf, abs=1e-7)


def test_the_inch_of_mercury_is_the_same_one_throughout() -> None:
    # The trap: 3376.85 Pa at 60 degF is 0.28 % less [lib].
    assert conversion("Pa", "inHg").factor == pytest.approx(1 / c.INHG_PA, rel=1e-9)
    assert math.isclose(3376.85 / c.INHG_PA, 1 - 0.0028, rel_tol=1e-4)


def test_a_temperature_in_460_is_not_459_67() -> None:
    # The trap: 0.06 % of an absolute temperature at 60 degF [derived].
    assert (60 + 460) / 1.8 / c.kelvin_from_degf(60.0) - 1 == pytest.approx(0.0006, abs=5e-5)
