"""Runs beside each other on a row, counted or named by their day: ``Pass 1 60 ft``, ``Pass 2 60 ft``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import SAYS_IT, Meaning, Part
from pipeline.ingest.recognise.profile import TEXTS_KEPT, is_date
from pipeline.ingest.recognise.tokens import WORDS
from pipeline.ingest.recognise.vocabulary import MEASURED

LEAST_PASSES = 2
_WAYS = sorted({"p", "r", "hit", *WORDS["run"].split(), *WORDS["round"].split()}, key=len, reverse=True)
_COUNTED = re.compile(
    rf"(?i)^\W*(?:(?:{'|'.join(map(re.escape, _WAYS))})(?:\s+(?:no|nr|number))?\W*|#\s*|no\.?\s*|nr\.?\s*)"
    r"(?P<no>\d{1,2})(?!\d|[./]\d)\W*(?P<rest>.*)$"
)
_ORDINAL = re.compile(
    r"(?i)^(?P<no>\d{1,2})\W?(?:st|nd|rd|th|ème|eme|er|e|a|º|ª|\.)(?:\s+(?:run|pass|lauf|round))?$"
)
_SOME_WORD = re.compile(r"^(?P<word>[^\W\d_]{2,12})\s*#?(?P<no>\d{1,2})(?![\d./])(?P<rest>\s+[^\W\d_].*|)$")
DISTANCE = re.compile(r"1\s*/\s*[248]")


@dataclass(frozen=True, slots=True)
class Which:
    """Which of several runs a heading names, and what it says besides.

    Attributes
    ----------
    number
        Of a counted run; 0 when it is named by its day.
    day
        As written; empty for a counted run.
    rest
        The heading without it.
    """

    number: int
    day: str
    rest: str


@lru_cache(maxsize=TEXTS_KEPT)
def which_of(text: str) -> Which | None:
    """Read a heading that names one of several runs.

    Examples
    --------
    >>> which_of("Pass 2 60 ft"), which_of("#3"), which_of("60 ft")
    (Which(number=2, day='', rest='60 ft'), Which(number=3, day='', rest=''), None)
    """
    if found := _COUNTED.match(text) or _ORDINAL.match(text):
        return Which(int(found["no"]), "", found.groupdict().get("rest", "").strip())
    words = text.split(" ")
    for count in range(min(len(words), 5), 0, -1):
        day = " ".join(words[:count])
        if is_date(day) and not DISTANCE.fullmatch(day):
            return Which(0, day, " ".join(words[count:]).strip(" -:,|"))
    return None


def is_run_of(numbers: list[int]) -> bool:
    """Tell whether numbers count up one by one from 1."""
    return numbers == list(range(1, len(numbers) + 1))


def passes_of(part: Part, meaning: Meaning) -> list[Part]:
    """Part a table that holds several runs on a row into one a run; empty when it holds one.

    Each has the columns of all runs, its own, and which run or day it is.
    """
    named = _groups_named(part, [which_of(heading.text) for heading in part.headings])
    own = [(at, which) for at, which in enumerate(named) if which is not None and which.rest]
    keys = list(dict.fromkeys((which.number, folded(which.day)) for _, which in own))
    rests = [{folded(which.rest) for _, which in own if _key(which) == key} for key in keys]
    if len(keys) < LEAST_PASSES or not (
        is_run_of([number for number, _ in keys]) or all(day for _, day in keys)
    ):
        return []
    if not any(
        said in MEASURED and likeness >= SAYS_IT for rest in rests[0] for said, likeness in [meaning(rest)]
    ):
        return []
    if any(not rest & rests[0] for rest in rests):
        return []
    common = [at for at in range(len(part.headings)) if at not in dict(own)]
    return [_one(part, common, [(at, which) for at, which in own if _key(which) == key]) for key in keys]


def _groups_named(part: Part, named: list[Which | None]) -> list[Which | None]:
    """Let the number of a run stand for the headings behind it, where the same come again behind each."""
    if not any(named):
        named = _any_word_counted(part)
    starts = [at for at, which in enumerate(named) if which is not None and not which.day]
    numbers = [which.number for at in starts if (which := named[at]) is not None]
    if len(starts) < LEAST_PASSES or not is_run_of(numbers):
        return named
    heads = [folded(heading.text) for heading in part.headings]
    group = heads[starts[0] + 1 : starts[1]]
    if not group or any(heads[at + 1 : at + 1 + len(group)] != group for at in starts):
        return named
    spread = list(named)
    for at, number in zip(starts, numbers, strict=True):
        for place in range(at + 1, at + 1 + len(group)):
            spread[place] = Which(number, "", part.headings[place].text)
    return spread


def _any_word_counted(part: Part) -> list[Which | None]:
    """Read headings of one word that counts up, with the same behind it: ``drag 1 time``, ``drag 2 time``."""
    seen = [_SOME_WORD.match(heading.text) for heading in part.headings]
    alike = {(folded(each["word"]), folded(each["rest"])) for each in seen if each}
    if len(alike) != 1:
        return [None] * len(seen)
    return [Which(int(each["no"]), "", each["rest"].strip()) if each else None for each in seen]


def _key(which: Which) -> tuple[int, str]:
    return which.number, folded(which.day)


def _one(part: Part, common: list[int], own: list[tuple[int, Which]]) -> Part:
    """Give the common columns and those of one run, and which or what day it is."""
    which = own[0][1]
    places = [at for at, _ in own]
    kept = [*common, *places]
    headings = [part.headings[at] for at in common]
    headings += [Heading(one.rest, one.rest, part.headings[at].unit) for at, one in own]
    name, said = ("date", which.day) if which.day else ("round", str(which.number))
    has_name = any(folded(heading.text) == name for heading in headings)
    headings += [] if has_name else [Heading(name, name)]
    said_by = "" if has_name else said
    lines = [
        (
            number,
            [
                *(cells[at] for at in kept),
                *([] if has_name else [said_by if any(cells[place] for place in places) else ""]),
            ],
        )
        for number, cells in part.lines
    ]
    spots = [part.places[at] if part.places else at for at in kept]
    return Part(lines, part.at, headings, part.first, tuple(spots if has_name else [*spots, spots[-1]]))
