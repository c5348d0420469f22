"""Runs written as so much over or under a mark: ``+0.015`` below ``my mark 1.440``, or below another run."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from pipeline.ingest.recognise.layout import SAYS_IT, Meaning, Part
from pipeline.ingest.recognise.profile import looks
from pipeline.ingest.recognise.vocabulary import SPEEDS, SPLITS

LEAST_SIGNED, SIGNED_SHARE = 3, 0.6
"""A column is written so when so many of its entries, in number and share, bear a sign."""
_SIGNED = re.compile(
    r"^\s*(?P<sign>[+\-−–])\s*(?P<size>\d*[.,]?\d+)\s*$|^\s*(?:[±]?0+(?:[.,]0+)?|(?i:e|=|even|level))\s*$"
)
_PLAIN = re.compile(r"^\s*\d+[.,]\d+\s*$")
_A_MARK = re.compile(r"(?i)\b(?:marks?|base(?:line)?|best|targets?|par|goal|ref(?:erence)?|record|zero)\b")
_MARKED = r"(?:mark|base|best|target|par)\b"
_OFF = re.compile(
    rf"(?i)\s*[(\[]?(?:\b(?:off|over|from|to|vs\.?|against|than)\s+(?:the\s+|my\s+)?{_MARKED}"
    r"|\bdiff(?:erence)?\b|\bdelta\b|[Δ±]|\+\s*/\s*[-−])[)\]]?\s*"
)
_LABELLED = re.compile(r"^(?P<label>.*?\S)[\s:=]+(?P<number>\d+[.,]\d+)\s*[^\W\d_]*\W*$")


@dataclass(frozen=True, slots=True)
class Marks:
    """What the entries of a table are, written out.

    Attributes
    ----------
    cells
        Row number and column -> the number in full.
    rows
        Rows that tell the marks and are no runs.
    """

    cells: dict[tuple[int, int], str] = field(default_factory=dict)
    rows: frozenset[int] = frozenset()


def without_mark(heading: str) -> str:
    """Leave off a heading that its column holds differences: ``60 ft off the mark``, ``660 (+/-)``."""
    return _OFF.sub(" ", heading).strip()


def written_out(part: Part, meaning: Meaning) -> tuple[Part, Marks]:
    """Find the columns of a table that hold differences to a mark, and what they come to.

    The mark is the last number without a sign above, of a run or of a row that is none, else one told above.

    Parameters
    ----------
    part
        A table.
    meaning
        The likeliest meaning of words.

    Returns
    -------
    tuple
        The table with headings that name the quantity alone, its cells as typed; and what they come to.
    """
    bare = {at: without_mark(heading.text) for at, heading in enumerate(part.headings)}
    named = {at: meaning(text)[0] for at, text in bare.items() if text and meaning(text)[1] >= SAYS_IT}
    signed = [at for at, name in named.items() if name in {*SPLITS, *SPEEDS} and _is_signed(part, at)]
    if not signed:
        return part, Marks()
    above = _told_above(part, meaning)
    marks = {at: above.get(named[at]) for at in signed}
    cells: dict[tuple[int, int], str] = {}
    rows: set[int] = set()
    scales = {at: _scale(part, at) for at in signed}
    for number, line in part.body:
        marks |= {at: _number(line[at]) for at in signed if _PLAIN.match(line[at]) and _number(line[at])}
        if any(map(_A_MARK.search, line)) and not any(
            looks(text).is_date or looks(text).is_clock for text in line
        ):
            rows.add(number)
            continue
        for at in signed:
            mark, found = marks[at], _SIGNED.match(line[at])
            if mark is not None and found is not None and line[at]:
                step = (
                    _number(found["size"] or "0") * scales[at] * (1 if found["sign"] in (None, "+") else -1)
                )
                cells[number, at] = str(mark + step)
    if not cells:
        return part, Marks()
    headings = [
        replace(heading, text=bare[at], own=without_mark(heading.own)) if at in signed else heading
        for at, heading in enumerate(part.headings)
    ]
    return replace(part, headings=headings), Marks(cells, frozenset(rows))


def in_full(part: Part, marks: Marks) -> Part:
    """Give a table with its numbers in full and without the rows that tell marks, to be known by."""
    if not marks.cells:
        return part
    lines = [
        (
            number,
            [
                marks.cells.get((number, at), "" if number in marks.rows else text)
                for at, text in enumerate(line)
            ],
        )
        for number, line in part.lines
    ]
    return replace(part, lines=lines)


def _is_signed(part: Part, at: int) -> bool:
    texts = [cells[at] for _, cells in part.body if cells[at]]
    signed = sum(_SIGNED.match(text) is not None for text in texts)
    has_sign = sum(text.lstrip()[:1] in "+-−–" for text in texts)
    return has_sign >= LEAST_SIGNED and signed >= SIGNED_SHARE * len(texts)


def _told_above(part: Part, meaning: Meaning) -> Mapping[str, Decimal]:
    """Give the marks that lines of words tell, by what they are of."""
    found: dict[str, Decimal] = {}
    for text in _words(part):
        for piece in filter(None, map(_LABELLED.match, re.split(r"\s*[,;|]\s+|\s+/\s+|\s*\|\s*", text))):
            name, likeness = meaning(piece["label"])
            if likeness >= SAYS_IT:
                found.setdefault(name, _number(piece["number"]))
    return found


def _words(part: Part) -> Iterator[str]:
    first = min(part.at, default=0)
    for _, cells in part.lines[:first]:
        text = ", ".join(filter(None, cells))
        if _A_MARK.search(text):
            yield re.sub(r"^[^\d:]*:", "", text)


def _scale(part: Part, at: int) -> Decimal:
    """Give what a difference is multiplied by: whole ones of a time are thousandths."""
    sizes = [found["size"] for _, cells in part.body if (found := _SIGNED.match(cells[at])) and found["size"]]
    are_whole = all(re.fullmatch(r"\d+", size) for size in sizes)
    is_time = not re.search(r"(?i)mph|km|speed", part.headings[at].text)
    return Decimal("0.001") if are_whole and is_time else Decimal(1)


def _number(text: str) -> Decimal:
    return Decimal(text.strip().replace(",", "."))
