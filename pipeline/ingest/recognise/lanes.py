"""Tables that hold two runs a row: both lanes of a slip, or two cars side by side."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import Part
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.spoken import known_in
from pipeline.ingest.recognise.tokens import WORDS, tokens

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

_LANE = "|".join(sorted({"l", "ln", *WORDS["lane"].split()}, key=len, reverse=True))
_NUMBERED = re.compile(rf"(?i)^(?:{_LANE})\s*\W?\s*(?P<no>[12])(?!\d|[./]\d)\W*(?P<rest>[^\W_].*)$")
_NUMBERED_BEHIND = re.compile(
    rf"(?i)^(?P<rest>.*[^\W_].*?)[\W_]*(?<![^\W\d_])(?:{_LANE})\s*\W?\s*(?P<no>[12])\W*$"
)
LEAST_ALIKE = 3
"""How many headings two runs on a row must share."""


@dataclass(frozen=True, slots=True)
class Lane:
    """One of several runs on a row, as a table of its own.

    Attributes
    ----------
    side
        ``left``, ``right`` or ``ours``; ``car`` where two cars stand beside each other; empty for one run.
    part
        Its columns and the common ones.
    car
        The name above, when it is a car's.
    left_out
        Place and heading of the columns of a run that is not ours.
    """

    side: str
    part: Part
    car: str = ""
    left_out: tuple[tuple[int, str], ...] = ()


def lanes_of(part: Part) -> list[Lane]:
    """Part a table that holds both lanes, or two cars, on one row into one a run.

    Returns
    -------
    list of Lane
        Empty when the table holds one run a row.
    """
    for sides in (_SIDES, _OURS):
        stripped = [_side_of(heading, sides) for heading in part.headings]
        counts = Counter(side for side, _ in stripped if side)
        first, second = (name for name, _ in sides)
        are_alike = len(_rests(stripped, first) & _rests(stripped, second)) >= LEAST_ALIKE
        if are_alike and min(counts[first], counts[second]) >= LEAST_ALIKE:
            stripped = _common_at_the_end(stripped, first)
            return [_lane(part, stripped, name) for name in (first, second) if name != "theirs"]
        if sides is _OURS and counts["theirs"] >= LEAST_ALIKE:
            return [_lane(part, stripped, "ours")]
    return _cars_side_by_side(part) or _again_beside(part)


def _rests(stripped: list[tuple[str, Heading]], name: str) -> set[str]:
    return {folded(rest.text) for own, rest in stripped if own == name}


def _common_at_the_end(stripped: list[tuple[str, Heading]], first: str) -> list[tuple[str, Heading]]:
    """Let the columns behind the last one that the first run has too be of both: the air of the row."""
    own = _rests(stripped, first)
    last = max(at for at, (side, rest) in enumerate(stripped) if side != first and folded(rest.text) in own)
    return [*stripped[: last + 1], *(("", rest) for _, rest in stripped[last + 1 :])]


def _cars_side_by_side(part: Part) -> list[Lane]:
    """Part a table by the names above its headings, when the same headings stand under each."""
    stripped = [
        (_group_of(heading), Heading(heading.own, heading.own, heading.unit) if heading.own else heading)
        for heading in part.headings
    ]
    names = [name for name in dict.fromkeys(name for name, _ in stripped) if name]
    named = [name for name in names if not any(re.match(r"d\d", word) for word in tokens(name))]
    alike = [
        name
        for name in named
        if any(
            len(_rests(stripped, name) & _rests(stripped, other)) >= LEAST_ALIKE
            for other in named
            if other != name
        )
    ]
    if len(alike) < 2 or not any(_is_split(rest) for rest in _rests(stripped, alike[0])):
        return []
    kept = [(name if name in alike else "", rest) for name, rest in stripped]
    return [replace(_lane(part, kept, name), side="car", car=name, left_out=()) for name in alike]


def cars_by_label(labels: Sequence[str], title: str, cars: Mapping[str, str]) -> dict[str, str]:
    """Give the car that each of the names above columns stands for.

    Parameters
    ----------
    labels
        The names above the columns, from the left.
    title
        What the head of the sheet says. It tells whose a label is where it names as many cars as there are
        labels, and either every label too, in the same order, or the left and the right.
    cars
        Folded spelling -> name of every car known.

    Examples
    --------
    >>> known = {"oldgus": "Old Gus", "marigold": "Marigold"}
    >>> cars_by_label(["DAD", "BECCA"], "Old Gus is Dad's, Marigold is Becca's", known)
    {'DAD': 'Old Gus', 'BECCA': 'Marigold'}
    """
    own = {label: known_in(cars.get(folded(label), label), cars) for label in labels}
    if not own or set(own.values()) <= set(cars.values()):
        return own
    named = _in_order([*dict.fromkeys(cars.values())], title)
    told = _in_order([*own], title)
    sides = _in_order(["left", "right"], title)
    if len(named) != len(own) or not (len(told) == len(own) or len(sides) == len(own) == 2):
        return own
    order = told if len(told) == len(own) else [*own][:: 1 if sides[0] == "left" else -1]
    return dict(zip(order, named, strict=True))


def _in_order(words: Sequence[str], text: str) -> list[str]:
    """Give the words that stand in a text, each once, in the order of the text."""
    places = {word: re.search(rf"(?i)(?<!\w){re.escape(word)}(?!\w)", text) for word in words}
    found = {word: place.start() for word, place in places.items() if place}
    return sorted(found, key=lambda word: found[word])


def _group_of(heading: Heading) -> str:
    is_under_one = heading.own and heading.text != heading.own
    return heading.text.removesuffix(heading.own).strip() if is_under_one else ""


def cars_above(parts: Sequence[Part]) -> list[str]:
    """Give the name above all headings of each table, where the same headings stand in all; else none."""
    own = [{folded(heading.own) for heading in part.headings if heading.own} for part in parts]
    groups = [{_group_of(heading) for heading in part.headings if heading.own} for part in parts]
    names = {next(iter(group)) for group in groups if len(group) == 1} - {""}
    is_each = len(parts) > 1 and len(names) == len(parts)
    if not is_each or any(heads != own[0] or len(heads) < LEAST_ALIKE for heads in own):
        return [""] * len(parts)
    return [group.pop() for group in groups]


def _again_beside(part: Part) -> list[Lane]:
    """Part a table whose headings come again further right, as both halves of a slip do.

    Without a column that says whose each half is, the second is taken for the other lane's.
    """
    texts = [folded(heading.text) for heading in part.headings]
    for start in range(len(texts)):
        for again in range(start + LEAST_ALIKE, len(texts)):
            length = _alike(texts, start, again)
            own = set(texts[start : start + length])
            if len(own) <= LEAST_ALIKE or not any(map(_is_split, own)):
                continue
            sides = [""] * len(texts)
            sides[start : start + length] = ["first"] * length
            sides[again : again + length] = ["second"] * length
            stripped = list(zip(sides, part.headings, strict=True))
            names = ("first", "second") if own & {"car", "driver", "auto"} else ("first",)
            return [
                replace(_lane(part, stripped, name), side="ours" if len(names) == 1 else "car")
                for name in names
            ]
    return []


def _alike(texts: list[str], start: int, again: int) -> int:
    """Count the headings from one place on that come again from the other on."""
    length = 0
    while (
        start + length < again
        and again + length < len(texts)
        and texts[start + length] == texts[again + length]
    ):
        length += 1
    return length


def _is_split(text: str) -> bool:
    return any(word in {"d60", "d330", "d660", "d1320"} for word in tokens(text))


def without_side(text: str) -> str:
    """Take the lane off a heading such as ``LEFT 60`` or ``RT right``."""
    for sides in (_SIDES, _OURS):
        side, rest = _side_of(Heading(text, text), sides)
        if side:
            return rest.text
    return text


def _side_of(heading: Heading, sides: tuple[tuple[str, frozenset[str]], ...]) -> tuple[str, Heading]:
    if sides is _SIDES and (found := _NUMBERED.match(heading.text) or _NUMBERED_BEHIND.match(heading.text)):
        rest = found["rest"].strip(" -_.:()/'")
        return ("left", "right")[int(found["no"]) - 1], Heading(rest, rest, heading.unit)
    words = re.findall(r"[^\W_]+|[^\w\s]+", heading.text)
    for side, ways in sides:
        for at in (0, len(words) - 1):
            if len(words) > 1 and words[at].casefold() in ways:
                start = heading.text.find(words[at]) if at == 0 else heading.text.rfind(words[at])
                rest = (heading.text[:start] + heading.text[start + len(words[at]) :]).strip(" -_.:()/'")
                rest = re.sub(r"(?i)^lane\s+(?=\S)", "", rest)
                return side, Heading(rest or heading.text, rest or heading.own, heading.unit)
    return "", heading


def _of_all(cells: Sequence[str], kept: Sequence[int]) -> list[str]:
    """Give the cells of one run; a lone one of words, such as a day and its strip, is of both."""
    own = [cells[at] for at in kept]
    filled = [text for text in cells if text]
    if any(own) or len(filled) != 1 or not own or number_of(filled[0]) is not None:
        return own
    return [filled[0], *own[1:]]


def _lane(part: Part, stripped: list[tuple[str, Heading]], name: str) -> Lane:
    """Give the common columns and those of one run."""
    kept = [at for at, (side, _) in enumerate(stripped) if side in ("", name)]
    lines = [(number, _of_all(cells, kept)) for number, cells in part.lines]
    others = tuple((at + part.first, part.headings[at].text) for at in range(len(stripped)) if at not in kept)
    own = Part(lines, part.at, [stripped[at][1] for at in kept], part.first, tuple(kept))
    return Lane(name, own, left_out=others if name == "ours" or name == "first" else ())
