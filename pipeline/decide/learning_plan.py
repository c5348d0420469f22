"""The test runs that tell most of the effects: blocks of clutch settings, quick ones free inside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from pipeline.decide.exchange import Dial, Knowledge, exchange
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.next_setting import known_settings, present_state
from pipeline.decide.trust_region import trust_region
from pipeline.season import basis
from pipeline.season.response_fit import ResponseFit
from pipeline.season.spec import FactorInRuns
from pipeline.season.sums import Array, Index

LEVELS = (-1.0, -0.5, 0.0, 0.5, 1.0)
"""Practical steps from the present setting that a test run may take."""

REPEAT_COST = 0.01
"""What a run that repeats another must teach more, as a share: a repeat shows nothing about bends that the
model does not have. [judgement]"""

ORDERS = 60
"""Random orders of running to choose from."""


@dataclass(frozen=True, slots=True)
class Target:
    """One adjustment to learn about: its factor, its limit and its place in the state.

    ``column`` is its own coefficient when the runs never varied it and the basis has none; else None.
    """

    factor: FactorInRuns
    limit: Limit
    index: int
    column: int | None


@dataclass(frozen=True, slots=True)
class Lab:
    """Turns states of new runs into columns, and says how much they would teach."""

    fit: ResponseFit
    targets: tuple[Target, ...]
    knowledge: Knowledge
    known: dict[bytes, Array] = field(default_factory=dict)

    def _columns(self, states: Array) -> Array:
        """Basis columns of states, each state worked out once: the search comes back to the same ones."""
        keys = [state.tobytes() for state in states]
        fresh = {key: place for place, key in enumerate(keys) if key not in self.known}
        if fresh:
            found = basis.design(self.fit.spec, states[list(fresh.values())])
            self.known.update(zip(fresh, found, strict=True))
        return np.stack([self.known[key] for key in keys])

    def rows(self, designs: Array) -> Array:
        """Coefficient columns of sets of runs: basis, event means, then one for each new adjustment."""
        sets, runs, factors = designs.shape
        spec = self.fit.spec
        own = self._columns(designs.reshape(-1, factors)).reshape(sets, runs, -1)
        kept = [i for i in spec.slope_factors if spec.event_mean_name(i) in spec.event_mean_columns]
        means = np.repeat(designs[:, :, kept].mean(1, keepdims=True), runs, axis=1)
        fresh = [target.index for target in self.targets if target.column is not None]
        return np.concatenate([own, means, designs[:, :, fresh]], axis=2)

    def variances(self, designs: Array) -> Array:
        """Variances of the targets after each of several sets of runs. Shape (d, t)."""
        return self.knowledge.variances(self.rows(designs), designs[:, :, list(self.fit.spec.slope_factors)])

    def criterion(self, designs: Array) -> Array:
        """Sum of those variances, all in step^2, a little more for every run that repeats one. Shape (d,)."""
        alike = (designs[:, :, None] == designs[:, None]).all(3)
        repeats = np.triu(alike, 1).any(1).sum(1)
        return np.asarray(self.variances(designs).sum(1) * (1 + REPEAT_COST * repeats))


def lab_of(
    fit: ResponseFit, limits: Limits, present: Mapping[str, float], wanted: Sequence[str] | None = None
) -> Lab:
    """Set up the scoring of any set of test runs, planned or not; see :mod:`pipeline.decide.test_plan`."""
    targets = _targets(fit, limits, wanted)
    return Lab(fit, targets, _knowledge(fit, targets, known_settings(fit, present)))


def _targets(fit: ResponseFit, limits: Limits, wanted: Sequence[str] | None) -> tuple[Target, ...]:
    spec = fit.spec
    found: list[Target] = []
    open_to = [
        limit
        for name, limit in limits.by_name.items()
        if name in spec.names and limit.high - limit.low > SAME and (wanted is None or name in wanted)
    ]
    if wanted is None:
        open_to = [limit for limit in open_to if spec.factor(limit.name).varies] or open_to
    fresh = fit.posterior.prior.size
    for limit in open_to:
        factor, index = fit.spec.factor(limit.name), fit.spec.index(limit.name)
        if factor.varies:
            found.append(Target(factor, limit, index, None))
        else:
            found.append(Target(factor, limit, index, fresh))
            fresh += 1
    return tuple(found)


def _knowledge(fit: ResponseFit, targets: tuple[Target, ...], settings: Mapping[str, float]) -> Knowledge:
    """Posterior now, widened by the priors of adjustments never changed; variances at their usual size.

    One more run tells as much as an average one has: its variance is inflation x sigma^2 / mean weight.
    """
    posterior, known = fit.posterior, fit.posterior.prior.size
    fresh = [target for target in targets if target.column is not None]
    cov = np.zeros((known + len(fresh),) * 2)
    cov[:known, :known] = posterior.cov
    for target in fresh:
        cov[target.column, target.column] = (
            posterior.inflation * (target.factor.prior_s * fit.spec.prior_scale) ** 2
        )
    sigma2, tau2, omega2 = (
        posterior.typical(values**2) for values in (posterior.sigma, posterior.tau, posterior.omega)
    )
    noise = posterior.inflation * sigma2 / float(posterior.run_weights.mean())
    wanted = [_step_effect(fit, target, cov.shape[0]) for target in targets]
    if any(target.factor.name == "launch_rpm" and target.column is None for target in targets):
        wanted.append(_curvature(fit, "launch_rpm", settings, cov.shape[0]))
    return Knowledge(
        cov,
        np.array(wanted).reshape(len(wanted), cov.shape[0]),
        noise,
        posterior.inflation * tau2,
        posterior.inflation * omega2,
    )


def _step_effect(fit: ResponseFit, target: Target, width: int) -> Array:
    """Contrast of an adjustment's effect per step, as the effects table has it. Shape (width,)."""
    out = np.zeros(width)
    if target.column is not None:
        out[target.column] = 1.0
    slope = fit.slope(target.factor.name)[0]
    out[: slope.size] += slope
    return out


def _curvature(fit: ResponseFit, name: str, settings: Mapping[str, float], width: int) -> Array:
    """Contrast of the change of an effect per step, one step to either side of now. Shape (width,)."""
    here = present_state(fit, settings)
    away = np.zeros_like(here)
    away[fit.spec.index(name)] = 1.0
    low, high = (basis.gradient(fit.spec, here + sign * away, name)[0] for sign in (-1, 1))
    out = np.zeros(width)
    out[: low.size] = (high - low) / 2
    return out


def _levels(target: Target, present: float) -> Array:
    """Settable values within one practical step of the present one, in steps from the reference."""
    factor, limit = target.factor, target.limit
    near = np.array(limit.settable(present, factor.step))
    wanted = [present + level * factor.step for level in LEVELS]
    kept = sorted({float(near[np.abs(near - value).argmin()]) for value in wanted} | {float(present)})
    return (np.array(kept) - factor.reference) / factor.step


def most_telling(
    lab: Lab, here: Array, settings: Mapping[str, float], block: Index, seed: int
) -> tuple[Array, tuple[str, ...]]:
    """Search for the runs after which the wanted variances are least, and name the limits that hold back."""
    each = [np.flatnonzero(block == b) for b in range(int(block.max()) + 1)]
    alone = [np.array([run]) for run in range(block.size)]
    dials: list[Dial] = []
    held: list[str] = []
    for target in lab.targets:
        present = settings[target.factor.name]
        levels = _levels(target, present)
        held += held_back(target, present)
        dials += [Dial(target.index, levels, runs) for runs in (alone if target.limit.is_quick else each)]
    region = trust_region(lab.fit, here, joint=False)
    start = np.tile(here, (block.size, 1))
    return exchange(tuple(dials), start, lab.criterion, region.holds, seed), tuple(held)


def held_back(target: Target, present: float) -> list[str]:
    """Name the limits that lie within the step a test would have taken."""
    limit, step = target.limit, target.factor.step
    said = []
    if present - step < limit.low - SAME:
        said.append(limit.low_words)
    if present + step > limit.high + SAME and limit.high_words not in said:
        said.append(limit.high_words)
    return said


def ordered(states: Array, targets: tuple[Target, ...], seed: int) -> tuple[Array, Index]:
    """Order the runs by chance, blocks kept whole; of many such orders, the one that follows time least.

    Blocks with the same slow settings become one. A track that goes away over the day then looks least
    like an effect of any setting (restricted randomisation: Youden, Technometrics 14 (1972) 13 [memory]).
    """
    rng = np.random.default_rng(seed)
    slow = [target.index for target in targets if not target.limit.is_quick]
    together: dict[tuple[float, ...], list[int]] = {}
    for run in range(states.shape[0]):
        together.setdefault(tuple(np.round(states[run, slow], 6)), []).append(run)
    groups = [np.array(runs) for runs in together.values()]
    drawn = [[rng.permutation(groups[g]) for g in rng.permutation(len(groups))] for _ in range(ORDERS)]
    columns = [target.index for target in targets]
    drift = [_follows_time(states[np.concatenate(order)][:, columns]) for order in drawn]
    best = drawn[int(np.argmin(drift))]
    block = np.concatenate([np.full(runs.size, place) for place, runs in enumerate(best)])
    return states[np.concatenate(best)], block


def _follows_time(settings: Array) -> float:
    """Sum of squared correlations of settings, shape (m, t), with the order of running."""
    time = np.arange(settings.shape[0]) - (settings.shape[0] - 1) / 2
    away = settings - settings.mean(0)
    size = np.maximum((away**2).sum(0), SAME)
    return float(((time @ away) ** 2 / (size * (time @ time))).sum())
