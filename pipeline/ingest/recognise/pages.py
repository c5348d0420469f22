"""Printed pages copied as text: headings over two lines, titles that come again on each page."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.recognise.spoken import date_in

LEAST_TOKENS = 3
"""So many words go on with headings."""
_DISTANCE = re.compile(r"\(?(?:60|330|660|1000|1320|1/[248]|18|20|100|20[01]|305|40[02])(?:ft|m|')?\)?")


def second_storeys(texts: Sequence[tuple[int, str]], heads: Sequence[int]) -> frozenset[int]:
    """Find the lines below headings that go on with them: words, and no number but a distance."""
    found: set[int] = set()
    for at in heads:
        if at in found or at + 1 >= len(texts):
            continue
        words = texts[at + 1][1].split()
        if len(words) >= LEAST_TOKENS and all(
            _DISTANCE.fullmatch(word) for word in words if re.search(r"\d", word)
        ):
            found.add(at + 1)
    return frozenset(found)


def titles_again(texts: Sequence[tuple[int, str]], heads: Sequence[int]) -> frozenset[int]:
    """Find the lines that stood above the first headings and come again on each page, but for its number."""
    if not heads:
        return frozenset()
    bare = [re.sub(r"\d{1,3}\W*$", "", text).split() for _, text in texts]
    titles = [own for own in bare[: heads[0]] if own and not date_in(" ".join(own))[0]]
    return frozenset(at for at, own in enumerate(bare) if at > heads[0] and own in titles)


def over_each_other(above: Sequence[str], below: Sequence[str]) -> list[str]:
    """Join headings of two storeys; one broken at a hyphen becomes one word."""
    return [
        first[:-1] + second if first.endswith("-") else f"{first} {second}".strip()
        for first, second in zip(above, below, strict=True)
    ]
