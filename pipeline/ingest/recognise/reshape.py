"""Layouts that are no table of one run a row, turned into one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, Part
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.score import Heading
from pipeline.ingest.values import is_nothing

_PAIR = re.compile(
    r"^\s*([-+]?\d*[.,]?\d+)\s*(?:s|sec)?\s*(?:@|at\b|/|\||;|-|–|,\s)\s*([-+]?\d*[.,]?\d+)\s*(?:mph|km/?h)?\s*$",
    re.IGNORECASE,
)
LEAST_LABELS = 4


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
    column = _label_column(lines, meaning)
    if column is None:
        return None
    labels: list[str] = []
    records: list[tuple[int, str | dict[str, str]]] = []
    blocks = _blocks(lines, column, meaning)
    cards = sum(not isinstance(block, str) for _, block in blocks)
    for first, block in blocks:
        if isinstance(block, str):
            records.append((first, block))
            continue
        for at in _columns_beside(block, column):
            record: dict[str, str] = {}
            for _, cells in block:
                label = cells[column].strip().rstrip(":")
                if cells[at]:
                    record[label] = cells[at]
                    if label not in labels:
                        labels.append(label)
            records.append((first if cards > 1 else at + 1, record))
    body = [
        (
            number,
            [record, *[""] * len(labels)]
            if isinstance(record, str)
            else ["", *(record.get(label, "") for label in labels)],
        )
        for number, record in _numbered_apart(records)
    ]
    headings = [Heading("", ""), *(Heading(label, label) for label in labels)]
    return Part(body, frozenset(), headings) if cards else None


def _numbered_apart(
    records: list[tuple[int, str | dict[str, str]]],
) -> list[tuple[int, str | dict[str, str]]]:
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
    """Find a column most of whose cells are labels of different meanings."""
    width = len(lines[0][1]) if lines else 0
    for column in range(min(width, 3)):
        texts = [cells[column].rstrip(": ") for _, cells in lines[:400] if cells[column]]
        said = [meaning(text) for text in texts if len(text) < 40]
        names = {name for name, likeness in said if _is_label(name, likeness)}
        good = sum(_is_label(name, likeness) for name, likeness in said)
        if len(names) >= LEAST_LABELS + 1 and good >= 0.55 * len(texts):
            return column
    return None


def _blocks(lines: Sequence[Line], column: int, meaning: Meaning) -> list[tuple[int, str | list[Line]]]:
    """Cut where a label comes again that stood above; lines of words stand by themselves."""
    blocks: list[tuple[int, str | list[Line]]] = []
    seen: set[str] = set()
    for number, cells in lines:
        label = folded(cells[column])
        known = bool(label) and _is_label(*meaning(cells[column].rstrip(": ")))
        values = [text for text in cells[column + 1 :] if text]
        if not label or (not known and len(values) <= 2 and not any(number_of(text) for text in values)):
            blocks.append((number, " ".join(text for text in cells if text)))
            continue
        if label in seen or not seen or (isinstance(blocks[-1][1], str) and known and label in seen):
            blocks.append((number, []))
            seen = set()
        seen.add(label)
        next(block for _, block in reversed(blocks) if isinstance(block, list)).append((number, cells))
    return blocks


def _columns_beside(block: list[Line], column: int) -> list[int]:
    width = len(block[0][1])
    return [at for at in range(width) if at > column and sum(1 for _, cells in block if cells[at]) >= 2]


# --- one value a line


def gathered(part: Part, meaning: Meaning) -> Part | None:
    """Gather lines that each hold one value of a run, named in a column of its own.

    Returns
    -------
    Part or None
        One record a run, at the row of its first line.
    """
    body = [line for line in part.body if any(line[1])]
    column = next((at for at in range(len(part.headings)) if _holds_labels(body, at, meaning)), None)
    if column is None:
        return None
    value = _value_column(body, column)
    if value is None:
        return None
    others = [at for at in range(len(part.headings)) if at not in (column, value)]
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
    headings = [part.headings[at] for at in others] + [Heading(label, label) for label in labels]
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
    said = {text: meaning(text) for text in times}
    good = sum(count for text, count in times.items() if _is_label(*said[text]))
    names = {name for name, likeness in said.values() if _is_label(name, likeness)}
    return len(names) >= LEAST_LABELS and good >= 0.7 * len(texts)


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


# --- two numbers in one cell


def split_pairs(part: Part) -> Part:
    """Part columns whose cells hold a time and a speed, such as ``5.98 @ 115.2``."""
    body = part.body
    split = []
    for at in range(len(part.headings)):
        texts = [cells[at] for _, cells in body if not is_nothing(cells[at])]
        pairs = sum(_PAIR.match(text) is not None for text in texts)
        if texts and pairs >= 0.6 * len(texts) and part.headings[at].text and _are_time_and_speed(texts):
            split.append(at)
    if not split:
        return part
    headings: list[Heading] = []
    for at, heading in enumerate(part.headings):
        if at in split:
            bare = re.split(r"(?i)\s*(?:@|/|\bat\b|\band\b|&|\+|,|-)\s*(?=mph|speed|km)", heading.text)[0]
            headings += [Heading(f"{bare} et", f"{bare} et"), Heading(f"{bare} mph", f"{bare} mph")]
        else:
            headings.append(heading)
    lines = []
    for place, (number, cells) in enumerate(part.lines):
        out: list[str] = []
        for at, text in enumerate(cells):
            if at not in split:
                out.append(text)
            elif place in part.at or (found := _PAIR.match(text)) is None:
                out += [text, ""]
            else:
                out += [found[1], found[2]]
        lines.append((number, out))
    return Part(lines, part.at, headings, part.first)


def _are_time_and_speed(texts: Sequence[str]) -> bool:
    found = [match for text in texts if (match := _PAIR.match(text))]
    firsts = sorted(float(match[1].replace(",", ".")) for match in found)
    seconds = sorted(float(match[2].replace(",", ".")) for match in found)
    return 0.5 < firsts[len(firsts) // 2] < 30 and 40 < seconds[len(seconds) // 2] < 500


# --- two lanes on one row

_SIDES: tuple[tuple[str, frozenset[str]], ...] = (
    ("left", frozenset({"left", "l", "lh", "links", "li", "izq", "izquierda", "gauche"})),
    ("right", frozenset({"right", "r", "rh", "rechts", "re", "der", "derecha", "droite"})),
)
_OURS: tuple[tuple[str, frozenset[str]], ...] = (
    ("ours", frozenset({"me", "my", "mine", "us", "our", "ours", "own", "we", "i"})),
    (
        "theirs",
        frozenset(
            {"opp", "opponent", "them", "their", "theirs", "his", "her", "him", "other", "rival", "foe"}
        ),
    ),
)


def lanes_of(part: Part) -> list[tuple[str, Part]]:
    """Part a table that holds both lanes on one row into one a lane.

    Returns
    -------
    list of tuple
        ``left`` or ``right``, or ``ours``, with the columns of that lane and the common ones; empty when
        the table holds one run a row.
    """
    for sides in (_SIDES, _OURS):
        stripped = [_side_of(heading, sides) for heading in part.headings]
        counts = Counter(side for side, _ in stripped if side)
        rests = {side: {folded(rest.text) for own, rest in stripped if own == side} for side, _ in sides}
        names = [side for side, _ in sides]
        least = min(counts[name] for name in names)
        if least >= 3 and len(rests[names[0]] & rests[names[1]]) >= 3:
            return [
                (name, _lane(part, stripped, name)) for name in names if name != "theirs"
            ]  # fmt: skip
        if sides is _OURS and counts["theirs"] >= 3:
            return [("ours", _lane(part, stripped, "ours"))]
    return []


def without_side(text: str) -> str:
    """Take the lane off a heading such as ``LEFT 60`` or ``RT right``."""
    for sides in (_SIDES, _OURS):
        side, rest = _side_of(Heading(text, text), sides)
        if side:
            return rest.text
    return text


def _side_of(heading: Heading, sides: tuple[tuple[str, frozenset[str]], ...]) -> tuple[str, Heading]:
    words = re.findall(r"[^\W_]+|[^\w\s]+", heading.text)
    for side, ways in sides:
        for at in (0, len(words) - 1):
            if len(words) > 1 and words[at].casefold() in ways:
                start = heading.text.find(words[at]) if at == 0 else heading.text.rfind(words[at])
                rest = (heading.text[:start] + heading.text[start + len(words[at]) :]).strip(" -_.:()/'")
                return side, Heading(rest or heading.text, rest or heading.own, heading.unit)
    return "", heading


def _lane(part: Part, stripped: list[tuple[str, Heading]], name: str) -> Part:
    kept = [at for at, (side, _) in enumerate(stripped) if side in ("", name)]
    lines = [(number, [cells[at] for at in kept]) for number, cells in part.lines]
    return Part(lines, part.at, [stripped[at][1] for at in kept], part.first)
