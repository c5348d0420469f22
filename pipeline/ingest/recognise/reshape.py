"""Layouts that are no table of one run a row, turned into one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.ditto import is_ditto
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

JOINING = frozenset({"at", "@", "in", "on", "-", "–", "vs"})
_COUNTED = re.compile(r"^\W*[^\W\d]{2,12}\W{1,3}\d{1,3}\W+(?=[^\W\d]{2})")
"""Which card it is, before the words above it: ``CARD 12 Quarry Road``."""
Label = tuple[str, int]
"""Words beside values, and which time they come on their card."""


def is_label(name: str, likeness: float) -> bool:
    """Tell whether words that mean so much are a label."""
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
        last: dict[Label, str] = {}
        for at in _columns_beside(block, column):
            record = shared | _record(block, column, at, sorts)
            last |= {label: text for label, text in record.items() if not is_ditto(text)}
            record = {label: last.get(label, text) for label, text in record.items()}
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
    above = {
        at: _COUNTED.sub("", _strip_above(records, at))
        for at in cards
        if at and isinstance(records[at - 1][1], str)
    }
    titles = {
        at: text for at, text in above.items() if isinstance(text, str) and re.fullmatch(r"\D{3,40}", text)
    }
    is_named = any(
        meaning(label[0])[0] == "venue" and re.search(r"[^\W\d_]{2}", text)
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
        del records[at - 1 if str(records[at - 1][1]).endswith(titles[at]) else at - 2]


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
        names = {name for name, likeness in said if is_label(name, likeness)}
        good = sum(is_label(name, likeness) for name, likeness in said)
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
        known = bool(label) and (label in often or is_label(*meaning(cells[column].rstrip(": "))))
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
        if not label or is_title or (not known and len(values) <= 2 and not any(map(is_value, values))):
            blocks.append((number, " ".join(text for text in cells if text)))
            continue
        if not seen or (label == starter if starter else seen[label] >= most.get(label, 1)):
            blocks.append((number, []))
            seen = Counter()
        seen[label] += 1
        next(block for _, block in reversed(blocks) if isinstance(block, list)).append((number, cells))
    return blocks


def is_value(text: str) -> bool:
    """Tell whether a cell holds a number, a day or a time of day."""
    looked = looks(text)
    return bool(looked.number) or looked.is_date or looked.is_clock


def _starter(lines: Sequence[Line], column: int, meaning: Meaning) -> str:
    """Give the label with which every card begins, where each card then holds most labels; empty else."""
    labels = [
        folded(cells[column])
        for _, cells in lines
        if cells[column] and is_label(*meaning(cells[column].rstrip(": ")))
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
    usual = sorted(times[own] for own, text in known.items() if is_label(*meaning(text.rstrip(": "))))
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
