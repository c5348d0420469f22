"""How well the numbers of one column fit one meaning, and in which unit."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

import numpy as np

from pipeline.garage.units import Conversion
from pipeline.ingest.recognise.headed import Fit, Heading, Names
from pipeline.ingest.recognise.profile import TEXTS_KEPT, Profile, share_of
from pipeline.ingest.recognise.scales import scale_in
from pipeline.ingest.recognise.units import METRIC, NO_POINT, OTHERS, SAME, as_unit, named_unit
from pipeline.ingest.recognise.vocabulary import SPLITS, TYPICAL, TYPICAL_SECTIONS, Concept

NEVER = -9.0
HINT, FEWEST = 0.3, 3
"""A heading in words that says less than this needs so many cells below it to be known by them."""
GUESSED = 0.2
"""A heading that says less than this says nothing."""
HEADING, EMPTY = 2.0, 0.75
"""What a heading that says exactly this is worth beside the values below it, which are worth at most 1;
with nothing below it so much of that."""
MOSTLY, HALF = 0.6, 0.5
THOUSANDS, HUNDREDS = Conversion(1000.0, 0.0), Conversion(100.0, 0.0)
FEWEST_TURNS, FEWEST_RPM = 15.0, 100.0
"""No engine leaves at so few turns a minute: ``6.2`` and ``7.200`` are thousands, ``62`` are hundreds."""
PARTS_OF_A_TURN, IN_SUCH_PARTS = (0.25, 0.5), frozenset({"turn", "g", "psi"})
"""Halves and quarters, and units counted in them: a speed at the quarter is no quarter of one."""
UNSAID = 0.8
"""What it costs a reading that its unit is written nowhere and is not the usual one."""


def number_fit(concept: Concept, heading: Heading, cells: Profile, names: Names, said: float) -> Fit:
    """Judge one reading of a column of numbers; ``said`` is how well its heading says so."""
    if not cells.filled:
        return Fit(EMPTY * HEADING * said - 0.3, said, _heading_unit(concept.unit, heading) or SAME)
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
    if said < GUESSED and cells.filled >= FEWEST and len(cells.words) == 1:
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
    if concept.name == "launch_rpm" and said >= HINT and numbers.size and 0 < numbers.max() < FEWEST_RPM:
        many = THOUSANDS if numbers.max() < FEWEST_TURNS else HUNDREDS
        return [Fit(_worth(concept, many, numbers), to_canonical=many)]
    typed = _typed_conversion(concept, cells.units) if cells.units.total() > HALF * cells.filled else None
    if typed is not None:
        return [
            Fit(_worth(concept, typed, numbers), to_canonical=_heading_unit(concept.unit, heading) or SAME)
        ]
    named = _heading_unit(concept.unit, heading) or _told_unit(concept.unit, names)
    scale = dict(names.scales).get(concept.name, 1.0) if names.scales else 1.0
    scale = scale_in(f"{heading.text} {heading.unit}") if scale == 1.0 else scale
    is_part = scale not in PARTS_OF_A_TURN or concept.unit in IN_SUCH_PARTS  # else it is the quarter mile
    # parts of a unit are counted in whole numbers
    are_parts = is_part and (scale >= 1.0 or cells.whole_share > HALF)
    if scale != 1.0 and are_parts and concept.unit and said >= HINT:
        whole = SAME if named is None or named.factor == scale else named  # "quarts" is not said twice
        parts = Conversion(whole.factor * scale, whole.offset)
        return [Fit(0.25 + _worth(concept, parts, numbers), to_canonical=parts)]
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
        is_meant = names.is_metric and unit == metric
        cost = -0.1 if is_meant else 0.0 if concept.name == "pressure_inhg" else UNSAID
        told = "" if concept.name == "pressure_inhg" or (names.is_metric and unit == metric) else unit
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
