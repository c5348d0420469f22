"""Units against their defining values.

NIST SP 811 (2008) appendix B and CODATA [memory for the page, lib for the numbers]; inch, foot, pound,
standard gravity and what follows from them are exact by definition.
"""

import pytest
from scipy import constants

from pipeline.errors import UnitError
from pipeline.garage.conversions import CONVERSIONS
from pipeline.garage.units import conversion, parse_quantity

REL_EXACT = 1e-12  # exact by definition, up to rounding
REL_MERCURY = 1e-9  # the conventional inch of mercury is given to ten digits


@pytest.mark.parametrize(
    ("typed", "canonical", "expected", "rel"),
    [
        ("25.4 mm", "in", 1.0, REL_EXACT),
        ("10 thou", "in", 0.010, REL_EXACT),
        ("0.3048 m", "ft", 1.0, REL_EXACT),
        ("1 mile", "ft", 5280.0, REL_EXACT),
        ("453.59237 g", "lb", 1.0, REL_EXACT),
        ("1 oz", "g", 28.349523125, REL_EXACT),
        ("1 kg", "g", 1000.0, REL_EXACT),
        ("6.894757293168361 kPa", "psi", 1.0, REL_EXACT),
        ("3386.388640341 Pa", "inHg", 1.0, REL_MERCURY),
        ("1 atm", "inHg", 29.92125558, REL_MERCURY),
        ("1013.2074812 hPa", "inHg", 29.92, REL_MERCURY),
        ("990 mbar", "inHg", 29.234683, 1e-6),
        ("760 mmHg", "inHg", 29.92125558, 1e-6),
        ("1 km/h", "mph", 1 / 1.609344, REL_EXACT),
        ("0.44704 m/s", "mph", 1.0, REL_EXACT),
        ("35 N/mm", "lb/in", 35000 / 175.12683524648, 1e-10),
        ("100 Nm", "lb-ft", 100 / 1.3558179483314, 1e-12),
        ("10 g/kg", "gr/lb", 70.0, REL_EXACT),
    ],
)
def test_typed_quantity_in_canonical_unit(typed: str, canonical: str, expected: float, rel: float) -> None:
    assert parse_quantity(typed, canonical) == pytest.approx(expected, rel=rel)


@pytest.mark.parametrize(
    ("typed", "degf"), [("15 C", 59), ("25 degC", 77), ("-40 °C", -40), ("288.15 K", 59), ("85F", 85)]
)
def test_temperatures_keep_their_offset(typed: str, degf: float) -> None:
    assert parse_quantity(typed, "degF") == pytest.approx(degf, abs=1e-9)


def test_scipy_agrees_on_pressure_and_speed() -> None:
    assert conversion("Pa", "psi").factor == pytest.approx(1 / constants.psi, rel=REL_EXACT)
    assert conversion("m/s", "mph").factor == pytest.approx(1 / constants.mph, rel=REL_EXACT)


@pytest.mark.parametrize("canonical", CONVERSIONS)
def test_the_canonical_unit_is_itself(canonical: str) -> None:
    assert parse_quantity(f"2 {canonical}" if canonical != "1" else "2", canonical) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("typed", "canonical"),
    [
        ("3 lb", "degF"),
        ("55 %", "gr/lb"),
        ("5 grains", "%"),
        ("3 %", "turn"),
        ("3 furlongs per pint", "in"),
        ("3 parsec", "in"),
        ("3 a", "s"),
        ("3 barn/m", "ft"),
        ("x", "in"),
    ],
)
def test_a_unit_that_does_not_fit_is_named(typed: str, canonical: str) -> None:
    with pytest.raises(UnitError, match=canonical):
        parse_quantity(typed, canonical)


def test_decimal_comma() -> None:
    assert parse_quantity("0,020 in", "in") == pytest.approx(0.020)
