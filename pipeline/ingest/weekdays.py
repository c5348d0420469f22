"""The day of the week that people write beside a date, in many languages."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.garage.spelling import without_marks
from pipeline.ingest.calendar_words import DAY_NAMES

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LEAST_BEGUN, LONGEST_SHORT = 3, 5
_ROWS = [
    (at, day, without_marks(name))
    for rows in DAY_NAMES.values()
    for at, row in enumerate(rows)
    for day, name in enumerate(row.split())
    if name != "-"
]
_KNOWN = {name: day for _, day, name in _ROWS}
_WHOLE = {name for at, _, name in _ROWS if at == 0 or len(name) > LONGEST_SHORT}
_SHORTENED = frozenset("mon tue tues wed weds thu thur thurs fri sat sun".split())  # noqa: SIM905
_BEFORE_A_DATE = re.compile(
    r"^(?P<name>[^\W\d_]{2,13})(?:-feira)?[.,]*\s+"
    r"(?=\d{1,4}\s*[-/. ]\s*\d{1,2}\s*[-/. ]\s*\d{1,4}|\d{1,2}(?:st|nd|rd|th)?[\s.-]*[^\W\d_]"
    r"|[^\W\d_]{3,12}\.?[\s-]+\d)"
)
_A_WORD = re.compile(r"[^\W\d_]{3,13}(?:-feira)?\.?")


@lru_cache(maxsize=4096)
def weekday_of(text: str) -> int | None:
    """Return the number of a day of the week, Monday 0; None for any other word."""
    own = without_marks(text.strip().rstrip(".").removesuffix("-feira"))
    if (known := _KNOWN.get(own)) is not None:
        return known
    for at, name in enumerate(WEEKDAYS):
        if own.startswith(name):
            return at
    begun = {day for name, day in _KNOWN.items() if len(own) >= LEAST_BEGUN and name.startswith(own)}
    return begun.pop() if len(begun) == 1 else None


def is_weekday(text: str) -> bool:
    """Tell whether a word surely names a day of the week: in full, or as English shortens it."""
    own = without_marks(text.strip(" .").removesuffix("-feira"))
    return own in _WHOLE or own in _SHORTENED


def is_english(text: str) -> bool:
    """Tell whether a day of the week is named as English does, in full or shortened."""
    own = text.casefold().strip(" .,")
    return own in _SHORTENED or own in DAY_NAMES["English"][0].split()


def without_weekdays(text: str) -> str:
    """Leave the days of the week out of a title.

    Examples
    --------
    >>> without_weekdays("Sunset Shootout Sat, sobota")
    'Sunset Shootout  ,  '
    """
    return _A_WORD.sub(lambda found: " " if is_weekday(found[0]) else found[0], text)


def without_weekday(text: str) -> tuple[str, int | None]:
    """Part a date from the day of the week before it.

    Examples
    --------
    >>> without_weekday("Sun 8/7/22"), without_weekday("Mar 30 2024")  # no martes
    (('8/7/22', 6), ('Mar 30 2024', None))
    """
    found = _BEFORE_A_DATE.match(text)
    day = weekday_of(found["name"]) if found else None
    return (text, None) if found is None or day is None else (text[found.end() :], day)
