"""Runs written on two lines each, under two lines of headings: the slip, and its conditions below it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import Line, Meaning, Part, is_heading
from pipeline.ingest.recognise.unit_rows import units_row

LEAST_PAIRS = 3
MOSTLY = 0.8


def on_two_lines(lines: Sequence[Line], meaning: Meaning) -> Part | None:
    """Join the two lines of every run.

    Parameters
    ----------
    lines
        Every row of a sheet that is not blank.
    meaning
        The likeliest meaning of a heading.

    Returns
    -------
    Part or None
        One run a line, at the row of its upper line; None when the sheet is no such sheet.
    """
    place = _headings(lines, meaning)
    if place is None:
        return None
    upper, lower = lines[place][1], lines[place + 1][1]
    body = lines[place + 2 :]
    own = [at for at, text in enumerate(upper) if text and not lower[at]] or _every_other(body)
    if not own:
        return None
    is_upper = [any(cells[at] for at in own) and sum(map(bool, cells)) > 2 for _, cells in body]
    only_below = [at for at, text in enumerate(lower) if text and not upper[at]]
    is_whole = [
        is_one and sum(bool(cells[at]) for at in only_below) >= 2
        for is_one, (_, cells) in zip(is_upper, body, strict=True)
    ]
    if sum(is_whole) > sum(is_upper) / 2:
        return None  # a line of a run fills the columns of both: the upper headings are of groups
    below = [
        at
        for at in range(1, len(body))
        if is_upper[at - 1] and not is_upper[at] and _is_lower(body[at][1], lower)
    ]
    if len(below) < LEAST_PAIRS or len(below) < MOSTLY * sum(is_upper):
        return None
    width = len(upper)
    joined: list[Line] = [(number, [*cells, *[""] * width]) for number, cells in lines[: place + 1]]
    for at, (number, cells) in enumerate(body):
        if at in below:
            joined[-1] = (joined[-1][0], [*joined[-1][1][:width], *cells])
        else:
            joined.append((number, [*cells, *[""] * width]))
    headings = [Heading(text, text) for text in (*upper, *lower)]
    return Part(joined, frozenset(range(place + 1)) - _titles(joined, place), headings)


def _headings(lines: Sequence[Line], meaning: Meaning) -> int | None:
    """Find two lines of headings under each other, the upper one with columns of its own."""
    for at in range(min(len(lines) - 1, 40)):
        upper, lower = lines[at][1], lines[at + 1][1]
        named = is_heading(upper, meaning) and is_heading(lower, meaning)
        if named and units_row(lines, at) is None:
            return at
    return None


def _every_other(body: Sequence[Line]) -> list[int]:
    """Give the columns that are filled in every other line: above in both lines of headings is a word."""
    width = len(body[0][1]) if body else 0
    lines = [cells for _, cells in body if sum(map(bool, cells)) > 2]
    turns = [sum(bool(one[at]) != bool(other[at]) for one, other in pairwise(lines)) for at in range(width)]
    return [at for at in range(width) if turns[at] >= MOSTLY * (len(lines) - 1) > 0]


def _titles(joined: Sequence[Line], place: int) -> frozenset[int]:
    """Give the lines above the headings that say something of the runs below."""
    return frozenset(at for at in range(place) if any(joined[at][1]))


def _is_lower(cells: Sequence[str], headings: Sequence[str]) -> bool:
    """Tell whether a line fills nothing but columns of the lower headings."""
    filled = [at for at, text in enumerate(cells) if text]
    return len(filled) >= 2 and all(at < len(headings) and headings[at] for at in filled)
