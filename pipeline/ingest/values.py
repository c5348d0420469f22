"""One cell's text to a value, with a sentence when it cannot be read as it stands.

These careful readers see only what the fast SQL path could not read, and each distinct text once.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from pipeline.errors import UnitError
from pipeline.garage.spelling import folded
from pipeline.garage.units import Conversion, conversion
from pipeline.ingest.repairs import plain_number

NOTHING = frozenset(
    {
        "", "-", "--", "---", "n/a", "na", "none", "?", "x", "nil", "null", "tbd", "missing", "—", "–",
        ".", "..", "...", "…", "·",
    }
)  # fmt: skip
_WIDE = {0xFF01 + at: 0x21 + at for at in range(94)} | {0x3000: 0x20}
"""Full-width signs, as Japanese and Chinese keyboards type them, with those of everybody else."""
_NUMBER_THEN_UNIT = re.compile(
    r"^\s*(?P<sign>[+\-−]?)\s*(?P<whole>\d[\d.,' ]*|[.,]\d+)"
    r"\s*(?P<unit>[^\d\s].*)?$"
)
_FRACTION = re.compile(
    r"^\s*(?P<sign>[+\-−]?)\s*(?:(?P<whole>\d+)(?:[\s-]+|\s*(?:[&+]|\b(?:and|e|y|et|und|og|och|en|i|ja|és)\b)\s*))?"
    r"(?P<over>\d+)\s*/\s*(?P<under>[1-9]\d*)\s*(?P<unit>[^\d\s].*)?$"
)
_BESIDE = {
    "rpm": re.compile(r"(?i)^\s*(?:2|two)[- ]?step\s+(?:at\s+)?(?=\d{4})"),
    "g": re.compile(r"(?i)(?<=[a-z\d])\s*(?:[x×]\s*\d{1,2}|\bea(?:ch|\.)?)\s*$"),
}
"""What limits the launch before its rpm; on how many levers a counterweight hangs after one's. By unit."""
_THOUSANDS = re.compile(
    r"(?i)^\s*(\d{1,2}(?:[.,]\d{1,3})?)\s*(?:k|mil|mila|mille|tys\.?|tusen|tuh\.?|tuhatta|ezer|tis\.?|bin"
    r"|thousand|tausend|tsd\.?|duizend|тыс\.?|χιλ\.?)(?:\s*rpm)?\s*$"
)
"""An rpm as people say it: 5.7k, ``5,7 mil``."""
MERCURY_INCHES = frozenset({'"', "''", "”", "″", "in", "inch", "inches"})
"""Inches, on a pressure: of mercury."""
_LETTERS_THEN_UNIT = re.compile(
    r"^(?P<number>[-+]?[\dOoIlSB.,]*[.,\d][\dOoIlSB]*)\s*(?P<unit>[^\W\d_]{1,4}|%|\")\.?$"
)
_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}


@dataclass(frozen=True, slots=True)
class Reading:
    """What a text was read as.

    Attributes
    ----------
    value
        The number in the canonical unit; None when it cannot be trusted as read.
    problem
        A sentence; empty when the text is clear.
    suggestion
        A likely value in the canonical unit; None when there is none.
    """

    value: float | None
    problem: str = ""
    suggestion: float | None = None


CELLS_KEPT = 8192
"""Small questions about a cell are asked by many rules: so many answers are kept."""


def half_width(text: str) -> str:
    """Write full-width signs as everybody else does.

    Examples
    --------
    >>> half_width("１．４８２")
    '1.482'
    """
    return text if text.isascii() else text.translate(_WIDE)


def with_halves(text: str) -> str:
    """Write the sign of a fraction as one with a stroke: ``4¾`` as ``4 3/4``."""
    for sign, spelled in _HALVES.items():
        text = text.replace(sign, spelled)
    return text


@lru_cache(maxsize=CELLS_KEPT)
def is_nothing(text: str | None) -> bool:
    """Tell whether a cell means 'not written down'."""
    return text is None or text.strip().casefold() in NOTHING


def read_number(text: str, unit: str, heading: Conversion) -> Reading:
    """Read a number that may carry a unit, a decimal comma or a fraction.

    Parameters
    ----------
    text
        As typed.
    unit
        Canonical unit of the column; empty for a count.
    heading
        Conversion of the heading's unit, used when the cell has no unit of its own.

    Returns
    -------
    Reading

    Examples
    --------
    >>> read_number("29,92", "inHg", Conversion(1.0, 0.0)).value
    29.92
    >>> read_number("3 1/2 turns", "turn", Conversion(1.0, 0.0)).value
    3.5
    >>> read_number("nan", "s", Conversion(1.0, 0.0)).value is None
    True
    """
    if is_nothing(text):
        return Reading(None)
    text = with_halves(text)
    if unit == "rpm" and (spoken := _THOUSANDS.match(text)) is not None:
        return Reading(round(1000 * float(spoken[1].replace(",", ".")), 6))
    if unit in _BESIDE:
        text = _BESIDE[unit].sub("", text) or text
    found = _FRACTION.match(text) or _NUMBER_THEN_UNIT.match(text)
    if found is None:
        return _with_letters_and_unit(text, unit) or (
            _with_letters(text, heading) or Reading(None, f"{short(text)} is not a number.")
        )
    number = _decimal(found["whole"] or "0")
    if number is None:
        return Reading(None, f"{short(text)} could be read as more than one number.")
    if found.re is _FRACTION:
        if not found["whole"] and (apart := _space_lost(found["over"], found["under"])):
            suggested = read_number(text.replace(f"{found['over']}/", f"{apart}/", 1), unit, heading).value
            problem = f"{short(text)} looks like {apart}/{found['under']} without its space."
            return Reading(None, problem, suggested)
        number += float(found["over"]) / float(found["under"])
    if found["sign"] in {"-", "−"}:
        number = -number
    return _in_unit(text, number, (found["unit"] or "").strip(), unit, heading)


def _space_lost(over: str, under: str) -> str:
    """Part a whole number from the fraction behind it, ``23/4`` as 2 3/4; empty where nothing is to part."""
    is_mixed = len(over) > 1 and 0 < int(over[1:]) < int(under) and int(over) > int(under)
    return f"{over[0]} {over[1:]}" if is_mixed else ""


def _in_unit(text: str, number: float, typed_unit: str, unit: str, heading: Conversion) -> Reading:
    if not typed_unit.strip("°º"):  # a mark of degrees alone names no scale
        return Reading(number * heading.factor + heading.offset)
    if unit == "inHg" and typed_unit.rstrip(".").casefold() in MERCURY_INCHES:
        return Reading(number)
    alike = _with_letters(text, heading)
    if alike is not None and typed_unit == "S" and re.search(r"\dS$", text.strip()):
        return alike
    if not unit:
        return alike or Reading(None, f"{short(text)} carries a unit where a plain number is meant.", number)
    if re.match(r"[eE][+-]?\d", typed_unit):
        return Reading(None, f"{short(text)} is written with an exponent, which nobody does on a slip.")
    try:
        own = conversion(typed_unit, unit)
    except UnitError:
        if (spoiled := _with_letters_and_unit(text, unit)) is not None:
            return spoiled
        problem = f"{short(text)} carries {typed_unit[:20]!r}, which is not a unit in {unit}."
        as_headed = number * heading.factor + heading.offset
        return alike or Reading(None, problem, None if re.search(r"\d", typed_unit) else as_headed)
    return Reading(number * own.factor + own.offset)


def _with_letters(text: str, heading: Conversion) -> Reading | None:
    """Ask about a number in which letters stand that look like digits, read as those digits."""
    number = plain_number(text)
    if number is None or not re.search(r"[^\d\s.,+-]", text):
        return None
    problem = f"{short(text)} has a letter where a digit should stand."
    return Reading(None, problem, number * heading.factor + heading.offset)


def _with_letters_and_unit(text: str, unit: str) -> Reading | None:
    """Ask about a number with such letters and its unit behind it: in ``4.lg`` the g is no 9."""
    found = _LETTERS_THEN_UNIT.match(text.strip())
    try:
        return _with_letters(found["number"], conversion(found["unit"], unit)) if found and unit else None
    except UnitError:
        return None


def _decimal(digits: str) -> float | None:
    """Read digits with a decimal point or comma and perhaps separators of thousands."""
    plain = digits.replace(" ", "").replace("'", "").rstrip(".,")
    if "," in plain and "." in plain:
        last = max(plain.rfind(","), plain.rfind("."))
        plain = re.sub(r"[.,]", "", plain[:last]) + "." + plain[last + 1 :]
    elif plain.count(",") == 1:
        whole, _, rest = plain.partition(",")
        plain = (
            whole + rest
            if len(rest) == 3 and len(whole) in {1, 2} and int(whole or 0) > 3
            else f"{whole}.{rest}"
        )
    elif plain.count(",") > 1 or plain.count(".") > 1:
        return None
    try:
        return float(plain)
    except ValueError:
        return None


def short(text: str) -> str:
    """Return an entry in quotes, cut where it is long."""
    shown = " ".join(text.split())
    return repr(shown if len(shown) <= 40 else shown[:37] + "...")


def read_screws(text: str) -> tuple[float, ...] | None:
    """Read several turns from one cell, such as ``3 3 3.5 3 3 3`` or ``3/3/3.5/3/3/3``.

    Returns
    -------
    tuple of float or None
        None when the cell does not hold several numbers.

    Examples
    --------
    >>> read_screws("3 3 3.5 3 3 3")
    (3.0, 3.0, 3.5, 3.0, 3.0, 3.0)
    """
    parts = [part for part in re.split(r"[\s/;|]+|,\s+", text.strip()) if part]
    if len(parts) < 3 or not all(re.fullmatch(r"\d+([.,]\d+)?", part) for part in parts):
        return None
    return tuple(float(part.replace(",", ".")) for part in parts)


def read_hardware(text: str, table_g: Mapping[str, float]) -> float | None:
    """Add up counterweight hardware, such as ``2 steel nuts + 1 steel bolt 1 in``.

    Parameters
    ----------
    text
        As typed; parts joined by ``+``, ``,`` or ``and``.
    table_g
        Mass of each piece in grams, from ``garage.toml``.

    Returns
    -------
    float or None
        Grams per lever; None when a part is not in the table.
    """
    spoken = {folded(name).rstrip("s"): grams for name, grams in table_g.items()}
    total = 0.0
    for part in re.split(r"\s*(?:\+|,|;|&|\band\b)\s*", text.strip()):
        counted = re.match(r"^(\d+)(?:\s*[x×]\s*|\s+)(.+)$", part)
        count, piece = (int(counted[1]), counted[2]) if counted else (1, part)
        grams = spoken.get(folded(piece).rstrip("s")) or spoken.get(re.sub(r"s(?=\d|$)", "", folded(piece)))
        if grams is None:
            return None
        total += count * grams
    return total or None
