"""Letters and other running text: lines broken anywhere, put together again and parted into sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.ingest.recognise.plain_text import Text

LEAST_BROKEN, MOSTLY_FULL, FULL = 4, 0.5, 0.75
"""So many lines go on in the next, and so large a part is all but full, where a text is broken anywhere."""
_ENDS = re.compile(r"[.!?:;]$")
_GOES_ON = re.compile(r"^[^\W\d_A-Z]|^\d")
_WITHIN = re.compile(r"[^\W\d_]{2}[.!?]\s+[^\W\d_]")
_SENTENCE = re.compile(r"(?<=[^\W_]{2}[.!?])\s+(?=[A-ZÀ-ÖØ-Þ])|(?<=\d[.!?])\s+(?=[A-ZÀ-ÖØ-Þ])")


def in_sentences(lines: Sequence[Text]) -> list[Text]:
    """Give a text whose lines are broken at their width as one sentence a line.

    Parameters
    ----------
    lines
        Row numbers and texts.

    Returns
    -------
    list of tuple
        Each sentence at the row on which it begins; any other text as it is.
    """
    if not _is_broken([text.strip() for _, text in lines]):
        return list(lines)
    width = max(len(text) for _, text in lines)
    found: list[Text] = []
    paragraph: list[Text] = []
    for number, text in lines:
        if text.strip():
            paragraph.append((number, text.strip()))
        if not text.strip() or (len(text) < FULL * width and _ENDS.search(text.strip())):
            found += [*_parted(paragraph), (number, "")] if not text.strip() else _parted(paragraph)
            paragraph = []
    return found + list(_parted(paragraph))


def _is_broken(texts: Sequence[str]) -> bool:
    """Tell whether many lines are full and go on in the next, with sentences that begin within others."""
    filled = [text for text in texts if text]
    width = max(map(len, filled), default=0)
    broken = sum(
        not _ENDS.search(text) and _GOES_ON.match(after) is not None
        for text, after in pairwise(texts)
        if len(text) >= FULL * width and after
    )
    full = sum(len(text) >= FULL * width for text in filled)
    within = sum(_WITHIN.search(text) is not None for text in filled)
    return broken >= LEAST_BROKEN and full >= MOSTLY_FULL * len(filled) and within >= LEAST_BROKEN


def _parted(paragraph: Sequence[Text]) -> Iterator[Text]:
    """Give the sentences of a paragraph, each with a row of its own: that on which it begins, or the next."""
    whole, begins = "", []
    for number, text in paragraph:
        begins.append((len(whole) + bool(whole), number))
        whole += " " * bool(whole) + text
    start, last = 0, 0
    for end in [*(found.end() for found in _SENTENCE.finditer(whole)), len(whole)]:
        rows = [
            number for at, number in begins if at < end and (at >= start or number == _row_at(begins, start))
        ]
        free = [number for number in rows if number > last]
        if not whole[start:end].strip() or (not free and end < len(whole)):
            continue  # a sentence with no row left to itself goes with the next one
        last = free[0] if free else last
        yield last, whole[start:end].strip()
        start = end


def _row_at(begins: Sequence[tuple[int, int]], place: int) -> int:
    """Give the row of a place in a paragraph, from where each row begins in it."""
    return max(number for at, number in begins if at <= place)
