"""The unit of a column: written in its heading, below it or in its cells; else one that fits."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import cache

from pipeline.errors import UnitError
from pipeline.garage.units import Conversion, conversion, is_unit

SAME = Conversion(1.0, 0.0)
METRIC = {
    "degF": "degC", "inHg": "hPa", "mph": "km/h", "psi": "bar", "in": "mm",
}  # fmt: skip
"""What a metric person means where no unit is written."""

OTHERS = {
    "degF": ("degC",),
    "inHg": ("hPa", "kPa", "mmHg"),
    "mph": ("km/h",),
    "psi": ("bar", "kPa"),
    "in": ("mm",),
}
NO_POINT = {"s": (1e-3, 1e-2), "mph": (1e-2, 1e-1), "inHg": (1e-2,), "in": (1e-3,), "psi": (1e-1,)}
"""What a number is multiplied by where its point was left out."""
_IN_BRACKETS = re.compile(r"[(\[{]\s*([^)\]}]*?)\s*[)\]}]")
_EACH = re.compile(
    r"(?i)(?<=\w)\s*/\s*(?:lever|arm|finger|fing|screw|hebel|levier|palanca|alavanca|vipu|each|st|kar|bras|doigt|braccio"
    r"|leva|dedo|ramię|rami|dźwigni|rameno|pák|sormi|fanger|ruka|poluga|manet)\w*|\bper\s+\w+$"
)
_TOKEN = re.compile(r"[^\s,;:()\[\]{}]+")
_OF_MERCURY = re.compile(r"(?i)\b(mm|in)\.?\s+hg\b")
_SHORT = frozenset({"f", "c", "k", "s", "g", "m", "t", "n", "in"})


_OF_THE_AIR = frozenset(
    {"mb", "mbar", "millibar", "millibars", "hpa", "hectopascal", "inhg", "mmhg", "torr", "atm"}
)
"""Units in which nobody writes what is in a tyre."""
_DEGREES = (
    r"(?i)°\s?{0}\b|\bdeg(?:rees?)?\.?\s?{0}\b|\btemp\w*\W+(?:(?:all|plain|in|are|is)\s+)*{0}\b|\b{1}\b"
)
_WORDS: Mapping[str, Mapping[str, str]] = {
    "degF": {
        "degC": _DEGREES.format("C", "(?:celsius|centigrade)"),
        "degF": _DEGREES.format("F", "fahrenheit"),
    },
    "inHg": {
        "hPa": r"(?i)\b(?:hpa|mbar|mb|millibars?)\b",
        "kPa": r"(?i)\bkpa\b",
        "inHg": r"(?i)\bin\.?\s?hg\b|\binches of mercury\b",
    },
    "mph": {"km/h": r"(?i)\bkm\s?/?\s?[hu]\b|\bkph\b", "mph": r"(?i)\bmph\b|\bmi\s?/\s?h\b"},
    "psi": {"bar": r"(?i)\bbar\b", "psi": r"(?i)\bpsi\b"},
}
_SAID = {
    canonical: [(unit, re.compile(pattern)) for unit, pattern in ways.items()]
    for canonical, ways in _WORDS.items()
}
"""Canonical unit -> the units of its kind that words may say, each with how."""
US = frozenset({"degF", "inHg", "mph", "psi"})


@cache
def units_said(words: str) -> Mapping[str, str]:
    """Give the unit of each kind that a title or some headings say, where they say one only.

    Examples
    --------
    >>> units_said("TEMPS DEG C - QNH HPA - SPEEDS MPH")
    {'degF': 'degC', 'inHg': 'hPa', 'mph': 'mph'}
    """
    found = {
        canonical: [unit for unit, pattern in ways if pattern.search(words)]
        for canonical, ways in _SAID.items()
    }
    return {canonical: units[0] for canonical, units in found.items() if len(units) == 1}


@cache
def named_unit(heading: str, canonical: str) -> tuple[str, Conversion] | None:
    """Find a unit of the right dimension in a heading, in brackets or among its last words.

    Examples
    --------
    >>> named_unit("Luft degC", "degF"), named_unit("660 km/h", "mph")[0], named_unit("60 ft", "s")
    (('degC', Conversion(factor=1.8, offset=32.0)), 'km/h', None)
    """
    if not canonical or canonical == "turn":
        return None
    heading = unicodedata.normalize("NFKC", heading).replace("_", " ").replace("°", " °")
    heading = _OF_MERCURY.sub(r"\1Hg", heading)
    for inside in _IN_BRACKETS.findall(heading):
        for text in (inside, *_TOKEN.findall(inside)):
            if (found := as_unit(text, canonical)) is not None:
                return text, found
    bare = _EACH.sub(" ", _IN_BRACKETS.sub(" ", heading))
    parts = _TOKEN.findall(bare)
    for at, text in reversed(list(enumerate(parts))):
        last = at == len(parts) - 1 and at > 0
        after_degrees = at > 0 and parts[at - 1].casefold() in {"deg", "degrees", "grad", "°"}
        if (last or after_degrees or text.casefold() not in _SHORT) and (
            found := as_unit(text, canonical)
        ) is not None:
            return text, found
    return None


@cache
def as_unit(text: str, canonical: str) -> Conversion | None:
    """Give the conversion of a unit text to a canonical unit; None when it is not such a unit."""
    bare = re.sub(r"(?i)^in\.?\s+hg$", "inHg", text.strip().strip(".")).removeprefix("in ")
    if canonical == "psi" and bare.casefold() in {"lb", "lbs", "#", "pounds", "pound"}:
        return SAME
    if canonical == "psi" and bare.casefold() in _OF_THE_AIR:
        return None
    if canonical == "s" and bare.casefold() in {"m", "f"}:
        return None
    if not is_unit(bare):
        return None
    try:
        return conversion(bare, canonical)
    except UnitError:
        return None
