"""Rows of units below the headings of a table: ``s, km/h, degC``, and how something is to be written."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.recognise.scales import without_scale
from pipeline.ingest.recognise.units import as_unit
from pipeline.ingest.values import is_nothing

_FORMAT = re.compile(
    r"(?i)[dmyhlrs:/. -]{2,10}|#|(?:24|12)\s?-?(?:h|hrs?|hours?|hour)\.?|am\s?/?\s?pm"
    r"|text|words?|names?|l or r|left/right|1-\d"
)
_CANONICAL_UNITS = ("s", "mph", "degF", "inHg", "%", "psi", "in", "g", "rpm", "turn", "gr/lb", "ft")


def units_row(lines: Sequence[tuple[int, Sequence[str]]], place: int) -> list[str] | None:
    """Give the units that stand below the headings, one a column, when that line holds nothing else."""
    if place + 1 >= len(lines):
        return None
    texts = [re.sub(r"(?<=\w)\s+\(.*\)$", "", text).strip("()[]{} ") for text in lines[place + 1][1]]
    filled = [text for text in texts if text and not is_nothing(text)]
    units = [text for text in filled if is_unit_text(text)]
    formats = [text for text in filled if is_format(text) and text not in units]
    others = [text for text in filled if text not in units and text not in formats]
    if len(units) < 2 or any(any(letter.isdigit() for letter in text) for text in others):
        return None
    if len(units) + len(formats) < 0.7 * len(filled):
        return None
    return texts


def is_unit_text(text: str) -> bool:
    """Tell whether a short text is a unit of something that is measured here, also with a scale beside it."""
    bare = without_scale(text)
    return len(text) <= 12 and any(as_unit(bare, canonical) is not None for canonical in _CANONICAL_UNITS)


def is_format(text: str) -> bool:
    """Tell whether this says how something is to be written, such as ``d/m/y``, ``24h`` or ``L/R``."""
    return _FORMAT.fullmatch(text) is not None
