"""The closed loop: a season, then three events of eight runs driven one way or another.

    python -m tests.simulation.coached 20 [way ...]
    python -m tests.simulation.coached 46000-46004 [way ...]

prints, over so many seeds or over those named, for every way of going on and every kind of racer before, how
much of what there was to gain the settings hold at the end, how often they are worse than at the start, and
what it cost on the way. The world is the motion of a launch, by people who had not seen the model.
"""

from __future__ import annotations

import sys
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
import polars as pl

from pipeline.decide.limits import Limit, Limits
from pipeline.decide.next_setting import suggest_next
from pipeline.decide.results import Forecast, NextSetting, Trial
from pipeline.decide.test_plan import plan_runs
from pipeline.garage.factors import BY_NAME
from pipeline.season.effects import effects
from pipeline.season.response_fit import ResponseFit, fit_response
from tests.simulation.worlds.frame import EXTRA, on_grid
from tests.simulation.worlds.making import Season, feasible_best, forecast, play, usual_limits, world
from tests.simulation.worlds.racers import MOVES

KINDS = (
    "launch_explorer", "launch_climber", "launch_timid", "launch_locked", "launch_reactor", "launch_notes",
)  # fmt: skip
"""Worlds, by how the racer came by the settings before."""

EVENTS, RUNS = 3, 8
WORSE_S = 1e-3
"""Worse than at the start by more than this counts. [s]"""

Settings = dict[str, float]


@dataclass
class Loop:
    """One season driven on one way.

    Attributes
    ----------
    season
        With the runs made so far.
    seed
        Of the nights and of the luck of every run, the same whatever the way.
    event
        How many events have been run.
    cost_s
        Of every run made to learn, by how much its expected time was above that of the setting in force. [s]
    promised_s
        What changes and plans were said to bring, with what they truly brought. [s]
    fitted
        The runs last fitted, with their fit.
    trying
        A trial that is being made.
    """

    season: Season
    seed: int
    event: int = 0
    cost_s: list[float] = field(default_factory=list)
    promised_s: list[tuple[float, float]] = field(default_factory=list)
    fitted: tuple[pl.DataFrame, ResponseFit] | None = None
    trying: Trying | None = None

    def rng(self, *what: int) -> np.random.Generator:
        """Random numbers of one thing, whatever was done before."""
        return np.random.default_rng([self.seed, zlib.crc32(self.season.name.encode()), *what])

    def forecast(self) -> pl.DataFrame:
        """The night to come, before it is run: one row with the present settings."""
        return forecast(self.season, self.rng(self.event, 0), RUNS).rows[0]

    def ahead(self) -> Loop:
        """Look at the night to come without running it."""
        return replace(self, season=forecast(self.season, self.rng(self.event, 0), RUNS).season)

    def run_night(self, coach: Callable[[pl.DataFrame, int], Mapping[str, float]]) -> None:
        """Run a night: ``coach`` is given the runs so far and how many this night has had."""
        ahead = forecast(self.season, self.rng(self.event, 0), RUNS)
        before = self.season.runs.height

        def ask(table: pl.DataFrame, _row: pl.DataFrame) -> Mapping[str, float]:
            return coach(table, table.height - before)

        self.season = play(self.season, ask, self.rng(self.event, 1), ahead)
        self.event += 1

    def fit(self, table: pl.DataFrame | None = None) -> ResponseFit:
        """Fit the runs so far; asked again of the same runs, the same fit is given."""
        table = self.season.runs if table is None else table
        if self.fitted is None or not self.fitted[0].equals(table):
            self.fitted = table, fit_response(table, self.season.facts)
        return self.fitted[1]

    def suggest(
        self, row: pl.DataFrame, table: pl.DataFrame | None = None, now: Settings | None = None
    ) -> NextSetting:
        """Ask for the next setting."""
        temp, air = row["track_temp_degf"][0], row["air_density_kg_per_m3"][0]
        asked = Forecast(None, temp, None, None, None, air, None, ())
        return suggest_next(self.fit(table), limits_of(self.season), now or self.season.present, asked)

    def true_s(self, row: pl.DataFrame, settings: Mapping[str, float]) -> float:
        """True expected time of settings under a row's conditions. [s]"""
        return float(self.season.expected_s("t60", self.season.changed(row, **settings))[0])

    def tried(self, row: pl.DataFrame, settings: Settings, instead_of: Settings) -> None:
        """Note the price of a run made to learn."""
        self.cost_s.append(self.true_s(row, settings) - self.true_s(row, instead_of))


def limits_of(season: Season) -> Limits:
    """The limits of a careful owner, in the pipeline's own terms."""
    found = {}
    for name, (low, high) in usual_limits(season).items():
        factor = EXTRA.get(name) or BY_NAME[name]
        words = f"{name} {low:g} to {high:g}"
        how = (factor.grid, factor.reach, factor.is_quick)
        found[name] = Limit(name, factor.label, factor.unit, low, high, words, words, *how)
    return Limits(found, {}, found)


# --- ways of going on


def stay(loop: Loop) -> None:
    """Change nothing."""
    loop.run_night(lambda _table, _done: {})


def climb(loop: Loop) -> None:
    """Change one thing before each run and keep it when the slip was quicker than the one before."""
    rng = loop.rng(loop.event, 2)
    names = [*loop.season.movers, *loop.season.nulls]
    now, trying = dict(loop.season.present), None

    def coach(table: pl.DataFrame, done: int) -> Settings:
        nonlocal now, trying
        if done and trying is not None:
            last, before = table["t60_s"][-1], table["t60_s"][-2]
            now, trying = (trying, None) if last < before else (now, None)
        if done:
            name = names[int(rng.integers(len(names)))]
            step = 0.8 * MOVES[name] * float(rng.choice([-1.0, 1.0]))
            trying = now | {name: on_grid(name, now[name] + step)}
        return trying or now

    loop.run_night(coach)
    last, before = loop.season.runs["t60_s"][-1], loop.season.runs["t60_s"][-2]
    kept = trying if trying is not None and last < before else now
    loop.season = replace(loop.season, present=kept)


def follow_next(loop: Loop) -> None:
    """Set what ``next`` says before the night, and leave it."""
    said = loop.suggest(loop.forecast())
    settings = said.change_to.settings if said.change_to else {}
    loop.run_night(lambda _table, _done: settings)


def plan_first(loop: Loop) -> None:
    """Run the test plan in the first night, then follow ``next``."""
    if loop.event:
        follow_next(loop)
    else:
        _run_plan(loop)


def plan_twice(loop: Loop) -> None:
    """Run a plan in each of the first two nights, the second from what the first showed; then ``next``."""
    if loop.event > 1:
        follow_next(loop)
        return
    said = loop.suggest(loop.forecast()) if loop.event else None
    change = said.change_to.settings if said and said.change_to else {}
    loop.season = replace(loop.season, present=loop.season.present | change)
    _run_plan(loop)


def plan_and_trials(loop: Loop) -> None:
    """Run the test plan in the first night, then follow ``next`` and its trials."""
    if loop.event:
        follow_trials(loop)
    else:
        _run_plan(loop)


def _run_plan(loop: Loop) -> None:
    """Run the plan, and hold what it was said to be worth to what the next setting gains by it."""
    start, row = dict(loop.season.present), loop.forecast()
    found = plan_runs(loop.fit(), limits_of(loop.season), start, RUNS, seed=1)
    before = loop.suggest(row)
    for run in found.runs:
        loop.tried(row, run.settings, start)
    planned = [run.settings for run in found.runs] or [start] * RUNS
    loop.run_night(lambda _table, done: planned[done])
    loop.season = replace(loop.season, present=start)
    if found.worth_s is not None:
        row = loop.forecast()
        after = loop.suggest(row)
        now, then = (one.change_to.settings if one.change_to else start for one in (before, after))
        loop.promised_s.append((found.worth_s, loop.true_s(row, now) - loop.true_s(row, then)))


BLOCK = 4
"""Runs between two questions to ``next`` where trials are made: present, trial, trial, present."""


@dataclass(frozen=True)
class Trying:
    """A trial that is being made.

    ``seen_s`` holds by how much its runs were slower than the present setting's, each time it was made.
    """

    trial: Trial
    seen_s: tuple[float, ...] = ()

    def after(self, block: Sequence[float]) -> Trying:
        """Note the times of four more runs. [s]."""
        first, one, two, last = block
        return replace(self, seen_s=(*self.seen_s, (one + two - first - last) / 2))

    @property
    def goes_on(self) -> bool:
        """Whether it is to be made a second time, by the rule it came with."""
        return not self.seen_s or (len(self.seen_s) == 1 and self.seen_s[0] <= self.trial.again_s)

    @property
    def is_kept(self) -> bool:
        """Whether it is kept, by the rule it came with."""
        return len(self.seen_s) > 1 and float(np.mean(self.seen_s)) <= self.trial.keep_s


def follow_trials(loop: Loop) -> None:
    """Ask ``next`` every four runs; where it says stay, make its trial and do with it what it says.

    A trial that goes well goes on in the night after if need be, before ``next`` is asked again.
    """
    row, now = loop.forecast(), dict(loop.season.present)

    def begin_block(table: pl.DataFrame) -> None:
        nonlocal now
        if loop.trying is None:
            said = loop.suggest(row, table, now)
            loop.trying = Trying(said.trial) if said.trial else None
            now |= said.change_to.settings if said.change_to else {}
        if loop.trying:
            for _ in range(loop.trying.trial.runs):
                loop.tried(row, loop.trying.trial.settings, now)

    def coach(table: pl.DataFrame, done: int) -> Settings:
        nonlocal now
        if done % BLOCK == 0:
            if done:
                now = judged(loop, table, row, now)
            begin_block(table)
        return now | loop.trying.trial.settings if loop.trying and done % BLOCK in (1, 2) else now

    loop.run_night(coach)
    loop.season = replace(loop.season, present=judged(loop, loop.season.runs, row, now))


def judged(loop: Loop, table: pl.DataFrame, row: pl.DataFrame, now: Settings) -> Settings:
    """After a trial's four runs go on with it, keep or undo it, by the rule it came with."""
    if loop.trying is None:
        return now
    tried = loop.trying.after(table["t60_s"].tail(BLOCK).to_list())
    loop.trying = tried if tried.goes_on else None
    if loop.trying:
        return now
    kept = now | tried.trial.settings if tried.is_kept else now
    loop.promised_s.append((-tried.trial.expected_gain_s, loop.true_s(row, now) - loop.true_s(row, kept)))
    return kept


WAYS: dict[str, Callable[[Loop], None]] = {
    "stay": stay,
    "climb": climb,
    "next": follow_next,
    "trials": follow_trials,
    "plan": plan_first,
    "plan twice": plan_twice,
    "plan, trials": plan_and_trials,
}
COACHED = tuple(way for way in WAYS if way not in ("stay", "climb"))
"""Ways that ask ``next`` once more for the night by which they are judged."""


# --- what came of it


@dataclass(frozen=True)
class Outcome:
    """One season driven one way. Times in s.

    Attributes
    ----------
    gain_s, feasible_s
        By how much the settings at the end beat those at the start in the night after, and what the best
        within reach of the start would have.
    said_s
        What the runs made to learn were said to be worth, summed; nan when nothing was said.
    parted
        Whether the pair never moved apart can be told apart after the first night.
    """

    kind: str
    gain_s: float
    feasible_s: float
    moved: bool
    cost_s: tuple[float, ...]
    promised_s: tuple[tuple[float, float], ...]
    parted: bool | None


def drive(kind: str, seed: int, way: str) -> Outcome:
    """Drive one season on one way and hold its end to the truth."""
    loop = Loop(world(kind, seed), seed)
    loop.fitted = fitted_before(kind, seed) if way in COACHED else None
    start, pair = dict(loop.season.present), loop.season.pair
    parted = None
    for _ in range(EVENTS):
        WAYS[way](loop)
        if pair is not None and parted is None:
            parted = are_apart(loop.fit(), pair)
    row = loop.forecast()
    end = dict(loop.season.present)
    if way in COACHED:
        said = loop.suggest(row)
        end |= said.change_to.settings if said.change_to else {}
    at_start = loop.season.changed(row, **start)
    ahead = loop.ahead()
    _, feasible = feasible_best(ahead.season, at_start, usual_limits(loop.season))
    gain = ahead.true_s(row, start) - ahead.true_s(row, end)
    moved = any(abs(end[name] - start[name]) > 1e-9 for name in end)
    return Outcome(kind, gain, feasible, moved, tuple(loop.cost_s), tuple(loop.promised_s), parted)


@lru_cache(maxsize=1)
def fitted_before(kind: str, seed: int) -> tuple[pl.DataFrame, ResponseFit]:
    """Fit the season before, which is the same whatever the way: driven one after another they share it."""
    season = world(kind, seed)
    return season.runs, fit_response(season.runs, season.facts)


def are_apart(fit: ResponseFit, pair: Sequence[str]) -> bool:
    """Whether each of a pair has a verdict of its own: neither is said to be inseparable from the other."""
    found = {one.adjustment: one for one in effects(fit)}
    return all(one in found and found[one].verdict != "inseparable" for one in pair)


def drive_all(kinds: Iterable[str], seeds: Iterable[int], way: str) -> list[Outcome]:
    """Drive every season of some kinds one way."""
    seeds = list(seeds)
    return [drive(kind, seed, way) for kind in kinds for seed in seeds]


def share(found: Sequence[Outcome]) -> float:
    """Share of the feasible gain that is held at the end."""
    return float(sum(one.gain_s for one in found) / sum(one.feasible_s for one in found))


def worse(found: Sequence[Outcome]) -> float:
    """Share of seasons that end worse than they began by more than a thousandth."""
    return float(np.mean([one.gain_s < -WORSE_S for one in found]))


HEADING = (
    "| way | kind | seasons | share of gain | worse | moved | feasible | price of a test run "
    "| worth came/said | pair parted |\n|" + " --- |" * 10
)


def line(way: str, kind: str, found: Sequence[Outcome]) -> str:
    """Lay some outcomes out as one row of a Markdown table."""
    cost = [1e3 * c for one in found for c in one.cost_s]
    said = [pair for one in found for pair in one.promised_s]
    total = sum(s for s, _ in said)
    parted = [one.parted for one in found if one.parted is not None]
    cells = [
        way, kind, str(len(found)), f"{share(found):.2f}", f"{worse(found):.2f}",
        f"{np.mean([one.moved for one in found]):.2f}",
        f"{1e3 * np.mean([one.feasible_s for one in found]):.1f}",
        f"{np.mean(cost):.1f}" if cost else "-",
        f"{sum(c for _, c in said) / total:.2f} of {1e3 * total / len(found):.1f}" if total else "-",
        f"{np.mean(parted):.2f}" if parted else "-",
    ]  # fmt: skip
    return f"| {' | '.join(cells)} |"


def seeds_of(words: str) -> range:
    """Read how many seeds, or which.

    >>> seeds_of("3"), seeds_of("46000-46004")
    (range(0, 3), range(46000, 46005))
    """
    first, _, last = words.partition("-")
    return range(int(first), int(last) + 1) if last else range(int(first))


def main(seeds: Iterable[int], ways: Sequence[str]) -> None:
    """Print the table, kind by kind: of one season every way is driven before the next season."""
    sys.stdout.write(f"{HEADING}\n")
    whole: dict[str, list[Outcome]] = {way: [] for way in ways}
    for kind in KINDS:
        found = [[drive(kind, seed, way) for way in ways] for seed in seeds]
        for way, of_way in zip(ways, zip(*found, strict=True), strict=True):
            whole[way] += of_way
            sys.stdout.write(f"{line(way, kind, of_way)}\n")
        sys.stdout.flush()
    for way in ways:
        sys.stdout.write(f"{line(way, 'all', whole[way])}\n")


if __name__ == "__main__":
    main(seeds_of(sys.argv[1]), sys.argv[2:] or list(WAYS))
