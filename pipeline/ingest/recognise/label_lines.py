"""Labels with their values beside them: one a line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pipeline.garage.units import is_unit
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.profile import number_of

LEAST_LABELS, HALF = 4, 0.5
MOST_TITLED = 0.8
"""What so many cards have is a card's."""
ONCE = ("date", "venue", "event", "car")


def pairs_apart(lines: Sequence[Line]) -> Sequence[Line]:
    """Put each label of cards, where a line has several, on a line of its own with its value."""
    firsts = [next(at for at, text in enumerate(cells) if text) for _, cells in lines if any(cells)]
    column = min(firsts, default=0)
    times = Counter(
        (at, text) for _, cells in lines for at, text in enumerate(cells) if text and (at - column) % 2 == 0
    )
    most = max(times.values(), default=0)
    labels = {
        place for place, count in times.items() if count >= max(LEAST_LABELS - 1, MOST_TITLED * most)
    }  # each stands on nearly every card, at its place
    found: list[Line] = []
    paired = 0
    for number, cells in lines:
        places = [at for at in range(column, len(cells), 2) if cells[at]]
        if len(places) < 2 or any((at, cells[at]) not in labels for at in places):
            found.append((number, _moved(cells, column)))
            continue
        paired += 1
        found += [(number, _alone(cells, at, column)) for at in places]
    filled = sum(any(cells) for _, cells in lines)
    return lines if paired < HALF * filled else found


def _moved(cells: Sequence[str], column: int) -> list[str]:
    """Move the only two cells of a line to where the labels stand."""
    at = next((place for place, text in enumerate(cells) if text), column)
    return list(cells) if at <= column or any(cells[at + 2 :]) else _alone(cells, at, column)


def _alone(cells: Sequence[str], at: int, column: int) -> list[str]:
    """Give a line of one label and the value beside it, put where the labels stand."""
    beside = cells[at + 1] if at + 1 < len(cells) else ""
    return [*[""] * column, cells[at], beside, *[""] * (len(cells) - column - 2)]


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
