"""What new runs would be worth: how much better the choice after them is expected to be than the one before.

Everything is closed form but the last step. What the runs would tell is the conditioning of a joint normal;
where the answer may then lie is drawn; and to each the rule of the next setting is put: a change is made only
when it is sure enough (H. Raiffa & R. Schlaifer, *Applied Statistical Decision Theory* (1961), preposterior
analysis [memory]; P. Frazier, W. Powell & S. Dayanik, INFORMS J. Comput. 21 (2009) 599-613, correlated
knowledge gradient [memory]).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from pipeline.decide.limits import SAME
from pipeline.decide.setting_search import CAUTION_SD, GATE, WORTH_S
from pipeline.season.expected_time import ExpectedTime, Possible
from pipeline.season.nights import USUAL_GAP_H
from pipeline.season.sums import Array, Index
from pipeline.season.usual_size import TOLD

HORIZON = 24
"""Runs for which a better setting is driven afterwards: three events of eight. [judgement]"""

BORNE_OUT = 0.3
"""Share of what plans were said to be worth that came of it on simulated seasons. What is found of many
settings that might be best looks better than it is, and the next setting asks more of each move than is
counted here. [derived by simulation]"""

POSSIBLE = 32
"""Cars drawn from what is known, each of whose best settings may be worth a run."""

FINE = 7
"""Of a dial with more values than this every other one is tried alone."""

MOST_MOVES = 2
"""Settings looked at differ from the present one in so many at most. Of 231 trials of simulated seasons those
with three moves were expected to be 3.8 thousandths quicker and were 0.4, those with fewer 3.9 and 2.3; after
plans of such runs the best expected setting gained 0.54 of what there was instead of 0.48. [derived by
simulation]"""

DRAWS = 48
_RARE = 1e-6

Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Movable:
    """One setting that may be turned: its index in the state, the values it may take (steps), how quickly."""

    name: str
    index: int
    values: Array
    is_quick: bool


@dataclass(frozen=True, slots=True)
class Prospects:
    """Settings that may be run or chosen, and what is known of them.

    Attributes
    ----------
    expected
        Of the season so far.
    states
        The first is the present one. shape (N, F)
    change_s
        Expected change from the present one, with what going wrong costs. [s]. shape (N,)
    trouble_s
        For every move. [s]. shape (N,)
    joint
        Covariance of those changes. shape (N, N)
    clean_gram, wrong_gram
        Covariance of what clean runs say, and of what runs say of going wrong in units of its noise: spins,
        then bogs. shapes (N, N), (2 N, 2 N)
    wrong_with
        Covariance of the changes with the latter. shape (N, 2 N)
    slope_gram
        Covariance of what effects that differ by event add to the runs. shape (N, N)
    noise_s2
        Variance of one run. shape (N,)
    event_s2, night_s2
        Variance of the event's level, and of the night's course [s^2 a usual night squared].
    night_per_run
        How far one run takes the night, in usual nights.
    roots
        Of the covariances of what is unknown of clean runs, and of going wrong; worked out once.
    """

    expected: ExpectedTime
    states: Array
    change_s: Array
    trouble_s: Array
    joint: Array
    clean_gram: Array
    wrong_gram: Array
    wrong_with: Array
    slope_gram: Array
    noise_s2: Array
    event_s2: float
    night_s2: float
    night_per_run: float
    roots: tuple[Array, Array]

    @staticmethod
    def of(expected: ExpectedTime, states: Array, roots: tuple[Array, Array] | None = None) -> Prospects:
        """Look up what is known of some settings, the present one first."""
        fit, posterior = expected.fit, expected.fit.posterior
        at = expected.at(states)
        split = expected.clean_columns
        moved = at.slopes - at.slopes[0]
        if roots is None:
            roots = _root(expected.cov[:split, :split]), _root(expected.cov[split:, split:])
        clean = np.column_stack([moved[:, :split] @ roots[0], at.room - at.room[0]])
        wrong = moved[:, split:] @ roots[1]
        seen = _seen(expected, states) @ roots[1]
        z = (states - states[0])[:, list(fit.spec.slope_factors)]
        sigma2, tau2, omega2, night2 = (
            posterior.inflation * posterior.typical(one**2)
            for one in (posterior.sigma, posterior.tau, posterior.omega, posterior.nodes.night)
        )
        spin, bog = expected.chances(states)
        well = np.maximum(1 - spin - bog, 0.05)
        night = fit.spec.night
        return Prospects(
            expected,
            states,
            at.seconds - at.seconds[0],
            WORTH_S * (np.abs(states - states[0]) > SAME).sum(1),
            clean @ clean.T + wrong @ wrong.T,
            clean @ clean.T,
            seen @ seen.T,
            wrong @ seen.T,
            omega2 * (z @ z.T),
            sigma2 / float(posterior.run_weights.mean()) / well,
            tau2,
            0.0 if night is None else night2,
            0.0 if night is None else USUAL_GAP_H / fit.spec.factors[night].step,
            roots,
        )

    @property
    def price_s(self) -> Array:
        """What a run of each is expected to lose; that it may be quicker is no reason to test it. [s]."""
        return np.maximum(self.change_s, 0.0)

    def learnt(self, runs: Index) -> Array:
        """Return how runs would move what is expected: columns of independent standard normals.

        They will count for as much as the runs so far do (``TOLD``).

        Parameters
        ----------
        runs
            Rows of ``states`` in order of running, several sets of them. shape (d, m)

        Returns
        -------
        shape (d, N, 3 m)
        """
        count = runs.shape[1]
        pairs = (runs[:, :, None], runs[:, None, :])
        hours = self.night_per_run * (np.arange(count) - (count - 1) / 2)
        shared = self.event_s2 + self.night_s2 * np.outer(hours, hours)
        noise = self.slope_gram[pairs] + shared
        noise[:, np.arange(count), np.arange(count)] += self.noise_s2[runs]
        clean = self.clean_gram[pairs] + noise / TOLD
        told = _through(clean, self.clean_gram[:, runs].transpose(1, 0, 2))
        both = np.concatenate([runs, runs + len(self.states)], axis=1)
        wrong = self.wrong_gram[both[:, :, None], both[:, None, :]] + np.eye(2 * count)
        return np.concatenate([told, _through(wrong, self.wrong_with[:, both].transpose(1, 0, 2))], axis=2)

    def worth(self, runs: Index, gate: float = GATE, normals: Array | None = None) -> Array:
        """Return by how much the choice after each set of runs is expected to beat the one now. [s]. (d,).

        The choice is the one of the next setting: of all changes that are sure enough the most cautious.
        """
        learnt = self.learnt(runs)
        if normals is None:
            normals = _normals(learnt.shape[2], DRAWS)
        after = self.change_s[:, None] + learnt @ normals
        left = np.sqrt(np.maximum(np.diag(self.joint) - (learnt**2).sum(2), 0.0))
        gained = -self._chosen(after, left[:, :, None], gate).mean(1)
        now = np.sqrt(np.diag(self.joint))
        chosen_now = self._chosen(self.change_s[None, :, None], now[None, :, None], gate)[:, 0]
        return np.asarray(BORNE_OUT * (gained + chosen_now))

    def _chosen(self, mean: Array, sd: Array, gate: float) -> Array:
        """Change that the rule of the next setting takes, of changes (d, N, draws). Shape (d, draws)."""
        score = mean + CAUTION_SD * sd + self.trouble_s[None, :, None]
        sure = mean + ndtri(gate) * sd < 0
        score = np.where(sure, score, np.inf)
        score[:, 0] = 0.0
        best = score.argmin(1)
        return np.asarray(np.take_along_axis(mean, best[:, None], 1)[:, 0])

    def with_more(self, states: Array) -> Prospects:
        """Look up more settings, after those there are."""
        return Prospects.of(self.expected, np.vstack([self.states, states]), self.roots)


def _root(cov: Array) -> Array:
    spread, axes = np.linalg.eigh(cov)
    return np.asarray(axes * np.sqrt(np.maximum(spread, 0.0)))


def _through(noisy: Array, cross: Array) -> Array:
    """Return C L^-T for the Cholesky root L of what is seen, (d, k, k), and C with it, (d, N, k)."""
    root = np.linalg.cholesky(noisy)
    return np.swapaxes(np.linalg.solve(root, np.swapaxes(cross, 1, 2)), 1, 2)


def _normals(width: int, count: int, seed: int = 0) -> Array:
    """Draw standard normals in pairs of opposite sign. Shape (width, count)."""
    half = np.random.default_rng(seed).standard_normal((width, count // 2))
    return np.concatenate([half, -half], axis=1)


def _seen(expected: ExpectedTime, states: Array) -> Array:
    """Return what a run shows of going wrong: its columns over the noise of a yes or no. Shape (2 N, q)."""
    width = expected.cov.shape[0] - expected.clean_columns
    if expected.wrong is None:
        return np.zeros((2 * len(states), width))
    columns = expected.features(states)
    spin, bog = expected.chances(states)
    alone = bog / np.maximum(1 - spin, _RARE)
    told = np.sqrt(np.stack([spin * (1 - spin), (1 - spin) * alone * (1 - alone)]))
    out = np.zeros((2, len(states), width))
    d = columns.shape[1]
    out[0, :, :d], out[1, :, d : 2 * d] = (columns * told[k][:, None] for k in (0, 1))
    return np.asarray(out.reshape(-1, width))


def worth_trying(
    expected: ExpectedTime,
    here: Array,
    dials: Sequence[Movable],
    allowed: Callable[[Array], Mask],
    most_price_s: float,
    seed: int,
) -> Array:
    """List settings worth a look: single moves, and the few that each car this may be would like best.

    Parameters
    ----------
    here
        The present state, the first of the answer. shape (F,)
    allowed
        States (n, F) -> which may be run.
    most_price_s
        Settings expected to cost more than this a run are left out. [s]

    Returns
    -------
    shape (N, F)
    """
    best = _best_of_each(expected.possible(POSSIBLE, seed), here, dials)
    singles = [here]
    for dial in dials:
        every_other = dial.values[:: 2 if dial.values.size > FINE else 1]
        more = np.tile(here, (every_other.size, 1))
        more[:, dial.index] = every_other
        singles.append(more)
    states = np.vstack([*singles, best])
    _, first = np.unique(np.round(states, 6), axis=0, return_index=True)
    states = states[np.sort(first)]
    price = expected.at(states).seconds - expected.at(here).seconds[0]
    keep = allowed(states) & (price <= most_price_s)
    keep[0] = True
    return np.asarray(states[keep])


def _best_of_each(cars: Possible, here: Array, dials: Sequence[Movable]) -> Array:
    """Find what each likes best after 1, 2, ... ``MOST_MOVES`` turns, the best one first. Shape (n, F)."""
    at = np.tile(here, (POSSIBLE, 1))
    found = []
    for _ in range(MOST_MOVES):
        values, seconds = zip(*(_turned(cars, at, here, dial) for dial in dials), strict=True)
        best = np.array(seconds).argmin(0)
        for k, dial in enumerate(dials):
            at[best == k, dial.index] = values[k][best == k]
        found.append(at.copy())
    return np.vstack(found)


def _turned(cars: Possible, at: Array, here: Array, dial: Movable) -> tuple[Array, Array]:
    """Turn one dial to where each car likes it best: the values, and the times then. Two of shape (n,)."""
    tried = np.repeat(at[:, None], dial.values.size, axis=1)
    tried[:, :, dial.index] = dial.values
    seconds = cars.own(tried) + WORTH_S * (np.abs(tried - here) > SAME).sum(2)
    best = seconds.argmin(1)
    return dial.values[best], seconds[np.arange(POSSIBLE), best]
