"""Where the tables of a sheet stand: headings, parts side by side, lines of words between."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

from pipeline.ingest.clocks import IN_TEXT
from pipeline.ingest.recognise.headed import Heading, repeating
from pipeline.ingest.recognise.profile import TEXTS_KEPT, looks, number_of
from pipeline.ingest.recognise.scales import IN_PARTS
from pipeline.ingest.recognise.spoken import Book, date_in, said_in_pairs
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.unit_rows import units_row
from pipeline.ingest.recognise.vocabulary import SAYS_IT as SAYS_IT
from pipeline.ingest.recognise.vocabulary import Meaning as Meaning
from pipeline.ingest.values import is_nothing

Line = tuple[int, list[str]]
"""Row number and the texts of the cells, all lines of a sheet equally long."""
LONGEST_HEADING = 44
MOST_TICKS = 2
"""A column to be ticked comes once, or once for each lane."""
LOOKED_AT, LEAST_DISTINCT = 200, 0.3
MOST_ABOVE, LEAST_COLUMNS, LEAST_ROWS, MOSTLY_VALUES = 10, 4, 4, 0.8
"""Where headings are not known by their words: how far down they may stand, over how much."""
LEAST_AGAIN, FAR = 3, 3
"""How many meanings headings further down must name; how many blank columns part a corner from a title."""
_NO_NAMES = Book()
_BETWEEN_HEADINGS = re.compile(r"\s+[/|·+-]\s+|,\s+|\s*[|;]\s*")
_DISTANCES = frozenset({"60", "330", "660", "1000", "1320"})
_IN_METERS = frozenset({"18", "20", "100", "200", "201", "300", "305", "400", "402"})
_EXPLAINS = re.compile(r"\S\s*=\s*\S")
_READING = re.compile(r"(?i)[^\W\d_]{3,}\s+-?\d+(?:[.,]\d+)?\s*(?:[°º]|%|h?pa\b|mm?b\b|inhg|deg|f\b|c\b)")
"""What a line above the headings reads of the air: ``air 13 C``."""
_WITH_VALUE = re.compile(r"[^\W\d_]{2}[^\d=]*[\s=][-+]?\d{0,2}[.,]\d{1,3}$")
"""Words and their value in one cell: ``sixty in 1.41``."""


@dataclass(frozen=True)
class Part:
    """One table of a sheet.

    Attributes
    ----------
    lines
        Rows of it, headings and lines of words included; of a table beside another only its own cells.
    at
        Places among ``lines`` that are headings, units or groups of headings.
    headings
        One a column.
    first
        Column of the sheet at which it begins.
    places
        Column of the sheet of each own column, counted from ``first``; empty when they follow one another.
    """

    lines: list[Line]
    at: frozenset[int]
    headings: list[Heading]
    first: int = 0
    places: tuple[int, ...] = ()

    def place(self, index: int) -> int:
        """Give the column of the sheet of an own column."""
        return self.first + (self.places[index] if self.places else index)

    @property
    def heading_row(self) -> int:
        """Row number of the last line of the headings; 0 when there is none."""
        return self.lines[max(self.at)][0] if self.at else 0

    @cached_property
    def body(self) -> list[Line]:
        """The lines below the headings, but for those that repeat them."""
        lines = self.lines[max(self.at, default=-1) + 1 :]
        again = self.repeats_headings
        return [line for line in lines if not again(line[1])]

    @property
    def repeats_headings(self) -> Callable[[Sequence[str]], bool]:
        """Tells whether the cells of a line below repeat the headings."""
        return repeating([[own.own for own in self.headings], *(self.lines[at][1] for at in sorted(self.at))])


_METERS = re.compile(r"(?i)\d\s*(?:m|м|μ|ม|מ|م)(?![^\W\d_])|\d\s*(?:米|メートル|미터|เมตร|متر|метр)")
"""Metres, in any script."""


def parts_of(lines: Sequence[Line], meaning: Meaning, most: int | None = None) -> list[Part]:
    """Find the tables of a sheet.

    Parameters
    ----------
    lines
        Every row of it.
    meaning
        The likeliest meaning of a heading.
    most
        How many rows of headings count, from the top; all when None.

    Returns
    -------
    list of Part
        Under each other and side by side; none when no row looks like headings.
    """
    found = heading_places(lines, meaning)[:most]
    if not found:
        return []
    starts = [_first_line_of(place, lines, meaning) for place in found]
    kept = _distinct(found, starts, lines)
    parts: list[Part] = []
    for number, (place, start) in enumerate(kept):
        begin = 0 if number == 0 else start
        end = kept[number + 1][1] if number + 1 < len(kept) else len(lines)
        own = list(lines[begin:end])
        parts += _side_by_side(own, place - begin, start - begin, meaning)
    return parts


def headed_by_values(lines: Sequence[Line]) -> list[Part]:
    """Take a line of words for headings when values of one sort each stand below, though no word is known."""
    for at, (_, cells) in enumerate(lines[:MOST_ABOVE]):
        heads = {place for place, text in enumerate(cells) if text}
        if len(heads) < LEAST_COLUMNS or any(_is_value(cells[place]) for place in heads):
            continue
        below = [own for _, own in lines[at + 1 : at + 1 + LOOKED_AT] if sum(map(bool, own)) >= LEAST_COLUMNS]
        numeric = [
            place
            for place in heads
            if (texts := [own[place] for own in below if own[place]])
            and sum(map(_is_value, texts)) >= MOSTLY_VALUES * len(texts)
        ]
        if len(below) >= LEAST_ROWS and len(numeric) >= max(LEAST_COLUMNS, len(heads) / 2):
            part = _headed(list(lines), at, at, 0)
            return [part] if part is not None else []
    return []


def heading_places(lines: Sequence[Line], meaning: Meaning) -> list[int]:
    """Give the places of the lines that look like headings, the lower of two that stand together."""
    looks = [0 if said_in_pairs(cells, _NO_NAMES) else is_heading(cells, meaning) for _, cells in lines]
    for at in range(1, len(looks)):
        if looks[at] and looks[at - 1] and units_row(lines, at - 1):
            looks[at] = 0
    looks = [0 if good and _is_label_above(lines, looks, at) else good for at, good in enumerate(looks)]
    first = next((at for at, good in enumerate(looks) if good), None)
    if first is None:
        return []
    looks = [good if at <= first + 1 or good >= LEAST_AGAIN else 0 for at, good in enumerate(looks)]
    places = []
    for at, good in enumerate(looks):
        below = looks[at + 1] if at + 1 < len(looks) else 0
        is_upper = below and not _same(lines[at][1], lines[at + 1][1])
        if good and not (is_upper and (below >= good or _first_line_of(at + 1, lines, meaning) == at)):
            places.append(at)
    return places


def _is_label_above(lines: Sequence[Line], looks: Sequence[int], at: int) -> bool:
    """Tell whether a line of two cells, another such below, is a label and its value above a table."""
    pair, below = (
        [text for text in cells if text] for _, cells in (lines[at], lines[min(at + 1, len(lines) - 1)])
    )
    is_pair = len(pair) == 2 and 0 < len(below) <= 2 and not _is_value(below[0])
    return is_pair and max(looks[at + 1 : at + MOST_ABOVE], default=0) >= LEAST_COLUMNS


def is_heading(cells: Sequence[str], meaning: Meaning) -> int:
    """Count the meanings a line names, if it looks like headings; else 0."""
    filled = [text for text in cells if text]
    if len(filled) == 2 and any(text.isdigit() for text in filled):
        return 0  # a label and its value
    if len({text.casefold() for text in filled}) < LEAST_DISTINCT * len(filled):
        return 0  # the lanes of runs that stand across
    named = [
        text
        for text in filled
        if not (
            text.endswith(":") or len(text) > LONGEST_HEADING or _is_value(text) or _WITH_VALUE.search(text)
        )
    ]
    if len(filled) - len(named) > 0.25 * len(filled):
        return 0
    meanings = [_meaning_of(text, meaning) for text in named]
    ticks = Counter(name for name, _ in meanings if name.startswith("tick "))
    if max(ticks.values(), default=0) > MOST_TICKS:
        return 0  # how runs that stand across went
    said = [name for name, likeness in meanings if likeness >= SAYS_IT]
    return len(said) if len(set(said)) >= 2 and len(said) >= 0.4 * len(filled) else 0


def _meaning_of(text: str, meaning: Meaning) -> tuple[str, float]:
    """Give the likeliest meaning of a heading, or of the first it names where it names several."""
    parts = [part for part in _BETWEEN_HEADINGS.split(text) if part]
    if len(parts) < 2 or any(map(_is_value, parts)):
        return meaning(text)
    return max(map(meaning, parts), key=lambda said: said[1])


@lru_cache(maxsize=TEXTS_KEPT)
def _is_value(text: str) -> bool:
    """Tell whether a cell is a number, a date or a time of day, and no distance."""
    found = number_of(text)
    if found is not None:
        is_distance = f"{found[0]:g}" in (_IN_METERS if _METERS.search(text) else _DISTANCES)
        return not is_distance and not re.match(r"^1\s*/\s*[48]\b", text)
    looked = looks(text.strip())
    return not is_nothing(text) and (looked.is_date or looked.is_clock or _are_values(text))


def _are_values(text: str) -> bool:
    """Tell whether a cell holds several numbers and nothing else, not all of them distances: ``18 / 26``."""
    parts = [part for part in re.split(r"\s*[/|;]\s*|\s+-\s+|\s+", text.strip()) if part]
    are_numbers = len(parts) > 1 and all(re.fullmatch(r"[-+]?\d*[.,]?\d+|-", part) for part in parts)
    return are_numbers and not set(parts) <= _DISTANCES | _IN_METERS


def _same(one: Sequence[str], other: Sequence[str]) -> bool:
    return [text.casefold() for text in one] == [text.casefold() for text in other]


def _first_line_of(place: int, lines: Sequence[Line], meaning: Meaning) -> int:
    """Give the place of the group headings right above a line of headings, or its own."""
    if place == 0 or lines[place - 1][0] != lines[place][0] - 1:
        return place
    above = lines[place - 1][1]
    filled = [text for text in above if text]
    under = sum(1 for text, own in zip(above, lines[place][1], strict=True) if text and own)
    alone = [text for text, own in zip(above, lines[place][1], strict=True) if text and not own]
    completes = under < 0.7 * len(filled) and (
        is_heading(above, meaning) > 0 or (under > 1 and all(meaning(text)[1] >= SAYS_IT for text in alone))
    )
    places = [at for at, text in enumerate(above) if text]
    are_names = all(" " in text and meaning(text)[1] < SAYS_IT for text in filled)
    is_title = len(places) == 2 and (places[1] - places[0] == 1 or are_names)
    is_title = is_title and len(lines[place][1]) > LEAST_COLUMNS
    is_group = (
        len(filled) >= 2
        and not is_title  # a strip and its meeting: a group has more than one column
        and (under >= 0.7 * len(filled) or completes)
        and not any(
            _is_value(text) or len(text) > LONGEST_HEADING or _EXPLAINS.search(text) or IN_PARTS.search(text)
            for text in filled
        )
        and sum(_READING.search(text) is not None for text in filled) < max(2, len(filled) / 2)
        and any(tokens(text) for text in filled)
        and not any(date_in(text)[0] or IN_TEXT.search(text) for text in filled)
    )
    return place - 1 if is_group else place


def _distinct(found: list[int], starts: list[int], lines: Sequence[Line]) -> list[tuple[int, int]]:
    """Keep the headings that differ from those above; the same again are lines of the table above."""
    kept: list[tuple[int, int]] = []
    for place, start in zip(found, starts, strict=True):
        if kept and _agree(lines[kept[-1][0]][1], lines[place][1]):
            continue
        above = kept[-1][0] if kept else -1
        kept.append((place, max(start, above + 1)))
    return kept


def _agree(one: Sequence[str], other: Sequence[str]) -> bool:
    pairs = [(a.casefold(), b.casefold()) for a, b in zip(one, other, strict=True) if a or b]
    return sum(a == b for a, b in pairs) >= 0.8 * len(pairs)


# --- side by side


def _side_by_side(own: list[Line], place: int, start: int, meaning: Meaning) -> list[Part]:
    heads = own[place][1]
    cuts = _cuts(own, place, meaning)
    edges = [0, *cuts, len(heads)]
    parts = []
    for low, high in pairwise(edges):
        lines = own if not cuts else [(number, _own_cells(cells, low, high)) for number, cells in own]
        part = _headed(lines, place, start, low)
        if low and part is not None:
            body = [line for at, line in enumerate(part.lines) if at in part.at or any(line[1])]
            headed = {part.lines[at][0] for at in part.at}
            places = frozenset(at for at, line in enumerate(body) if line[0] in headed)
            part = Part(body, places, part.headings, low)
        if part is not None:
            parts.append(part)
    return parts


def _own_cells(cells: Sequence[str], low: int, high: int) -> list[str]:
    """Give the cells of one of several tables on the same rows; words with a day and no number are of all."""
    filled = [text for text in cells if text]
    before = [text for text in cells[:low] if text]
    is_banner = len(filled) == len(before) and (
        len(filled) == 1 or (any(looks(text).is_date for text in filled) and len(filled) <= high - low)
    )
    if not is_banner or any(number_of(text) is not None or looks(text).is_clock for text in filled):
        return list(cells[low:high])
    return [*filled, *[""] * (high - low - len(filled))]


def _cuts(own: list[Line], place: int, meaning: Meaning) -> list[int]:
    """Give the columns at which a further table begins on the same rows.

    That is where a date or a time of day comes again, or, past an empty column, the number of the run; the
    table begins with the headings before it that come again too.
    """
    heads = own[place][1]
    said = [meaning(text) if text else ("", 0.0) for text in heads]
    blank = [
        at
        for at in range(len(heads))
        if not heads[at] and not any(cells[at] for _, cells in own[place + 1 : place + 200])
    ]
    cuts: set[int] = set(_past_a_title(heads, said, blank))
    for name in ("date", "run number", "round", "time"):
        places = [
            at
            for at, own_said in enumerate(said)
            if own_said == (name, 1.0)
            and (name != "date" or _holds_days(own[place + 1 :], at))
            and (name != "time" or _holds_clocks(own[place + 1 :], at))
        ]
        for before, again in pairwise(places):
            between = [at for at in blank if before < at < again]
            is_again = _same([heads[before]], [heads[again]])
            if name == "time" and (not is_again or _alike_down(own[place + 1 :], before, again)):
                continue
            if between or name in {"date", "time"}:
                while before and heads[before - 1] and _same([heads[before - 1]], [heads[again - 1]]):
                    before, again = before - 1, again - 1
                if name == "time" and any(any(cells[:before]) for _, cells in own[place + 1 :]):
                    continue  # what stands before the first time of day holds for both
                cuts.add(between[-1] + 1 if between else again)
    return sorted(cuts)


def _past_a_title(
    heads: Sequence[str], said: Sequence[tuple[str, float]], blank: Collection[int]
) -> list[int]:
    """Give where a table in a corner begins, far to the right of a title on the line of its headings."""
    first, *others = [at for at, text in enumerate(heads) if text]
    if len(others) < LEAST_AGAIN or others[0] - first <= FAR or said[first][1] >= SAYS_IT:
        return []
    return [others[0]] if all(at in blank for at in range(first + 1, others[0])) else []


def _holds_clocks(lines: Sequence[Line], at: int) -> bool:
    """Tell whether times of day stand in a column."""
    texts = [cells[at] for _, cells in lines[:LOOKED_AT] if cells[at]]
    return bool(texts) and sum(looks(text).is_clock for text in texts) > len(texts) / 2


def _alike_down(lines: Sequence[Line], one: int, other: int) -> bool:
    """Tell whether two columns mostly say the same, as those of both lanes of a run do."""
    pairs = [(cells[one], cells[other]) for _, cells in lines[:LOOKED_AT] if cells[one] and cells[other]]
    return bool(pairs) and sum(first == second for first, second in pairs) > len(pairs) / 2


def _holds_days(lines: Sequence[Line], at: int) -> bool:
    """Tell whether dates, or days of a month, stand in a column; so they may where nothing does yet."""
    texts = [cells[at] for _, cells in lines[:LOOKED_AT] if cells[at]]
    days = sum(
        looks(text).is_date
        or (not looks(text).is_clock and re.fullmatch(r"\d{1,8}(?:\D.*)?", text) is not None)
        for text in texts
    )
    return days >= len(texts) / 2


def _headed(lines: list[Line], place: int, start: int, first: int) -> Part | None:
    """Read the headings of a table: groups above, own, units below."""
    own = lines[place][1]
    groups = _carried(lines[start][1], own) if start < place else [""] * len(own)
    units = units_row(lines, place)
    headings = [
        Heading(_joined(group, text) or unit, text or unit, unit)
        for group, text, unit in zip(groups, own, units or [""] * len(own), strict=True)
    ]
    if not any(heading.text for heading in headings):
        return None
    at = set(range(start, place + 1)) | ({place + 1} if units else set())
    return Part(lines, frozenset(at), headings, first)


def _carried(groups: Sequence[str], own: Sequence[str]) -> list[str]:
    """Let a group's heading stand over all columns to the next one, as merged cells do."""
    carried, above = [], ""
    for text, below in zip(groups, own, strict=True):
        above = text or above
        carried.append(above if below or text else "")
    return carried


def _joined(group: str, text: str) -> str:
    return text if group.casefold() == text.casefold() else f"{group} {text}".strip()
