"""Every column of a table at once: no two the same, and each judged beside the others."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.garage.units import conversion
from pipeline.ingest.recognise.headed import Fit, Heading, Names
from pipeline.ingest.recognise.matching import best_columns
from pipeline.ingest.recognise.number_fit import GUESSED, HINT, NEVER
from pipeline.ingest.recognise.profile import Profile, number_of, profile
from pipeline.ingest.recognise.score import AT_LEAST, OUTRIGHT, fit
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.units import SAME, named_unit
from pipeline.ingest.recognise.vocabulary import (
    CLUTCH,
    MEASURED,
    PASSED_OVER,
    SECOND_PRESSURE,
    SETTINGS,
    SPEEDS,
    SPLITS,
    Concept,
)

NOTHING_KNOWN = 0.75
"""What it is worth to leave a column unread; a reading must be better."""
CLEAR = 0.35
"""By how much a reading must be better than the next one to be taken without a question."""
AGREES, DISAGREES = 0.35, -1.2
ROUNDS = 4
BESIDE_ITS_LIKE = 0.3
"""What it is worth that a column of the air stands beside another, or a setting beside a setting."""
AIR_BESIDE = ("air_temp_degf", "pressure_inhg", "humidity_pct", "track_temp_degf")
ALONE = 0.9
"""What it costs a speed that the time at its distance stands in no column."""
LEAST_OF_SLIPS, AMONG_SLIPS = 2, 0.4
"""Beside so many times of runs it costs so much to be a measure of the clutch that no word tells."""
SECOND_COSTS = 0.9
"""What it costs a pressure to be taken for a second one."""
UNSAID = 0.1
LEAST_OUTRIGHT = -0.2
"""What the other columns may at most say against a heading that says it outright."""
ANY_SPLIT = frozenset({"et", "mph", "time"})
"""Words of headings that leave it open at which distance the column was taken."""
RATIOS: Mapping[tuple[str, str], tuple[float, float]] = {
    ("t330_s", "t60_s"): (2.3, 3.25), ("t660_s", "t60_s"): (3.3, 5.3), ("t660_s", "t330_s"): (1.4, 1.72),
    ("t1000_s", "t660_s"): (1.2, 1.45), ("t1320_s", "t660_s"): (1.42, 1.85),
    ("t1320_s", "t1000_s"): (1.12, 1.32), ("t1320_s", "t60_s"): (5.0, 8.4), ("t1000_s", "t60_s"): (4.2, 6.8),
    ("t1000_s", "t330_s"): (1.8, 2.4), ("t1320_s", "t330_s"): (2.1, 2.95),
    ("v1320_mph", "v660_mph"): (1.1, 1.4),
}  # fmt: skip
"""How the middles of two columns of one slip stand to each other, for any car that goes straight on."""
PRODUCTS: Mapping[tuple[str, str], tuple[float, float]] = {
    ("t660_s", "v660_mph"): (600.0, 790.0), ("t1320_s", "v1320_mph"): (1180.0, 1480.0),
}  # fmt: skip
"""Elapsed time times trap speed [s mph] of a pass under power."""
LOOSE, LEAST_LOOSE = 0.04, 8
"""Numbers of one slip keep together from run to run: a column that no word names as one of them is none
where its middle half strays so far from the others, of so many runs."""
LEAST_PASSES = 3
"""Passes from which the unit of a speed is told."""
_SPEED_UNITS = {"mph": SAME, "km/h": conversion("km/h", "mph")}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A column of a table with a sample of its cells, row by row."""

    index: int
    heading: Heading
    cells: Profile
    numbers: np.ndarray

    @classmethod
    def of(
        cls, index: int, heading: Heading, texts: Sequence[str], looked: Profile | None = None
    ) -> Candidate:
        """Look at a column's sample, unless it was looked at before."""
        read = [number_of(text) for text in texts]
        numbers = np.array([found[0] if found and math.isfinite(found[0]) else np.nan for found in read])
        return cls(index, heading, looked or profile(texts), numbers)


@dataclass(frozen=True, slots=True)
class Choice:
    """What a column was read as.

    ``lead`` is by how much this beats the best other reading, ``runner_up`` (empty: leaving it unread);
    ``rival_said`` is how well the heading says that one.
    """

    candidate: Candidate
    name: str
    fit: Fit
    lead: float
    runner_up: str
    rival_said: float = 0.0

    @property
    def is_read(self) -> bool:
        """Tell whether anything is read from the column."""
        return self.name not in PASSED_OVER and self.name != ""


def assign(
    candidates: Sequence[Candidate],
    meanings: Mapping[str, Concept],
    names: Names,
    given: Mapping[int, str] | None = None,
) -> list[Choice]:
    """Choose a meaning for every column together.

    Parameters
    ----------
    candidates
        The columns.
    meanings
        Everything a column may be.
    names
        Known beforehand.
    given
        Index of a column -> what the person says it is; empty for nothing.

    Returns
    -------
    list of Choice
        One a column, in order; an empty name where nothing fits better than leaving it unread.
    """
    if not candidates:
        return []
    concepts = list(meanings.values())
    given = given or {}
    fits = [
        [
            fit(concept, own.heading, own.cells, names, is_given=given.get(own.index) == concept.name)
            for concept in concepts
        ]
        for own in candidates
    ]
    alone = np.array([[found.score for found in row] for row in fits])
    _keep_to_headings(alone, candidates, concepts, fits)
    _hold_to_given(alone, candidates, concepts, given)
    scores = alone + _beside(candidates, concepts, fits, [])
    chosen: list[int] = []
    for _ in range(ROUNDS):
        before, chosen = chosen, _solve(scores)
        if chosen == before:
            break
        scores = alone + _beside(candidates, concepts, fits, chosen)
    return _in_units_of_a_pass(
        [_choice(row, candidates, concepts, fits, scores, chosen) for row in range(len(candidates))]
    )


def _keep_to_headings(
    alone: np.ndarray, candidates: Sequence[Candidate], concepts: Sequence[Concept], fits: list[list[Fit]]
) -> None:
    """Let a column whose heading says one thing outright be nothing that it has no word of, times apart."""
    for row, own in enumerate(candidates):
        may_be = any(
            found.said >= OUTRIGHT and (concept.sort != "number" or found.score > AT_LEAST)
            for found, concept in zip(fits[row], concepts, strict=True)
        )
        if may_be and not set(tokens(own.heading.text)) <= ANY_SPLIT:
            for column, concept in enumerate(concepts):
                if (
                    concept.sort in {"number", "date"}
                    and concept.name not in MEASURED
                    and fits[row][column].said < UNSAID
                ):
                    alone[row, column] = NEVER


def _hold_to_given(
    alone: np.ndarray, candidates: Sequence[Candidate], concepts: Sequence[Concept], given: Mapping[int, str]
) -> None:
    for row, own in enumerate(candidates):
        if own.index in given:
            alone[row] = -50.0
            for column, concept in enumerate(concepts):
                if concept.name == given[own.index]:
                    alone[row, column] = 50.0


def _solve(scores: np.ndarray) -> list[int]:
    """Give the column of the best whole for each row; -1 for leaving it unread."""
    count = scores.shape[0]
    padded = np.hstack([scores, np.full((count, count), NOTHING_KNOWN)])
    return [column if column < scores.shape[1] else -1 for column in best_columns(padded)]


def _beside(
    candidates: Sequence[Candidate], concepts: Sequence[Concept], fits: list[list[Fit]], chosen: list[int]
) -> np.ndarray:
    """Give what the other columns, as chosen so far, say about each reading."""
    extra = np.zeros((len(candidates), len(concepts)))
    at = {concept.name: place for place, concept in enumerate(concepts)}
    held = {concepts[place].name: row for row, place in enumerate(chosen) if place >= 0}
    for name in (*SPLITS, *SPEEDS):
        for row, own in enumerate(candidates):
            if fits[row][at[name]].score < -2.0:
                continue
            extra[row, at[name]] = _agreement(name, row, own, candidates, fits, held, at)
    if (place := held.get("t60_s")) is not None and place:
        extra[place - 1, at["reaction_s"]] += 0.25
    _beside_its_like(extra, held, at)
    if len({*SPLITS} & set(held)) >= LEAST_OF_SLIPS:
        for place in (at[name] for name in CLUTCH):
            extra[:, place] -= [AMONG_SLIPS * (row[place].said < HINT) for row in fits]
    pressures = [row[at["pressure_inhg"]].score >= AT_LEAST for row in fits]
    extra[:, at[SECOND_PRESSURE]] -= [SECOND_COSTS if sum(pressures) > own else -NEVER for own in pressures]
    times = {"t660_s", "t1320_s"} & set(held)
    for name, time in (("v660_mph", "t660_s"), ("v1320_mph", "t1320_s")):
        if (place := held.get(time)) is not None and place + 1 < len(candidates):
            extra[place + 1, at[name]] += 0.25
        elif place is None and times - {time}:
            extra[:, at[name]] -= ALONE
    return extra


def _beside_its_like(extra: np.ndarray, held: Mapping[str, int], at: Mapping[str, int]) -> None:
    """Let a column be rather of the air beside one of the air, and a setting beside a setting."""
    for group in (AIR_BESIDE, SETTINGS):
        for name in group:
            others = [other for other in group if other != name]
            for row in set(_next_to(held, others, len(extra))):
                extra[row, at[name]] += BESIDE_ITS_LIKE


def _next_to(held: Mapping[str, int], names: Sequence[str], count: int) -> list[int]:
    """Give the columns right beside those read as some things, once for each."""
    places = [held[name] + step for name in names if name in held for step in (-1, 1)]
    return [place for place in places if 0 <= place < count]


def _agreement(
    name: str, row: int, own: Candidate, candidates: Sequence[Candidate],
    fits: list[list[Fit]], held: Mapping[str, int], at: Mapping[str, int],
) -> float:  # fmt: skip
    total, count = 0.0, 0
    mine = _compared(name, own, fits[row][at[name]])
    for table, joined in ((RATIOS, np.divide), (PRODUCTS, np.multiply)):
        for (upper, lower), (low, high) in table.items():
            other = lower if name == upper else upper if name == lower else ""
            if not other or other not in held or held[other] == row:
                continue
            theirs = _compared(other, candidates[held[other]], fits[held[other]][at[other]])
            with np.errstate(all="ignore"):
                values = joined(mine, theirs) if name == upper else joined(theirs, mine)
            values = values[np.isfinite(values)]
            if values.size < 2:
                continue
            low_quarter, middle, high_quarter = np.quantile(values, (0.25, 0.5, 0.75))
            is_loose = high_quarter - low_quarter > LOOSE * abs(middle)
            count += 1
            is_product = table is PRODUCTS  # in whichever unit the speed is: it is told by the time
            ways = [middle * unit.factor for unit in _SPEED_UNITS.values()] if is_product else [middle]
            is_near = any(low <= way <= high for way in ways)
            may_stray = fits[row][at[name]].said >= GUESSED or values.size < LEAST_LOOSE
            total += AGREES if is_near and (may_stray or not is_loose) else DISAGREES
    total *= min(count, 2) / max(count, 1)
    is_named = fits[row][at[name]].said >= OUTRIGHT and not set(tokens(own.heading.text)) <= ANY_SPLIT
    return max(total, LEAST_OUTRIGHT) if is_named else total


def _compared(name: str, own: Candidate, found: Fit) -> np.ndarray:
    """Give the numbers of a column to be held against others; a speed as typed: they tell its unit."""
    is_as_typed = name in SPEEDS and not found.is_no_point
    return own.numbers if is_as_typed else _canonical(own, found)


def _canonical(own: Candidate, found: Fit) -> np.ndarray:
    return own.numbers * found.to_canonical.factor + found.to_canonical.offset


def _in_units_of_a_pass(choices: list[Choice]) -> list[Choice]:
    """Take a speed in the unit in which it fits the time at its distance, where the written one does not.

    No car's time times its speed is so far off that a mile could be taken for a kilometre. Where no unit is
    written nothing is asked.
    """
    held = {own.name: own for own in choices}
    found = list(choices)
    for at, own in enumerate(choices):
        for (time, speed), (low, high) in PRODUCTS.items():
            if speed != own.name or time not in held:
                continue
            seconds = _canonical(held[time].candidate, held[time].fit)
            products = own.candidate.numbers * seconds
            products = products[np.isfinite(products)]
            if products.size < LEAST_PASSES:
                continue
            middle = float(np.median(products))
            fitting = [unit for unit, scale in _SPEED_UNITS.items() if low <= middle * scale.factor <= high]
            now = own.fit.to_canonical
            if len(fitting) == 1 and (unit := _SPEED_UNITS[fitting[0]]) != now and not own.fit.is_no_point:
                written = named_unit(own.candidate.heading.text, "mph") or own.candidate.heading.unit
                told = fitting[0] if written or own.candidate.cells.units else ""
                found[at] = replace(own, fit=replace(own.fit, to_canonical=unit, unit=told, is_by_times=True))
    return found


def _choice(
    row: int, candidates: Sequence[Candidate], concepts: Sequence[Concept], fits: list[list[Fit]],
    scores: np.ndarray, chosen: list[int],
) -> Choice:  # fmt: skip
    place = chosen[row]
    if place < 0:
        return Choice(candidates[row], "", Fit(0.0), 0.0, _best_other(row, -1, concepts, scores, chosen)[0])
    runner, worth = _best_other(row, place, concepts, scores, chosen)
    found = fits[row][place]
    lead = float(scores[row, place]) - max(worth, NOTHING_KNOWN)
    if worth < NOTHING_KNOWN:
        runner = ""
    rival = next(
        (own.said for own, each in zip(fits[row], concepts, strict=True) if each.name == runner), 0.0
    )
    found = replace(found, score=float(scores[row, place]))
    return Choice(candidates[row], concepts[place].name, found, lead, runner, rival)


def _best_other(
    row: int, place: int, concepts: Sequence[Concept], scores: np.ndarray, chosen: list[int]
) -> tuple[str, float]:
    """Give the next best meaning that no other column holds more surely."""
    best, worth = "", -np.inf
    for column, concept in enumerate(concepts):
        if column == place or scores[row, column] <= worth:
            continue
        if column in chosen:
            holder = chosen.index(column)
            if scores[holder, column] > scores[row, column]:
                continue
        best, worth = concept.name, float(scores[row, column])
    return best, worth
