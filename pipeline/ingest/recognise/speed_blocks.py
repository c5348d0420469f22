"""Speeds of one column that change from one unit to another at a row: a strip's new clocks, a move abroad."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.units import as_unit

PAIRS = {"v1320_mph": ("t1320_s", 900.0), "v660_mph": ("t660_s", 450.0)}
"""Speed at the end of a distance -> time to it, and that distance [mile] in seconds of an hour."""
HIGHEST_IN_MPH, LEAST_IN_KMH = 1.8, 1.95
"""From a standing start the speed at the end is 1.25 to 1.7 times the mean one; in km/h the same looks like
2.0 to 2.75 times the mean in mph."""
LEAST_ROWS = 3
"""So many rows in turn make a block; fewer are entries gone wrong, and are asked about."""


def settle_units_of_speeds(draft: Draft, rows: Sequence[Row]) -> None:
    """Write the unit behind the speeds of blocks of rows that are in another than their column.

    Each row's speed times its time tells its unit. Nothing is changed where all blocks are in one.
    """
    factors = {own.name: own.fit.to_canonical.factor for own in draft.choices if own.is_read}
    seen = [(row, unit) for row in rows if (unit := _unit_of(row, factors))]
    blocks = [(unit, [row for row, _ in own]) for unit, own in groupby(seen, key=lambda pair: pair[1])]
    sure = [(unit, own) for unit, own in blocks if len(own) >= LEAST_ROWS]
    if len({unit for unit, _ in sure}) < 2:
        return
    starts = [0, *(own[0].number for _, own in sure[1:])]
    for row in rows:
        unit = sure[sum(start <= row.number for start in starts[1:])][0]
        for name in PAIRS:
            other = as_unit(unit, "mph")
            found = number_of(row.cells.get(name, ""))
            if other and found and not found[1] and abs(factors.get(name, 1.0) - other.factor) > 0.01:
                row.cells[name] = f"{row.cells[name].strip()} {unit}"


def _unit_of(row: Row, factors: Mapping[str, float]) -> str:
    """Give the unit in which the speeds of a row stand; empty where they do not tell, or not alike."""
    units = set()
    for name, (time, scale) in PAIRS.items():
        speed, took = number_of(row.cells.get(name, "")), number_of(row.cells.get(time, ""))
        if speed is None or took is None or speed[1]:
            continue
        times_mean = speed[0] * took[0] * factors.get(time, 1.0) / scale
        if times_mean <= HIGHEST_IN_MPH:
            units.add("mph")
        elif times_mean >= LEAST_IN_KMH:
            units.add("km/h")
    return units.pop() if len(units) == 1 else ""
