"""How well one column fits one meaning: its heading, its unit and its values together."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache, lru_cache

import numpy as np

from pipeline.garage.spelling import folded
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.headed import Fit, Heading, Names
from pipeline.ingest.recognise.number_fit import FEWEST, HALF, HEADING, HINT, MOSTLY, NEVER, number_fit
from pipeline.ingest.recognise.profile import TEXTS_KEPT, Profile, is_short_packed
from pipeline.ingest.recognise.scales import without_scale
from pipeline.ingest.recognise.tokens import DISTANCES, FILLERS, tokens
from pipeline.ingest.recognise.vocabulary import (
    BY_NAME_ALONE,
    MEASURED,
    PASSED_OVER,
    SAYS_IT,
    Concept,
    likeness,
)
from pipeline.ingest.spellings import LANE_WORDS, name_of_words, read_pressure_kind

OUTRIGHT, AT_LEAST, ENOUGH, FEW = 0.95, 1.2, 8, 0.1
_IN_WORDS = frozenset({"counterweight_g", "wind_speed_mph", "preload_turns"})
"""Numbers that may be told in words."""
"""A heading that says it outright is believed, and its cells asked about, unless so many are far off."""
SELDOM = frozenset({
    "wet_bulb_degf", "dew_point_degf", "grains", "gust", "wind_speed_mph", "density altitude", "elevation",
    "cost", "quantity", "other setting", "front tires", "other temperature", "runs since", "growth",
})  # fmt: skip
SELDOM_COSTS = 0.4
"""What it costs a reading that few people write down and no word tells."""
_TURNS = re.compile(r"(?i)^(?!.*rpm)[^\W\d_]{4,}\W*$")
"""One word for turns, no short form of turns a minute."""
_NAMED = frozenset({"car", "venue", "event"})
SHORTEST_NAME = 4
"""A few letters are no name cut short, but a code."""
_ROUND = re.compile(
    r"(?i)^(?:tt|t|q|e|r|el|elim\w*|qual\w*|time\s*(?:trial|run)?|test|tune|rd|rnd|round|final|semi|quarter|bye|run"
    r"|heat|practice|training|ausscheidung|entrenamiento|eliminatoria|ladder|shootout)?\W*\d{0,2}\W*$"
)
_DEGREES = re.compile(r"(?:°\s*|\bdeg\w*\s*|\s|(?<=[a-z]))[FC]\W*$|_[fc]$|°\W*$|\bdeg(?:rees?)?\W*$")
"""A temperature is said by the unit behind the heading: ``TrkF``, ``Luft °C``."""
_NUMBERED = re.compile(r"(?:^|\D)([1-6])\s*$")


def fit(concept: Concept, heading: Heading, cells: Profile, names: Names, *, is_given: bool = False) -> Fit:
    """Judge one reading of one column.

    Parameters
    ----------
    concept
        What it might be.
    heading
        What stands above it.
    cells
        What stands in it.
    names
        Known beforehand.
    is_given
        The person said that it is this, or its number does: only unit and worth are to be judged.
    """
    said = _said(concept, heading)
    if concept.name == "date" and "clock" in tokens(heading.text) and cells.share(cells.dates) > HALF:
        said = max(said, OUTRIGHT)
    if not is_given and _is_guess(concept, heading, cells, names, said):
        return Fit(NEVER, said)
    if concept.sort == "number":
        found = number_fit(concept, heading, cells, names, max(said, HINT) if is_given else said)
    elif not cells.filled:
        found = Fit(HEADING * said - 0.2, said)
    else:
        found = Fit(HEADING * said + _WORDS[concept.sort](concept.name, cells, names, said), said)
    if said < HINT and concept.name in SELDOM:
        found = replace(found, score=found.score - SELDOM_COSTS)
    if said >= OUTRIGHT and found.score < AT_LEAST and not _is_something_else(concept, cells):
        return replace(found, score=AT_LEAST + 0.02 * max(found.score, NEVER))
    return found


def _is_guess(concept: Concept, heading: Heading, cells: Profile, names: Names, said: float) -> bool:
    """Tell whether a word above that says nothing of it leaves it to a cell or two, of no known name.

    What is written screw by screw no cells tell by themselves, and what has a distance above is of a run.
    """
    is_of_a_run = (
        concept.name in MEASURED or concept.name in PASSED_OVER or concept.name.startswith("section ")
    )
    if said < SAYS_IT and concept.name in BY_NAME_ALONE:
        return True
    if not concept.phrases or (
        said < HINT and not is_of_a_run and not DISTANCES.isdisjoint(tokens(heading.text))
    ):
        return True
    if said >= HINT or cells.filled >= FEWEST or re.search(r"[^\W\d_]", heading.text) is None:
        return False
    return concept.name not in {"car", "venue"} or _known_share(concept.name, cells, names) < 0.5


def _is_something_else(concept: Concept, cells: Profile) -> bool:
    """Tell whether many cells, all of the right sort, lie where no such value can."""
    if concept.sort == "words":
        least = FEWEST if concept.name == "venue" else ENOUGH
        if concept.name in _NAMED and _side_share(cells) > MOSTLY:
            return True
        return cells.filled >= least and cells.number_share > 0.9
    if _is_run_by_clock(concept.name, cells):
        return True
    column = concept.column
    if concept.sort != "number" or column is None or column.low is None or column.high is None:
        return False
    if (
        concept.name not in _IN_WORDS
        and cells.filled >= (ENOUGH if cells.number_share else 2)
        and cells.number_share + cells.share(cells.several) < FEW
    ):
        return True
    spread = [abs(column.low), abs(column.high)]
    far = (cells.numbers < column.low - 2 * max(spread)) | (cells.numbers > 10 * max(spread))
    return cells.filled >= ENOUGH and cells.number_share > 0.8 and float(np.mean(far)) > 0.8


def _said(concept: Concept, heading: Heading) -> float:
    if concept.name == "lane" and _names_both_lanes(heading.own):
        return 1.0
    if concept.name == "launch_rpm" and set(tokens(heading.text)) - FILLERS == {"turns"}:
        return 0.9  # many a tongue has one word for turns of a screw and of an engine: the numbers tell which
    if (
        concept.name == "preload_turns"
        and set(tokens(heading.text)) == {"rpm"}
        and _TURNS.search(heading.text)
    ):
        return 0.9
    ways = _ways_of(heading.text)
    if concept.unit == "degF" and _DEGREES.search(heading.text):
        ways |= {f"{heading.text} temp"}
    whole = max(likeness(way, concept.phrases) for way in ways)
    if heading.own and heading.own != heading.text:
        whole = max(whole, 0.85 * likeness(heading.own, concept.phrases))
    return whole


@lru_cache(maxsize=TEXTS_KEPT)
def _names_both_lanes(heading: str) -> bool:
    """Tell whether a heading gives both words for a lane: ``L/R``, ``Bana V/H``."""
    found = re.search(r"(?<![\w/])([^\W\d_]{1,9})\s*/\s*([^\W\d_]{1,9})(?![\w/])", heading)
    sides = {LANE_WORDS.get(folded(word)) for word in found.groups()} if found else set()
    return sides == {"left", "right"}


@cache
def _ways_of(heading: str) -> frozenset[str]:
    """Give a heading with and without the unit behind it, and that a part of it is counted."""
    bare = re.sub(r"\s*[(\[{][^)\]}]*[)\]}]\s*$", "", heading)
    return frozenset({heading, bare or heading, without_scale(heading) or heading})


def _date(_name: str, cells: Profile, _names: Names, said: float) -> float:
    serial = cells.share(int(np.sum((cells.numbers > 20000) & (cells.numbers < 80000))))
    packed = cells.share(int(np.sum((cells.numbers > 19500101) & (cells.numbers < 21001231))))
    short = cells.share(sum(map(is_short_packed, cells.words))) if said > 0.5 else 0.0
    share = max(cells.share(cells.dates), serial if said > 0.5 else 0.0, packed, short)
    return 1.6 * share - 0.2 if share > 0.4 else (0.0 if said > 0.9 and cells.number_share < 0.5 else -3.0)


def _clock(_name: str, cells: Profile, _names: Names, said: float) -> float:
    share = cells.share(cells.clocks)
    if said > 0.3:
        bare = cells.share(cells.bare_clocks) if cells.whole_share == 1.0 else 0.0
        fractions = cells.share(int(np.sum((cells.numbers > 0) & (cells.numbers < 1))))
        share = max(share, cells.share(cells.dotted_clocks), bare, fractions if said > 0.9 else 0.0)
    return 1.4 * share - 0.2 if share > 0.4 else -2.5


def _words(name: str, cells: Profile, names: Names, said: float) -> float:
    if cells.is_ticks and said < 0.95:
        return -2.0
    share = _known_share(name, cells, names)
    if name in _NAMED and _side_share(cells) > MOSTLY:
        return -2.5
    if name == "round" and said < HINT and cells.number_share > 0.5:
        return -2.5
    if name in _KNOWN and share >= 0.5:
        return 1.2 * share if name != "outcome" else 0.9 * share
    wordy = 1.0 - cells.number_share
    if wordy < 0.4:
        return -2.5
    if cells.dates > 0.5 * cells.filled or cells.clocks > 0.5 * cells.filled:
        return -2.5
    if name == "notes":
        return 0.1 + 0.3 * min(1.0, len(cells.words) / max(cells.filled, 1))
    return -0.1 if name in {"car", "venue", "event", "round"} else -0.6


def _any(name: str, cells: Profile, _names: Names, said: float) -> float:
    return 0.3 if said > 0.5 and not _is_run_by_clock(name, cells) else -1.0


def _is_run_by_clock(name: str, cells: Profile) -> bool:
    """Tell whether a run is named by its time of day: ``before the run of 13:12`` says when."""
    return name == "before run" and cells.share(cells.clocks) > HALF


_WORDS: Mapping[str, Callable[[str, Profile, Names, float], float]] = {
    "date": _date, "clock": _clock, "words": _words, "any": _any,
}  # fmt: skip


def _side_share(cells: Profile) -> float:
    """Give the share of cells that are words for a lane; single letters only where there are both."""
    sides = {text: LANE_WORDS.get(folded(text)) for text in cells.words}
    has_both = {"left", "right"} <= set(sides.values())
    return cells.share(
        sum(cells.words[text] for text in sides if sides[text] and (has_both or len(text) > 1))
    )


def _known_share(name: str, cells: Profile, names: Names) -> float:
    test = _KNOWN.get(name)
    if test is None:
        return 0.0
    return sum(times for text, times in cells.words.items() if test(text, names)) / max(cells.filled, 1)


@lru_cache(maxsize=TEXTS_KEPT)
def _is_name(text: str, known: frozenset[str]) -> bool:
    """Tell whether a text is a known name, or the words of one that tell it from the others."""
    if folded(text) in known:
        return True
    return len(text) >= SHORTEST_NAME and text[0].isalpha() and name_of_words(folded(text), known) is not None


@lru_cache(maxsize=TEXTS_KEPT)
def _is_outcome(text: str) -> bool:
    return read_outcome(text, None) is not None


_KNOWN: Mapping[str, Callable[[str, Names], bool]] = {
    "car": lambda text, names: _is_name(text, names.cars),
    "venue": lambda text, names: _is_name(text, names.venues),
    "lane": lambda text, _names: folded(text) in LANE_WORDS,
    "round": lambda text, _names: _ROUND.match(text) is not None,
    "outcome": lambda text, _names: _is_outcome(text),
    "pressure_kind": lambda text, _names: read_pressure_kind(text) is not None,
    "wind_from": lambda text, _names: (
        re.fullmatch(r"(?i)[nesw]{1,3}|head\w*|tail\w*|cross\w*", text) is not None
    ),
}
