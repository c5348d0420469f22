"""Everything one suspect slip may have said: its cells and each slip of the pen that may have made them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from pipeline.garage.dictionary import TIMESLIPS
from pipeline.ingest.repairs import A_DIGIT, Repair, repairs
from pipeline.ingest.slip_model import COLUMNS

TICKET = ("reaction_s", *COLUMNS)
LOWS, HIGHS = (
    np.array([getattr(TIMESLIPS.column(name), end) for name in COLUMNS]) for end in ("low", "high")
)
DECIMALS = {name: 2 if name.endswith("_mph") else 3 for name in TICKET}
LEAST_CHANGE_S = 0.05
LEAST_CHANGE_OF_SPEED = 0.03
"""Honest runs differ by less than this all the time, so a smaller change is not asked about."""
LATE_LIFT = 0.06
"""A trap speed low by less than this part may be a lift at the stripe that nobody wrote down."""
ANY_NUMBER = 6.0
"""How rare a number is that no slip of the pen explains."""
MPH_OF_KMH, OTHER_UNIT = 1.609344, 3.0
"""One mph in km/h, and how rare a speed in the other of the two is."""
LENGTHENS = {"short": "dropped_digit", "long": "added_digit"}


@dataclass(frozen=True, slots=True)
class Slip:
    """One suspect slip; numbers are in the units of the store, nan where there is none."""

    slip_id: int
    car: str | None
    good_ft: int
    is_impossible: bool
    is_bad_start: bool
    numbers: dict[str, float]
    texts: dict[str, str] = field(default_factory=dict)
    oddities: dict[str, str] = field(default_factory=dict)
    units: dict[str, tuple[float, float]] = field(default_factory=dict)
    decimals: dict[str, int] = field(default_factory=dict)
    entries: dict[str, str] = field(default_factory=dict)

    def typed(self, column: str) -> str:
        """Return a number as it was typed, or as a person would type it in that column's unit."""
        if column in self.texts:
            return self.texts[column]
        if column in self.entries:
            return self.entries[column]
        factor, shift = self.units.get(column, (1.0, 0.0))
        number = round((self.numbers[column] - shift) / factor, 4)
        return str(int(number)) if number == int(number) else str(number)

    def read(self, column: str, number: float) -> float:
        """Return a number typed in that column in the unit of the store."""
        factor, shift = self.units.get(column, (1.0, 0.0))
        return round(number * factor + shift, 4)

    def decimals_of(self, column: str) -> int:
        """Return how many decimals its sheet writes in that column; who never writes a point means them."""
        return self.decimals.get(column, 0 if column in self.units else DECIMALS[column])

    def repairs_of(self, column: str) -> Iterator[tuple[Repair, float]]:
        """Yield what one slip of the pen may have made of a number, with what it costs.

        A workbook keeps no zeros at the end of a number: it may have been typed with those its sheet writes.
        """
        typed = self.typed(column)
        yield from self._repairs(column, typed, has_zeros=column in self.entries)
        if column in self.decimals and column not in self.entries and column not in self.texts:
            most = self.decimals[column]
            for padded in (f"{float(typed):.{most}f}", f"{float(typed):.{max(most - 1, 0)}f}"):
                if padded != typed and float(padded) == float(typed):
                    yield from self._repairs(column, padded, has_zeros=True)

    def _repairs(self, column: str, typed: str, *, has_zeros: bool) -> Iterator[tuple[Repair, float]]:
        is_any = column in self.units and column not in self.decimals
        decimals = self.decimals_of(column)
        for repair in repairs(typed):
            zeros: int | None = 0
            if repair.rule != "letter_for_digit" and not is_any:
                zeros = (
                    _zeros_left_out(repair, decimals) if has_zeros else _zeros_at_end(repair.number, decimals)
                )
            if zeros is not None:
                yield repair, repair.cost + A_DIGIT * zeros


@dataclass(frozen=True, slots=True)
class Reading:
    """What the slip may have said: the cells that change (nan empties one), why, and how rare that is."""

    rule: str
    cost: float
    cells: dict[str, float]


def readings(slip: Slip) -> Iterator[Reading]:
    """Yield everything the slip may have said instead, one slip of the pen away.

    Parameters
    ----------
    slip
        A suspect slip; moves between columns are tried only where it cannot be as it is.
    """
    there = [name for name in COLUMNS if name in slip.texts or not np.isnan(slip.numbers[name])]
    for name in there if slip.is_impossible or not slip.oddities else slip.oddities:
        yield from _of_one_cell(slip, name)
    if slip.is_impossible:
        yield from (each for each in (*_exchanged(slip), *_moved(slip)) if _may_be(each.cells))
    yield from (
        Reading("does_not_fit", ANY_NUMBER, {name: np.nan}) for name in there if name not in slip.texts
    )


def _may_be(cells: dict[str, float]) -> bool:
    """Tell whether each number is one that its column can hold; an emptied cell is."""
    return not any(
        name in COLUMNS and not LOWS[COLUMNS.index(name)] <= number <= HIGHS[COLUMNS.index(name)]
        for name, number in cells.items()
        if not np.isnan(number)
    )


def _of_one_cell(slip: Slip, name: str) -> Iterator[Reading]:
    oddity = slip.oddities.get(name)
    place = COLUMNS.index(name)
    if oddity == "short":
        yield Reading("hundredths", 4.0, {name: slip.numbers[name]})
    low, high = float(LOWS[place]), float(HIGHS[place])
    only = LENGTHENS.get(oddity or "")
    found: dict[float, Reading] = {}
    for repair, cost in slip.repairs_of(name):
        number = slip.read(name, repair.number)
        if not low <= number <= high:
            continue
        if not slip.is_impossible and only not in {None, repair.rule}:
            continue
        if (
            not slip.is_impossible
            and oddity is None
            and abs(number - slip.numbers[name]) < _least_change(slip, name, number)
        ):
            continue
        if number not in found or cost < found[number].cost:
            found[number] = Reading(repair.rule, cost, {name: number})
    yield from found.values()
    if name.endswith("_mph") and oddity is None:
        for number in (slip.numbers[name] / MPH_OF_KMH, slip.numbers[name] * MPH_OF_KMH):
            if low <= number <= high:
                yield Reading("other_unit", OTHER_UNIT, {name: round(number, 2)})


def _least_change(slip: Slip, name: str, number: float) -> float:
    """Return the least change worth asking about: honest runs differ by less than this all the time."""
    if name.endswith("_s"):
        return LEAST_CHANGE_S
    typed = slip.numbers[name]
    return typed * (LEAST_CHANGE_OF_SPEED if number < typed else LATE_LIFT)


def _zeros_left_out(repair: Repair, decimals: int) -> int | None:
    """Count the zeros that what was meant lacks at its end, as typed; None where it has figures too many."""
    return decimals - repair.places if repair.places <= decimals else None


def _zeros_at_end(number: float, decimals: int) -> int | None:
    """Count the zeros at a number's end, written with so many decimals; None where it has more of them."""
    written = f"{number:.{decimals}f}"
    return None if abs(float(written) - number) > 1e-6 else len(written) - len(written.rstrip("0"))


def _exchanged(slip: Slip) -> Iterator[Reading]:
    there = [name for name in TICKET if not np.isnan(slip.numbers[name])]
    for at, first in enumerate(there):
        for second in there[at + 1 :]:
            swapped = {
                first: slip.read(first, float(slip.typed(second))),
                second: slip.read(second, float(slip.typed(first))),
            }
            kinds = {first.rpartition("_")[2], second.rpartition("_")[2]}
            is_beside = (first, second) in {("t660_s", "v660_mph"), ("t1320_s", "v1320_mph")}
            rule = "time_and_speed_swapped" if is_beside else "splits_not_rising"
            if not is_beside and (first == "reaction_s" or len(kinds) > 1):
                rule = "wrong_column"
            yield Reading(rule, 1.0 if is_beside else 3.0, swapped)


def _moved(slip: Slip) -> Iterator[Reading]:
    """Yield one number put back from the cell beside its own, and rows moved on or back by one."""
    texts = [None if np.isnan(slip.numbers[name]) else float(slip.typed(name)) for name in TICKET]

    def moved(cells: Iterable[tuple[int, float | None]]) -> dict[str, float]:
        read = {TICKET[at]: np.nan if text is None else slip.read(TICKET[at], text) for at, text in cells}
        return {
            n: v
            for n, v in read.items()
            if not (v == slip.numbers[n] or np.isnan([v, slip.numbers[n]]).all())
        }

    last = max((at for at, text in enumerate(texts) if text is not None), default=0)
    for at in range(len(TICKET)):
        if texts[at] is None:
            for beside in (at - 1, at + 1):
                if 0 <= beside < len(TICKET) and texts[beside] is not None:
                    yield Reading("next_column", 6.0, moved([(at, texts[beside]), (beside, None)]))
        is_gap = at > 0 and (texts[at] is None or texts[at] in (texts[at - 1], texts[(at + 1) % len(TICKET)]))
        if is_gap and at < last:
            yield Reading(
                "shifted_row", 5.0, moved([*enumerate(texts[at + 1 : last + 1], start=at), (last, None)])
            )
        if 0 < at <= last < len(TICKET) - 1:
            yield Reading(
                "shifted_row", 6.0, moved([(at, None), *enumerate(texts[at : last + 1], start=at + 1)])
            )
