"""Labels with their values beside them: one a line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.garage.units import is_unit
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.profile import looks, number_of
from pipeline.ingest.spellings import LANE_WORDS

LEAST_LABELS, HALF, LOOKED_AT = 4, 0.5, 400
_LAST_NUMBER = re.compile(r"\d+$")
MOST_TITLED = 0.8
"""What so many cards have is a card's."""
_NUMBERED = re.compile(r"[^\d]{1,12}\d{1,3}\W?")
ONCE = ("date", "venue", "event", "car")


def titles_apart(lines: Sequence[Line]) -> list[Line]:
    """Label what a card's first line says without words: ``No. 1``, ``2031-05-16``, ``9:36``, ``left``.

    Where some cards have beside their number how the run went, that is what stands there on all of them.
    """
    found: list[Line] = []
    told = {
        _LAST_NUMBER.sub("", filled[0])
        for _, cells in lines
        if len(filled := [text for text in cells if text]) == 2
        and _NUMBERED.fullmatch(filled[0])
        and read_outcome(filled[1], None) is not None
    }
    for number, cells in lines:
        filled = [text for text in cells if text]
        if filled and len(filled) <= 2 and _LAST_NUMBER.sub("", filled[0]) in told:
            column = cells.index(filled[0])
            run = _LAST_NUMBER.search(filled[0])
            said = [("run number", run[0] if run else ""), *(("outcome", text) for text in filled[1:])]
            found += [(number, _pair_at(column, label, text, len(cells))) for label, text in said]
            continue
        said = [(label, text) for text in filled[1:] if (label := _plain_label(text))]
        if len(said) < 2 or _NUMBERED.fullmatch(filled[0]) is None:
            found.append((number, cells))
            continue
        column = next(at for at, text in enumerate(cells) if text)
        found += [(number, _pair_at(column, label, text, len(cells))) for label, text in said]
    return found


def _plain_label(text: str) -> str:
    looked = looks(text)
    is_side = folded(text).removesuffix("lane").removesuffix("レーン") in LANE_WORDS
    return "date" if looked.is_date else "time" if looked.is_clock else "lane" if is_side else ""


def cards_apart(lines: Sequence[Line]) -> list[Line]:
    """Put cards that stand side by side under each other, where their labels come again in further columns.

    ``No. 1, , No. 2`` above ``60 ft, 1.44, 60 ft, 1.45`` becomes a card of the first and below it one of the
    second, each with the numbers of the rows it stands on.
    """
    starts = _label_columns(lines)
    if len(starts) < 2:
        return list(lines)
    width = len(lines[0][1])
    slices = list(pairwise([*starts, width]))
    found: list[Line] = []
    block: list[Line] = []
    for number, cells in lines:
        is_card = any(cells) and all(_alike(cells[at], cells[starts[0]]) for at in starts if cells[at])
        if not is_card or (block and number > block[-1][0] + 1):
            found += _under_each_other(block, slices, width)
            block = []
        if is_card:
            block.append((number, list(cells)))
        else:
            found.append((number, list(cells)))
    return found + _under_each_other(block, slices, width)


def _label_columns(lines: Sequence[Line]) -> list[int]:
    """Give the columns in which the same labels stand, line by line, from the first on; empty without."""
    lines = lines[:LOOKED_AT]
    width = len(lines[0][1]) if lines else 0
    first = next((at for at in range(width) if any(cells[at] for _, cells in lines)), 0)
    starts = [first]
    for at in range(first + 2, width):
        both = [(cells[first], cells[at]) for _, cells in lines if cells[first] and cells[at]]
        same = [one for one, other in both if _alike(one, other)]
        words = sum(re.search(r"[^\W\d_]", one) is not None for one in same)  # others are distances
        if len(both) >= LEAST_LABELS and len(same) >= MOST_TITLED * len(both) and words >= HALF * len(both):
            starts.append(at)
    return starts if len({cells[first] for _, cells in lines}) > LEAST_LABELS else []


def _alike(one: str, other: str) -> bool:
    """Tell whether two labels are the same but for the number of a run."""
    return one == other or _LAST_NUMBER.sub("", one) == _LAST_NUMBER.sub("", other)


def _under_each_other(block: Sequence[Line], slices: Sequence[tuple[int, int]], width: int) -> list[Line]:
    column = slices[0][0] if slices else 0
    cards = [
        [(number, cells[low:high]) for number, cells in block if any(cells[low:high])] for low, high in slices
    ]
    return [
        (number, [*[""] * column, *own, *[""] * (width - column - len(own))])
        for card in cards
        for number, own in card
    ]


def pairs_apart(lines: Sequence[Line]) -> Sequence[Line]:
    """Put each label of cards, where a line has several, on a line of its own with its value."""
    firsts = [next(at for at, text in enumerate(cells) if text) for _, cells in lines if any(cells)]
    column = min(firsts, default=0)
    title = _title(lines, column)
    times = Counter(
        (at, title(text))
        for _, cells in lines
        for at, text in enumerate(cells)
        if text and (at - column) % 2 == 0
    )
    counts = sorted(count for (at, _), count in times.items() if at == column and count >= LEAST_LABELS - 1)
    usual = counts[len(counts) // 2] if counts else LEAST_LABELS  # so many cards; one may have a label thrice
    least = max(LEAST_LABELS - 1, MOST_TITLED * usual)
    labels = {place for place, count in times.items() if least <= count <= 3 * usual}
    found: list[Line] = []
    paired = 0
    for number, cells in lines:
        places = [at for at in range(column, len(cells), 2) if cells[at]]
        if len(places) < 2 or any((at, title(cells[at])) not in labels for at in places):
            found.append((number, _moved(cells, column)))
            continue
        paired += 1
        found += [(number, _alone(cells, at, column)) for at in places]
    filled = sum(any(cells) for _, cells in lines)
    return lines if paired < HALF * filled else found


def _title(lines: Sequence[Line], column: int) -> Callable[[str], str]:
    """Give what takes the number off a card's title: each card has a ``Card 7`` of its own."""
    times = Counter(cells[column] for _, cells in lines if _NUMBERED.fullmatch(cells[column]))
    named = Counter(_LAST_NUMBER.sub("", text) for text, count in times.items() if count == 1)
    titles = {name for name, count in named.items() if count >= LEAST_LABELS - 1}
    return lambda text: bare if (bare := _LAST_NUMBER.sub("", text)) in titles else text


def _moved(cells: Sequence[str], column: int) -> list[str]:
    """Move the only two cells of a line to where the labels stand."""
    at = next((place for place, text in enumerate(cells) if text), column)
    return list(cells) if at <= column or any(cells[at + 2 :]) else _alone(cells, at, column)


def _alone(cells: Sequence[str], at: int, column: int) -> list[str]:
    """Give a line of one label and the value beside it, put where the labels stand."""
    beside = cells[at + 1] if at + 1 < len(cells) else ""
    return _pair_at(column, cells[at], beside, len(cells))


def _pair_at(column: int, label: str, value: str, width: int) -> list[str]:
    """Give a line of nothing but a label and its value, from the labels' column on."""
    return [*[""] * column, label, value, *[""] * (width - column - 2)]


def one_label_a_line(lines: Sequence[Line], column: int, meaning: Meaning) -> list[Line]:
    """Put what stands once for all runs on a line of its own: ``date, 5/4/2031, , strip, Cinder Flats``."""
    found: list[Line] = []
    for number, cells in lines:
        said = [
            at
            for at in range(column, len(cells) - 1)
            if cells[at] and cells[at + 1] and (named := meaning(cells[at].rstrip(": ")))[0] in ONCE
            and named[1] >= SAYS_IT
        ]  # fmt: skip
        if len(said) < 2 or said[0] != column:
            found.append((number, list(cells)))
            continue
        found += [(number, _alone(cells, at, column)) for at in said]
    return found


def timed(lines: Sequence[Line], column: int) -> list[Line]:
    """Label the time of day beside the number of a run as such: ``No. 4``, ``at 12:24``."""
    found: list[Line] = []
    for number, cells in lines:
        beside = cells[column + 1] if column + 1 < len(cells) else ""
        is_number = _NUMBERED.fullmatch(cells[column]) is not None
        own = (
            [*cells[:column], "time", *cells[column + 1 :]] if is_number and looks(beside).is_clock else cells
        )
        found.append((number, own))
    return found


def with_units(lines: Sequence[Line], labels: int) -> Sequence[Line]:
    """Put the units of a column that holds nothing else behind the values to their left."""
    width = max(len(cells) for _, cells in lines)
    for column in range(labels + 2, width):
        filled = [cells for _, cells in lines if len(cells) > column and cells[column]]
        units = [cells for cells in filled if number_of(cells[column - 1]) and is_unit(cells[column])]
        if len(filled) >= LEAST_LABELS and len(units) >= MOST_TITLED * len(filled):
            return [(number, _joined(cells, column)) for number, cells in lines]
    return lines


def _joined(cells: Sequence[str], column: int) -> list[str]:
    own = list(cells)
    if len(own) > column and own[column] and number_of(own[column - 1]):
        own[column - 1], own[column] = f"{own[column - 1]} {own[column]}", ""
    return own
