"""Dates of rows: the year that they lack, and the order in which day and month stand."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from pipeline.ingest.dates import DateReading, read_dates
from pipeline.ingest.month_names import month_in_date, plain_month
from pipeline.ingest.weekdays import weekday_of

_YEARLESS = re.compile(
    r"^(?:(?P<wd>[^\W\d_]{2,13}(?:-feira)?)[.,]*\s+)?(?:(?P<a>\d{1,2})\s*[/.-]\s*(?P<b>\d{1,2})\.?"
    r"|(?P<m1>[^\W\d_]{3,10})\.?[\s-]+(?P<d1>\d{1,2})(?:st|nd|rd|th)?\.?"
    r"|(?P<d2>\d{1,2})(?:st|nd|rd|th)?[\s.-]*(?:de\s+)?(?P<m2>[^\W\d_]{3,10})\.?)(?:[\s,]*(?P<wd2>[^\W\d_]{2,13}))?"
    r"(?:[\s,]+(?P<clock>\d{1,2}[:.h]\d{2}\s?(?:[ap]\.?m?\.?)?|\d{1,2}\s?[ap]\.?m?\.?))?$",
    re.IGNORECASE,
)


_CLOCK_BEHIND = re.compile(r"(?<=\d)(?:[T,]\s?|\s+)\d{1,2}:\d{2}.*$")


def has_year(text: str) -> bool:
    """Tell whether a date text carries its year."""
    return _YEARLESS.match(plain_month(text.strip())) is None


def without_clock(text: str) -> str:
    """Leave off the time of day behind a date: when a form was sent, where a column says when the run was."""
    return _CLOCK_BEHIND.sub("", text)


def years_in(texts: Iterable[str]) -> Counter[int]:
    """Count the years of dates that can be read as they stand."""
    distinct = [text for text in set(texts) if text and has_year(text)]
    found = read_dates(distinct)
    return Counter(reading.day.year for reading in found.values() if reading.day is not None) + Counter(
        reading.suggestion.year for reading in found.values() if reading.day is None and reading.suggestion
    )


def with_year(texts: Iterable[str], said: int | None, usual: int | None) -> dict[str, str]:
    """Give dates that lack their year one, from a title, the weekday they name, or the other sheets.

    Parameters
    ----------
    texts
        Distinct date texts of a table.
    said
        A year that stands in a title, a tab's or a file's name.
    usual
        The year of most dates of the logbook.

    Returns
    -------
    dict
        Text as typed -> text with a year, for those that lacked one and got it.

    Notes
    -----
    A weekday decides when it fits one year only of those about; a year in a title comes before the other
    sheets' years. When nothing tells, the texts are left as they are, and are asked about.
    """
    found = {text: match for text in set(texts) if (match := _YEARLESS.match(plain_month(text.strip())))}
    if not found:
        return {}
    year = said or usual
    fitting = _years_by_weekday(found.values(), {year} if year else set())
    if fitting and (year is None or year not in fitting):
        near = sorted(fitting, key=lambda each: abs(each - (year or max(fitting))))
        year = near[0] if year is not None or len(fitting) == 1 else None
    if year is None:
        return {}
    return {text: _written(match, year) for text, match in found.items() if _written(match, year)}


def _written(found: re.Match[str], year: int) -> str:
    clock = f" {found['clock']}" if found["clock"] else ""
    if found["a"]:
        return f"{found['a']}/{found['b']}/{year}{clock}"
    month = month_in_date(found["m1"] or found["m2"])
    day = int(found["d1"] or found["d2"])
    return f"{year}-{month:02}-{day:02}{clock}" if month else ""


def _years_by_weekday(found: Iterable[re.Match[str]], likely: set[int]) -> set[int]:
    """Give the years in which every named weekday falls on its date; empty when none does."""
    years: set[int] | None = None
    this_year = dt.datetime.now(dt.UTC).year
    for match in found:
        weekday = (
            weekday_of(match["wd"]) if match["wd"] else weekday_of(match["wd2"]) if match["wd2"] else None
        )
        if weekday is None:
            continue
        orders = [(match["a"], match["b"]), (match["b"], match["a"])] if match["a"] else [("", "")]
        fits = set()
        for month_text, day_text in orders:
            for year in likely | set(range(this_year - 12, this_year + 1)):
                month = int(month_text) if month_text else month_in_date(match["m1"] or match["m2"])
                day = int(day_text) if day_text else int(match["d1"] or match["d2"])
                try:
                    if month and dt.date(year, month, day).weekday() == weekday:
                        fits.add(year)
                except ValueError:
                    continue
        years = fits if years is None else years & fits
    return years or set()


MONTH_FIRST = frozenset({"Japanese", "Chinese", "Korean", "Hungarian"})
"""Languages, as ``languages`` names them, that write the month before the day; English does either."""
_NUMERIC = re.compile(
    r"^(?:[^\W\d_]{2,10}[.,]*\s+)?(\d{1,2})(?:\.\s?|[-/])(\d{1,2})(?:\.\s?|[-/])(\d{4}|\d{2})"
    r"( \d{1,2}[:.]\d{2}\s?(?:[ap]\.?m?\.?)?)?$"
)


def in_order(texts: Sequence[str], heading: str, tongue: str = "") -> dict[str, str]:
    """Settle dates that could be day-month or month-day by the order in which the rows stand.

    Parameters
    ----------
    texts
        Date texts of a table, row by row.
    heading
        Of the column; ``d/m/y`` in it decides.
    tongue
        Language of the table's headings, which decides where the rows do not; empty where it is English.

    Returns
    -------
    dict
        Text as typed -> ISO date; empty when a date of the table can be read one way only, when nothing is
        to be settled, or when the order of rows does not tell either.
    """
    distinct = list(dict.fromkeys(texts))
    found = {text: match for text in distinct if (match := _NUMERIC.match(text.strip()))}
    known = read_dates([text for text in distinct if text and text not in found])
    if not found or not all(map(_is_either, found.values())):
        return {}
    named = re.search(r"(?i)\b(dd?)[-/. ]*(mm?)\b|\b(mm?)[-/. ]*(dd?)\b|(月)(日)", heading)
    if named:
        order = "day" if named[1] else "month"
    else:
        days = {way: [*_days_in(distinct, found, known, way)] for way in ("day", "month")}
        runs = {way: (_turns(own), -_next_days(own), _span(own)) for way, own in days.items()}
        low, high = sorted(runs, key=lambda way: runs[way])
        is_in_turn = len(found) + len(known) >= 3 and runs[low][0] == 0 < runs[high][0]
        is_told = is_in_turn or (runs[low][0] == runs[high][0] and runs[low][1] < 0 == runs[high][1])
        if not is_told and not tongue:
            return {}
        order = low if is_told else "month" if tongue in MONTH_FIRST else "day"
    return {text: _day_of(match, order).isoformat() + (match[4] or "") for text, match in found.items()}


def _is_either(found: re.Match[str]) -> bool:
    """Tell whether both numbers may be a month, of a year that was."""
    return all(1 <= int(number) <= 12 for number in found.group(1, 2)) and found[3] != "0000"


def _days_in(
    texts: Sequence[str], found: Mapping[str, re.Match[str]], known: Mapping[str, DateReading], way: str
) -> Iterator[dt.date]:
    """Give the days of a table in order, those that could be either read one way."""
    for text in texts:
        day = _day_of(found[text], way) if text in found else known[text].day if text in known else None
        if day is not None:
            yield day


def _day_of(found: re.Match[str], order: str) -> dt.date:
    first, second = int(found[1]), int(found[2])
    year = int(found[3]) if len(found[3]) == 4 else 2000 + int(found[3])
    return dt.date(year, first, second) if order == "month" else dt.date(year, second, first)


def _next_days(days: Sequence[dt.date]) -> int:
    """Count the days right after the one before: the second day of a meeting."""
    return sum(abs((below - above).days) == 1 for above, below in pairwise(days))


def _span(days: Sequence[dt.date]) -> int:
    return (max(days) - min(days)).days if days else 0


def _turns(days: Sequence[dt.date]) -> int:
    """Count the steps that go against the way most go."""
    up = sum(above < below for above, below in pairwise(days))
    down = sum(above > below for above, below in pairwise(days))
    return min(up, down)
