"""What is said of a run behind a number, and marks put beside it: ``1.612 spun``, ``6.377*``, ``5500 PB``."""

from __future__ import annotations

import re
from collections.abc import Callable

from pipeline.garage.units import is_unit
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import SAYS_IT, Meaning, Part
from pipeline.ingest.recognise.vocabulary import MEASURED, SETTINGS
from pipeline.ingest.step_words import is_same
from pipeline.ingest.values import is_nothing

LOOKED_AT, SHORTEST = 400, 6
MOSTLY, SELDOM = 0.6, 0.4
"""So many cells of a column are bare numbers, and so few at most bear a mark, that the mark is a remark."""
_SAID = frozenset({"notes", "outcome"})
_REMARK = re.compile(r"^\s*([-+]?\w*[.,]\w+)[\s,;(-]+([^\W\d_]{3}.*?)\)?\s*$")
_BARE = re.compile(r"\s*[-+−]?\d*[.,]?\d+\s*")
_BEFORE = re.compile(r"^\s*(\*+|!+\s)\s*([-+−]?\d*[.,]?\d+)\s*$")
_BEHIND = re.compile(r"^\s*([-+−]?\d*[.,]?\d+)\s*(\*+|!!+|(?<=\s)!|(?<=\s)[(\[]?[^\W\d_][^\d/]*?[)\]]?)\s*$")
"""A lone exclamation mark right behind a digit may be a 1 typed with the shift held: it is no remark."""


def remarks_apart(part: Part, meaning: Meaning) -> Part:
    """Put what is said of a run behind a number, such as ``1.612 spun``, into the column of notes."""
    found = {
        at: remark
        for at, heading in enumerate(part.headings)
        if heading.text and (remark := _remark_of(part, at, meaning)) is not None
    }
    if not found:
        return part
    said_of = [meaning(heading.text) if heading.text else ("", 0.0) for heading in part.headings]
    notes = [at for at, (name, likeness) in enumerate(said_of) if name in _SAID and likeness >= SAYS_IT]
    into = (notes or [len(part.headings)])[0]
    lines = []
    for place, (number, cells) in enumerate(part.lines):
        own = list(cells) if notes else [*cells, ""]
        for at, remark in found.items() if place not in part.at else ():
            if seen := remark(cells[at]):
                own[at], own[into] = seen[0], "; ".join(filter(None, (own[into], seen[1])))
        lines.append((number, own))
    headings = part.headings if notes else [*part.headings, Heading("notes", "notes")]
    return Part(lines, part.at, headings, part.first)


def _remark_of(part: Part, at: int, meaning: Meaning) -> Callable[[str], tuple[str, str] | None] | None:
    """Give what parts the cells of a column into number and remark; None where none bears one."""
    texts = [text for _, cells in part.body[:LOOKED_AT] if (text := cells[at])]
    odd = [text for text in texts if _BARE.fullmatch(text) is None]
    marked = [text for text in odd if _mark_beside(text)]
    name, likeness = meaning(part.headings[at].text)
    is_number = likeness >= SAYS_IT and (name in MEASURED or name in SETTINGS)
    is_seldom = 0 < len(marked) <= SELDOM * len(texts) and len(texts) - len(odd) >= MOSTLY * len(texts)
    if is_number and is_seldom:
        return lambda text: _outcome_behind(text) or _mark_beside(text)
    return _outcome_behind if any(map(_outcome_behind, odd)) else None


def _outcome_behind(text: str) -> tuple[str, str] | None:
    """Part a number from words behind it that tell how a run went."""
    seen = _REMARK.match(text) if len(text) > SHORTEST else None
    return (seen[1], seen[2]) if seen and read_outcome(None, seen[2]) is not None else None


def _mark_beside(text: str) -> tuple[str, str] | None:
    """Part a number from a mark beside it, or from words behind it that are no unit."""
    if seen := _BEFORE.match(text):
        return seen[2], seen[1].strip()
    seen = _BEHIND.match(text)
    if seen is None or is_unit(seen[2]) or is_nothing(seen[2]) or is_same(seen[2]):
        return None
    return seen[1], seen[2].strip("()[]")
