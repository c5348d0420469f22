"""Units as people type them: the only module that knows pint.

A distinct unit text becomes a factor and an offset, ``canonical = factor * typed + offset``; SQL or
NumPy then applies the two numbers to as many values as there are. pint is never called per value.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import pint

from pipeline.errors import UnitError

_registry: pint.UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)
_registry.define("grain_per_pound = 1 / 7000 = gr_per_lb")

# Canonical unit (as in pipeline.garage.dictionary) -> the name pint knows it by.
CANONICAL: dict[str, str] = {
    "s": "second",
    "mph": "mile / hour",
    "degF": "degF",
    "inHg": "inHg",
    "%": "percent",
    "psi": "psi",
    "in": "inch",
    "ft": "foot",
    "g": "gram",
    "lb": "pound",
    "lb/in": "pound / inch",
    "lb-ft": "force_pound * foot",
    "rpm": "revolution / minute",
    "turn": "dimensionless",
    "gr/lb": "grain_per_pound",
    "1": "dimensionless",
}

# What people write -> what pint reads. Compared in lower case, without spaces, dots and the degree sign.
SPOKEN: dict[str, str] = {
    '"': "inch",
    "''": "inch",
    "in": "inch",
    "ins": "inch",
    "inches": "inch",
    "thou": "thou",
    "mil": "thou",
    "mils": "thou",
    "thousandths": "thou",
    "'": "foot",
    "ft": "foot",
    "feet": "foot",
    "s": "second",
    "sec": "second",
    "secs": "second",
    "seconds": "second",
    "ms": "millisecond",
    "f": "degF",
    "degf": "degF",
    "fahrenheit": "degF",
    "c": "degC",
    "degc": "degC",
    "celsius": "degC",
    "k": "kelvin",
    "kelvin": "kelvin",
    "inhg": "inHg",
    '"hg': "inHg",
    "inofhg": "inHg",
    "hg": "inHg",
    "mmhg": "mmHg",
    "torr": "torr",
    "hpa": "hectopascal",
    "kpa": "kilopascal",
    "pa": "pascal",
    "mb": "millibar",
    "mbar": "millibar",
    "bar": "bar",
    "atm": "standard_atmosphere",
    "psi": "psi",
    "psia": "psi",
    "psig": "psi",
    "%": "percent",
    "%rh": "percent",
    "rh": "percent",
    "rh%": "percent",
    "pct": "percent",
    "percent": "percent",
    "mph": "mile / hour",
    "mi/h": "mile / hour",
    "km/h": "kilometer / hour",
    "kmh": "kilometer / hour",
    "kph": "kilometer / hour",
    "m/s": "meter / second",
    "kt": "knot",
    "kts": "knot",
    "knots": "knot",
    "g": "gram",
    "gr": "gram",
    "grams": "gram",
    "gm": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "lb": "pound",
    "lbs": "pound",
    "#": "pound",
    "lbf": "pound",
    "n": "newton / standard_gravity",
    "lb/in": "pound / inch",
    "lbs/in": "pound / inch",
    "#/in": "pound / inch",
    "n/mm": "newton / standard_gravity / millimeter",
    "lb-ft": "force_pound * foot",
    "lbft": "force_pound * foot",
    "ft-lb": "force_pound * foot",
    "ftlb": "force_pound * foot",
    "nm": "newton * meter",
    "n-m": "newton * meter",
    "m": "meter",
    "mm": "millimeter",
    "cm": "centimeter",
    "mile": "mile",
    "miles": "mile",
    "rpm": "revolution / minute",
    "1/min": "revolution / minute",
    "turn": "dimensionless",
    "turns": "dimensionless",
    "t": "dimensionless",
    "grains": "grain_per_pound",
    "gr/lb": "grain_per_pound",
    "grains/lb": "grain_per_pound",
    "g/kg": "gram / kilogram",
}
# Bare ratios all look alike to pint; a canonical one takes only the units people mean by it.
_RATIOS: dict[str, frozenset[str]] = {
    "%": frozenset({"percent", "dimensionless"}),
    "gr/lb": frozenset({"grain_per_pound", "gram / kilogram"}),
    "turn": frozenset({"dimensionless"}),
    "1": frozenset({"dimensionless"}),
}
_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(.*?)\s*$", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Conversion:
    """``canonical = factor * typed + offset``."""

    factor: float
    offset: float


SAME = Conversion(1.0, 0.0)
"""A number that is in its canonical unit already, or has none."""


def _spoken(text: str) -> str:
    return re.sub(r"[\s.°º()\[\]]", "", text).lower()


@cache
def conversion(unit: str, canonical: str) -> Conversion:
    """Turn a unit as typed into the numbers that lead to the canonical unit.

    Parameters
    ----------
    unit
        As typed, such as ``"kPa"``, ``"deg C"``, ``'"Hg'``; empty means the canonical unit itself.
    canonical
        A key of ``CANONICAL``.

    Returns
    -------
    Conversion

    Raises
    ------
    UnitError
        When the unit is not known or measures another quantity.

    Notes
    -----
    ``inHg`` is the conventional inch of mercury, 3386.388640341 Pa.

    Examples
    --------
    >>> conversion("in", "in").factor
    1.0
    >>> round(conversion("C", "degF").offset, 9)
    32.0
    """
    if not _spoken(unit) or _spoken(unit) == _spoken(canonical):
        return SAME
    name = "grain_per_pound" if (_spoken(unit), canonical) == ("gr", "gr/lb") else SPOKEN.get(_spoken(unit))
    target = CANONICAL.get(canonical, canonical)
    if canonical in _RATIOS and name not in _RATIOS[canonical]:
        raise _unfit(unit, canonical)
    try:
        typed = _registry.Unit(name or unit.strip())
        zero = _registry.Quantity(0.0, typed).to(target).magnitude
        hundred = _registry.Quantity(100.0, typed).to(target).magnitude
    except Exception as refused:  # pint raises tokenizer, attribute and dimension errors of many kinds
        raise _unfit(unit, canonical) from refused
    # 13 digits take the dust of the arithmetic off 1.8 and 32, and keep every unit's definition.
    return Conversion(float(f"{(hundred - zero) / 100.0:.13g}"), float(f"{zero:.13g}"))


def _unfit(unit: str, canonical: str) -> UnitError:
    return UnitError(
        f"The unit {unit.strip()[:40]!r} is not one for a quantity in {canonical}.",
        f"Write it in {canonical}, or with another unit of the same kind.",
    )


def parse_quantity(typed: str | float | int, canonical: str) -> float:
    """Read a number that may carry a unit.

    Parameters
    ----------
    typed
        ``"360 lb"``, ``"0,020 in"`` or a bare number, which is in the canonical unit.
    canonical
        A key of ``CANONICAL``.

    Returns
    -------
    float
        The value in the canonical unit.

    Raises
    ------
    UnitError
        When there is no number, or the unit does not fit.

    Examples
    --------
    >>> parse_quantity("1 ft", "in")
    12.0
    """
    if isinstance(typed, int | float):
        return float(typed)
    found = _NUMBER.match(typed)
    if found is None:
        raise UnitError(f"{typed[:40]!r} does not start with a number.", f"Write it like '1.5 {canonical}'.")
    to_canonical = conversion(found.group(2), canonical)
    return float(found.group(1).replace(",", ".")) * to_canonical.factor + to_canonical.offset
