"""Evenings that go on past midnight: the rows keep the evening's day, which a line or each of them names."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import groupby, pairwise

from pipeline.ingest.dates import read_dates, read_time
from pipeline.ingest.recognise.fill import Row

EVENING, SMALL_HOURS, LONGEST_GAP_MIN = 20, 5, 180
"""Hours from which on, and before which, a night goes on; minutes from one row to the next over midnight."""
LEAST_BEFORE = 2
"""Where each row has its date, so many of that day stand in order before midnight."""


def days_after_midnight(rows: Sequence[Row]) -> None:
    """Give rows after midnight the next day, where they stand below an evening's of the same date.

    Parameters
    ----------
    rows
        Of one table, with years in their dates; changed in place.
    """
    below = [row for row in rows if row.cells.get("date") and row.cells.get("time") and not row.is_heading]
    nights = [(date, list(night)) for date, night in groupby(below, key=lambda row: row.cells["date"])]
    dates = [date for date, _ in nights]
    for date, night in nights:
        later = _after_midnight(night) if dates.count(date) == 1 else []
        day = read_dates([date])[date].day if later else None
        if day is not None:
            for row in later:
                row.cells["date"] = (day + dt.timedelta(days=1)).isoformat()


def _after_midnight(night: Sequence[Row]) -> list[Row]:
    """Give the rows of a day from midnight on: soon after an evening's, all in small hours."""
    clocks = [read_time(row.cells["time"])[0] for row in night]
    first = next((at for at, clock in enumerate(clocks) if at and clock and clock.hour < SMALL_HOURS), 0)
    before = [_minutes(clock) for clock in clocks[:first] if clock]
    small = [_minutes(clock) for clock in clocks[first:] if clock]
    if not first or len(before) < first or len(small) < len(clocks) - first:
        return []
    is_named_above = not any(row.typed.get("date") for row in night[first:])
    is_in_order = len(before) >= LEAST_BEFORE and all(one <= other for one, other in pairwise(before))
    is_night = before[-1] >= EVENING * 60 and max(small) < SMALL_HOURS * 60
    is_soon = small[0] + 24 * 60 - before[-1] <= LONGEST_GAP_MIN
    return list(night[first:]) if is_night and is_soon and (is_named_above or is_in_order) else []


def _minutes(clock: dt.time) -> int:
    return 60 * clock.hour + clock.minute
