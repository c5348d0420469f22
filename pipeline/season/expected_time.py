"""Expected time at any setting, the chance of spinning or bogging in it, and how sure it is.

The clean time comes from the season's regression, what is lost when a launch goes wrong from
:mod:`pipeline.season.regimes`. Two things are added for a decision, because the best of many settings looks
better than it is: how large this car's effects are at all is learnt from its season, and there is room for
what no column of the regression can say, which grows away from what was tried.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np
from scipy.special import expit, ndtr

from pipeline.season import basis, regimes
from pipeline.season.posterior import Contrast
from pipeline.season.response_fit import ResponseFit
from pipeline.season.sums import Array

SIZES = (0.3, 0.45, 0.7, 1.0)
"""How large the effects of the settings may be, as shares of their usual prior sd; each as likely. On
simulated seasons gains promised at the full width were 0.7 of what was said, at the learnt one 0.97."""

ROOM_S = (0.4e-3, 0.8e-3)
"""Sd of what the columns may miss: of a product of two things, each a sd of what was tried from its middle,
and of one thing's square. [s]. On simulated seasons the interval of a change held 81 in 100 without it, and
92 with it."""

_LEAST_SPREAD = {"preload": 0.3, "counterweight": 0.6, "launch_rpm": 1.2, "tire_pressure": 0.5}
_LEAST_SPREAD_OTHER = 0.8
"""What was tried counts as spread out by at least so many steps. [judgement]"""

_QUANTILE = 1.959963984540054  # of a normal, 0.975


@dataclass(frozen=True, slots=True)
class Line:
    """Expected times of m states, and what they hang on.

    ``seconds`` has shape (m,); ``slopes`` (m, q) goes with :attr:`ExpectedTime.cov`; ``room`` (m, r) are
    coefficients of independent standard normals.
    """

    seconds: Array
    slopes: Array
    room: Array


@dataclass(frozen=True, slots=True)
class ExpectedTime:
    """Expected times of one fit, in the form decisions ask for.

    Attributes
    ----------
    fit
        The fitted response.
    mean
        Coefficients of the clean time. shape (p,)
    cov
        Covariance of everything unknown: those coefficients, then what :class:`regimes.Regimes` says. (q, q)
    spread
        Sd of each factor as tried, in steps. shape (F,)
    """

    fit: ResponseFit
    mean: Array
    cov: Array
    spread: Array

    @staticmethod
    def of(fit: ResponseFit) -> ExpectedTime:
        """Prepare a fitted response for questions."""
        p = len(fit.spec.columns)
        mean, clean = _sized(fit)
        wrong = fit.regimes.cov if fit.regimes is not None else np.zeros((0, 0))
        cov = np.zeros((p + wrong.shape[0], p + wrong.shape[0]))
        cov[:p, :p], cov[p:, p:] = clean[:p, :p], wrong
        least = [_LEAST_SPREAD.get(name, _LEAST_SPREAD_OTHER) for name in fit.spec.names]
        return ExpectedTime(fit, mean[:p], cov, np.maximum(fit.state.std(0), least))

    def at(self, states: Array) -> Line:
        """Return expected times at states and what they hang on, the event's own level left out.

        Parameters
        ----------
        states
            In steps from the reference. shape (m, F) or (F,)
        """
        states = np.atleast_2d(states)
        clean = basis.design(self.fit.spec, states)
        seconds, slopes = clean @ self.mean, clean
        if self.fit.regimes is not None:
            lost, more = self.fit.regimes.expected_loss(regimes.features(self.fit.spec, states))
            seconds, slopes = seconds + lost, np.column_stack([clean, more])
        return Line(seconds, slopes, self._room(states))

    def _room(self, states: Array) -> Array:
        """Columns for what the regression's columns may miss. Shape (m, r)."""
        known = [
            i for i, f in enumerate(self.fit.spec.factors) if f.varies and (f.is_setting or f.kind.is_shown)
        ]
        z = states / self.spread
        columns = [ROOM_S[i == j] * z[:, i] * z[:, j] for i, j in combinations_with_replacement(known, 2)]
        return np.column_stack(columns) if columns else np.zeros((states.shape[0], 0))

    def mean_and_cov(self, states: Array) -> tuple[Array, Array]:
        """Return mean and covariance of the expected times of states. Shapes (m,) [s], (m, m) [s^2]."""
        found = self.at(states)
        return found.seconds, found.slopes @ self.cov @ found.slopes.T + found.room @ found.room.T

    def change(self, state_from: Array, states: Array) -> tuple[Array, Array]:
        """Return mean and sd of the change of the expected time from one state to each of m. [s]."""
        now, there = self.at(state_from), self.at(states)
        slopes = there.slopes - now.slopes
        spread = ((slopes @ self.cov) * slopes).sum(1) + ((there.room - now.room) ** 2).sum(1)
        return there.seconds - now.seconds, np.sqrt(np.maximum(spread, 0.0))

    def difference(self, state_from: Array, state_to: Array) -> Contrast:
        """Return :meth:`change` with 95 % limits and the chance that it is quicker."""
        mean, sd = self.change(state_from, state_to)
        safe = np.maximum(sd, np.finfo(float).tiny)
        return Contrast(mean, sd, mean - _QUANTILE * sd, mean + _QUANTILE * sd, ndtr(-mean / safe))

    def draws(self, states: Array, count: int, seed: int) -> Array:
        """Draw the expected times of states together, for what is no plain mean: a best, a value of knowing.

        Returns
        -------
        shape (count, m) [s]
        """
        rng = np.random.default_rng(seed)
        states = np.atleast_2d(states)
        p, found = self.mean.size, self.fit.regimes
        clean = _normal(rng, self.mean, self.cov[:p, :p], count) @ basis.design(self.fit.spec, states).T
        room = self._room(states)
        clean = clean + rng.standard_normal((count, room.shape[1])) @ room.T
        if found is None:
            return np.asarray(clean)
        at = regimes.features(self.fit.spec, states)
        spin, bog = (expit(_normal(rng, found.weights[k], found.covs[k], count) @ at.T) for k in (0, 1))
        loss = found.loss_s * np.exp(found.loss_log_sd * rng.standard_normal((count, 2)))
        return np.asarray(clean + spin * loss[:, :1] + (1 - spin) * bog * loss[:, 1:])

    def chances(self, states: Array) -> tuple[Array, Array]:
        """Return the chance of spinning and of bogging at states. Two of shape (m,)."""
        if self.fit.regimes is None:
            nothing = np.zeros(np.atleast_2d(states).shape[0])
            return nothing, nothing
        found = self.fit.regimes.chances(regimes.features(self.fit.spec, states))
        return found[:, 0], found[:, 1]


def _normal(rng: np.random.Generator, mean: Array, cov: Array, count: int) -> Array:
    spread, axes = np.linalg.eigh(cov)
    normal = rng.standard_normal((count, mean.size))
    return np.asarray(mean + (normal * np.sqrt(np.maximum(spread, 0.0))) @ axes.T)


def _sized(fit: ResponseFit) -> tuple[Array, Array]:
    """Mean and covariance of the coefficients once the size of this car's effects is learnt too.

    Notes
    -----
    A prior k times as wide on every column with a setting in it adds (k^-2 - 1) P^-1 to the precision;
    its evidence against the fit's own is |V_k|^(1/2) k^-m exp(m_k' V_k^-1 m_k / 2) up to a constant
    [derived]. A prior of any other kind (a fleet's) is left as it is.
    """
    posterior = fit.posterior
    mean, cov = posterior.mean, posterior.cov
    if posterior.whitening is not None:
        return mean, cov
    sized = np.zeros(mean.size, dtype=bool)
    for j, column in enumerate(fit.spec.columns):
        sized[j] = any(i >= len(fit.spec.factors) or fit.spec.factors[i].is_setting for i in column.features)
    precision = np.linalg.inv(cov)
    pull = precision @ mean
    usual = np.where(sized, 1 / (posterior.prior**2 * posterior.inflation), 0.0)
    means, covs, weigh = [], [], []
    for size in SIZES:
        own = precision + np.diag(usual * (size**-2 - 1))
        inverse = np.linalg.inv(own)
        at = inverse @ pull
        means.append(at)
        covs.append((inverse + inverse.T) / 2)
        weigh.append(-np.linalg.slogdet(own)[1] / 2 - sized.sum() * np.log(size) + at @ own @ at / 2)
    share = np.exp(np.array(weigh) - max(weigh))
    share = share / share.sum()
    middle = share @ np.array(means)
    away = np.array(means) - middle
    return middle, np.tensordot(share, np.array(covs), 1) + (away * share[:, None]).T @ away


def one_run_loss(fit: ResponseFit, p_spin: float, p_bog: float) -> tuple[float, float]:
    """Return what going wrong adds to a run's mean, and to where 95 runs in 100 end. [s]."""
    if fit.regimes is None:
        return 0.0, 0.0
    chance = np.array([p_spin, p_bog])
    lost = float(chance @ fit.regimes.loss_s)
    square = float(chance @ (fit.regimes.loss_s**2 * (1 + 1 / regimes.LOSS_SHAPE)))
    return lost, lost + _QUANTILE * float(np.sqrt(max(square - lost**2, 0.0)))
