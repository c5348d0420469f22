"""Evenings that go on past midnight: a line names the day, and the rows below it run into the next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import groupby

from pipeline.ingest.dates import read_dates, read_time
from pipeline.ingest.recognise.fill import Row

EVENING, SMALL_HOURS, LONGEST_GAP_MIN = 20, 5, 180
"""Hours from which on, and before which, a night goes on; minutes from one row to the next over midnight."""


def days_after_midnight(rows: Sequence[Row]) -> None:
    """Give rows after midnight the next day, where only a line above them names the evening's.

    Parameters
    ----------
    rows
        Of one table, with years in their dates; changed in place.
    """
    below = [row for row in rows if row.cells.get("date") and row.cells.get("time") and not row.is_heading]
    for date, night in groupby(below, key=lambda row: row.cells["date"]):
        later = _after_midnight([row for row in night if not row.typed.get("date")])
        day = read_dates([date])[date].day if later else None
        if day is not None:
            for row in later:
                row.cells["date"] = (day + dt.timedelta(days=1)).isoformat()


def _after_midnight(night: Sequence[Row]) -> list[Row]:
    """Give the rows of a day from midnight on: soon after an evening's, all in small hours."""
    clocks = [read_time(row.cells["time"])[0] for row in night]
    first = next((at for at, clock in enumerate(clocks) if clock and clock.hour < SMALL_HOURS), 0)
    evening, small = clocks[first - 1 : first], [clock for clock in clocks[first:] if clock]
    if not evening or evening[0] is None or evening[0].hour < EVENING or len(small) < len(clocks) - first:
        return []
    is_soon = 24 * 60 + _minutes(small[0]) - _minutes(evening[0]) <= LONGEST_GAP_MIN
    return list(night[first:]) if is_soon and max(small).hour < SMALL_HOURS else []


def _minutes(clock: dt.time) -> int:
    return 60 * clock.hour + clock.minute
