"""Long tables: lines of one value each, named in a column of its own, gathered to a line a run or change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.garage.units import is_unit
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.label_lines import LEAST_LABELS, MOST_TITLED
from pipeline.ingest.recognise.layout import Line, Meaning, Part
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.reshape import is_label, is_value
from pipeline.ingest.recognise.vocabulary import SETTINGS

HALF = 0.5
MOST_ABOVE = 4
"""Lines of words that may stand above the headings."""


def below_first_line(lines: Sequence[Line]) -> list[Part]:
    """Take the first line for headings, whatever its words, where every cell is one and none repeats."""
    for at, (_, cells) in enumerate(lines[:MOST_ABOVE]):
        heads = [text for text in cells if text]
        if any(map(is_value, heads)):
            return []
        if len(heads) >= LEAST_LABELS:
            is_plain = len(set(heads)) == len(heads)
            headings = [Heading(text, text) for text in cells]
            return [Part(list(lines), frozenset({at}), headings)] if is_plain else []
    return []


def gathered(part: Part, meaning: Meaning) -> Part | None:
    """Gather lines that each hold one value of a run, named in a column of its own.

    Returns
    -------
    Part or None
        One record a run, at the row of its first line.
    """
    body = [line for line in part.body if any(line[1])]
    columns = [at for at in range(len(part.headings)) if _holds_labels(body, at, meaning)]
    column = next(iter(columns), None)
    if sum(_has_values_beside(body, at, columns) for at in columns) > 1:
        return None  # cards with several labels a line
    if column is None or folded(part.headings[column].own) in {folded(cells[column]) for _, cells in body}:
        return None
    value = _value_column(body, column)
    if value is None:
        return None
    others = [at for at in range(len(part.headings)) if at not in (column, value)]
    unit = next((at for at in others if _are_units(body, at)), None)
    units = {} if unit is None else {cells[column]: cells[unit] for _, cells in body if cells[unit]}
    others = [at for at in others if at != unit]
    labels: list[str] = []
    records: list[tuple[int, list[str], dict[str, str]]] = []
    is_log = {meaning(label)[0] for label in {cells[column] for _, cells in body}} <= {*SETTINGS}
    keys = [at for at in others if is_log and meaning(part.headings[at].text)[0] in ("date", "time")]
    keys = keys or [at for at in others if _is_key(body, at)][:1]
    last: dict[int, str] = {}
    for number, cells in body:
        label, own = cells[column], {at: cells[at] for at in keys if cells[at]}
        if not records or label in records[-1][2] or any(last.get(at, own[at]) != own[at] for at in own):
            records.append((number, [""] * len(cells), {}))
        last |= own
        _, common, record = records[-1]
        for at in others:
            common[at] = common[at] or cells[at]
        record[label] = cells[value]
        if label not in labels:
            labels.append(label)
    headings = [part.headings[at] for at in others] + [
        Heading(label, label, units.get(label, "")) for label in labels
    ]
    lines = [
        (number, [common[at] for at in others] + [record.get(label, "") for label in labels])
        for number, common, record in records
    ]
    return Part(lines, frozenset(), headings)


def _holds_labels(body: Sequence[Line], column: int, meaning: Meaning) -> bool:
    texts = [cells[column] for _, cells in body[:300] if cells[column]]
    if len(texts) < 8:
        return False
    times = Counter(texts)
    if sum(count >= 2 for count in times.values()) < 0.5 * len(times):
        return False
    names, good = set(), len(texts)
    for text, count in times.items():
        said = meaning(text)
        if is_label(*said):
            names.add(said[0])
        elif (good := good - count) < 0.7 * len(texts):
            return False
    return len(names) >= LEAST_LABELS or (len(names) > 1 and names <= {*SETTINGS})


def _has_values_beside(body: Sequence[Line], at: int, labels: Sequence[int]) -> bool:
    beside = at + 1
    if beside in labels or beside >= len(body[0][1]) or _are_units(body, at) or _are_units(body, beside):
        return False
    return sum(bool(cells[beside]) for _, cells in body) > HALF * len(body)


def _are_units(body: Sequence[Line], column: int) -> bool:
    texts = [cells[column] for _, cells in body if cells[column]]
    return len(texts) >= HALF * len(body) and sum(map(is_unit, texts)) >= MOST_TITLED * len(texts)


def _value_column(body: Sequence[Line], label: int) -> int | None:
    width = len(body[0][1])
    filled = {at: sum(1 for _, cells in body if cells[at]) for at in range(width) if at != label}
    numbers = {
        at: sum(1 for _, cells in body if number_of(cells[at]) is not None)
        for at in filled
        if filled[at] > 0.8 * len(body)
    }
    right = [at for at in numbers if at > label] or list(numbers)
    return max(right, key=lambda at: numbers[at], default=None)


def _is_key(body: Sequence[Line], column: int) -> bool:
    texts = [cells[column] for _, cells in body]
    runs = sum(1 for above, below in pairwise(texts) if below and above != below)
    return all(texts) and 1 <= runs < 0.5 * len(texts)
