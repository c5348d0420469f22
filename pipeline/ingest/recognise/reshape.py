"""Layouts that are no table of one run a row, turned into one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.garage.units import is_unit
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.label_lines import (
    LEAST_LABELS,
    MOST_TITLED,
    ONCE,
    cards_apart,
    one_label_a_line,
    pairs_apart,
    timed,
    titles_apart,
    with_units,
)
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, Part, is_heading
from pipeline.ingest.recognise.profile import looks, number_of
from pipeline.ingest.recognise.tokens import tokens

MOST_ABOVE = 4
"""Lines of words that may stand above the headings."""
HALF = 0.5
JOINING = frozenset({"at", "@", "in", "on", "-", "–", "vs"})
Label = tuple[str, int]
"""Words beside values, and which time they come on their card."""


def _is_label(name: str, likeness: float) -> bool:
    return likeness >= SAYS_IT and not name.startswith("tick ")


# --- labels down the side


def turned(lines: Sequence[Line], meaning: Meaning) -> Part | None:
    """Read labels that stand down a column: one run a column beside it, or card under card.

    Parameters
    ----------
    lines
        Every row of the sheet.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    Part or None
        One record a line. The row is that of a card's first line, or the number of a run's column.
    """
    lines = titles_apart(pairs_apart(cards_apart(lines)))
    column = _label_column(lines, meaning)
    if column is None:
        return None
    lines = with_units(one_label_a_line(timed(lines, column), column, meaning), column)
    labels: list[Label] = []
    records: list[tuple[int, str | dict[Label, str]]] = []
    blocks = _blocks(lines, column, meaning)
    cards = sum(not isinstance(block, str) for _, block in blocks)
    sorts: dict[Label, bool] = {}
    for first, block in blocks:
        if isinstance(block, str):
            records.append((first, block))
            continue
        shared = _shared(block, column, meaning)
        held: dict[Label, str] = {}
        for at in _columns_beside(block, column):
            record = shared | _record(block, column, at, sorts)
            held |= {label: text for label, text in record.items() if meaning(label[0])[0] in ONCE}
            record = held | record  # a blank in a day's row of runs means the same as to its left
            _add_labels(labels, record)
            records.append((first if cards > 1 else at + 1, record))
    _take_titles(records, labels, meaning)
    body = [
        (
            number,
            [record, *[""] * len(labels)]
            if isinstance(record, str)
            else ["", *(record.get(label, "") for label in labels)],
        )
        for number, record in _numbered_apart(records)
    ]
    headings = [Heading("", ""), *(Heading(label, label) for label, _ in labels)]
    return Part(body, frozenset(), headings) if cards else None


def _take_titles(
    records: list[tuple[int, str | dict[Label, str]]], labels: list[Label], meaning: Meaning
) -> None:
    """Take the line of words right above each card for the strip, where no label names one."""
    cards = [at for at, (_, record) in enumerate(records) if not isinstance(record, str)]
    above = {at: _strip_above(records, at) for at in cards if at and isinstance(records[at - 1][1], str)}
    titles = {
        at: text for at, text in above.items() if isinstance(text, str) and re.fullmatch(r"\D{3,40}", text)
    }
    is_named = any(
        meaning(label[0])[0] == "venue" and number_of(text) is None
        for _, record in records
        if not isinstance(record, str)
        for label, text in record.items()
    )
    if len(cards) < LEAST_LABELS or len(titles) < MOST_TITLED * len(cards) or is_named:
        return
    if len(set(titles.values())) > len(titles) / 2:
        return
    label = ("strip", 1)
    labels.insert(0, label)
    for at, text in titles.items():
        number, record = records[at]
        if not isinstance(record, str):
            records[at] = (number, {label: _alone(text, titles.values())} | record)
    for at in sorted(titles, reverse=True):
        del records[at - 1 if records[at - 1][1] == titles[at] else at - 2]


def _alone(title: str, titles: Collection[str]) -> str:
    """Give a title without what a dash puts behind it, where it also stands without."""
    first = re.split(r"\s+[-–—|]\s+", title)[0].strip()
    return first if first in titles else title.strip()


def _strip_above(records: Sequence[tuple[int, str | dict[Label, str]]], at: int) -> str:
    """Give the line of words above a card that is a strip's name: one that says so, else the nearest."""
    words = [text for _, text in records[max(0, at - 2) : at] if isinstance(text, str)]
    return next((text for text in words if "strip" in tokens(text)), words[-1])


def _record(block: list[Line], column: int, at: int, sorts: dict[Label, bool]) -> dict[Label, str]:
    """Give what one column beside the labels holds; a label that comes twice is two.

    A speed alone is the one at the distance above it. ``sorts`` keeps which of them hold numbers, so that a
    card that has only the second keeps it in its place.
    """
    times: Counter[str] = Counter()
    record: dict[Label, str] = {}
    repeated = {label for label, count in Counter(cells[column] for _, cells in block).items() if count > 1}
    far = ""
    for _, cells in block:
        label = cells[column].strip().rstrip(":")
        if {"d660", "d1320"} & set(tokens(label)):
            far = label
        elif far and tokens(label) == ("mph",):
            label = f"{far} {label}"
        times[label] += 1
        if not cells[at]:
            continue
        is_number = number_of(cells[at]) is not None
        if label in repeated or (label, 2) in sorts:
            while sorts.setdefault((label, times[label]), is_number) != is_number:
                times[label] += 1
        record[label, times[label]] = cells[at]
    return record


def _shared(block: list[Line], column: int, meaning: Meaning) -> dict[Label, str]:
    """Give what is written once for all runs of a card: its date, strip, event and car."""
    found: dict[Label, str] = {}
    for _, cells in block:
        label, values = cells[column].strip().rstrip(":"), [text for text in cells[column + 1 :] if text]
        name, likeness = meaning(label)
        if len(values) == 1 and cells[column + 1] and name in ONCE and likeness >= SAYS_IT:
            found[label, 1] = values[0]
    return found


def _add_labels(labels: list[Label], record: Mapping[Label, str]) -> None:
    """Put labels not seen before behind the one they follow, so that each speed stays beside its time."""
    place = 0
    for label in record:
        if label in labels:
            place = labels.index(label) + 1
        else:
            labels.insert(place, label)
            place += 1


def _numbered_apart(
    records: list[tuple[int, str | dict[Label, str]]],
) -> list[tuple[int, str | dict[Label, str]]]:
    """Give every record a row number of its own."""
    taken: set[int] = set()
    apart = []
    for number, record in records:
        while number in taken:
            number += 1
        taken.add(number)
        apart.append((number, record))
    return apart


def _label_column(lines: Sequence[Line], meaning: Meaning) -> int | None:
    """Find a column most of whose cells are labels of different meanings; a line of headings has none."""
    width = len(lines[0][1]) if lines else 0
    lines = [line for line in lines[:400] if is_heading(line[1], meaning) < LEAST_LABELS]
    for column in range(min(width, 3)):
        texts = [cells[column].rstrip(": ") for _, cells in lines if cells[column]]
        said = [meaning(text) for text in texts if len(text) < 40]
        names = {name for name, likeness in said if _is_label(name, likeness)}
        good = sum(_is_label(name, likeness) for name, likeness in said)
        if len(names) >= LEAST_LABELS + 1 and good >= 0.55 * len(texts):
            return column
    return None


def _blocks(lines: Sequence[Line], column: int, meaning: Meaning) -> list[tuple[int, str | list[Line]]]:
    """Cut where a label comes again that stood above; lines of words stand by themselves."""
    blocks: list[tuple[int, str | list[Line]]] = []
    seen: Counter[str] = Counter()
    most = _times_a_card(lines, column)
    starter = _starter(lines, column, meaning)
    often = _on_each_card(lines, column, meaning)
    for number, cells in lines:
        label = folded(cells[column])
        known = bool(label) and (label in often or _is_label(*meaning(cells[column].rstrip(": "))))
        values = [text for text in cells[column + 1 :] if text]
        is_title = bool(values) and (
            values[0].casefold() in JOINING
            or (
                not known
                and len(values) == 1
                and looks(values[0]).is_date
                and not (seen and cells[column + 1])
            )
        )
        if not label or is_title or (not known and len(values) <= 2 and not any(map(_is_value, values))):
            blocks.append((number, " ".join(text for text in cells if text)))
            continue
        if not seen or (label == starter if starter else seen[label] >= most.get(label, 1)):
            blocks.append((number, []))
            seen = Counter()
        seen[label] += 1
        next(block for _, block in reversed(blocks) if isinstance(block, list)).append((number, cells))
    return blocks


def _is_value(text: str) -> bool:
    looked = looks(text)
    return bool(looked.number) or looked.is_date or looked.is_clock


def _starter(lines: Sequence[Line], column: int, meaning: Meaning) -> str:
    """Give the label with which every card begins, where each card then holds most labels; empty else."""
    labels = [
        folded(cells[column])
        for _, cells in lines
        if cells[column] and _is_label(*meaning(cells[column].rstrip(": ")))
    ]
    starts = [at for at, label in enumerate(labels) if label == labels[0]]
    whole = len(set(labels))
    sizes = [len(set(labels[low:high])) for low, high in pairwise([*starts, len(labels)])]
    is_each = len(starts) >= 2 and sum(size >= 0.6 * whole for size in sizes) >= MOST_TITLED * len(sizes)
    return labels[0] if is_each else ""


def _on_each_card(lines: Sequence[Line], column: int, meaning: Meaning) -> set[str]:
    """Give the words beside values that come as often as the labels that are known, whatever they mean."""
    times = Counter(folded(cells[column]) for _, cells in lines if cells[column] and any(cells[column + 1 :]))
    known = {folded(text): text for _, cells in lines if (text := cells[column])}
    usual = sorted(times[own] for own, text in known.items() if _is_label(*meaning(text.rstrip(": "))))
    least = max(LEAST_LABELS, MOST_TITLED * usual[len(usual) // 2]) if usual else len(lines)
    return {label for label, count in times.items() if label and count >= least}


def _times_a_card(lines: Sequence[Line], column: int) -> dict[str, int]:
    """Give how often a label stands on one card, where that is more than once."""
    counts = Counter(folded(cells[column]) for _, cells in lines if cells[column])
    usual = sorted(counts.values())[int(0.75 * (len(counts) - 1))]
    if usual == 1:
        return dict(counts)  # one card
    return {
        label: round(count / usual) for label, count in counts.items() if usual > 1 and count >= 1.6 * usual
    }


def _columns_beside(block: list[Line], column: int) -> list[int]:
    width = len(block[0][1])
    return [at for at in range(width) if at > column and sum(1 for _, cells in block if cells[at]) >= 2]


# --- one value a line


def below_first_line(lines: Sequence[Line]) -> list[Part]:
    """Take the first line for headings, whatever its words, where every cell is one and none repeats."""
    for at, (_, cells) in enumerate(lines[:MOST_ABOVE]):
        heads = [text for text in cells if text]
        if any(map(_is_value, heads)):
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
    key_column = next((at for at in others if _is_key(body, at)), None)
    last_key: str | None = None
    for number, cells in body:
        label = cells[column]
        key = cells[key_column] if key_column is not None else None
        if not records or label in records[-1][2] or (key and last_key and key != last_key):
            records.append((number, [""] * len(cells), {}))
        last_key = key or last_key
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
        if _is_label(*said):
            names.add(said[0])
        elif (good := good - count) < 0.7 * len(texts):
            return False
    return len(names) >= LEAST_LABELS


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
