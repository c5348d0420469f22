"""The day of the week that people write beside a date, in several languages."""

from __future__ import annotations

import re

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FOREIGN = {
    "mo": 0, "di": 1, "mi": 2, "do": 3, "fr": 4, "sa": 5, "so": 6, "die": 1, "mit": 2, "don": 3, "fre": 4,
    "son": 6, "lun": 0, "mar": 1, "mie": 2, "mié": 2, "jue": 3, "vie": 4, "sab": 5, "sáb": 5, "dom": 6,
    "mer": 2, "jeu": 3, "ven": 4, "sam": 5, "dim": 6, "gio": 3, "mån": 0, "tis": 1, "ons": 2, "tor": 3,
    "lör": 5, "sön": 6, "seg": 0, "ter": 1, "qua": 2, "qui": 3, "sex": 4,
    "ma": 0, "ti": 1, "ke": 2, "pe": 4, "la": 5, "su": 6, "wo": 2, "vr": 4, "za": 5, "zo": 6, "pon": 0,
    "wt": 1, "śr": 2, "czw": 3, "pt": 4, "sob": 5, "nd": 6, "nie": 6, "man": 0, "tir": 1, "lør": 5, "søn": 6,
}  # fmt: skip
_BEFORE_A_DATE = re.compile(
    r"^(?P<name>[^\W\d_]{2,10})[.,]*\s+"
    r"(?=\d{1,4}\s*[-/. ]\s*\d{1,2}\s*[-/. ]\s*\d{1,4}|\d{1,2}(?:st|nd|rd|th)?[\s.-]*[^\W\d_]"
    r"|[^\W\d_]{3,9}\.?[\s-]+\d)"
)


def weekday_of(text: str) -> int | None:
    """Return the number of a day of the week, Monday 0; None for any other word."""
    own = text.casefold().rstrip(".")
    for at, name in enumerate(WEEKDAYS):
        if own.startswith(name):
            return at
    return _FOREIGN.get(own) if own in _FOREIGN else _FOREIGN.get(own[:3])


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
