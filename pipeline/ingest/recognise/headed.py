"""A column's heading, one reading of it, and what is known beside a table; headings that come again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pipeline.garage.units import Conversion
from pipeline.ingest.recognise.units import SAME, US, units_said

LEAST_AGAIN, MOSTLY_AGAIN = 3, 0.8
"""A line with so many of the headings in their places, and so much of it, repeats them."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above a column.

    Attributes
    ----------
    text
        Own heading with the group heading above it, if there is one.
    own
        Own heading as typed.
    unit
        Text of the units row below it.
    meant, rival
        What the column was found to be where it was parted off another, and what it may as well be.
    """

    text: str
    own: str
    unit: str = ""
    meant: str = ""
    rival: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """One reading of one column, and how good it is.

    Attributes
    ----------
    score
        Below 0 it is hardly this; from 2 on heading and values agree.
    said
        How well the heading says so, 0 to 1.
    to_canonical
        Conversion of its numbers.
    unit
        Text of a unit that is written nowhere but fits; empty else.
    is_no_point
        Whether the numbers were written without their point.
    is_by_times
        Whether the unit of a speed is the one in which it fits the times beside it.
    """

    score: float
    said: float = 0.0
    to_canonical: Conversion = SAME
    unit: str = ""
    is_no_point: bool = False
    is_by_times: bool = False


@dataclass(frozen=True, slots=True)
class Names:
    """Folded names of cars and strips known beforehand, whether the person is a metric one, and units.

    ``units`` holds (canonical unit, unit) as the words above a table say them, ``scales`` (column, factor) of
    those that these words say are written in parts of their unit.
    """

    cars: frozenset[str]
    venues: frozenset[str]
    is_metric: bool = False
    units: frozenset[tuple[str, str]] = frozenset()
    scales: frozenset[tuple[str, float]] = frozenset()

    def beside(self, title: str, written: str) -> Names:
        """Take the units that a table's title says for its columns, and whether it is a metric person's.

        ``written`` are its headings and the units in its cells.
        """
        told, every = units_said(title), units_said(f"{title} {written}")
        is_metric = bool(every) and US.isdisjoint(every.values())
        return replace(self, is_metric=self.is_metric or is_metric, units=frozenset(told.items()))


def repeating(above: Sequence[Sequence[str]]) -> Callable[[Sequence[str]], bool]:
    """Give what tells whether the cells of a line repeat one of the lines that are a table's headings."""
    plain = [[text.casefold() for text in heads] for heads in above]
    filled = [(next(at for at, text in enumerate(heads) if text), heads) for heads in plain if any(heads)]
    first = {at: frozenset(heads[at] for place, heads in filled if place == at) for at, _ in filled}.items()

    def again(cells: Sequence[str]) -> bool:
        for at, texts in first:
            if cells[at].casefold() in texts:
                break
        else:
            return False
        return any(_is_mostly(heads, cells) for heads in plain)

    return again


def _is_mostly(heads: Sequence[str], cells: Sequence[str]) -> bool:
    alike = sum(1 for own, text in zip(heads, cells, strict=True) if own and own == text.casefold())
    return alike >= LEAST_AGAIN and alike >= MOSTLY_AGAIN * max(sum(map(bool, heads)), sum(map(bool, cells)))
