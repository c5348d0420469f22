"""Columns whose cells hold several numbers of the air or of the setup: ``60/51/29.63``, ``3 1/4, 12, 6200``.

What each number is follows from where it lies, from what the heading lists, and from the usual order.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import SAYS_IT, Meaning, Part
from pipeline.ingest.recognise.profile import is_date, looks, number_of
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.told import ONLY_OF
from pipeline.ingest.recognise.units import OTHERS, as_unit, named_unit
from pipeline.ingest.recognise.vocabulary import NUMBERED, SETTINGS, SPEEDS, SPLITS, TYPICAL, UNITS
from pipeline.ingest.step_words import says_as_above
from pipeline.ingest.values import is_nothing, with_halves

MOSTLY, SOME = 0.6, 0.3
LEAST_CELLS, MOST_PIECES, MOST_OF_A_SLIP = 2, 5, 3
LISTED, HINTED, HALF_SAID = 0.6, 0.5, 0.4
"""What it is worth that the heading lists a meaning there, and that it has a word for the whole; how well a
word must say it to speak for a meaning that the numbers allow too."""
OTHER_UNIT, OUT_OF_TURN = 0.25, 0.06
"""What another unit costs, and another order than the usual one."""
SELDOM: Mapping[str, float] = {
    "dew_point_degf": 0.3, "grains": 0.4, "track_temp_degf": 0.3, "tire_pressure_psi": 0.1,
}  # fmt: skip
"""What is less often written so costs."""
LEAST_EACH, CLEARLY, AS_WELL = 0.6, 0.3, 0.2
_TIGHT = r"\s*/\s*"
_TIGHTLY, _LISTING, LISTED_TIGHTLY = re.compile(_TIGHT), re.compile(r"\s+/\s+"), 2
"""A heading lists things with a slash between them; without blanks beside it where there are so many."""
_BETWEEN = tuple(
    re.compile(between)
    for between in (
        r"\s*[|;]\s*", r"\s+/\s+", _TIGHT, r"\s*,\s+", r"\s+[-–—]+\s+", r"(?<=\d)[-–—](?=[-\d])", r"\s+",
    )
)  # fmt: skip
_MIXED = re.compile(r"(?<![\d.])(\d+)[ -](\d)/(\d{1,2})(?![\d.])")
_FRACTION = re.compile(r"(?<![\d./])(\d)/(\d{1,2})(?![\d./])")
_GROUPS: Mapping[str, tuple[tuple[str, ...], str]] = {
    "air": (
        ("air_temp_degf", "humidity_pct", "pressure_inhg", "dew_point_degf", "grains", "track_temp_degf"),
        "air weather wx cond conditions atmosphere atmos wetter aire ambient",
    ),
    "setup": (SETTINGS, "setup setups tune clutch settings setting set combo kupplung adjustments"),
    "slip": (("reaction_s", *SPLITS, *SPEEDS), "slip times time splits et ets incrementals"),
}
"""Kinds of cells, with their columns in the usual order and words for the whole."""
_LETTERS: Mapping[str, str] = {
    "air_temp_degf": "t a at f c", "humidity_pct": "h rh r hum", "pressure_inhg": "b p bp baro in",
    "grains": "g gr", "dew_point_degf": "d dp", "track_temp_degf": "tt trk s", "preload_turns": "t p turns",
    "counterweight_g": "c w cw g", "launch_rpm": "r l rpm", "tire_pressure_psi": "psi tp",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of several numbers a cell: its cells parted, each text once."""

    count: int
    cells: Mapping[str, list[str]]
    names: Sequence[tuple[str, str]]
    """What each number is, and what it may as well be."""


def pieces_apart(part: Part, meaning: Meaning) -> Part:
    """Part columns whose cells hold two to five numbers of the air, the setup or the slip.

    Parameters
    ----------
    part
        A table.
    meaning
        The likeliest meaning of a heading.

    Returns
    -------
    Part
        With a column a number, its meaning with its heading; as it was where it is not clear what they are.
    """
    found = {at: own for at in range(len(part.headings)) if (own := _parted(part, at, meaning))}
    if not found:
        return part
    headings: list[Heading] = []
    for at, heading in enumerate(part.headings):
        names = found[at].names if at in found else ()
        words = _listed(heading.text, len(names)) or [""] * len(names)
        headings += [
            Heading(
                f"{heading.text} [{which}]", f"{heading.own} [{which}]", _unit_in(word, name), name, rival
            )
            for which, (word, (name, rival)) in enumerate(zip(words, names, strict=True), start=1)
        ] or [heading]
    lines = []
    for place, (number, cells) in enumerate(part.lines):
        out: list[str] = []
        for at, text in enumerate(cells):
            own = found.get(at)
            if own is None:
                out.append(text)
            elif place in part.at or text not in own.cells:
                out += [text] * own.count if says_as_above(text) else [text, *[""] * (own.count - 1)]
            else:
                out += own.cells[text]
        lines.append((number, out))
    places = [part.places[at] if part.places else at for at in range(len(part.headings))]
    spread = [place for at, place in enumerate(places) for _ in range(found[at].count if at in found else 1)]
    return Part(lines, part.at, headings, part.first, tuple(spread))


def _parted(part: Part, at: int, meaning: Meaning) -> _Column | None:
    heading = part.headings[at]
    name, likeness = meaning(heading.text)
    is_list = _lists_several(heading.text, meaning)
    if not heading.text or (
        likeness >= SAYS_IT and not is_list and (name in NUMBERED or name in {"date", "time", "wind_from"})
    ):
        return None
    texts = [
        cells[at] for _, cells in part.body if not is_nothing(cells[at]) and not says_as_above(cells[at])
    ]
    several = [text for text in texts if looks(text.strip()).number is None and re.match(r"\W*\d", text)]
    is_pair = bool(_said_one_by_one(heading, _listed(heading.text, 2), meaning))
    least = 1 if is_pair or is_list else LEAST_CELLS
    if len(several) < max(least, MOSTLY * len(texts)) or (
        not is_pair and sum(map(is_date, texts)) > 0.4 * len(texts)
    ):
        return None
    for between in _BETWEEN:
        cells = {text: between.split(_decimal(text, is_slashed=between.pattern == _TIGHT)) for text in texts}
        whole = [len(pieces) for text in texts if all(map(number_of, pieces := cells[text]))]
        count = max(set(whole), key=whole.count, default=0)
        if not 2 <= count <= MOST_PIECES or whole.count(count) < SOME * len(texts):
            continue
        own = {text: _alike(text, pieces, count) for text, pieces in cells.items()}
        own = {text: pieces for text, pieces in own.items() if len(pieces) == count}
        if sum(text in own for text in texts) >= MOSTLY * len(texts):
            names = _names([own[text] for text in texts if text in own], heading, meaning)
            return _Column(count, own, names) if names else None
    return None


def _lists_several(heading: str, meaning: Meaning) -> bool:
    """Tell whether a heading lists several things, in brackets or with marks that part nothing else."""
    inside = re.search(r"[(\[{](.*)[)\]}]", heading)
    words = (
        re.split(r"\s*[/|;,]\s*|\s+[-–—]\s+", inside[1])
        if inside
        else (_TIGHTLY if heading.count("/") >= LISTED_TIGHTLY else _LISTING).split(heading)
    )
    said = {name for name, likeness in map(meaning, words) if likeness >= SAYS_IT}
    said |= {
        name for unit, name in ONLY_OF.items() if any(named_unit(f". {word}", unit) for word in words[1:])
    }
    return len(said) > 1 or re.search(r"[|;]", heading) is not None


def _alike(text: str, pieces: list[str], count: int) -> list[str]:
    """Give the numbers of a cell, also where they are parted otherwise than in most: ``1.75t 3.2g``."""
    if len(pieces) == count:
        return pieces
    ways = (way.split(_decimal(text, is_slashed=way.pattern == _TIGHT)) for way in _BETWEEN)
    return next((way for way in ways if len(way) == count and all(map(number_of, way))), pieces)


def _decimal(text: str, *, is_slashed: bool) -> str:
    """Write fractions as decimals, so that a slash or a blank parts nothing but numbers."""
    text = with_halves(text)
    text = _MIXED.sub(lambda found: f"{int(found[1]) + int(found[2]) / int(found[3]):g}", text.strip())
    if is_slashed:
        return text
    return _FRACTION.sub(lambda found: f"{int(found[1]) / int(found[2]):g}", text)


def _names(rows: Sequence[Sequence[str]], heading: Heading, meaning: Meaning) -> list[tuple[str, str]]:
    """Give what each number is, with what it may as well be; empty where it is not clear what they are."""
    columns = [[found for row in rows if (found := number_of(row[at]))] for at in range(len(rows[0]))]
    listed = _listed(heading.text, len(columns))
    if own := _said_one_by_one(heading, listed, meaning):
        return own
    words = set(re.findall(r"[^\W\d_]+", heading.text.casefold())) | set(tokens(heading.text))
    scored: list[tuple[float, list[tuple[str, str]]]] = []
    for kind, (names, hints) in _GROUPS.items():
        if kind == "slip" and len(columns) > MOST_OF_A_SLIP:
            continue  # a whole slip, with its reaction and speeds
        is_hinted = not words.isdisjoint(hints.split())
        if len(columns) <= len(names) and (len(columns) > 2 or is_hinted or listed):
            worth = np.array([
                [_worth(own, name) + LISTED * _says(text, name, meaning) for name in names]
                for own, text in zip(columns, listed or [""] * len(columns), strict=True)
            ])  # fmt: skip
            best, own = _best_way(worth, names)
            scored.append((best + HINTED * is_hinted, own))
    ranked = sorted(scored, key=lambda way: -way[0])
    if not ranked or ranked[0][0] < LEAST_EACH * len(columns):
        return []
    return [] if len(ranked) > 1 and ranked[0][0] - ranked[1][0] < CLEARLY else ranked[0][1]


def _said_one_by_one(heading: Heading, words: Sequence[str], meaning: Meaning) -> list[tuple[str, str]]:
    """Give what each word of a heading's list says outright; empty where one is dumb or two are alike."""
    names = []
    are_speeds = named_unit(heading.text, "mph") is not None and ("mph",) not in map(tokens, words)
    for at, listed in enumerate(words):
        word = listed.rpartition(":")[2].strip() or listed
        ways = (
            f"{word} mph" if are_speeds else word,
            re.sub(r"\s*[(\[].*?[)\]]", "", word),
            f"{word} temp" * bool(_unit_in(word, "air_temp_degf")),
            re.sub(r"°\s*[CFcf]?$", " temp", word) * ("°" in word),
        )
        if at and tokens(word) == ("mph",):  # the speed at the distance before it
            ways = (f"{words[at - 1]} mph", "", "", "")
        said = max((meaning(way) for way in ways if way), key=lambda found: found[1])
        if not UNITS.get(said[0]):
            said = meaning(f"{word} temp")  # a track beside the air is no strip's name
        if said[1] < SAYS_IT:
            first = word.split()[0].strip(".")  # "hPa at the strip"
            said = next(
                (
                    (own, 1.0)
                    for unit, own in ONLY_OF.items()
                    if (unit != "%" or "%" in word)  # a turn is a hundred per cent of one
                    and (named_unit(f". {word}", unit) or as_unit(first, unit) is not None)
                ),
                said,
            )
        if said[1] < SAYS_IT or said[0] not in UNITS:
            return []
        names.append(said[0])
    return [(name, "") for name in names] if len(set(names)) == len(names) else []


def _best_way(worth: np.ndarray, names: Sequence[str]) -> tuple[float, list[tuple[str, str]]]:
    """Give the worth of the best names for some numbers, the names, and for each another as good."""
    ways = {way: _of_all(worth, way) for way in permutations(range(len(names)), len(worth))}
    best = max(ways, key=lambda way: ways[way])
    found = []
    for place, name in enumerate(best):
        others = {
            way[place]: value
            for way, value in ways.items()
            if way[place] not in best and ways[best] - value < AS_WELL
        }
        found.append((names[name], names[max(others, key=lambda at: others[at])] if others else ""))
    return ways[best], found


def _of_all(worth: np.ndarray, way: Sequence[int]) -> float:
    each = [worth[at, name] for at, name in enumerate(way)]
    turns = sum(one > other for at, one in enumerate(way) for other in way[at + 1 :])
    return float(sum(each)) - OUT_OF_TURN * turns if min(each) >= LEAST_EACH - OTHER_UNIT else -1.0


def _worth(cells: Sequence[tuple[float, str]], name: str) -> float:
    """Say how well numbers lie where a column's do, in the unit beside them or one that may be meant."""
    low, high = TYPICAL[name]
    unit = UNITS[name]
    texts = [text for _, text in cells if text]
    numbers = np.array([number for number, _ in cells])
    if len(texts) > len(cells) / 2:
        own = as_unit(max(set(texts), key=texts.count), unit)
        in_unit = None if own is None else _share(numbers * own.factor + own.offset, low, high)
        return 0.0 if in_unit is None else 0.2 + in_unit - SELDOM.get(name, 0.0)
    ways = [_share(numbers, low, high)]
    for other in OTHERS.get(unit, ()):
        if (own := as_unit(other, unit)) is not None:
            ways.append(_share(numbers * own.factor + own.offset, low, high) - OTHER_UNIT)
    if name == "preload_turns":
        ways = [way * _share(numbers * 16 % 1, 0.0, 1e-9) for way in ways]
    return max(ways) - SELDOM.get(name, 0.0)


def _share(values: np.ndarray, low: float, high: float) -> float:
    return float(np.mean((values >= low) & (values <= high))) if values.size else 0.0


def _listed(heading: str, count: int) -> list[str]:
    """Give the words that a heading lists, one a number; empty when it lists another number of them."""
    heading = re.sub(r"(?i)\bkm/[hut]\b", "kmh", re.sub(r"(?i)\bmi/h\b", "mph", heading))
    heading = re.sub(r"1/8\b", "eighth", re.sub(r"1/4\b", "quarter", heading))
    inside = re.search(r"[(\[{](.*)[)\]}]", heading)
    for text in filter(None, (inside and inside[1], heading, heading.partition(" ")[2])):
        for between in (r"\s*[/|;,]\s*", r"\s+[-–]\s+", r"(?<=[-–])\s+|[-–](?!\s)", r"\s+"):
            words = [word.strip() for word in re.split(between, text) if word.strip()]
            if len(words) == count:
                return words
    return []


def _unit_in(word: str, name: str) -> str:
    """Give the text of a column's unit in a word of a heading's list; empty where there is none."""
    found = named_unit(f". {word}", UNITS[name]) if word else None
    return found[0] if found else ""


def _says(word: str, name: str, meaning: Meaning) -> float:
    if not word:
        return 0.0
    word = word.rpartition(":")[2].strip()
    said, likeness = meaning(word)
    if (likeness < SAYS_IT or not UNITS.get(said)) and UNITS[name] == "degF" and _unit_in(word, name):
        said, likeness = meaning(f"{word} temp")
    if said == name and likeness >= HALF_SAID:
        return 1.0 if likeness >= SAYS_IT else likeness
    if _unit_in(word, name) and not (likeness >= SAYS_IT and said in UNITS):
        return 0.8
    return 0.9 * (word.casefold().strip(". ") in _LETTERS.get(name, "").split())
