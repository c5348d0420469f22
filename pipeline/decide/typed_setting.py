"""A setting as a person types it: ``preload 4.5, rpm 6800``; what is left out is the one in force."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.decide.bench import hung_g
from pipeline.errors import RequestError, SlipledgerError, UnitError
from pipeline.garage.adjustment_names import adjustment_spellings
from pipeline.garage.dictionary import TIMESLIPS
from pipeline.garage.factors import BY_NAME, Factor
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Clutch
from pipeline.garage.spelling import folded
from pipeline.garage.units import Plausible, parse_quantity

_PARTS = re.compile(r"[;\n]|,(?=\s|[^\d\s]|$)")  # not the comma of 6,800 nor of 4,5
_NUMBER_FIRST = re.compile(r"(?P<value>[+-]?\d[\d.,]*)\s*(?P<name>[^\W\d].*)", re.DOTALL)
_NAME_FIRST = re.compile(r"(?P<name>[^\d+-]*?)[\s:=]*(?P<value>[+-]?[\d.,].*|)", re.DOTALL)
_MARKS = " \t:=@"


@dataclass(frozen=True, slots=True)
class Known:
    """What may be named in a setting.

    Attributes
    ----------
    garage, clutch
        For own names and for hardware in place of grams.
    factors
        Every adjustment that something can be said of, by name.
    """

    garage: Garage
    clutch: Clutch | None
    factors: Mapping[str, Factor]

    @property
    def sentence(self) -> str:
        """Names what may be set here."""
        return f"What can be set here: {', '.join(factor.label for factor in self.factors.values())}."


def read_setting(text: str, known: Known) -> tuple[dict[str, float], list[SlipledgerError]]:
    """Read one setting; what cannot be read is returned too, so that all of it can be said at once.

    Parameters
    ----------
    text
        Parts separated by commas, each a name and a number, in either order: ``preload 4.5, 6800 rpm``.
    known
        What may be named.

    Returns
    -------
    dict
        Value by adjustment, in its own unit; what was not named is not in it.
    list of SlipledgerError
        One a mistake.
    """
    found: dict[str, float] = {}
    wrong: list[SlipledgerError] = []
    parts = [part.strip() for part in _PARTS.split(text) if part.strip()]
    if not parts:
        wrong.append(
            RequestError(
                f"The setting {text!r} names nothing.",
                f"Write it like 'preload 4.5, rpm 6800'. {known.sentence}",
            )
        )
    for part in parts:
        try:
            name, value = _read_part(part, known)
            if name in found and found[name] != value:
                raise RequestError(
                    f"{text!r} gives {known.factors[name].label} twice, {found[name]:g} and {value:g}.",
                    "Give it once.",
                )
            found[name] = value
        except SlipledgerError as error:
            wrong.append(error)
    return found, wrong


def _read_part(part: str, known: Known) -> tuple[str, float]:
    words, value = _split(part, known)
    factor = _meant(words, part, known)
    if not value:
        raise RequestError(
            f"{part!r} gives no number for {factor.label}.",
            "Write the number after it.",
        )
    return factor.name, _value(factor, value, part, known)


def _split(part: str, known: Known) -> tuple[str, str]:
    """Part a name from its value: the longest name that is known, else at the first number."""
    spellings = {folded(spelling) for spelling in adjustment_spellings(known.garage)}
    ends = [match.start() for match in re.finditer(rf"[{_MARKS}]", part)]
    for end in reversed(ends):
        if folded(part[:end]) in spellings:
            return part[:end].strip(_MARKS), part[end:].strip(_MARKS)
    if folded(part) in spellings:
        return part, ""
    first = _NUMBER_FIRST.fullmatch(part)
    if first is not None:
        return first["name"].strip(), first["value"]
    split = _NAME_FIRST.fullmatch(part)
    return (split["name"].strip(_MARKS), split["value"].strip()) if split else (part, "")


def _meant(words: str, part: str, known: Known) -> Factor:
    """Find the adjustment a person means; RequestError names those that are known."""
    spellings = adjustment_spellings(known.garage)
    name = next((name for spelling, name in spellings.items() if folded(spelling) == folded(words)), None)
    if name in known.factors:
        return known.factors[str(name)]
    if name in BY_NAME and not BY_NAME[str(name)].is_setting:
        raise RequestError(
            f"{part!r} names a condition, and it is the same for both settings.",
            "Give it with --track-temp, --air-temp, --pressure or --humidity.",
        )
    if name is not None:
        raise RequestError(f"Nothing can be said of {words!r}: too few runs say what it was.", known.sentence)
    by_case = {spelling.casefold(): spelling for spelling, each in spellings.items() if each in known.factors}
    close = difflib.get_close_matches(words.casefold(), by_case, n=1)
    hint = f"Did you mean {by_case[close[0]]!r}? " if close else ""
    said = f"{words!r} in {part!r}" if words else f"{part!r}"
    raise RequestError(f"There is no adjustment {said}.", hint + known.sentence)


def _value(factor: Factor, typed: str, part: str, known: Known) -> float:
    hung = hung_g(typed, known.clutch) if factor.name == "counterweight" else None
    if hung is not None:
        return hung
    try:
        if not factor.column:
            return _own_number(factor, typed)
        column = TIMESLIPS.column(factor.column)
        low = -math.inf if column.low is None else column.low
        high = math.inf if column.high is None else column.high
        return parse_quantity(typed, column.unit, Plausible(low, high, in_wholes=not factor.decimals))
    except UnitError as wrong:
        raise RequestError(f"{part!r} cannot be read. {wrong.problem}", wrong.remedy) from wrong


def _own_number(factor: Factor, typed: str) -> float:
    """Read the number of an adjustment of garage.toml; its own unit may follow."""
    units = {factor.unit.casefold(), factor.plural.casefold()} - {""}
    words = typed.casefold().split()
    if len(words) > 1 and " ".join(words[1:]) in units:
        typed = words[0]
    try:
        value = float(typed.replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise UnitError(f"{typed!r} is no number of {factor.plural or factor.unit}.", "Give a plain number.")
    return value
