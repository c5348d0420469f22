"""The test runs worth most for the next setting: which settings to run, how often, and in which order."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from pipeline.decide.limits import SAME
from pipeline.decide.prospects import HORIZON, Mask, Movable, Prospects, worth_trying
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.sums import Array, Index

MOST_PRICE_S = 8e-3
"""No run is planned that is expected to cost more than this. [s] [judgement]"""

YARDSTICK_FROM = 6
"""With so many runs one block keeps the present setting, to be run first and last. [judgement]"""

MOVE_COST_S = 3e-3
"""What one more move in a tested setting must be worth, over all runs to come. [s] [judgement]"""

PARTED = 20.0
"""What a second less of doubt about one step of a tangled setting is worth, in seconds over all runs to come:
nearly what it is worth to be quicker by as much in each. At 6 plans parted fewer pairs and were worth no
more. [derived by simulation]"""

SLACK = 0.05
"""Share of what a plan is worth that a quicker order of running may cost. [judgement]"""

_SWEEPS = 2


@dataclass(frozen=True, slots=True)
class GainPlan:
    """Test runs in order, with what they are expected to bring.

    Attributes
    ----------
    states
        shape (m, F)
    worth_s
        By how much the choice after them is expected to beat the one now, each run. [s]
    price_s
        What the runs are expected to cost in all, against the present setting. [s]
    prospects, runs
        Settings looked at, and which of them each run has.
    """

    states: Array
    worth_s: float
    price_s: float
    prospects: Prospects
    runs: Index


def plan_for_gain(
    expected: ExpectedTime,
    here: Array,
    dials: tuple[Movable, ...],
    allowed: Callable[[Array], Mask],
    n_runs: int,
    blocks: Index,
    seed: int,
    tangled: Sequence[int] = (),
    minutes: Mapping[str, float] | None = None,
) -> GainPlan:
    """Choose the runs by what they are worth for the next setting, less what they cost.

    Parameters
    ----------
    here
        The present state. shape (F,)
    dials
        What may be turned, and how far.
    allowed
        States (n, F) -> which may be run.
    blocks
        Block of every run: slow settings are set once a block. shape (n_runs,)
    tangled
        Settings, by index in the state, that cannot be told from one another so far.
    minutes
        How long a change of each adjustment takes, where that is known.
    """
    states = worth_trying(expected, here, dials, allowed, MOST_PRICE_S, seed)
    prospects = Prospects.of(expected, states)
    score = Score(prospects, _single_steps(states, dials, tangled))
    yardstick = 0 if n_runs >= YARDSTICK_FROM else -1
    runs = _by_block(score, np.zeros(n_runs, dtype=np.intp), blocks, yardstick)
    score, runs = _fewer_moves(score, runs, dials, allowed)
    prospects = score.prospects.with_more(_quick_variants(score.prospects, runs, dials, allowed))
    score = Score(prospects, score.steps)
    runs = _by_run(score, runs, dials, blocks == yardstick)
    runs = _in_order(score, runs, dials, minutes or {})
    return GainPlan(
        prospects.states[runs],
        float(prospects.worth(runs[None])[0]),
        float(prospects.price_s[runs].sum()),
        prospects,
        runs,
    )


@dataclass(frozen=True, slots=True)
class Score:
    """What sets of runs are worth in all.

    ``steps`` are the settings looked at that differ from the present one in a step of one tangled setting.
    """

    prospects: Prospects
    steps: Index

    def of(self, runs: Index) -> Array:
        """Return what sets of runs are worth over the runs to come, less their price. [s]. Shape (d,)."""
        known = self.prospects
        found = HORIZON * known.worth(runs) - known.price_s[runs].sum(1)
        if self.steps.size:
            before = np.diag(known.joint)[self.steps]
            after = before - (known.learnt(runs)[:, self.steps] ** 2).sum(2)
            found = found + PARTED * (np.sqrt(before) - np.sqrt(np.maximum(after, 0.0))).sum(1)
        return np.asarray(found)


def _single_steps(states: Array, dials: tuple[Movable, ...], tangled: Sequence[int]) -> Index:
    """Find, for each tangled setting, the state nearest to one step of it alone."""
    moved = np.abs(states - states[0]) > SAME
    found = []
    for dial in dials:
        alone = np.flatnonzero(moved[:, dial.index] & (moved.sum(1) == 1))
        if dial.index in tangled and alone.size:
            away = np.abs(np.abs(states[alone, dial.index] - states[0, dial.index]) - 1)
            found.append(int(alone[away.argmin()]))
    return np.array(found, dtype=np.intp)


def _by_block(score: Score, runs: Index, blocks: Index, yardstick: int) -> Index:
    """Give every block but the yardstick's the setting that makes the whole worth most."""
    best = -np.inf
    arms = np.arange(len(score.prospects.states))
    for _ in range(_SWEEPS):
        before = best
        for block in set(blocks.tolist()) - {yardstick}:
            tried = np.tile(runs, (arms.size, 1))
            tried[:, blocks == block] = arms[:, None]
            scores = score.of(tried)
            if scores.max() > best:
                best, runs = float(scores.max()), tried[int(scores.argmax())]
        if best <= before:
            break
    return runs


def _fewer_moves(
    score: Score, runs: Index, dials: tuple[Movable, ...], allowed: Callable[[Array], Mask]
) -> tuple[Score, Index]:
    """Take moves out of the tested settings while hardly anything is lost by it."""
    here = score.prospects.states[0]
    for _ in range(_SWEEPS + 1):
        arms, backs = [], []
        for arm in np.unique(runs[runs > 0]):
            state = score.prospects.states[arm]
            moved = [dial.index for dial in dials if abs(state[dial.index] - here[dial.index]) > SAME]
            for index in moved if len(moved) > 1 else ():
                back = state.copy()
                back[index] = here[index]
                arms.append(arm)
                backs.append(back)
        inside = allowed(np.array(backs)) if backs else np.zeros(0, dtype=bool)
        if not inside.any():
            break
        first = len(score.prospects.states)
        wider = Score(score.prospects.with_more(np.array(backs)[inside]), score.steps)
        new = first + np.arange(inside.sum())
        tried = np.where(runs == np.array(arms)[inside, None], new[:, None], runs)
        scores = wider.of(tried)
        if scores.max() < float(score.of(runs[None])[0]) - MOVE_COST_S:
            break
        score, runs = wider, tried[int(scores.argmax())]
    return score, runs


def _quick_variants(
    prospects: Prospects, runs: Index, dials: tuple[Movable, ...], allowed: Callable[[Array], Mask]
) -> Array:
    """List the settings of a plan with one quick dial turned."""
    found = []
    for arm in np.unique(runs):
        for dial in dials:
            if dial.is_quick:
                more = np.tile(prospects.states[arm], (dial.values.size, 1))
                more[:, dial.index] = dial.values
                found.append(more)
    states = np.vstack(found) if found else prospects.states[:0]
    price = prospects.expected.at(states).seconds - prospects.expected.at(prospects.states[0]).seconds[0]
    return np.asarray(states[allowed(states) & (price <= MOST_PRICE_S)])


def _by_run(score: Score, runs: Index, dials: tuple[Movable, ...], kept: Mask) -> Index:
    """Turn the quick dials run by run, slow settings as they are; some runs are kept whole."""
    slow = [dial.index for dial in dials if not dial.is_quick]
    prospects = score.prospects
    best = float(score.of(runs[None])[0])
    for run in np.flatnonzero(~kept):
        same = (
            np.abs(prospects.states[:, slow] - prospects.states[runs[run], slow]).max(1, initial=0.0) < 1e-9
        )
        arms = np.flatnonzero(same)
        tried = np.tile(runs, (arms.size, 1))
        tried[:, run] = arms
        scores = score.of(tried)
        if scores.max() > best:
            best, runs = float(scores.max()), tried[int(scores.argmax())]
    return runs


def _in_order(score: Score, runs: Index, dials: tuple[Movable, ...], minutes: Mapping[str, float]) -> Index:
    """Order the runs so that the drift of the night costs least knowledge.

    Runs with the same slow settings stay together; those of the present ones stand first and last. Of orders
    that are worth nearly as much as the best, the one whose changes take least time is run.
    """
    slow = [dial.index for dial in dials if not dial.is_quick]
    prospects = score.prospects
    groups: dict[tuple[float, ...], list[int]] = {}
    for arm in runs.tolist():
        groups.setdefault(tuple(np.round(prospects.states[arm, slow], 6)), []).append(arm)
    present = tuple(np.round(prospects.states[0, slow], 6))
    first, last = groups.get(present, []), []
    if len(first) > 1 and len(groups) > 1:
        half = (len(first) + 1) // 2
        first, last = first[:half], first[half:]
    orders: list[list[int]] = []
    for order in permutations(key for key in groups if key != present):
        orders.append([*first, *(arm for key in order for arm in groups[key]), *last])
    found = np.array(orders, dtype=np.intp)
    scores = score.of(found)
    nearly = np.flatnonzero(scores >= scores.max() - SLACK * abs(scores.max()))
    took = _minutes(prospects.states[found[nearly]], dials, minutes)
    return np.asarray(found[nearly[np.lexsort((-scores[nearly], took))[0]]])


def _minutes(states: Array, dials: tuple[Movable, ...], minutes: Mapping[str, float]) -> Array:
    """Return how long all changes of each order of runs take. states (d, m, F); shape (d,)."""
    changed = np.abs(np.diff(states, axis=1)) > SAME
    return np.asarray(
        sum((minutes.get(d.name, 0.0) * changed[:, :, d.index].sum(1) for d in dials), np.zeros(len(states)))
    )
