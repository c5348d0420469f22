"""What a suspect slip should have said: every slip of the pen tried, the one that fits best kept.

A reading is scored by how likely the whole slip then is for its car (``slip_model``) and by how rare the slip
of the pen is that would explain it (``repairs``). It is suggested only where it is far better than as typed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import duckdb
import numpy as np
import polars as pl
from numpy.typing import NDArray

from pipeline.ingest.slip_model import COLUMNS, IS_TIME, Cloud, Floats, fit_cloud, spoiled
from pipeline.ingest.slip_readings import ANY_NUMBER, DECIMALS, HIGHS, LOWS, TICKET, Reading, Slip, readings
from pipeline.ingest.slip_stories import Stories, stories_of
from pipeline.store.database import lend, query

CLEARLY_BETTER = 12.0
"""A reading must beat the slip as typed by this much, in squared widths."""
BETTER, MOST_OF_ALL = 8.0, 0.9
"""Of a slip that cannot be, whose run was spoiled, so much will do, where nothing else comes near."""
FITS = 30.0
CANNOT_BE = 500.0
MENDS_MOST = 300.0
"""A reading that leaves the slip impossible counts only when it mends so much: another error is in it."""
NEARLY = 100.0
"""A reading of an odd cell is taken before none where it is hardly worse."""
MOST_ERRORS = 3
OUTSIDE = 1e12
"""What a number outside of all that a slip can hold is away from the others: more than any other."""
NOT_WRITTEN = 9.0
LEAST_SHARE = 0.3
"""The best reading is suggested when it takes this share of what all readings could be."""
WORDS = {
    "letter_for_digit": "A letter stands where a digit should.",
    "minus_sign": "A minus sign stands where there can be none.",
    "missing_decimal": "The decimal point is missing or misplaced.",
    "added_digit": "There is a digit too many.",
    "dropped_digit": "A digit looks left out: it does not fit the other times of this slip.",
    "swapped_digits": "Two digits look swapped: it does not fit the other times of this slip.",
    "wrong_digit": "One digit looks wrong: it does not fit the other times of this slip.",
    "time_and_speed_swapped": "Time and speed look swapped.",
    "splits_not_rising": "Times must rise down the strip; two look exchanged.",
    "wrong_column": "This and another number of the slip look typed in each other's place.",
    "next_column": "This looks typed in the next column.",
    "other_unit": "It looks like km/h among mph, or the other way round: so read it fits the other times.",
    "shifted_row": "The numbers from here on look typed one column off.",
    "hundredths": "Only hundredths here, where this sheet has thousandths.",
    "does_not_fit": "It cannot be true beside the other times of this slip. Look at the ticket.",
}  # fmt: skip
"""Every rule about the numbers of one slip, in words; of two equally sure the earlier speaks."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One cell under question, with its rule, what else is said of it, and the suggestion (None: look)."""

    slip_id: int
    column: str
    rule: str
    problem: str
    suggestion: str | None


FINDING_SCHEMA = {"slip_id": pl.Int64} | dict.fromkeys(("column", "rule", "problem", "suggestion"), pl.String)


class Clouds:
    """The clouds of all cars, fitted when asked for."""

    def __init__(self, runs: dict[str | None, Floats]) -> None:
        self._runs = runs
        self._fitted: dict[tuple[str | None, bytes], Cloud] = {}
        self._widened: dict[tuple[str | None, bytes, int, bool], Cloud] = {}
        self._stories: dict[tuple[str | None, bytes, int, bool], Stories] = {}

    def of(self, slip: Slip, has: NDArray[np.bool_]) -> Cloud:
        """Return the cloud of those numbers of a slip, widened where its run was spoiled."""
        key = (slip.car, has.tobytes())
        if key not in self._fitted:
            self._fitted[key] = fit_cloud(self._runs.get(slip.car, np.empty((0, 7))), has)
        if slip.good_ft >= 1320 and not slip.is_bad_start:
            return self._fitted[key]
        widened = (*key, slip.good_ft, slip.is_bad_start)
        if widened not in self._widened:
            self._widened[widened] = spoiled(
                self._fitted[key], has, slip.good_ft, is_bad_start=slip.is_bad_start
            )
        return self._widened[widened]

    def surprise(self, slip: Slip, has: NDArray[np.bool_], logs: Floats) -> Floats:
        """Say how unlikely numbers of a slip are, with what may have happened to its run and is not noted.

        Parameters
        ----------
        slip
            For its car and what is noted of the run.
        has
            Which of the seven are there, shape (7,).
        logs
            Their logarithms, shape (n, k).

        Returns
        -------
        numpy.ndarray
            Minus twice the logarithm of how likely each is, shape (n,).
        """
        key = (slip.car, has.tobytes(), slip.good_ft, slip.is_bad_start)
        if key not in self._stories:
            self._stories[key] = stories_of(self.of(slip, has), has, is_noted=slip.good_ft < 1320)
        return self._stories[key].surprise(logs)


def find_repairs(con: duckdb.DuckDBPyConnection) -> None:
    """Write a finding for every number of a suspect slip that another reading explains, or nothing does.

    Parameters
    ----------
    con
        The store inside ingest's transaction, with ``suspects``, ``odd_slip_cells`` and ``findings``.
    """
    slips = list(_slips(con))
    if not slips:
        return
    clouds = Clouds(_runs(con))
    found = [finding for slip in slips if _is_worth_it(slip, clouds) for finding in judge_slip(slip, clouds)]
    if found:
        lend(con, "slip_findings", pl.DataFrame(found, schema=FINDING_SCHEMA))
        con.execute(query("doubts/repair/keep"))
        con.unregister("slip_findings")


def _slips(con: duckdb.DuckDBPyConnection) -> Iterator[Slip]:
    odd: dict[int, list[tuple[str, str | None, str]]] = defaultdict(list)
    for slip_id, column, text, oddity in con.execute(query("doubts/repair/odd_cells")).fetchall():
        odd[slip_id].append((column, text, oddity))
    units: dict[int, dict[str, tuple[float, float]]] = defaultdict(dict)
    for slip_id, column, factor, shift in con.execute(query("doubts/repair/units")).fetchall():
        units[slip_id][column] = (factor, shift)
    decimals: dict[int, dict[str, int]] = defaultdict(dict)
    for slip_id, column, written in con.execute(query("doubts/repair/decimals")).fetchall():
        decimals[slip_id][column] = written
    entries: dict[int, dict[str, str]] = defaultdict(dict)
    for slip_id, column, text in con.execute(query("doubts/repair/entries")).fetchall():
        entries[slip_id][column] = text
    for row in con.execute(query("doubts/repair/suspects")).fetchall():
        slip_id, car, good_ft, is_impossible, is_bad_start, *numbers = row
        yield Slip(
            slip_id, car, good_ft, is_impossible, is_bad_start,
            {name: np.nan if n is None else n for name, n in zip(TICKET, numbers, strict=True)},
            {column: text for column, text, _ in odd[slip_id] if text is not None},
            {column: oddity for column, _, oddity in odd[slip_id]},
            units.get(slip_id, {}),
            decimals.get(slip_id, {}),
            entries.get(slip_id, {}),
        )  # fmt: skip


def _runs(con: duckdb.DuckDBPyConnection) -> dict[str | None, Floats]:
    by_car: dict[str | None, list[Any]] = defaultdict(list)
    for car, *numbers in con.execute(query("doubts/repair/runs")).fetchall():
        by_car[car].append(numbers)
    return {car: np.log(np.array(numbers, dtype=float)) for car, numbers in by_car.items()}


def _values(numbers: dict[str, float]) -> Floats:
    return np.array([numbers[name] for name in COLUMNS])


def _is_worth_it(slip: Slip, clouds: Clouds) -> bool:
    """Tell whether some reading of one cell could explain the slip, so that trying them all makes sense."""
    values = _values(slip.numbers)
    if slip.is_impossible or slip.oddities or not (values[~np.isnan(values)] > 0).all():
        return True
    has = ~np.isnan(values)
    if has.sum() < 2:
        return False
    cloud, logs = clouds.of(slip, has), np.log(values[has])[None, :]
    away = float(cloud.distance(logs)[0])
    _, gains = cloud.each_from_others(logs)
    return away > CLEARLY_BETTER and away - float(gains.max()) < FITS


def judge_slip(slip: Slip, clouds: Clouds) -> list[Finding]:
    """Find what one slip should have said, a second error in it included.

    Parameters
    ----------
    slip
        A suspect slip.
    clouds
        The clouds of the cars.

    Returns
    -------
    list of Finding
        None where the slip may stand as it is.
    """
    taken: list[Reading] = []
    now, unsure = slip, set[str]()
    for _ in range(MOST_ERRORS):
        done = {name for reading in taken for name in reading.cells}
        found = _best_reading(now, clouds, done)
        if found is None:
            break
        reading, share = found
        taken.append(reading)
        unsure |= {reading.rule} if share < LEAST_SHARE else set()
        now = _with(now, reading)
    is_sure = bool(slip.oddities) or any(reading.rule == "minus_sign" for reading in taken)
    is_sure = is_sure or (len(taken) == 1 and _mends_alone(taken[0], _outside(slip)) and not unsure)
    if taken and not is_sure and not _fits(now, clouds, _distance(slip, clouds)):
        taken, now = [], slip
    said = {name for reading in taken for name in reading.cells}
    return [*_findings(slip, taken, unsure), *_left_over(slip, now, clouds, said)]


def _best_reading(slip: Slip, clouds: Clouds, done: set[str]) -> tuple[Reading, float] | None:
    """Return the reading that fits best and its share of all that would; None where the slip may stand."""
    tried = [reading for reading in readings(slip) if not done & set(reading.cells)]
    if not tried:
        return None
    scores, before = _score(slip, clouds, tried), _score(slip, clouds, [Reading("", 0.0, {})])[0]
    best = int(np.argmin(scores))
    outside = _outside(slip)
    surely = [
        at
        for at, each in enumerate(tried)
        if _is_sure(each, slip, outside) and (each.rule == "minus_sign" or scores[at] - scores[best] < NEARLY)
    ]
    if surely and tried[best].rule == "does_not_fit":
        best = min(surely, key=lambda at: scores[at])
        scores = np.where([each.rule == "does_not_fit" for each in tried], np.inf, scores)
    gain = before - scores[best]
    share = float(1 / np.exp(-0.5 * np.clip(scores - scores[best], 0, 200)).sum())
    is_forced = _is_sure(tried[best], slip, outside)
    is_better = gain > (CLEARLY_BETTER if scores[best] < CANNOT_BE else MENDS_MOST)
    is_likeliest = slip.is_impossible and gain > BETTER and share > MOST_OF_ALL and scores[best] < CANNOT_BE
    may_count = is_better or is_likeliest or (is_forced and scores[best] < CANNOT_BE)
    return (tried[best], share) if may_count and tried[best].rule != "does_not_fit" else None


def _is_sure(reading: Reading, slip: Slip, outside: set[str]) -> bool:
    """Tell whether a reading mends what cannot be as typed, whatever the run was: an odd cell, a sign."""
    is_odd = not slip.oddities.keys().isdisjoint(reading.cells) or _mends_alone(reading, outside)
    return reading.rule == "minus_sign" or (is_odd and reading.rule != "does_not_fit")


def _mends_alone(reading: Reading, outside: set[str]) -> bool:
    """Tell whether a reading changes the one number that cannot be, whatever the run was."""
    return len(outside) == 1 and reading.cells.keys() == outside


def _outside(slip: Slip) -> set[str]:
    """Name the numbers that are outside what any slip can hold."""
    values = _values(slip.numbers)
    return {COLUMNS[at] for at in np.flatnonzero((values < LOWS) | (values > HIGHS))}


def _fits(slip: Slip, clouds: Clouds, before: float) -> bool:
    """Tell whether the numbers of a slip go together as those of its car do, or far better than before."""
    values = _values(slip.numbers)
    if _cannot_be(values[None, :])[0]:
        return False
    return _distance(slip, clouds) < max(2 * FITS, 0.1 * before)


def _distance(slip: Slip, clouds: Clouds) -> float:
    """Return how far the numbers of a slip are from those of its car, in squared widths."""
    values = _values(slip.numbers)
    has = ~np.isnan(values) & (values > 0)
    if not has.any():
        return 0.0
    surprise = float(clouds.surprise(slip, has, np.log(values[has])[None, :])[0])
    return surprise - clouds.of(slip, has).log_size()


def _with(slip: Slip, reading: Reading) -> Slip:
    """Take a reading for true."""
    kept = {name: what for name, what in slip.oddities.items() if name not in reading.cells}
    texts = {name: text for name, text in slip.texts.items() if name not in reading.cells}
    numbers = slip.numbers | reading.cells
    stays = slip.is_impossible and bool(_cannot_be(_values(numbers)[None, :])[0])
    return replace(slip, numbers=numbers, oddities=kept, texts=texts, is_impossible=stays)


def _without(slip: Slip, name: str) -> Slip:
    return replace(slip, numbers=slip.numbers | {name: np.nan})


def _score(slip: Slip, clouds: Clouds, tried: list[Reading]) -> Floats:
    """Score each reading; lower is likelier."""
    values = np.tile(_values(slip.numbers), (len(tried), 1))
    reaction = np.full(len(tried), slip.numbers["reaction_s"])
    for at, reading in enumerate(tried):
        for name, number in reading.cells.items():
            if name == "reaction_s":
                reaction[at] = number
            else:
                values[at, COLUMNS.index(name)] = number
    scores = np.array([reading.cost for reading in tried], dtype=float)
    late = np.abs(reaction - 0.15)
    scores += np.where(
        np.isnan(reaction), 3.0, np.where(late < 0.8, np.clip((late - 0.35) * 100, 0, None), 600.0)
    )
    has = ~np.isnan(values)
    scores += NOT_WRITTEN * (~has).sum(axis=1) + CANNOT_BE * _cannot_be(values)
    logs = np.log(np.where(values > 0, values, 1e-3))
    alike: dict[bytes, list[int]] = defaultdict(list)
    for at, written in enumerate(has):
        alike[written.tobytes()].append(at)
    for rows in alike.values():
        pattern = has[rows[0]]
        if pattern.any():
            scores[rows] += clouds.surprise(slip, pattern, logs[rows][:, pattern])
    return scores


def _cannot_be(values: Floats) -> NDArray[np.bool_]:
    """Tell which slips no run can print: a number out of its range, or times that do not rise."""
    outside = ((values < LOWS) | (values > HIGHS)).any(axis=1)
    times = values[:, IS_TIME]
    latest = np.maximum.accumulate(np.where(np.isnan(times), -np.inf, times), axis=1)
    return np.asarray(outside | (times[:, 1:] <= latest[:, :-1]).any(axis=1))


def _findings(slip: Slip, taken: list[Reading], unsure: set[str]) -> Iterator[Finding]:
    meant: dict[str, tuple[str, float]] = {}
    for reading in taken:
        for name, number in reading.cells.items():
            meant[name] = (reading.rule, number)
    for name, (rule, number) in meant.items():
        suggestion = "empty" if np.isnan(number) else _written(number, DECIMALS[name])
        if rule in unsure and rule != "hundredths":
            yield Finding(slip.slip_id, name, rule, f"{WORDS[rule]} Several readings would fit.", None)
        else:
            yield Finding(slip.slip_id, name, rule, WORDS[rule], suggestion)


def _written(number: float, decimals: int) -> str:
    """Write a number with so many decimals, or the one more that it has."""
    is_whole = abs(number - round(number, decimals)) < 1e-6
    return f"{number:.{decimals if is_whole else decimals + 1}f}"


def _left_over(slip: Slip, now: Slip, clouds: Clouds, said: set[str]) -> Iterator[Finding]:
    """Ask about the number that fits least in a slip that stays impossible, with what would fit in words."""
    values = _values(now.numbers)
    cannot_be = bool(_cannot_be(values[None, :])[0])
    if not slip.is_impossible or now.oddities or (said and not cannot_be):
        return
    has = ~np.isnan(values) & (values > 0)
    wrong = ~np.isnan(values) & ~((values >= LOWS) & (values <= HIGHS))
    expected = np.full(7, np.nan)
    gains = np.where(wrong, OUTSIDE, -np.inf)
    if has.sum() > 1:
        logs, gained = clouds.of(now, has).each_from_others(np.log(values[has])[None, :])
        expected[has], gains[has] = np.exp(logs[0]), gained[0]
    gains[wrong] = OUTSIDE
    place = int(np.argmax(gains))
    name = COLUMNS[place]
    if name in said or not np.isfinite(gains[place]):
        return
    if not cannot_be and _distance(_without(now, name), clouds) > 2 * FITS:
        return  # more than one number is far off: a run gone wrong that nobody noted
    as_it_is, without = _score(now, clouds, [Reading("", 0.0, {}), Reading("", ANY_NUMBER, {name: np.nan})])
    if not cannot_be and as_it_is - without < CLEARLY_BETTER:
        return  # a run that went wrong, and nobody noted it
    problem = WORDS["does_not_fit"]
    if LOWS[place] <= expected[place] <= HIGHS[place]:
        problem += f" Beside the others it should be near {expected[place]:.{DECIMALS[name] - 1}f}."
    yield Finding(slip.slip_id, name, "does_not_fit", problem, None)
