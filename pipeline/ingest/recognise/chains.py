"""Slips written as a chain in a line of notes: ``1.439 / 4.051 / 6.140 @ 115.6``."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise

import numpy as np

from pipeline.ingest.recognise.assign import RATIOS
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.vocabulary import SAYS_IT, SPEEDS, SPLITS, Meaning

Notes = Sequence[tuple[int, str | dict[str, str]]]
"""Row number with a line of words, or with what a line names."""
LISTED = re.compile(r"(?:et|speed) \d+$")
LEAST_LISTED = 3
LONGEST_REACTION = 0.9
"""A list may begin with the reaction [s]: its middle is less than this, the next time's more."""
_DECIMAL = re.compile(r"\d[.,]\d")
_PIECE = r"[^\s/@,;]*\d[^\s/@;]*|[-–—]"
_UNIT = r"(?:\s*(?:mph|km/?[htu])\b)?"
_CHAIN = re.compile(rf"(?i)(?<![\w/@])(?:{_PIECE}){_UNIT}(?:\s*[/@]\s*(?:{_PIECE}){_UNIT}){{2,}}(?!\s*\.?\d)")
_BARE = r"[-+]?\d*[.,]\d{1,3}(?![\d:]|\s?(?:t|turns?|g|gr|grams?|psi|bar)\b)"
_APART = r"(?:[\s,;/|@()]+|\s*(?:mph|km/?[htu]|s|sec)\b[\s,;/|()]*)"
_SPEED = r"(?:[5-9]\d|[1-4]\d\d)(?![\d:]|[.,]\d|\s?(?:ft|foot|m)\b)"
_BARE_CHAIN = re.compile(
    rf"(?i)(?<![\w/@.,:]){_BARE}(?:{_APART}{_BARE}|(?:(?<=[.,]\d\d)|(?<=[.,]\d\d\d)){_APART}{_SPEED}){{3,}}"
)
"""Numbers side by side with next to nothing between; a whole number behind a time is a speed."""
_IS_DISTANCE = re.compile(r"60|100|20[01]|30[05]|330|40[02]")
_MORE = re.compile(rf"(?i)(?:\s*,\s*{_BARE}(?:\s*[/@]\s*{_BARE})+)+")
"""What of a chain stands on the next line of a card."""
LEAST_SPEED = 40.0
_SPEED_UNITS = frozenset({"mph", "km", "h", "t", "u", "kmh", "kmt", "kmu", "km/h", "s", "sec"})
_AT = re.compile(r"(?i)(?<=[\dOlS])\s+at\s+(?=[\dOlS]{2,3}[.,][\dOlS])")
_REACTION = re.compile(r"(?<![\w.,:/])([-+−]?0?[.,]\d{2,3})\s*[,;:]?\s*$")
"""A part of a second right before a chain is the reaction."""
_NAMED = re.compile(r"(?i)(?:\b(?:60|330|660|1000|1320|1/[48]|eighth|quarter|ft|foot|mile|et|rt)|')\W*$")
"""What stands before a time that is named, and so begins no chain."""


def chain_in(text: str) -> tuple[str, dict[str, str]]:
    """Take a slip that is written as a chain out of a line: ``1.439 / 4.051 / 6.140 @ 115.6``.

    What stands between the numbers may be anything but words; what is too large for a time is a speed.
    """
    text = _AT.sub(" @ ", text) if "/" in text else text
    chain = next(
        (
            one
            for one in _CHAIN.finditer(text)
            if len(_DECIMAL.findall(one[0])) >= 2 and not _NAMED.search(text[: one.start()])
        ),
        None,
    ) or next((one for one in _BARE_CHAIN.finditer(text) if _is_slip(text, one)), None)
    if chain is None:
        return text, {}
    before = text[: chain.start()]
    found: dict[str, str] = {}
    if (reaction := _REACTION.search(before)) is not None and not _NAMED.search(before[: reaction.start()]):
        found["rt"], before = reaction[1], before[: reaction.start()]
    place = 0
    whole = chain[0]
    if (more := _MORE.match(text, chain.end())) is not None:
        whole += more[0]
    for mark, piece in re.findall(r"([/@]?)[\s,;|()]*([^\s/@|()]*[^\s/@,;.)|(])", whole):
        if piece.casefold() in _SPEED_UNITS:
            continue
        value = number_of(piece)
        is_speed = mark == "@" or (value is not None and value[0] >= LEAST_SPEED)
        place += not is_speed
        if piece.strip("-–—"):
            found[f"speed {place}" if is_speed else f"et {place}"] = piece
    return f"{before} , {text[chain.start() + len(whole) :]}", found


def _is_slip(text: str, chain: re.Match[str]) -> bool:
    """Tell whether numbers side by side are the growing times of a slip."""
    values = [float(piece.replace(",", ".")) for piece in re.findall(r"\d*[.,]\d{1,3}(?!\d)", chain[0])]
    times = [value for value in values if value < LEAST_SPEED]
    whole = re.findall(r"(?<![\d.,])\d{2,3}(?![\d.,])", chain[0])
    if len(whole) > 1 and all(map(_IS_DISTANCE.fullmatch, whole)):
        return False
    is_growing = all(one < other for one, other in pairwise(times))
    return len(times) >= LEAST_LISTED and is_growing and not _NAMED.search(text[: chain.start()])


def in_their_places(rows: Notes) -> None:
    """Move times of a chain that lacks one to the places where such times stand in the others."""
    chains = list(_chains(rows))
    counts = [sum(label.startswith("et ") for label in row) for row in chains]
    usual = max(set(counts), key=counts.count, default=0)
    whole = [row for row, count in zip(chains, counts, strict=True) if count == usual]
    middles = [
        np.median([found[0] for row in whole if (found := number_of(row.get(f"et {place}", "")))] or [np.nan])
        for place in range(1, usual + 1)
    ]
    for row, count in zip(chains, counts, strict=True):
        values = [number_of(row.get(f"et {place}", "")) for place in range(1, count + 1)]
        if not 1 < count < usual or not all(values):
            continue
        logs = np.log([max(value[0], 1e-3) for value in values if value])
        ways = combinations(range(usual), count)
        best = min(ways, key=lambda way: float(np.abs(logs - np.log([middles[at] for at in way])).sum()))
        moved = {
            f"{word} {best[place - 1] + 1}": row.pop(f"{word} {place}")
            for word in ("et", "speed")
            for place in range(count, 0, -1)
            if f"{word} {place}" in row
        }
        row |= moved


def in_order(rows: Notes, labels: Sequence[str]) -> list[str]:
    """Give the labels of a chain in its order, each speed behind its time; the others as they came."""
    every = list(
        dict.fromkeys([*labels, *(name for _, row in rows if isinstance(row, dict) for name in row)])
    )
    chain = sorted(filter(LISTED.match, every), key=lambda label: (label.split()[1], label))
    others = [label for label in every if label not in chain]
    at = sum(every.index(label) < min(map(every.index, chain)) for label in others) if chain else 0
    return [*others[:at], *chain, *others[at:]]


def meanings_of(rows: Notes) -> dict[str, str]:
    """Give the split of each time of the chains, and the speed beside it, by how the times compare.

    The first may be the reaction.
    """
    chains = list(_chains(rows))
    labels = sorted({label for row in chains for label in row if label.startswith("et ")})
    if not LEAST_LISTED <= len(labels) <= len(SPLITS) + 1:
        return {}
    times = [[found[0] for row in chains if (found := number_of(row.get(own, "")))] for own in labels]
    if not all(times):
        return {}
    middles = [float(np.median(own)) for own in times]
    ways = [*combinations(SPLITS, len(labels))]
    if middles[0] < LONGEST_REACTION < middles[1]:
        ways += [("reaction_s", *way) for way in combinations(SPLITS, len(labels) - 1)]
    fitting = [way for way in ways if _compare(way, middles)]
    if len(fitting) != 1:
        return {}
    speeds = dict(zip(("t660_s", "t1320_s"), SPEEDS, strict=True))
    meant = dict(zip(labels, fitting[0], strict=True))
    beside = {own.replace("et", "speed"): speeds[name] for own, name in meant.items() if name in speeds}
    return meant | beside


def _compare(way: Sequence[str], middles: Sequence[float]) -> bool:
    """Tell whether times compare as those of these splits do."""
    own = dict(zip(way, middles, strict=True))
    return all(
        low * own[lower] <= own[upper] <= high * own[lower]
        for (upper, lower), (low, high) in RATIOS.items()
        if upper in own and lower in own
    )


def _chains(rows: Notes) -> Iterator[dict[str, str]]:
    """Give the lines that hold a chain."""
    return (row for _, row in rows if isinstance(row, dict) and "et 1" in row)


def named_alike(
    rows: list[tuple[int, str | dict[str, str]]],
    labels: list[str],
    meaning: Meaning,
    meant: Mapping[str, str],
) -> tuple[list[tuple[int, str | dict[str, str]]], list[str]]:
    """Let words that mean the same be one label: ``60``, ``sixty`` and ``60 foot``; a chain's times first."""
    first = {name: own for own in labels if (name := meant.get(own.removesuffix(" km/h")))}
    alike: dict[str, str] = {}
    for label in labels:
        name, likeness = meaning(label)
        is_said = likeness >= SAYS_IT and not name.startswith("tick ")
        is_known = is_said and not LISTED.match(label) and not label.startswith("name of ")
        is_apart = name in first and any(
            isinstance(row, dict) and {label, first[name]} <= row.keys() for _, row in rows
        )  # what stands twice on a line is two things
        alike[label] = first.setdefault(name, label) if is_known and not is_apart else label
    renamed: list[tuple[int, str | dict[str, str]]] = []
    for number, row in rows:
        if isinstance(row, dict):
            own: dict[str, str] = {}
            for label, text in row.items():
                own.setdefault(alike.get(label, label), text)
            renamed.append((number, own))
        else:
            renamed.append((number, row))
    return renamed, list(dict.fromkeys(alike[label] for label in labels))
