"""Rows of text parted in groups as a line above names them: ``time | 60 / 330 | rpm, turns``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.recognise.layout import Line, is_heading
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.vocabulary import SAYS_IT, Meaning
from pipeline.ingest.values import is_nothing

LEAST_FIELDS, LEAST_ROWS, LEAST_SORTS = 5, 3, 2
"""So many names in one line, marks of more sorts than one between them, and so many lines like it."""
NEARLY_ALL = 0.7
_KEPT = "\N{DIVISION SLASH}"
_WHOLE = re.compile(
    r"(?i)(?<=\bkm)/(?=h\b)|(?<=\bmi)/(?=h\b)|(?<=\b[1-7])/(?=[248]\b(?![.,]\d))|(?<=g)/(?=[^\W\d_]{3})"
)
"""A stroke that parts no values: ``km/h``, ``1/8``, ``g/arm``."""
_BETWEEN = re.compile(r"\s*[|;/·)\]@]\s*[|;/·,(]?\s*|,(?!\d)\s*|\s*[(\[]\s*|\s+[-–—]\s+")
_REMARK = re.compile(r"\s+[-–—]+\s+(?=[^\W\d_])|\s*[)\]]?\s*[-–—]{1,2}\s+(?=[^\W\d_])")
_TITLE = re.compile(r"^\W*[^\W\d_][^:|/;,]{0,30}:\s+")


def rows_in_order(lines: Sequence[tuple[int, str]], meaning: Meaning) -> list[Line] | None:
    """Read lines whose values are parted as the names of one line above them are.

    Parameters
    ----------
    lines
        Row numbers and texts.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    list of tuple
        The names as headings, the values below them, what is remarked behind a dash last; other lines as they
        are. None where no line gives names that the lines below follow.
    """
    at, names = next(
        ((at, names) for at, (_, text) in enumerate(lines) if (names := _names(text, meaning))), (0, [])
    )
    if not names:
        return None
    rows = [_values(text, len(names)) for _, text in lines]
    long = [text for _, text in lines[at + 1 :] if len(_parts(text)) >= NEARLY_ALL * len(names)]
    if sum(map(bool, rows[at + 1 :])) < max(LEAST_ROWS, NEARLY_ALL * len(long)):
        return None
    rows[at] = [*names, "notes"]
    twos = [place for place in range(len(names)) if _are_two([row[place] for row in rows[at:] if row])]
    found: list[Line] = []
    for place, ((number, text), row) in enumerate(zip(lines, rows, strict=True)):
        cells = _two_apart(row, twos) if place >= at and row else [text.strip()]
        found.append((number, [*cells, *[""] * (len(names) + 1 + len(twos) - len(cells))]))
    return found


def _are_two(texts: Sequence[str]) -> bool:
    """Tell whether a name and nearly all values below it are of two words: ``time lane``, ``12:22 left``."""
    pairs = sum(len(text.split()) == 2 for text in texts[1:])
    return len(texts[0].split()) == 2 and pairs >= NEARLY_ALL * (len(texts) - 1)


def _two_apart(cells: Sequence[str], twos: Sequence[int]) -> list[str]:
    found: list[str] = []
    for at, text in enumerate(cells):
        one, _, two = text.partition(" ")
        found += [one, two] if at in twos else [text]
    return found


def _names(text: str, meaning: Meaning) -> list[str]:
    """Give the names of a line that holds nothing else, a word for the line before them taken off."""
    bare = _TITLE.sub("", text.strip())
    marks = {mark.strip() for mark in re.findall(r"[|;/·(]|,(?=\s)", bare)}
    names = _parts(bare)
    if len(names) < LEAST_FIELDS or len(marks) < LEAST_SORTS or re.search(r"\d[.,]\d", bare):
        return []
    said = [name for name in names if meaning(name)[1] >= SAYS_IT]
    return names if is_heading(names, meaning) and len(said) > len(names) / 2 else []


def _values(text: str, count: int) -> list[str]:
    """Give the values of a line as long as the names are, and its remark; empty for any other line."""
    remark = _REMARK.search(text.strip())
    bare, said = (text.strip(), "") if remark is None else (text[: remark.start()], text[remark.end() :])
    parts = _parts(bare)
    if any(re.search(r"\s{2,}", part) for part in (parts[0], parts[-1])):
        return []  # more stands before or behind than the names say
    is_value = [number_of(part) is not None or is_nothing(part) for part in parts]
    return [*parts, said] if len(parts) == count and sum(is_value) >= NEARLY_ALL * count else []


def _parts(text: str) -> list[str]:
    """Part a line at every mark between two values, nothing behind a last one."""
    parts = [part.replace(_KEPT, "/") for part in _BETWEEN.split(_WHOLE.sub(_KEPT, text.strip()))]
    return parts[:-1] if len(parts) > 1 and not parts[-1] else parts
