"""Numbers as a racer writes them: fixed decimals, thousandths, and a real minus sign."""

from __future__ import annotations

import math
from datetime import date, datetime

MINUS = "−"
UNKNOWN = "–"
"""Stands where a number is not known; pages say so in words for a screen reader."""


def known(value: float | None) -> bool:
    """Tell whether there is a finite number."""
    return value is not None and math.isfinite(value)


def fixed(value: float | None, decimals: int, *, sign: bool = False) -> str:
    """Write a number with fixed decimals, thousands apart, a real minus sign and no minus zero.

    Examples
    --------
    >>> fixed(-0.0042, 3), fixed(6250, 0), fixed(0.2, 1, sign=True), fixed(-0.0001, 3)
    ('−0.004', '6,250', '+0.2', '0.000')
    """
    if value is None or not math.isfinite(value):
        return UNKNOWN
    rounded = round(value, decimals) + 0.0
    text = f"{abs(rounded):,.{decimals}f}"
    if rounded < 0:
        return MINUS + text
    return f"+{text}" if sign and rounded > 0 else text


def seconds(value: float | None, *, sign: bool = False) -> str:
    """Write an elapsed time or a difference of times, to the thousandth."""
    return fixed(value, 3, sign=sign)


def thousandths(value_s: float | None, *, sign: bool = True, decimals: int = 1) -> str:
    """Write seconds as thousandths of a second.

    Examples
    --------
    >>> thousandths(-0.0042), thousandths(0.00168)
    ('−4.2', '+1.7')
    """
    return fixed(None if value_s is None else 1000 * value_s, decimals, sign=sign)


def interval(low: float | None, high: float | None, decimals: int = 3, *, scale: float = 1.0) -> str:
    """Write an interval as ``low to high``.

    Examples
    --------
    >>> interval(-0.0069, -0.0015, 1, scale=1000)
    '−6.9 to −1.5'
    """
    if low is None or high is None or not (math.isfinite(low) and math.isfinite(high)):
        return UNKNOWN
    return f"{fixed(low * scale, decimals)} to {fixed(high * scale, decimals)}"


def percent(share: float | None, decimals: int = 0) -> str:
    """Write a share as a percentage; never 0 or 100 unless it is exactly that."""
    if share is None or not math.isfinite(share):
        return UNKNOWN
    step = 10.0**-decimals
    points = 100 * share
    if 0 < points < 100:
        points = min(max(points, step), 100 - step)
    return f"{fixed(points, decimals)} %"


def short_day(day: date | datetime | str | None) -> str:
    """Write a date as ``Apr 11``.

    Examples
    --------
    >>> short_day("2025-04-11")
    'Apr 11'
    """
    if day is None:
        return UNKNOWN
    known_day = _day_of(day)
    return str(day) if known_day is None else f"{_MONTHS[known_day.month - 1]} {known_day.day}"


def long_day(day: date | datetime | str | None) -> str:
    """Write a date as ``April 11, 2025``."""
    if day is None:
        return UNKNOWN
    known_day = _day_of(day)
    if known_day is None:
        return str(day)
    return f"{_LONG_MONTHS[known_day.month - 1]} {known_day.day}, {known_day.year}"


def _day_of(day: date | datetime | str) -> date | None:
    if not isinstance(day, str):
        return day
    try:
        return date.fromisoformat(day[:10])
    except ValueError:
        return None


def moment(text: str) -> str:
    """Write a moment as a day and a time of day; what is not one is left as it is.

    Examples
    --------
    >>> moment("2025-10-05T09:10:00+00:00")
    'October 5, 2025, 09:10 UTC'
    """
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text
    zone = at.strftime("%Z")
    return f"{long_day(at)}, {at:%H:%M}{f' {zone}' if zone else ''}"


def of(count: int, one: str, many: str | None = None) -> str:
    """Write a count with its noun.

    Examples
    --------
    >>> of(1, "run"), of(1200, "run")
    ('1 run', '1,200 runs')
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"


_LONG_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_MONTHS = tuple(month[:3] for month in _LONG_MONTHS)
