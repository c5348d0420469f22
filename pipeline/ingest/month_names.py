"""Months by their names in many languages, so that every date can be written with the English ones."""

from __future__ import annotations

import difflib
import re
from functools import lru_cache

from pipeline.garage.spelling import without_marks
from pipeline.ingest.calendar_words import MONTH_NAMES

LEAST_BEGUN, LEAST_WRONG = 3, 6
SHORT = ("", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_BEGINNINGS = (
    "jan ene gen", "feb fev", "mar mrt", "apr abr avr", "may mai mei mag maj", "jun giu", "jul lug",
    "aug ago aou", "sep set", "oct okt ott", "nov", "dec dez dic des",
)  # fmt: skip
"""First letters of a month's name where a date surely stands."""
MONTHS = {name: number for number, names in enumerate(_BEGINNINGS, start=1) for name in names.split()}


_WHOLE = {
    without_marks(name): number
    for rows in MONTH_NAMES.values()
    for row in rows
    for number, name in enumerate(row.split(), start=1)
    if name != "-"
}
_ONLY_IN_DATES = {"out": 10, "ian": 1, "oca": 1, "sub": 2, "tem": 7, "ara": 12}
"""Short names that are words of another tongue elsewhere."""


@lru_cache(maxsize=4096)
def month_of(word: str) -> int | None:
    """Give the number of a month by its name, whole or as people shorten it; None for other words.

    Examples
    --------
    >>> month_of("May"), month_of("Sept"), month_of("Marigold"), month_of("AUG"), month_of("czerwca")
    (5, 9, None, 8, 6)
    """
    own = without_marks(word)
    return _WHOLE.get(own) or (MONTHS.get(own) if len(own) == 3 else None)


@lru_cache(maxsize=4096)
def month_in_text(word: str) -> int | None:
    """Give the month of a word among others: its name, the beginning of one, or one with a slip in it.

    Examples
    --------
    >>> month_in_text("Augu"), month_in_text("Setpember"), month_in_text("octavo"), month_in_text("marble")
    (8, 9, None, None)
    """
    if month := month_of(word):
        return month
    own = without_marks(word)
    begun = {month for name, month in _WHOLE.items() if len(own) > LEAST_BEGUN and name.startswith(own)}
    if len(begun) == 1:
        return begun.pop()
    close = difflib.get_close_matches(own, _WHOLE, n=1, cutoff=0.85) if len(own) >= LEAST_WRONG else []
    return _WHOLE[close[0]] if close else None


def month_in_date(word: str) -> int | None:
    """Give the month of a word that stands where only a month can, if its first letters say which."""
    own = without_marks(word)
    return month_of(word) or _ONLY_IN_DATES.get(own) or MONTHS.get(own[:3])


_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
_BETWEEN = r"(?:\s*[./-]\s*|\s+)"
_A_ROMAN = "|".join(sorted(_ROMAN, key=len, reverse=True))
_IN_ROMAN = re.compile(rf"(?<!\d)(\d{{1,2}}){_BETWEEN}({_A_ROMAN}){_BETWEEN}(?='?\d\d)")
_ROMAN_AFTER_YEAR = re.compile(rf"(?<!\d)((?:19|20)\d\d){_BETWEEN}({_A_ROMAN}){_BETWEEN}(\d{{1,2}})(?!\d)\.?")
_OF_AN_ERA = re.compile(
    r"(?<![^\W\d_])(?P<era>令和|平成|R|H)\s?(?P<year>\d{1,2}|元)\s?[年./-]\s?"
    r"(?P<rest>\d{1,2}\s?[月./-]\s?\d{1,2})(?!\d)日?"
)
_BEFORE_ERA = {"令": 2018, "R": 2018, "平": 1988, "H": 1988}
"""First sign of a Japanese era -> the year before it began."""
_WITH_SIGNS = re.compile(
    r"(?:(\d{4})\s*[年년]\s*)?(\d{1,2})\s*[月월]\s*(\d{1,2})\s*[日号일](?:\s*[(（][^)）]{1,4}[)）])?"
)
"""A date in Japanese, Chinese or Korean, perhaps with its weekday."""
_YEAR_FIRST = re.compile(
    r"(?<!\d)((?:19|20)\d\d)[.,\s-]+(?:m\.?\s+)?([^\W\d_]{3,12})\.?[\s-]+(\d{1,2})(?!\d)\.?(?:\s?d\b\.?)?"
)
_DAY_FIRST = re.compile(
    r"(?i)(?<![\d.,])(\d{1,2})(?:st|nd|rd|th|er|º|ª)?(?:[.\s-]+|(?=[^\W\d_]))(?:d[eit]?[’'\s]\s*|of\s+)?([^\W\d_]{3,12})(?!\w)"
)
_GLUED = re.compile(r"^([^\W\d_]{3,9})(?=\d{1,2}(?:\D|$))")
_ALL_GLUED = re.compile(r"(?<!\w)(\d{1,2})([^\W\d_]{3,9})('?\d{4}|'?\d\d)(?!\w)")
_ENGLISH_DAYS = frozenset("mon tue wed thu fri sat sun".split())  # noqa: SIM905
_ARTICLE = re.compile(r"(?i)^(?:le|el|il|den|d\.|am|dia|día|on|the|a)\s+(?=\d{1,2}\D)")
_MONTH_FIRST = re.compile(r"(?<!\w)([^\W\d_]{3,12})(?=\.?[\s-]+\d{1,2}(?!\d))")


_DAY_BEHIND = re.compile(r"(?<=\d)\s*[(（][^()（）\d]{1,4}[)）]$")
"""A day of the week in brackets behind a date."""


def plain_month(text: str) -> str:
    """Write the month of a date with its English letters, and the day before it.

    Examples
    --------
    >>> plain_month("12.VII.2026"), plain_month("3 V 26"), plain_month("12.7.2026"), plain_month("4月5日")
    ('12 Jul 2026', '3 May 26', '12.7.2026', '5 Apr')
    >>> plain_month("16. kesäkuuta 2026"), plain_month("2026. május 16."), plain_month("Sat 3 de mayo")
    ('16 Jun 2026', '16 May 2026', 'Sat 3 May')
    >>> plain_month("2026/4/4(土)")
    '2026/4/4'
    >>> plain_month("2026. IV. 6."), plain_month("R8.4.19"), plain_month("令和8年4月19日")
    ('6 Apr 2026', '2026-4-19', '2026-4-19')
    >>> plain_month("09MAI26")
    '09 May 26'
    """
    text = _DAY_BEHIND.sub("", text)
    if text.isascii() and not any(letter.isalpha() for letter in text):
        return text
    text = _ALL_GLUED.sub(_spread, _GLUED.sub(_parted, _ARTICLE.sub("", text)))
    text = _OF_AN_ERA.sub(_in_our_years, text)
    text = _WITH_SIGNS.sub(_in_letters, text)
    text = _ROMAN_AFTER_YEAR.sub(
        lambda found: f"{found[3]} {SHORT[_ROMAN.index(found[2]) + 1]} {found[1]}", text
    )
    text = _IN_ROMAN.sub(lambda found: f"{found[1]} {SHORT[_ROMAN.index(found[2]) + 1]} ", text)
    text = _YEAR_FIRST.sub(_day_before, text)
    text = _DAY_FIRST.sub(_in_english, text)
    return _MONTH_FIRST.sub(lambda found: _english(found[1]), text)


def _in_our_years(found: re.Match[str]) -> str:
    """Write a date of a Japanese era with the year of everybody's calendar."""
    year = _BEFORE_ERA[found["era"][0]] + (1 if found["year"] == "元" else int(found["year"]))
    month, day = re.findall(r"\d+", found["rest"])
    return f"{year}-{month}-{day}"


def _parted(found: re.Match[str]) -> str:
    """Part a month or a day of the week from the number it is written together with: ``May16``."""
    is_such = month_of(found[1]) is not None or found[1].casefold() in _ENGLISH_DAYS
    return f"{found[1]} " if is_such else found[1]


def _spread(found: re.Match[str]) -> str:
    """Part day, month and year that are written together: ``09MAI2026``."""
    month = month_of(found[2])
    return f"{found[1]} {SHORT[month]} {found[3]}" if month else found[0]


def _in_letters(found: re.Match[str]) -> str:
    year, month, day = found.groups()
    return f"{day} {SHORT[int(month)]} {year or ''}".strip() if 1 <= int(month) <= 12 else found[0]


def _day_before(found: re.Match[str]) -> str:
    month = month_of(found[2])
    return f"{found[3]} {SHORT[month]} {found[1]}" if month else found[0]


def _in_english(found: re.Match[str]) -> str:
    month = month_of(found[2])
    return f"{found[1]} {SHORT[month]}" if month else found[0]


def _english(word: str) -> str:
    month = month_of(word)
    return SHORT[month] if month else word
