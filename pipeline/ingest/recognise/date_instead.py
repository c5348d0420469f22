"""A column of dates that is filled only where another's does not hold: ``Date of run, if not today``."""

from __future__ import annotations

from dataclasses import replace

from pipeline.ingest.recognise.layout import Meaning, Part
from pipeline.ingest.recognise.profile import is_date
from pipeline.ingest.recognise.tokens import tokens

SELDOM, NEARLY_ALL = 0.3, 0.9
"""It is filled in no more of the rows than this, the other one in at least so many."""


def date_instead(part: Part, meaning: Meaning) -> Part:
    """Put the dates of such a column in place of those in the column of all rows.

    Parameters
    ----------
    part
        A table.
    meaning
        The likeliest meaning of a heading.

    Returns
    -------
    Part
        The same lines; the column of exceptions keeps its heading and is blank.
    """
    body = part.body
    shares = {
        at: len(texts) / len(body)
        for at, heading in enumerate(part.headings)
        if ("date" in tokens(heading.text) or meaning(heading.text)[0] == "date")
        and (texts := [cells[at] for _, cells in body if cells[at]])
        and all(map(is_date, texts))
    }
    usual = [at for at, share in shares.items() if share >= NEARLY_ALL]
    seldom = [at for at, share in shares.items() if share <= SELDOM]
    if len(usual) != 1 or len(seldom) != 1:
        return part
    (every,), (few,) = usual, seldom
    lines = [
        (number, _moved(cells, every, few) if place not in part.at and cells[few] else cells)
        for place, (number, cells) in enumerate(part.lines)
    ]
    return replace(part, lines=lines)


def _moved(cells: list[str], to: int, came_from: int) -> list[str]:
    moved = list(cells)
    moved[to], moved[came_from] = cells[came_from], ""
    return moved
