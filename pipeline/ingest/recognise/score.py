"""How well one column fits one meaning: its heading, its unit and its values together."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np

from pipeline.garage.spelling import folded
from pipeline.garage.units import Conversion
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.profile import TEXTS_KEPT, Profile, is_short_packed, share_of
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.units import (
    METRIC,
    NO_POINT,
    OTHERS,
    SAME,
    US,
    as_unit,
    named_unit,
    units_said,
)
from pipeline.ingest.recognise.vocabulary import SPLITS, TYPICAL, TYPICAL_SECTIONS, Concept, likeness
from pipeline.ingest.spellings import LANE_WORDS, read_pressure_kind

NEVER = -9.0
OUTRIGHT, AT_LEAST, ENOUGH, FEW = 0.95, 1.2, 8, 0.1
_IN_WORDS = frozenset({"counterweight_g", "wind_speed_mph", "preload_turns"})
"""Numbers that may be told in words."""
"""A heading that says it outright is believed, and its cells asked about, unless so many are far off."""
HINT, FEWEST = 0.3, 3
"""A heading in words that says less than this needs so many cells below it to be known by them."""
SELDOM = frozenset({"wet_bulb_degf", "dew_point_degf", "grains", "gust"})
SELDOM_COSTS = 0.4
"""What it costs a reading that few people write down and no word tells."""
HEADING = 2.0
"""What a heading that says exactly this is worth beside the values below it, which are worth at most 1."""
MOSTLY, HALF = 0.6, 0.5
_NAMED = frozenset({"car", "venue", "event"})
THOUSANDS, FEWEST_TURNS = Conversion(1000.0, 0.0), 15.0
"""No engine leaves at so few turns a minute: ``6.2`` and ``7.200`` are thousands."""
UNSAID = 0.8
"""What it costs a reading that its unit is written nowhere and is not the usual one."""
_ROUND = re.compile(
    r"(?i)^(?:tt|t|q|e|r|el|elim\w*|qual\w*|time\s*(?:trial|run)?|test|tune|rd|rnd|round|final|semi|quarter|bye|run"
    r"|heat|practice|training|ausscheidung|entrenamiento|eliminatoria|ladder|shootout)?\W*\d{0,2}\W*$"
)
_DEGREES = re.compile(r"(?:°\s*|\bdeg\w*\s*|\s|(?<=[a-z]))[FC]\W*$|_[fc]$")
"""A temperature is said by the unit behind the heading: ``TrkF``, ``Luft °C``."""
_NUMBERED = re.compile(r"(?:^|\D)([1-6])\s*$")


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above a column.

    Attributes
    ----------
    text
        Own heading with the group heading above it, if there is one.
    own
        Own heading as typed.
    unit
        Text of the units row below it.
    meant, rival
        What the column was found to be where it was parted off another, and what it may as well be.
    """

    text: str
    own: str
    unit: str = ""
    meant: str = ""
    rival: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """One reading of one column, and how good it is.

    Attributes
    ----------
    score
        Below 0 it is hardly this; from 2 on heading and values agree.
    said
        How well the heading says so, 0 to 1.
    to_canonical
        Conversion of its numbers.
    unit
        Text of a unit that is written nowhere but fits; empty else.
    is_no_point
        Whether the numbers were written without their point.
    is_by_times
        Whether the unit of a speed is the one in which it fits the times beside it.
    """

    score: float
    said: float = 0.0
    to_canonical: Conversion = SAME
    unit: str = ""
    is_no_point: bool = False
    is_by_times: bool = False


@dataclass(frozen=True, slots=True)
class Names:
    """Folded names of cars and strips known beforehand, whether the person is a metric one, and units.

    ``units`` holds (canonical unit, unit) as the words above a table say them.
    """

    cars: frozenset[str]
    venues: frozenset[str]
    is_metric: bool = False
    units: frozenset[tuple[str, str]] = frozenset()

    def beside(self, title: str, headings: str) -> Names:
        """Take the units that a table's title says for its columns, and whether it is a metric person's."""
        told, written = units_said(title), units_said(f"{title} {headings}")
        is_metric = bool(written) and US.isdisjoint(written.values())
        return replace(self, is_metric=self.is_metric or is_metric, units=frozenset(told.items()))


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
        found = _number_fit(concept, heading, cells, names, said)
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
    """Tell whether a word above that says nothing of it leaves it to a cell or two, of no known name."""
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
    column = concept.column
    if concept.sort != "number" or column is None or column.low is None or column.high is None:
        return False
    if (
        concept.name not in _IN_WORDS
        and cells.filled >= ENOUGH
        and cells.number_share + cells.share(cells.several) < FEW
    ):
        return True
    spread = [abs(column.low), abs(column.high)]
    far = (cells.numbers < column.low - 2 * max(spread)) | (cells.numbers > 10 * max(spread))
    return cells.filled >= ENOUGH and cells.number_share > 0.8 and float(np.mean(far)) > 0.8


def _said(concept: Concept, heading: Heading) -> float:
    if concept.name == "lane" and _names_both_lanes(heading.own):
        return 1.0
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
    """Give a heading with and without the unit behind it."""
    return frozenset({heading, re.sub(r"\s*[(\[{][^)\]}]*[)\]}]\s*$", "", heading) or heading})


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


def _any(_name: str, _cells: Profile, _names: Names, said: float) -> float:
    return 0.3 if said > 0.5 else -1.0


_WORDS: Mapping[str, Callable[[str, Profile, Names, float], float]] = {
    "date": _date, "clock": _clock, "words": _words, "any": _any,
}  # fmt: skip


def _side_share(cells: Profile) -> float:
    """Give the share of cells that are longer words for a lane."""
    sides = (n for text, n in cells.words.items() if len(text) > 1 and folded(text) in LANE_WORDS)
    return cells.share(sum(sides))


def _known_share(name: str, cells: Profile, names: Names) -> float:
    test = _KNOWN.get(name)
    if test is None:
        return 0.0
    return sum(times for text, times in cells.words.items() if test(text, names)) / max(cells.filled, 1)


@lru_cache(maxsize=TEXTS_KEPT)
def _is_outcome(text: str) -> bool:
    return read_outcome(text, None) is not None


_KNOWN: Mapping[str, Callable[[str, Names], bool]] = {
    "car": lambda text, names: folded(text) in names.cars,
    "venue": lambda text, names: folded(text) in names.venues,
    "lane": lambda text, _names: folded(text) in LANE_WORDS,
    "round": lambda text, _names: _ROUND.match(text) is not None,
    "outcome": lambda text, _names: _is_outcome(text),
    "pressure_kind": lambda text, _names: read_pressure_kind(text) is not None,
    "wind_from": lambda text, _names: (
        re.fullmatch(r"(?i)[nesw]{1,3}|head\w*|tail\w*|cross\w*", text) is not None
    ),
}


# --- numbers


def _number_fit(concept: Concept, heading: Heading, cells: Profile, names: Names, said: float) -> Fit:
    if not cells.filled:
        return Fit(HEADING * said - 0.3, said, _heading_unit(concept.unit, heading) or SAME)
    readable = cells.number_share + cells.share(cells.several) * (concept.name in _MAY_BE_SEVERAL)
    if concept.name.startswith("extra:"):
        return Fit(HEADING * said + 0.3 * readable - 0.3, said)
    if concept.name == "counterweight_g":
        readable = max(readable, 0.8 * said)  # hardware in words
    if concept.name == "wind_speed_mph":
        readable = max(readable, said)
    if readable < 0.45 or cells.dates > 0.6 * cells.filled or cells.clocks > 0.6 * cells.filled:
        return Fit(NEVER, said)
    has_units = cells.units.total() > MOSTLY * cells.filled
    if said < HINT and cells.filled >= FEWEST and len(cells.words) == 1:
        return Fit(NEVER, said)  # the same number in every row could be anything
    if said < HINT and has_units and concept.unit and _typed_conversion(concept, cells.units) is None:
        return Fit(NEVER, said)  # those of another quantity
    best = max(_readings(concept, heading, cells, names, said), key=lambda reading: reading.score)
    score = HEADING * said + best.score - 0.8 * (1.0 - readable)
    return Fit(score, said, best.to_canonical, best.unit, best.is_no_point)


_MAY_BE_SEVERAL = frozenset({"preload_turns", "ring_height_in"})


@lru_cache(maxsize=TEXTS_KEPT)
def _heading_unit(canonical: str, heading: Heading) -> Conversion | None:
    below = as_unit(heading.unit, canonical) if heading.unit else None
    if below is not None:
        return below
    named = named_unit(heading.text, canonical) if canonical else None
    return named[1] if named else None


def _told_unit(canonical: str, names: Names) -> Conversion | None:
    told = dict(names.units).get(canonical) if names.units else None
    return as_unit(told, canonical) if told else None


def _readings(concept: Concept, heading: Heading, cells: Profile, names: Names, said: float) -> list[Fit]:
    """Give the values' worth under each unit that may be meant; the score is of the values alone."""
    numbers = cells.numbers
    if concept.name == "launch_rpm" and said >= HINT and numbers.size and numbers.max() < FEWEST_TURNS:
        return [Fit(_worth(concept, THOUSANDS, numbers), to_canonical=THOUSANDS)]
    typed = _typed_conversion(concept, cells.units) if cells.units.total() > HALF * cells.filled else None
    if typed is not None:
        return [
            Fit(_worth(concept, typed, numbers), to_canonical=_heading_unit(concept.unit, heading) or SAME)
        ]
    named = _heading_unit(concept.unit, heading) or _told_unit(concept.unit, names)
    if named is not None:
        readings = [Fit(0.25 + _worth(concept, named, numbers), to_canonical=named)]
        return readings + (_pointless(concept, named, numbers, cells) if said >= HINT else [])
    foreign = _has_foreign_unit(concept, heading)
    usual = SAME
    metric = METRIC.get(concept.unit)
    readings = [Fit(_worth(concept, usual, numbers) - foreign)]
    for unit in OTHERS.get(concept.unit, ()):
        own = as_unit(unit, concept.unit)
        if own is None:
            continue
        cost = -0.1 if names.is_metric and unit == metric else UNSAID
        told = "" if names.is_metric and unit == metric else unit
        readings.append(Fit(_worth(concept, own, numbers) - cost - foreign, to_canonical=own, unit=told))
    return readings + (_pointless(concept, usual, numbers, cells) if said >= HINT else [])


def _pointless(concept: Concept, unit: Conversion, numbers: np.ndarray, cells: Profile) -> list[Fit]:
    """Try the numbers as written without their point; only where all are whole."""
    if concept.name not in TYPICAL or cells.whole_share < 1.0:
        return []
    return [
        Fit(_worth(concept, own, numbers) - 0.5 * UNSAID, to_canonical=own, is_no_point=True)
        for scale in NO_POINT.get(concept.unit, ())
        if (own := Conversion(unit.factor * scale, unit.offset)) is not None
    ]


def _typed_conversion(concept: Concept, units: Counter[str]) -> Conversion | None:
    if not units or not concept.unit:
        return None
    unit, _ = units.most_common(1)[0]
    return as_unit(unit, concept.unit)


def _has_foreign_unit(concept: Concept, heading: Heading) -> float:
    """Give the cost of a unit in the heading that is of another quantity."""
    if heading.unit and concept.unit and as_unit(heading.unit, concept.unit) is None:
        return 1.5
    if concept.name in SPLITS and named_unit(heading.text, "mph") is not None:
        return 1.5
    return 0.0


def _worth(concept: Concept, unit: Conversion, numbers: np.ndarray) -> float:
    """Say how well numbers lie where such numbers lie, about -3 to 1."""
    if not numbers.size:
        return 0.0
    values = numbers * unit.factor + unit.offset
    low, high = TYPICAL.get(concept.name) or TYPICAL_SECTIONS.get(concept.name, (-np.inf, np.inf))
    usual = share_of((values >= low) & (values <= high))
    column = concept.column
    hard = 0.0
    if column is not None and column.low is not None and column.high is not None:
        hard = share_of((values < column.low) | (values > column.high))
    worth = 0.8 * usual - 0.8 * (1.0 - usual) - 2.5 * hard
    return worth + _shape(concept.name, numbers)


def _shape(name: str, numbers: np.ndarray) -> float:
    """Give what the decimals and steps of the numbers say."""
    if name == "launch_rpm":
        return 0.2 if share_of(numbers % 50 == 0) > 0.8 else -0.2
    if name == "preload_turns":
        return 0.2 if share_of(np.abs(numbers * 8 - np.round(numbers * 8)) < 1e-9) > 0.8 else -0.3
    if name in SPLITS:
        return 0.2 if share_of(numbers == np.round(numbers)) < 0.3 or numbers.max() > 100 else -0.6
    if name == "run number":
        steps = np.diff(numbers)
        return 0.9 if steps.size and np.mean(np.abs(steps) == 1) > 0.8 else -0.2
    return 0.0
