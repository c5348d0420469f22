"""What holds the gain back: the rules, what the model can say, what the runs tell, or caution.

    python -m tests.simulation.held_back 52000-52002

asks for one suggestion after each season, for the night by which coached seasons are judged, and prints the
share of the feasible gain that is held when ever more is known: after the season alone, after the plan's
runs, after six nights of the same plan, and after twenty nights of settings near by that cost little. "Truth"
takes the best setting that a suggestion may name at all; "no caution" the least expected time.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
import polars as pl

from pipeline.decide.next_setting import movable, present_state, suggest_next
from pipeline.decide.results import Forecast
from pipeline.decide.test_plan import plan_runs
from pipeline.decide.trust_region import trust_region
from pipeline.season.response_fit import ResponseFit, fit_response
from pipeline.season.results import Risk
from tests.simulation.coached import (
    EVENTS,
    KINDS,
    RUNS,
    WORSE_S,
    Loop,
    Settings,
    limits_of,
    seeds_of,
    stay,
)
from tests.simulation.worlds.making import Season, feasible_best, forecast, play, usual_limits, world

NEAR_COST_S = 0.012
"""Settings that truly cost more are not among those "near by". [s]"""
DRAWN = 2500

RISKS: dict[str, Risk] = {"no caution": "even", "as advised": "cautious"}
Nights = Callable[["Case", int], list[Settings]]


class Case:
    """A season, and the night for which its settings are asked.

    Attributes
    ----------
    row, ahead
        That night's conditions, and the season with it.
    feasible_s
        What the best setting within reach would gain in it. [s]
    drawn
        Settable settings within reach, drawn evenly; the present one first.
    """

    def __init__(self, kind: str, seed: int) -> None:
        self.loop = Loop(world(kind, seed), seed)
        self.season, self.start = self.loop.season, dict(self.loop.season.present)
        later = Loop(self.season, seed)
        for _ in range(EVENTS):
            stay(later)
        self.row, self.ahead = later.forecast(), later.ahead().season
        at = self.ahead.changed(self.row, **self.start)
        _, self.feasible_s = feasible_best(self.ahead, at, usual_limits(self.season))
        self.limits = limits_of(self.season)
        self.drawn = self._draw(np.random.default_rng(5))

    def _draw(self, rng: np.random.Generator) -> list[Settings]:
        values = {name: limit.settable(self.start[name]) for name, limit in self.limits.by_name.items()}
        drawn = [dict(self.start)]
        for _ in range(DRAWN):
            names = rng.choice(list(values), rng.integers(1, len(values) + 1), replace=False)
            drawn.append(self.start | {str(name): float(rng.choice(values[name])) for name in names})
        return drawn

    def gains_s(self, settings: Sequence[Mapping[str, float]]) -> np.ndarray:
        """True gains of settings over the present one in that night. [s]. Shape (n,)."""
        rows = pl.concat([self.row] * len(settings))
        columns = {name: np.array([one[name] for one in settings]) for name in self.start}
        times = self.ahead.expected_s("t60", self.ahead.changed(rows, **columns))
        now = self.ahead.expected_s("t60", self.ahead.changed(self.row, **self.start))
        return np.asarray(now[0] - times)

    def asked(self) -> Forecast:
        """The night as a racer may know it."""
        temp, air = self.row["track_temp_degf"][0], self.row["air_density_kg_per_m3"][0]
        return Forecast(None, temp, None, None, None, air, None, ())

    def after(self, nights: int, runs_of: Nights) -> Season:
        """The season with so many more nights, the first of them the one that would come next."""
        season = self.season
        for night in range(nights):
            rngs = [self.loop.rng(100 * night, part) for part in (0, 1)]
            planned, before = runs_of(self, night), season.runs.height

            def coach(
                table: pl.DataFrame,
                _row: pl.DataFrame,
                planned: list[Settings] = planned,
                before: int = before,
            ) -> Settings:
                return planned[table.height - before]

            season = play(season, coach, rngs[1], forecast(season, rngs[0], RUNS))
            season = replace(season, present=dict(self.start))
        return season


def planned(case: Case, _night: int) -> list[Settings]:
    """The plan after the season, the same every night."""
    found = plan_runs(case.loop.fit(), case.limits, case.start, RUNS, seed=1)
    return [dict(run.settings) for run in found.runs] or [case.start] * RUNS


def near_by(case: Case, night: int) -> list[Settings]:
    """Settings within reach that truly cost little, drawn anew for every night."""
    good = np.flatnonzero(case.gains_s(case.drawn) > -NEAR_COST_S)
    return [case.drawn[i] for i in case.loop.rng(400, night).choice(good, RUNS)]


KNOWN: dict[str, tuple[int, Nights]] = {
    "the season": (0, planned),
    "a plan": (1, planned),
    "six plans": (6, planned),
    "twenty nights": (20, near_by),
}


def best_allowed_s(case: Case, fit: ResponseFit) -> float:
    """What the best setting gains that a suggestion may name: of what varied, near what was run. [s]."""
    dials = movable(fit, case.limits, quick_only=False)
    kept = case.start.keys() - {limit.name for limit in dials}
    region = trust_region(fit, present_state(fit, case.start, case.asked()))

    def best_of(settings: Sequence[Settings]) -> tuple[Settings, float]:
        states = np.array([present_state(fit, one, case.asked()) for one in settings])
        named = np.array([all(one[name] == case.start[name] for name in kept) for one in settings])
        gains = np.where(region.holds(states) & named, case.gains_s(settings), -np.inf)
        return settings[int(gains.argmax())], float(gains.max())

    at, gain = best_of(case.drawn)
    while True:
        turned = [at | {one.name: value} for one in dials for value in one.settable(case.start[one.name])]
        better, more = best_of([at, *turned])
        if more <= gain:
            return gain
        at, gain = better, more


def held_s(kind: str, seed: int) -> tuple[float, dict[tuple[str, str], float]]:
    """Feasible gain of a season, and what is held of it by what is known and how it is decided. [s]."""
    case, found = Case(kind, seed), {}
    for known, (nights, runs_of) in KNOWN.items():
        season = case.after(nights, runs_of)
        fit = fit_response(season.runs, season.facts)
        found[known, "truth"] = best_allowed_s(case, fit)
        for how, risk in RISKS.items():
            said = suggest_next(fit, case.limits, case.start, case.asked(), risk=risk)
            settings = case.start | (said.change_to.settings if said.change_to else {})
            found[known, how] = float(case.gains_s([settings])[0])
    return case.feasible_s, found


def main(seeds: Iterable[int], kinds: Sequence[str]) -> None:
    """Print the table."""
    every = [held_s(kind, seed) for seed in seeds for kind in kinds]
    total = sum(feasible for feasible, _ in every)
    hows = ("truth", *RISKS)
    sys.stdout.write(f"| {len(every)} seasons | {' | '.join(hows)} |\n|{' --- |' * (1 + len(hows))}\n")
    for known in KNOWN:
        held = [np.array([found[known, how] for _, found in every]) for how in hows]
        cells = [f"{one.sum() / total:.2f}, worse {(one < -WORSE_S).sum()}" for one in held]
        sys.stdout.write(f"| {known} | {' | '.join(cells)} |\n")


if __name__ == "__main__":
    main(seeds_of(sys.argv[1]), sys.argv[2:] or KINDS)
