"""Dates and times of day as people write them."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from pipeline.ingest.clocks import plain_clock
from pipeline.ingest.month_names import month_in_date, plain_month
from pipeline.ingest.values import is_nothing, short
from pipeline.ingest.weekdays import is_english, without_weekday

_ISO = re.compile(r"^(\d{4})(?:[-/]|\.\s?)(\d{1,2})(?:[-/]|\.\s?)(\d{1,2})\.?(?:[T ](.*))?$")
_PACKED = re.compile(r"^(\d{4})(\d{2})(\d{2})$")
_NUMERIC = re.compile(r"^(\d{1,2})(?:\.\s?|[-/ ])(\d{1,2})(?:\.\s?|[-/ ])(\d{4}|\d{2})(?:[T ,]+(.*))?$")
_WORDED = re.compile(
    r"^(?:(?P<m1>[^\W\d_]{3,12})\.?[\s-]+(?P<d1>\d{1,2})(?:st|nd|rd|th)?\.?[\s,-]+"
    r"|(?P<d2>\d{1,2})(?:st|nd|rd|th)?[\s.-]*(?:de\s+)?(?P<m2>[^\W\d_]{3,12})\.?[\s,-]*(?:de\s+)?)"
    r"'?(?P<year>\d{4}|\d{2})(?:[\s,]+(?P<rest>.*))?$"
)


@dataclass(frozen=True, slots=True)
class DateReading:
    """A date text as read: the day, the time of day if it carried one, and what is wrong with it."""

    day: dt.date | None
    time_text: str = ""
    problem: str = ""
    suggestion: dt.date | None = None


WEEKDAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
SETTLED = 0.75
"""So large a share of a sheet's telling dates decides the order of day and month for the others."""


def read_dates(texts: Iterable[str], habit: Mapping[str, int] | None = None) -> dict[str, DateReading]:
    """Read the distinct date texts of one sheet together.

    Parameters
    ----------
    texts
        Distinct texts as typed.
    habit
        Date texts of the whole logbook and how often each stands there.

    Returns
    -------
    dict
        A reading for each text.

    Notes
    -----
    ``a/b/year`` is day first when the sheet's dates that can only be read one way (a number above
    12, or the only order in which a day of the week beside it is true) are at least three in four
    day first, month first likewise; when that does not tell,
    all sheets of the logbook decide by the same rule. Dates with dots are day first unless they
    show otherwise themselves, and are never judged by those with slashes. When nothing decides, each
    text that could be either becomes a question; the suggestion is the reading that keeps the sheet's dates
    closest together, month first when that does not tell. A date that only fits the other order
    than the rest of its sheet is a question too.
    """
    named = {text: _bare(text.strip()) for text in texts if not is_nothing(text)}
    distinct = sorted(set(named.values()))
    dotted = [text for text in distinct if _is_dotted(text)]
    others = [text for text in distinct if not _is_dotted(text)]
    found = _read_family(dotted, habit, dotted=True, shown=[])
    shown = _orders_by_weekdays(named) or _orders_by_weekdays(habit or ())
    found |= _read_family(others, habit, dotted=False, shown=shown)
    years = Counter(reading.day.year for reading in found.values() if reading.day is not None)
    years.update(int(year) for other in habit or () for year in re.findall(r"(?<!\d)20\d\d(?!\d)", other))
    days = {reading.day for reading in found.values() if reading.day is not None}
    return {text: _on_its_weekday(text, found[bare], years, days) for text, bare in named.items()}


def _on_its_weekday(text: str, reading: DateReading, years: Counter[int], days: set[dt.date]) -> DateReading:
    """Ask about a date not on the weekday beside it where another year, month or figure makes it so."""
    _, weekday = without_weekday(text)
    if weekday is None or reading.day is None or reading.day.weekday() == weekday:
        return reading
    own = reading.day
    others = [year for year, times in years.most_common() if year != own.year and times >= years[own.year]]
    meant = [_day(year, own.month, own.day) for year in others]
    meant += [_day(own.year, month, own.day) for month in (own.month - 1, own.month + 1) if 1 <= month <= 12]
    meant += _one_figure_off(own, days)
    fitting = [day for day in meant if day is not None and day.weekday() == weekday]
    if not fitting:
        return reading
    problem = f"{short(text)} is no {WEEKDAY_NAMES[weekday]}; with another year, month or figure it is."
    return DateReading(None, reading.time_text, problem, fitting[0])


def _one_figure_off(own: dt.date, days: set[dt.date]) -> list[dt.date]:
    """Give the days of the same month one figure away that stand in the sheet, or beside such a day."""
    known = {day + dt.timedelta(away) for day in days - {own} for away in (0, -1, 1)}
    near = [day for number in range(1, 32) if (day := _day(own.year, own.month, number)) in known and day]
    return [day for day in near if sum(a != b for a, b in zip(f"{day:%d}", f"{own:%d}", strict=True)) == 1]


def read_date_as(text: str, order: Literal["day", "month"]) -> dt.date | None:
    """Return a date whose first number is said to be the day, or the month; None when it is no such date."""
    found = _NUMERIC.match(_bare(text.strip()))
    return _numeric_day(found, order) if found else None


def _is_dotted(text: str) -> bool:
    return re.match(r"\s*\d{1,2}\.\s?\d{1,2}\.", text) is not None


def _read_family(
    texts: list[str], habit: Mapping[str, int] | None, *, dotted: bool, shown: list[str]
) -> dict[str, DateReading]:
    """Read the dates that are written with dots, or those that are not: each has an order of its own.

    ``shown`` are the orders that days of the week beside dates show.
    """
    numeric = [found for text in texts if (found := _NUMERIC.match(text.strip()))]
    order = _order_shown(numeric, shown)
    if order is None:
        like = [text for text in habit or () if _is_dotted(text) == dotted]
        others = [found for text in like if (found := _NUMERIC.match(text.strip()))]
        order = _order_shown(others, []) or ("day" if dotted else None)
    likely = order or _tighter_order(numeric)
    return {text: _read_date(text.strip(), order, likely) for text in texts}


def _only_order(found: re.Match[str]) -> str | None:
    first, second = int(found[1]), int(found[2])
    if first > 12 >= second:
        return "day"
    return "month" if second > 12 >= first else None


def _orders_by_weekdays(texts: Iterable[str]) -> list[str]:
    """Give the order that each day of the week beside a date shows, being that of one order only.

    Where none does, one in another tongue than English tells that the day stands first.
    """
    shown, tongues = [], []
    for text in texts:
        bare, weekday = without_weekday(text.strip())
        found = _NUMERIC.match(bare)
        if found is None or weekday is None:
            continue
        fits = list(_days_on(found, weekday))
        shown += fits if len(fits) == 1 else []
        tongues += [] if is_english(text.split()[0]) else ["day"]
    return shown or tongues


def _order_shown(numeric: list[re.Match[str]], shown: list[str]) -> str | None:
    shown = [*(order for found in numeric if (order := _only_order(found))), *shown]
    for order in ("day", "month"):
        if shown and shown.count(order) >= SETTLED * len(shown):
            return order
    return None


def _tighter_order(numeric: list[re.Match[str]]) -> str:
    def span(order: str) -> int:
        days = [day for found in numeric if (day := _numeric_day(found, order))]
        return (max(days) - min(days)).days if days else 0

    return "day" if span("day") < span("month") else "month"


def _numeric_day(found: re.Match[str], order: str) -> dt.date | None:
    first, second = int(found[1]), int(found[2])
    day, month = (first, second) if order == "day" else (second, first)
    return _day(_year(found[3]), month, day)


def _days_on(found: re.Match[str], weekday: int) -> dict[str, dt.date]:
    """Return the day that a date is in each order in which it falls on a day of the week."""
    days = {order: _numeric_day(found, order) for order in ("day", "month")}
    return {order: day for order, day in days.items() if day is not None and day.weekday() == weekday}


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _bare(text: str) -> str:
    """Return a date without its day of the week; as year-month-day where that day settles the order."""
    bare, weekday = without_weekday(plain_month(text))
    found = _NUMERIC.match(bare)
    if found is None or weekday is None:
        return bare
    fits = set(_days_on(found, weekday).values())
    return f"{fits.pop().isoformat()} {found[4] or ''}".strip() if len(fits) == 1 else bare


def _read_date(text: str, order: str | None, likely: str) -> DateReading:
    if found := _ISO.match(text) or _PACKED.match(text):
        rest = (found[4] or "") if found.re is _ISO else ""
        day = _day(int(found[1]), int(found[2]), int(found[3]))
        if day is None and (other := _day(int(found[1]), int(found[3]), int(found[2]))):
            return DateReading(None, rest, f"{short(text)} has day and month the other way round.", other)
        return _dated(text, day, rest)
    if re.fullmatch(r"[2-6]\d{4}(\.\d+)?", text):  # a spreadsheet's day number
        moment = dt.datetime(1899, 12, 30) + dt.timedelta(days=float(text))  # noqa: DTZ001 - as typed, no zone
        return DateReading(moment.date(), f"{moment:%H:%M}" if "." in text else "")
    if found := _NUMERIC.match(text):
        return _read_numeric(text, found, order, likely)
    if (found := _WORDED.match(text.casefold())) and (month := month_in_date(found["m1"] or found["m2"])):
        day = _day(_year(found["year"]), month, int(found["d1"] or found["d2"]))
        return _dated(text, day, found["rest"] or "")
    return DateReading(None, problem=f"{short(text)} is not a date with day, month and year.")


def _read_numeric(text: str, found: re.Match[str], order: str | None, likely: str) -> DateReading:
    by_day, by_month = _numeric_day(found, "day"), _numeric_day(found, "month")
    rest = found[4] or ""
    meant, other = (by_day, by_month) if order == "day" else (by_month, by_day)
    if order is not None and meant is None and other is not None:
        return DateReading(None, rest, f"{short(text)} has day and month the other way round.", other)
    if by_day == by_month or (by_day is None) != (by_month is None):
        return _dated(text, by_day or by_month, rest)
    if by_day is None and by_month is None:
        return DateReading(None, rest, f"{short(text)} is no day of the calendar.")
    if order is not None:
        return _dated(text, by_day if order == "day" else by_month, rest)
    return DateReading(
        None,
        rest,
        f"{short(text)} could be day-month or month-day, and nothing else in the sheet tells which.",
        by_day if likely == "day" else by_month,
    )


def _dated(text: str, day: dt.date | None, rest: str) -> DateReading:
    if day is None:
        return DateReading(None, rest, f"{short(text)} is no day of the calendar.")
    if not 1950 <= day.year <= 2100:
        return DateReading(None, rest, f"{short(text)} is not in a year of this sport.")
    return DateReading(day, "" if rest.startswith("00:00:00") else rest)


_ABOUT_A_CLOCK = re.compile(
    r"^(?:(?:kl\.?|klockan|klo|um|at|ab|à|a las|ca\.?|about|approx\.?|around)\s+|[~≈])(?=\d)"
    r"|\s*(?:ish\b|uhr|hrs?\.?|local|o'?clock)$|(?<=\d:\d\d)(?:\.\d+)?(?:z|[+-]\d\d:?\d\d)$"
)
"""Words beside a time of day, and how far its zone is from another: a slip is in its strip's own time."""
_CLOCK = re.compile(r"^(\d{1,2})(?:[:.h -]?(\d{2}))?(?:[:.](\d{2})(?:\.\d+)?)?\s*([ap])?\.?\s*(?:m\.?)?$")


def read_time(text: str) -> tuple[dt.time | None, str]:
    """Read a time of day in 12 or 24 hour form.

    Parameters
    ----------
    text
        ``7:40 pm``, ``19:40``, ``1940``, ``7p``; also what a workbook gives for a time cell.

    Returns
    -------
    tuple
        The time, or None with a sentence.

    Examples
    --------
    >>> read_time("7:40 pm")[0]
    datetime.time(19, 40)
    >>> read_time("1940")[0]
    datetime.time(19, 40)
    """
    bare = re.sub(r"^\d{4}-\d{2}-\d{2}[t ]", "", text.strip().casefold())
    stripped = plain_clock(_ABOUT_A_CLOCK.sub("", bare))
    if stripped in {"noon", "midday"}:
        return dt.time(12), ""
    if re.fullmatch(r"0?\.\d+", stripped):  # a workbook's fraction of a day
        minutes = round(float(stripped) * 1440)
        return dt.time(minutes // 60 % 24, minutes % 60), ""
    if found := re.fullmatch(
        r"(\d\d):(\d\d):(\d\d)\.(\d+)", stripped
    ):  # a workbook's binary fraction of a second
        seconds = int(found[1]) * 3600 + int(found[2]) * 60 + round(float(f"{found[3]}.{found[4]}"))
        stripped = f"{seconds // 3600 % 24:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    found = _CLOCK.match(stripped)
    if found is None or (found[2] is None and found[4] is None):
        return None, f"{short(text)} is not a time of day."
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    if found[4]:
        if not 1 <= hour <= 12:
            return None, f"{short(text)} is not a time of day."
        hour = hour % 12 + (12 if found[4] == "p" else 0)
    try:
        return dt.time(hour, minute, second), ""
    except ValueError:
        return None, f"{short(text)} is not a time of day."
