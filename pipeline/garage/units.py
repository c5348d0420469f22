"""Units as people type them.

A distinct unit text becomes a factor and an offset, ``canonical = factor * typed + offset``; SQL or
NumPy then applies the two numbers to as many values as there are.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from pipeline.errors import UnitError
from pipeline.garage.conversions import CONVERSIONS

# What people write -> its name in ``conversions``; nothing else is a unit here. Compared in lower case,
# without spaces, dots and the degree sign.
SPOKEN: dict[str, str] = {
    '"': "inch",
    "''": "inch",
    "in": "inch",
    "ins": "inch",
    "inch": "inch",
    "inches": "inch",
    "thou": "thou",
    "mil": "thou",
    "mils": "thou",
    "thousandths": "thou",
    "'": "foot",
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "yd": "yard",
    "yard": "yard",
    "yards": "yard",
    "s": "second",
    "sec": "second",
    "secs": "second",
    "second": "second",
    "seconds": "second",
    "segundos": "second",
    "secondes": "second",
    "sekunden": "second",
    "sekunder": "second",
    "seconden": "second",
    "ms": "millisecond",
    "f": "degF",
    "degf": "degF",
    "fahrenheit": "degF",
    "c": "degC",
    "degc": "degC",
    "celsius": "degC",
    "centigrade": "degC",
    "degreesf": "degF",
    "degreesc": "degC",
    "grader": "degC",
    "graus": "degC",
    "gradi": "degC",
    "grad": "degC",
    "graden": "degC",
    "astetta": "degC",
    "stopni": "degC",
    "م": "degC",
    "k": "kelvin",
    "kelvin": "kelvin",
    "inhg": "inHg",
    '"hg': "inHg",
    "inofhg": "inHg",
    "hg": "inHg",
    "mmhg": "mmHg",
    "torr": "torr",
    "hpa": "hectopascal",
    "hectopascal": "hectopascal",
    "kpa": "kilopascal",
    "kilopascal": "kilopascal",
    "pa": "pascal",
    "pascal": "pascal",
    "mb": "millibar",
    "mbar": "millibar",
    "millibar": "millibar",
    "millibars": "millibar",
    "гпа": "hectopascal",
    "мбар": "millibar",
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
    "km/u": "kilometer / hour",
    "km/t": "kilometer / hour",
    "km/tim": "kilometer / hour",
    "kph": "kilometer / hour",
    "k/h": "kilometer / hour",
    "km/st": "kilometer / hour",
    "km/std": "kilometer / hour",
    "km/uur": "kilometer / hour",
    "км/ч": "kilometer / hour",
    "กม/ชม": "kilometer / hour",
    "км/год": "kilometer / hour",
    "χλμ/ώρα": "kilometer / hour",
    "χλμ/ω": "kilometer / hour",
    "كم/س": "kilometer / hour",
    "кмч": "kilometer / hour",
    "m/s": "meter / second",
    "milesperhour": "mile / hour",
    "kmperhour": "kilometer / hour",
    "fps": "foot / second",
    "ft/s": "foot / second",
    "kt": "knot",
    "kn": "knot",
    "knot": "knot",
    "kts": "knot",
    "knots": "knot",
    "g": "gram",
    "gr": "gram",
    "gram": "gram",
    "grams": "gram",
    "gramas": "gram",
    "gramos": "gram",
    "grammes": "gram",
    "gramm": "gram",
    "gm": "gram",
    "г": "gram",
    "гр": "gram",
    "γρ": "gram",
    "غرام": "gram",
    "mg": "milligram",
    "kg": "kilogram",
    "kilogram": "kilogram",
    "kilograms": "kilogram",
    "oz": "ounce",
    "ounce": "ounce",
    "ounces": "ounce",
    "lb": "pound",
    "lbs": "pound",
    "pound": "pound",
    "pounds": "pound",
    "#": "pound",
    "lbf": "pound",
    "n": "newton / standard_gravity",
    "lb/in": "pound / inch",
    "lbf/in": "pound / inch",
    "lbs/in": "pound / inch",
    "#/in": "pound / inch",
    "n/mm": "newton / standard_gravity / millimeter",
    "lb-ft": "force_pound * foot",
    "lbft": "force_pound * foot",
    "lbf-ft": "force_pound * foot",
    "lb*ft": "force_pound * foot",
    "foot-pounds": "force_pound * foot",
    "ft-lb": "force_pound * foot",
    "ftlb": "force_pound * foot",
    "nm": "newton * meter",
    "n-m": "newton * meter",
    "m": "meter",
    "meter": "meter",
    "meters": "meter",
    "metre": "meter",
    "metres": "meter",
    "mm": "millimeter",
    "millimeter": "millimeter",
    "millimeters": "millimeter",
    "cm": "centimeter",
    "centimeter": "centimeter",
    "centimeters": "centimeter",
    "km": "kilometer",
    "mi": "mile",
    "mile": "mile",
    "miles": "mile",
    "rpm": "revolution / minute",
    "revs": "revolution / minute",
    "1/min": "revolution / minute",
    "o/min": "revolution / minute",
    "u/min": "revolution / minute",
    "tr/min": "revolution / minute",
    "r/min": "revolution / minute",
    "obr/min": "revolution / minute",
    "ot/min": "revolution / minute",
    "giri/min": "revolution / minute",
    "об/мин": "revolution / minute",
    "รอบ/นาที": "revolution / minute",
    "turn": "dimensionless",
    "turns": "dimensionless",
    "voltas": "dimensionless",
    "vueltas": "dimensionless",
    "tours": "dimensionless",
    "varv": "dimensionless",
    "umdrehungen": "dimensionless",
    "omdr": "dimensionless",
    "umdr": "dimensionless",
    "kierr": "dimensionless",
    "giri": "dimensionless",
    "slagen": "dimensionless",
    "kierrosta": "dimensionless",
    "obr": "dimensionless",
    "об": "dimensionless",
    "trns": "dimensionless",
    "trn": "dimensionless",
    "t": "dimensionless",
    "grains": "grain_per_pound",
    "gr/lb": "grain_per_pound",
    "grains/lb": "grain_per_pound",
    "g/kg": "gram / kilogram",
}
# Groups of three set apart by one mark, then another mark for the decimals; or plain digits.
_GROUPED = r"\d{1,3}(?:(?P<mark>[ ,.'\u00a0\u202f])\d{3})(?:(?P=mark)\d{3})*(?!\d)(?:(?!(?P=mark))[.,]\d*)?"
_NUMBER = re.compile(
    rf"^\s*(?P<number>[+-]?(?:{_GROUPED}|\d+(?:[.,]\d*)?|[.,]\d+))\s*(?P<unit>.*?)\s*$", re.DOTALL
)
_ONE_MARK = re.compile(r"[+-]?[1-9]\d{0,2}[,.]\d{3}")
_MARKS = {",": "comma", ".": "point"}


@dataclass(frozen=True, slots=True)
class Conversion:
    """``canonical = factor * typed + offset``."""

    factor: float
    offset: float


SAME = Conversion(1.0, 0.0)
"""A number that is in its canonical unit already, or has none."""


def _spoken(text: str) -> str:
    return re.sub(r"[\s.°º()\[\]]", "", text).lower()


def is_unit(text: str) -> bool:
    """Tell whether this is a unit as people write it."""
    return _spoken(text) in SPOKEN


@cache
def conversion(unit: str, canonical: str) -> Conversion:
    """Turn a unit as typed into the numbers that lead to the canonical unit.

    Parameters
    ----------
    unit
        As typed, such as ``"kPa"``, ``"deg C"``, ``'"Hg'``; empty means the canonical unit itself.
    canonical
        A key of ``CONVERSIONS``.

    Returns
    -------
    Conversion

    Raises
    ------
    UnitError
        When the unit is not known or measures another quantity.

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
    found = CONVERSIONS.get(canonical, {}).get(name or "")
    if found is None:
        raise _unfit(unit, canonical)
    return Conversion(*found)


def _unfit(unit: str, canonical: str) -> UnitError:
    return UnitError(
        f"The unit {unit.strip()[:40]!r} is not one for a quantity in {canonical}.",
        f"Write it in {canonical}, or with another unit of the same kind.",
    )


@dataclass(frozen=True, slots=True)
class Plausible:
    """What a quantity may be, in its canonical unit; ends included.

    Attributes
    ----------
    low, high
        Outside these the number is a slip of the pen or of the unit.
    in_wholes
        Nobody writes its thousandths, so that "1,250 ft" can only be twelve hundred and fifty.
    """

    low: float
    high: float
    in_wholes: bool = False

    def holds(self, value: float) -> bool:
        """Return whether a value lies within; nan does not."""
        return self.low <= value <= self.high


def parse_quantity(typed: str | float | int, canonical: str, plausible: Plausible | None = None) -> float:
    """Return the canonical value of a number that may carry a unit.

    Parameters
    ----------
    typed
        ``"240 lb"``, ``"0,03 in"``, ``"2,700 lb"`` or a bare number, which is in the canonical unit.
    canonical
        A key of ``CONVERSIONS``.
    plausible
        What the quantity may be; None takes any.

    Returns
    -------
    float
        The value in the canonical unit.

    Raises
    ------
    UnitError
        When there is no number, the unit does not fit, a comma may be read two ways, or the value is not
        plausible.

    Notes
    -----
    A comma before exactly three digits sets thousands apart where the decimal reading is absurd for the
    quantity, and is the decimal comma where the other one is. Where both could be meant it is refused. So
    is a point before exactly three digits in a quantity that nobody writes to thousandths.

    Examples
    --------
    >>> parse_quantity("1 ft", "in")
    12.0
    >>> parse_quantity("5,200 rpm", "rpm", Plausible(1500, 12000))
    5200.0
    """
    if isinstance(typed, int | float):
        return _within(float(typed), f"{typed:g}", canonical, plausible)
    found = _NUMBER.match(typed)
    if found is None:
        raise UnitError(f"{typed[:40]!r} does not start with a number.", f"Write it like '1.5 {canonical}'.")
    to_canonical = conversion(found["unit"], canonical)
    readings = _readings(found["number"], found["mark"], plausible)
    values = {r: float(r) * to_canonical.factor + to_canonical.offset for r in readings}
    likely = {r: v for r, v in values.items() if plausible is None or plausible.holds(v)} or values
    if len(likely) > 1 and found["mark"] == "," and plausible is not None and plausible.in_wholes:
        likely = {r: v for r, v in likely.items() if "." not in r}
    if len(likely) > 1:
        both = " or ".join(f"{reading} {found['unit'] or canonical}" for reading in likely)
        raise UnitError(f"{typed[:40]!r} may be {both}.", f"Write it without the {_MARKS[found['mark']]}.")
    return _within(next(iter(likely.values())), repr(typed[:40]), canonical, plausible)


def _readings(number: str, mark: str | None, plausible: Plausible | None) -> tuple[str, ...]:
    """Return what a number may be, as Python writes it; one mark before three digits may be two."""
    whole = plausible is not None and plausible.in_wholes
    if _ONE_MARK.fullmatch(number) and (mark == "," or whole):
        return number.replace(str(mark), ""), number.replace(",", ".")
    if mark is None or (mark in ",." and number.count(mark) == 1 and not {",", "."} <= set(number)):
        return (number.replace(",", "."),)
    return (number.replace(mark, "").replace(",", "."),)


def _within(value: float, typed: str, canonical: str, plausible: Plausible | None) -> float:
    if plausible is not None and not plausible.holds(value):
        read = "" if typed == f"{value:g}" else f", read as {value:g} {canonical},"
        raise UnitError(
            f"{typed}{read} is outside {plausible.low:g} to {plausible.high:g} {canonical}.",
            f"Check the number, its comma and its unit; without a unit it is read in {canonical}.",
        )
    return value
