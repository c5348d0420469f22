"""Names of files made from what people typed: short, safe on every disk, and never two things' alike."""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST_BYTES = 60  # two of these and a word stay far below the 255 a file's name may have


def slug(text: str) -> str:
    """Bring text to small letters and digits joined by single hyphens; ``event`` when none are left."""
    words = re.sub(r"[\W_]+", "-", text.casefold()).encode("utf-8")[:LONGEST_BYTES]
    return words.decode("utf-8", errors="ignore").strip("-") or "event"


def distinct_slug(text: str, among: Iterable[str]) -> str:
    """Give the slug of one of several texts, numbered when an earlier one of them has taken it.

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
    """Give what a report's name ends in to tell a car's from another's: nothing when there is one car.

    It begins with an underscore, which no slug has, so that no event's name can imitate it.
    """
    known = list(cars)
    return f"_{distinct_slug(car, known)}" if len(known) > 1 else ""
