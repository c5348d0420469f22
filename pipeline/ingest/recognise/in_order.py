"""Values in an order that a line gives once: ``air / baro / hum``, further down ``67 / 29.11 / 58%``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.vocabulary import SAYS_IT, Meaning
from pipeline.ingest.values import is_nothing

LEAST_IN_ORDER, MOST_WORDS = 3, 3
"""So many names make an order, each of so many words."""
_BETWEEN = tuple(map(re.compile, (r"\s+/\s+", r"/", r"\s*[|;·]\s*", r",(?!\d)\s*", r"\s[-–—]\s")))


def labelled_by_order(lines: Sequence[tuple[int, str]], meaning: Meaning) -> list[tuple[int, str]]:
    """Put the names that a line gives in order before the values of the lines that hold nothing else.

    Parameters
    ----------
    lines
        Row numbers and texts.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    list of tuple
        The same lines; below ``air / baro / hum under each pass`` a line ``67 / 29.11 / 58%`` reads
        ``air 67 | baro 29.11 | hum 58%``.
    """
    orders: dict[tuple[int, int], list[str]] = {}
    found = []
    for number, text in lines:
        found.append((number, text))
        for which, between in enumerate(_BETWEEN):
            parts = [part.strip() for part in between.split(text.strip())]
            if len(parts) < LEAST_IN_ORDER:
                continue
            own = orders.get((which, len(parts)), [])
            if own and all(map(_is_value, parts)) and any(map(number_of, parts)):
                found[-1] = (number, _labelled(own, parts))
                break
            if names := _names(parts, meaning):
                orders[which, len(names)] = names
    return found


def _names(parts: Sequence[str], meaning: Meaning) -> list[str]:
    """Give the names of a line of names, without what is said around them; empty for any other line."""
    if any(re.search(r"\d", part) for part in parts[1:-1]):
        return []
    first, last = (re.findall(r"[\w'.]+", part) for part in (parts[0], parts[-1]))
    names = [
        _known([" ".join(first[at:]) for at in range(len(first))], meaning),
        *(_known([part], meaning) for part in parts[1:-1]),
        _known([" ".join(last[:count]) for count in range(MOST_WORDS, 0, -1)], meaning),
    ]
    meanings = [meaning(name)[0] for name in names]
    return names if all(names) and len(set(meanings)) == len(meanings) else []


def _known(ways: Sequence[str], meaning: Meaning) -> str:
    """Give the first of several ways to cut a name that says something; empty when none does."""
    short = [way for way in ways if way and len(way.split(" ")) <= MOST_WORDS and not re.search(r"\d", way)]
    return next((way for way in short if meaning(way)[1] >= SAYS_IT), "")


def _is_value(text: str) -> bool:
    return number_of(text) is not None or is_nothing(text) or text == "?"


def _labelled(names: Sequence[str], values: Sequence[str]) -> str:
    pairs = zip(names, values, strict=True)
    return " | ".join(f"{name} {value}" for name, value in pairs if number_of(value) is not None)
