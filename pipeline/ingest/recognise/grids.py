"""One quantity of many runs in a block: days down and passes across, or passes down and days across.

Several such blocks, a tab or a title each (``60 ft``, ``330 ft``), or a label a row, are the same runs: they
become one table with the columns of every pass side by side, which ``passes.py`` then parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.passes import DISTANCE, LEAST_PASSES, is_run_of, which_of
from pipeline.ingest.recognise.profile import looks
from pipeline.ingest.recognise.vocabulary import MEASURED, NUMBERED, UNITS, base_of

LEAST_BARE = 3
"""So many numbers without a word must count up to be passes."""
MOST_DIGITS = 5
"""No run has a longer number, and Python turns no digits without end into one."""
MOSTLY = 0.7
_OTHER = frozenset({"time", "outcome", "notes", "lane"})
_KEYS = frozenset({"date", "venue", "event", "car", "run number", "round", "weekday", "time", ""})


@dataclass(frozen=True, slots=True)
class Grid:
    """A block of one quantity.

    Attributes
    ----------
    label
        Words for the quantity.
    keys, passes
        Texts above the columns on the left, and above those of the runs.
    rows
        Row number, the cells below the keys and those of the runs.
    line
        Row number of the headings.
    """

    label: str
    keys: tuple[str, ...]
    passes: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...], tuple[str, ...]], ...]
    line: int


def grids_in(lines: Sequence[Line], meaning: Meaning, name: str = "") -> list[Grid]:
    """Find the blocks of a sheet.

    Parameters
    ----------
    lines
        Every row of it.
    meaning
        The likeliest meaning of words.
    name
        Of the tab or file, which may say what stands in it.
    """
    filled = [(number, list(cells)) for number, cells in lines if any(cells)]
    heads = [(at, span) for at, (_, cells) in enumerate(filled) if (span := _passes_at(cells)) is not None]
    found: list[Grid] = []
    for which, (at, (low, high)) in enumerate(heads):
        end = heads[which + 1][0] if which + 1 < len(heads) else len(filled)
        above = filled[at - 1][1] if at else []
        title = next((text for text in above if text), "") if sum(map(bool, above)) == 1 else ""
        found += _grids_of(filled[at:end], low, high, (title, name), meaning)
    return found


def _passes_at(cells: Sequence[str]) -> tuple[int, int] | None:
    """Give the columns of a line whose texts count up from 1, or are days; None for any other line."""
    for low in range(min(len(cells), 6)):
        high = low
        while high < len(cells) and cells[high] and _number_of(cells[high]) == high - low + 1:
            high += 1
        least = LEAST_BARE if cells[low].isdecimal() else LEAST_PASSES
        if high - low >= least and any(cells[:low]):
            return low, high
        high = low
        while high < len(cells) and cells[high] and _is_day(cells[high]):
            high += 1
        if low and high - low >= LEAST_PASSES and not any(map(_is_day, cells[:low])):
            return low, high
    return None


def _number_of(text: str) -> int:
    if text.isdecimal():
        return int(text[:MOST_DIGITS])
    if not text or text[0] in ".-+":
        return 0
    which = which_of(text)
    return which.number if which is not None and not which.rest else 0


def _is_day(text: str) -> bool:
    return looks(text).is_date and DISTANCE.fullmatch(text) is None


def _grids_of(
    block: Sequence[Line], low: int, high: int, names: Sequence[str], meaning: Meaning
) -> list[Grid]:
    """Give the block below a line of passes: one quantity, or one a row where a column names it."""
    line, heads = block[0]
    body = [(number, cells) for number, cells in block[1:] if any(cells[low:high])]
    if not body:
        return []
    keys, passes = tuple(heads[:low]), tuple(heads[low:high])
    if (at := _label_column(body, low, meaning)) is not None:
        is_keyed = any(cells[place] for _, cells in body for place in range(low) if place != at)
        return _by_label(body, at, keys, passes, line) if is_keyed else []  # else these are cards
    corner = [text for text in keys if meaning(text)[0] not in _KEYS]
    label = next((text for text in (*names, *corner) if text and _is_quantity(*meaning(text))), "")
    values = [text for _, cells in body for text in cells[low:high] if text]
    if not label or (
        UNITS.get(meaning(label)[0])
        and sum(looks(text).number is not None for text in values) < MOSTLY * len(values)
    ):
        return []
    rows = tuple((number, tuple(cells[:low]), tuple(cells[low:high])) for number, cells in body)
    return [Grid(label, keys, passes, rows, line)]


def _is_quantity(name: str, likeness: float) -> bool:
    return likeness >= SAYS_IT and (name in UNITS or name in _OTHER) and name not in _KEYS - {"time"}


def _label_column(body: Sequence[Line], low: int, meaning: Meaning) -> int | None:
    """Find the column left of the passes that names what stands on each row."""
    for at in range(low):
        texts = [cells[at] for _, cells in body if cells[at]]
        times = Counter(map(folded, texts))
        good = sum(_is_quantity(*meaning(text)) for text in texts)
        if len(times) >= 2 and good >= MOSTLY * len(body) and max(times.values()) >= 2:
            return at
    return None


def _by_label(
    body: Sequence[Line], at: int, keys: tuple[str, ...], passes: tuple[str, ...], line: int
) -> list[Grid]:
    """Give a block a label; the rows of one day, or between two of the same label, are the same runs."""
    rows: dict[str, list[tuple[int, tuple[str, ...], tuple[str, ...]]]] = {}
    spelled: dict[str, str] = {}
    first, seen, held = 0, set[str](), [""] * len(keys)
    low = len(keys)
    for number, cells in body:
        label = folded(cells[at])
        own = [text for place, text in enumerate(cells[:low]) if place != at]
        is_new = any(text and folded(text) != folded(above) for text, above in zip(own, held, strict=False))
        if not first or label in seen or is_new:
            first, seen, held = number, set(), own
        seen.add(label)
        spelled.setdefault(label, cells[at])
        rows.setdefault(label, []).append((first, tuple(held), tuple(cells[low : low + len(passes)])))
    rest = tuple(text for place, text in enumerate(keys) if place != at)
    return [Grid(spelled[label], rest, passes, tuple(own), line) for label, own in rows.items() if label]


def as_one(grids: Sequence[Grid], meaning: Meaning) -> list[Line]:
    """Put blocks of the same runs side by side, at the rows of the first; empty when they are not such.

    Row keys that come again are told apart by which time they come.
    """
    if not grids or not any(meaning(grid.label)[0] in MEASURED for grid in grids):
        return []
    first = max(grids, key=lambda grid: len(grid.rows))
    family = [
        grid
        for grid in grids
        if list(map(folded, grid.passes[: len(first.passes)]))[: len(grid.passes)]
        == list(map(folded, first.passes))[: len(grid.passes)]
        and len(grid.keys) == len(first.keys)
        and base_of(meaning(grid.label)[0]) not in NUMBERED
    ]
    if is_run_of([_number_of(text) for text in first.passes]):
        passes = [f"Pass {at}" for at in range(1, len(first.passes) + 1)]
    else:
        passes = list(first.passes)
    labels = list(dict.fromkeys(grid.label for grid in family))
    heads = [*first.keys, *(f"{each} {label}" for each in passes for label in labels)]
    rows: dict[tuple[tuple[str, ...], int], tuple[int, tuple[str, ...], dict[str, tuple[str, ...]]]] = {}
    for grid in family:
        times: Counter[tuple[str, ...]] = Counter()
        for number, keys, values in grid.rows:
            own = tuple(map(folded, keys))
            times[own] += 1
            _, _, record = rows.setdefault((own, times[own]), (number, keys, {}))
            record.setdefault(grid.label, values)
    lines: list[Line] = [(first.line, heads)]
    for number, keys, record in rows.values():
        cells = list(keys)
        for at in range(len(passes)):
            cells += [
                values[at] if (values := record.get(label, ())) and at < len(values) else ""
                for label in labels
            ]
        lines.append((number, cells))
    return lines


def with_grids_joined(lines: Sequence[Line], meaning: Meaning, name: str) -> list[Line]:
    """Give the lines of a sheet whose blocks hold one quantity each as one table; others as they are."""
    found = grids_in(lines, meaning, name)
    joined = as_one(found, meaning)
    if not joined:
        return list(lines)
    first = joined[0][0]
    above = [line for line in lines if line[0] < first]
    width = max(len(cells) for _, cells in (*above, *joined))
    return [(number, [*cells, *[""] * (width - len(cells))]) for number, cells in (*above, *joined)]


def over_tabs(
    sheets: Mapping[str, Sequence[Line]], names: Mapping[str, str], meaning: Meaning
) -> dict[str, list[Line]]:
    """Join the blocks of several sheets: place of the first -> its lines; of the others -> none.

    Parameters
    ----------
    sheets
        Place of a sheet -> its lines.
    names
        Place of a sheet -> its tab or file, in words.
    meaning
        The likeliest meaning of words.
    """
    grids = {
        place: found
        for place, lines in sheets.items()
        if len(found := grids_in(lines, meaning, names[place])) == 1
    }
    if len(grids) < 2:
        return {}
    first = next(iter(grids))
    joined = as_one([grid for (grid,) in grids.values()], meaning)
    if not joined:
        return {}
    return {place: [] for place in grids} | {first: joined}
