"""The search for the next setting: candidates, their cautious score, and moves that earn their place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from pipeline.decide.holding import Holding
from pipeline.decide.limits import SAME, Limit
from pipeline.decide.trust_region import TrustRegion
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Risk
from pipeline.season.sums import Array
from pipeline.season.words import listed

GATE = 0.9
"""A change is offered only when its chance to beat staying is at least this: below it such chances were too
hopeful in simulated seasons (said .86, was .63 to .73)."""

EVEN_GATE = 0.5

CAUTION_SD = 0.7
"""The best candidate has the least expected change plus this many sd of it. On 120 simulated seasons 1, 0.7,
0.5 and 0 kept .36, .40, .41 and .43 of the feasible gain, and 0, 0, 2 and 3 seasons were worse."""

WORTH_S = 1e-3
"""What moving one more adjustment must gain: the last digit of a timeslip. [judgement]"""

MOST_CANDIDATES = 40_000
ROUNDS = 6


@dataclass(frozen=True, slots=True)
class Search:
    """One question: from ``here``, where to, inside the limits and the region.

    ``here`` is the state to start from under the forecast, inside the limits, shape (F,); ``choices`` holds
    the values that each movable adjustment (by index in the state) may take, in steps; ``limits`` go with
    it in order. With ``holding`` a state must hold the engine's torque; what no factor says stands in
    ``whole``.
    """

    fit: ResponseFit
    here: Array
    region: TrustRegion
    limits: tuple[Limit, ...]
    indices: tuple[int, ...]
    choices: tuple[Array, ...]
    expected: ExpectedTime
    risk: Risk = "cautious"
    holding: Holding | None = None
    whole: Mapping[str, float] = field(default_factory=dict)

    @property
    def gate(self) -> float:
        """Least chance to beat staying at which a change is offered."""
        return gate_of(self.risk)

    def allows(self, states: Array) -> npt.NDArray[np.bool_]:
        """Which states lie near what was tried and hold the engine's torque. Shape (n,)."""
        return self.region.holds(states) & self.holds(states)

    def holds(self, states: Array) -> npt.NDArray[np.bool_]:
        """Which states hold the engine's greatest torque, as far as it is checked. Shape (n,)."""
        if self.holding is None:
            return np.ones(len(states), np.bool_)
        turns, grams = (self._own(states, name) for name in ("preload", "counterweight"))
        held: npt.NDArray[np.bool_] = self.holding.lb_ft(turns, grams) >= self.holding.engine_lb_ft - SAME
        return held

    def _own(self, states: Array, name: str) -> Array:
        """Return an adjustment of states in its own unit. Shape (n,)."""
        spec = self.fit.spec
        if name not in spec.names:
            return np.full(len(states), self.whole[name])
        factor = spec.factor(name)
        own: Array = factor.reference + factor.step * states[:, spec.index(name)]
        return own

    def scores(self, states: Array) -> tuple[Array, Array]:
        """Return the expected change from ``here`` and its sd. [s]. Two of shape (n,)."""
        return self.expected.change(self.here, states)

    def cautious(self, states: Array) -> Array:
        """Return what is minimised: expected change, caution, the trouble of every move. [s]. Shape (n,).

        Of a state not sure enough to be offered, by how much it is not: more than staying, which is nil.
        """
        mean, sd = self.scores(states)
        moves: Array = (np.abs(states - self.here) > SAME).sum(1).astype(np.float64)
        short = mean + float(ndtri(self.gate)) * sd
        return np.where(short > 0, short, mean + caution_of(self.risk) * sd) + WORTH_S * moves


def gate_of(risk: Risk) -> float:
    """Return the least chance to beat staying at which a change is offered."""
    return GATE if risk == "cautious" else EVEN_GATE


def caution_of(risk: Risk) -> float:
    """Return how many sd of a change count against it."""
    return CAUTION_SD if risk == "cautious" else 0.0


def earned(search: Search) -> Array:
    """Find the best state of which every single move helps. Shape (F,).

    Moves that do not earn their place are taken out one by one; then every other is tried again, beside
    those that stayed and alone, for one may have looked weak only along with another that went.
    """
    out: set[int] = set()
    best = most_cautious(search)
    while (weakest := _weakest_move(search, best)) is not None:
        out.add(weakest)
        best = most_cautious(_without(search, out))
    better: Array | None = best if out else None
    while better is not None:
        best, better = better, _improved(search, better)
    return best


def _improved(search: Search, best: Array) -> Array | None:
    """Find a state with one adjustment more, or another one alone, whose moves all earn their place."""
    everything = set(range(len(search.indices)))
    still = {k for k in everything if abs(best[search.indices[k]] - search.here[search.indices[k]]) <= SAME}
    score = float(search.cautious(best[None])[0])
    for k in sorted(still):
        for left in (still - {k}, everything - {k}):
            trial = most_cautious(_without(search, left))
            if float(search.cautious(trial[None])[0]) < score - SAME and _weakest_move(search, trial) is None:
                return trial
    return None


def _weakest_move(search: Search, best: Array) -> int | None:
    """Name the move that helps least, if it does not earn its place; place in ``search.limits``.

    Every move must be expected to gain what a move must, beside the others. Caution counts against the whole
    change, once: counted against every move too, 36 simulated seasons kept .42 of the feasible gain instead
    of .51, and .55 instead of .60 after a plan, with no season more that is worse.
    """
    moved = [k for k, i in enumerate(search.indices) if abs(best[i] - search.here[i]) > SAME]
    doubtful = []
    for k in moved if len(moved) > 1 else ():
        back = best.copy()
        back[search.indices[k]] = search.here[search.indices[k]]
        gain = search.expected.difference(back, best)
        if float(gain.mean[0]) > -WORTH_S:
            doubtful.append((float(gain.prob_negative[0]), k))
    return min(doubtful)[1] if doubtful else None


def _without(search: Search, out: set[int]) -> Search:
    """Return the same search with some adjustments left where they are."""
    kept = tuple(
        search.here[i][None] if k in out else values
        for k, (i, values) in enumerate(zip(search.indices, search.choices, strict=True))
    )
    return replace(search, choices=kept)


def _blocks(search: Search) -> list[tuple[int, ...]]:
    """Group the adjustments to search together, as many as the count allows; the rest one by one."""
    first: list[int] = []
    rest: list[tuple[int, ...]] = []
    size = 1
    for k, values in enumerate(search.choices):
        if size * values.size <= MOST_CANDIDATES:
            first.append(k)
            size *= values.size
        else:
            rest.append((k,))
    return [tuple(first), *rest]


def most_cautious(search: Search) -> Array:
    """Find the state with the least cautious score. Shape (F,)."""
    at = search.here.copy()
    for i, values in zip(search.indices, search.choices, strict=True):
        at[i] = values[np.abs(values - at[i]).argmin()]
    blocks = _blocks(search)
    for _ in range(ROUNDS if len(blocks) > 1 else 1):
        before = at
        for block in blocks:
            at = _best_of(search, at, block)
        if np.array_equal(before, at):
            break
    return at


def _best_of(search: Search, at: Array, block: tuple[int, ...]) -> Array:
    if not block:
        return at
    mesh = np.meshgrid(*(search.choices[k] for k in block), indexing="ij")
    states = np.tile(at, (mesh[0].size, 1))
    for k, values in zip(block, mesh, strict=True):
        states[:, search.indices[k]] = values.ravel()
    inside = search.allows(states)
    states = states[inside] if inside.any() else states
    chosen: Array = states[search.cautious(states).argmin()]
    return chosen


def limited_by(search: Search, best: Array) -> tuple[str, ...]:
    """Name what stopped the suggestion: a limit just beyond which the score would still fall."""
    said: list[str] = []
    untried: list[str] = []
    score = float(search.cautious(best[None])[0])
    for k, limit in enumerate(search.limits):
        for step in (-1, 1):
            beyond = _beyond(search, best, k, step)
            if float(search.cautious(beyond[None])[0]) >= score:
                continue
            why = _blocked(search, limit, k, beyond)
            if why:
                said.append(why)
            elif not search.holds(beyond[None])[0]:
                said.append("the engine's torque, which the clutch must hold")
            elif not search.region.holds(beyond[None])[0]:
                untried.append(limit.label)
    if untried:
        together = " together" if len(untried) > 1 else " along with the other settings"
        said.append(f"how far {listed(list(dict.fromkeys(untried)))} {_have(untried)} been tried{together}")
    return tuple(dict.fromkeys(said))


def _have(labels: list[str]) -> str:
    return "have" if len(set(labels)) > 1 else "has"


def _beyond(search: Search, best: Array, k: int, step: int) -> Array:
    """Return the chosen state with one adjustment moved one settable value on. Shape (F,)."""
    i, values = search.indices[k], search.choices[k]
    factor = search.fit.spec.factors[i]
    moved = best.copy()
    onward = values[values > best[i] + SAME] if step > 0 else values[values < best[i] - SAME]
    if onward.size:
        moved[i] = onward.min() if step > 0 else onward.max()
    else:
        moved[i] += step * search.limits[k].grid / factor.step
    return moved


def _blocked(search: Search, limit: Limit, k: int, state: Array) -> str:
    """Say which limit or reach a state is past; empty when none."""
    i = search.indices[k]
    factor = search.fit.spec.factors[i]
    value, present = (factor.reference + factor.step * float(s[i]) for s in (state, search.here))
    if not limit.allows(value):
        return limit.low_words if value < limit.low else limit.high_words
    if abs(value - present) > limit.reach + SAME:
        return f"{limit.spoken(limit.reach)} of {limit.label}, as far as one suggestion goes"
    return ""
