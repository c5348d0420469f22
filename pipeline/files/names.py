"""Names of files and lines on the terminal, made from what people typed: short, safe, and never alike."""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST_BYTES = 60  # two of these and a word stay far below the 255 a file's name may have


def printable(text: str, keep: str = "") -> str:
    """Show control characters, and what is no character at all, by their codes.

    Parameters
    ----------
    text
        Perhaps from a cell or a file's name, so that it may hold what would steer a terminal.
    keep
        Control characters that may stand.
    """
    return "".join(_code(letter) if _is_odd(letter) and letter not in keep else letter for letter in text)


def _is_odd(letter: str) -> bool:
    code = ord(letter)
    return code < 0x20 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or code in {0x2028, 0x2029}


def _code(letter: str) -> str:
    return letter.encode("unicode_escape").decode("ascii")


def slug(text: str) -> str:
    """Bring text to small letters and digits joined by single hyphens; ``event`` when none are left."""
    words = re.sub(r"[\W_]+", "-", text.casefold()).encode("utf-8")[:LONGEST_BYTES]
    return words.decode("utf-8", errors="ignore").strip("-") or "event"


def distinct_slug(text: str, among: Iterable[str]) -> str:
    """Return the slug of one of several texts, numbered when an earlier one of them has taken it.

    Parameters
    ----------
    text
        One of ``among``.
    among
        All that may stand in the same place, in an order that lasts.
    """
    taken: dict[str, str] = {}
    for other in (*among, text):
        name, number = slug(other), 1
        while taken.get(name, other) != other:
            number += 1
            name = f"{slug(other)}-{number}"
        taken[name] = other
    return next(name for name, other in taken.items() if other == text)


def car_mark(car: str, cars: Iterable[str]) -> str:
    """Return what a report's name ends in to tell a car's from another's: nothing when there is one car.

    It begins with an underscore, which no slug has, so that no event's name can imitate it.
    """
    known = list(cars)
    return f"_{distinct_slug(car, known)}" if len(known) > 1 else ""


def name_with(word: str, *conditions: str | None) -> str:
    """Return a report's name with what it was asked for: ``next-track-95f``; the word alone for nothing.

    Parameters
    ----------
    word
        What kind of report it is.
    *conditions
        As typed, the ones that matter most first; None and empty ones are passed over.
    """
    told = " ".join(_with_unit_alike(one) for one in conditions if one).replace("-", " minus ")
    return f"{word}-{slug(told)}" if told.strip() else word


def _with_unit_alike(condition: str) -> str:
    """Write a unit one way, however far from its number it was typed: ``95F`` and ``29.1 inHg``."""
    return re.sub(r"(?<=\d)(?=[A-Za-z]{2})", " ", re.sub(r"(?<=\d)\s+(?=[A-Za-z%]\b)", "", condition))
