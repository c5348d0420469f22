"""Expected time at any setting, the chance of spinning or bogging in it, and how sure it is.

The clean time comes from the season's regression, what is lost when a launch goes wrong from
:mod:`pipeline.season.regimes`. Two things are added for a decision, because the best of many settings looks
better than it is: how large this car's effects are at all is learnt from its season, and there is room for
what no column of the regression can say, which grows away from what was tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np
from scipy.special import expit, ndtr

from pipeline.season import basis, regimes
from pipeline.season.posterior import Contrast
from pipeline.season.regimes import Regimes
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Z95
from pipeline.season.room import ROOM_S, has_room, room_spread
from pipeline.season.sums import Array, block_diagonal
from pipeline.season.usual_size import sized


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
        Coefficients of the clean time: of the basis, then of what was never changed. shape (p + f,)
    cov
        Covariance of everything unknown: those coefficients, then what ``wrong`` says. (q, q)
    spread
        Sd of each factor as tried, in steps. shape (F,)
    wrong
        How launches go wrong.
    fresh
        Factors (by index in the state) that were never changed and may be.
    """

    fit: ResponseFit
    mean: Array
    cov: Array
    spread: Array
    wrong: Regimes | None
    fresh: tuple[int, ...] = ()

    @staticmethod
    def of(fit: ResponseFit, fresh: Sequence[str] = ()) -> ExpectedTime:
        """Prepare a fitted response for questions.

        Parameters
        ----------
        fit
            The fitted response.
        fresh
            Settings that never changed and may be tried: what they do is known as beforehand, a straight line
            of the size that this car's other effects have.
        """
        p, spec = len(fit.spec.columns), fit.spec
        known = sized(fit)
        indices = tuple(spec.index(name) for name in fresh)
        with_load = any(column.features == (len(spec.factors),) for column in spec.columns)
        widths = [known.of(spec.names[i]) * spec.factors[i].kind.prior(with_load=with_load) for i in indices]
        unknown = np.array(widths) * spec.prior_scale * np.sqrt(fit.posterior.inflation)
        wrong = None if fit.regimes is None else fit.regimes.with_unknown(fresh)
        parts = [known.cov[:p, :p], np.diag(unknown**2), *([] if wrong is None else [wrong.cov])]
        return ExpectedTime(
            fit,
            np.concatenate([known.mean[:p], np.zeros(len(indices))]),
            block_diagonal(parts),
            room_spread(fit),
            wrong,
            indices,
        )

    @property
    def clean_columns(self) -> int:
        """How many of the columns that :meth:`at` gives are of the clean time."""
        return self.mean.size

    def clean(self, states: Array) -> Array:
        """Return the columns of the clean time. Shape (m, p + f)."""
        return np.column_stack([basis.design(self.fit.spec, states), states[:, list(self.fresh)]])

    def features(self, states: Array) -> Array:
        """Return the columns of the chances, see :func:`regimes.features`. Shape (m, d)."""
        return np.column_stack([regimes.features(self.fit.spec, states), states[:, list(self.fresh)]])

    def at(self, states: Array) -> Line:
        """Return expected times at states and what they hang on, the event's own level left out.

        Parameters
        ----------
        states
            In steps from the reference. shape (m, F) or (F,)
        """
        states = np.atleast_2d(states)
        clean = self.clean(states)
        seconds, slopes = clean @ self.mean, clean
        if self.wrong is not None:
            lost, more = self.wrong.expected_loss(self.features(states))
            seconds, slopes = seconds + lost, np.column_stack([clean, more])
        return Line(seconds, slopes, self._room(states))

    @property
    def room_factors(self) -> list[int]:
        """Which factors the room for what the columns miss is made of, by place in the state."""
        return [i for i in range(len(self.fit.spec.factors)) if i in self.fresh or has_room(self.fit.spec, i)]

    def _room(self, states: Array) -> Array:
        """Columns for what the regression's columns may miss. Shape (m, r)."""
        known = self.room_factors
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
        return Contrast(mean, sd, mean - Z95 * sd, mean + Z95 * sd, ndtr(-mean / safe))

    def possible(self, count: int, seed: int) -> Possible:
        """Draw that many cars, each of which the season may have been of, for what is no plain mean."""
        rng = np.random.default_rng(seed)
        p, found = self.mean.size, self.wrong
        clean = _normal(rng, self.mean, self.cov[:p, :p], count)
        width = self._room(np.zeros((1, len(self.fit.spec.factors)))).shape[1]
        room = rng.standard_normal((count, width))
        if found is None:
            return Possible(self, clean, room, np.zeros((2, count, 0)), np.zeros((count, 2)))
        odds = np.stack([_normal(rng, found.weights[k], found.covs[k], count) for k in (0, 1)])
        loss = found.loss_s * np.exp(found.loss_log_sd * rng.standard_normal((count, 2)))
        return Possible(self, clean, room, odds, loss)

    def chances(self, states: Array) -> tuple[Array, Array]:
        """Return the chance of spinning and of bogging at states. Two of shape (m,)."""
        states = np.atleast_2d(states)
        if self.wrong is None:
            nothing = np.zeros(states.shape[0])
            return nothing, nothing
        found = self.wrong.chances(self.features(states))
        return found[:, 0], found[:, 1]


@dataclass(frozen=True, slots=True)
class Possible:
    """Cars drawn from what is known of one: n sets of everything unknown.

    Attributes
    ----------
    clean, room
        Coefficients of the clean time, and of what its columns may miss. shapes (n, p + f), (n, r)
    odds
        Log odds of spinning and of bogging. shape (2, n, d)
    loss
        Mean loss of either. [s]. shape (n, 2)
    """

    expected: ExpectedTime
    clean: Array
    room: Array
    odds: Array
    loss: Array

    def at(self, states: Array) -> Array:
        """Return the expected time of each car at each of m states. Shape (n, m) [s]."""
        known = self.expected
        found = self.clean @ known.clean(states).T + self.room @ known._room(states).T
        if known.wrong is None:
            return np.asarray(found)
        spin, bog = expit(self.odds @ known.features(states).T)
        return np.asarray(found + spin * self.loss[:, :1] + (1 - spin) * bog * self.loss[:, 1:])

    def own(self, states: Array) -> Array:
        """Return the expected time of each car at c states of its own, shape (n, c, F). Shape (n, c) [s]."""
        known, (n, c, width) = self.expected, states.shape
        flat = states.reshape(-1, width)

        def along(columns: Array, drawn: Array) -> Array:
            return np.asarray((columns.reshape(n, c, -1) @ drawn[:, :, None])[:, :, 0])

        found = along(known.clean(flat), self.clean) + along(known._room(flat), self.room)
        if known.wrong is None:
            return found
        features = known.features(flat)
        spin, bog = (expit(along(features, self.odds[k])) for k in (0, 1))
        return np.asarray(found + spin * self.loss[:, :1] + (1 - spin) * bog * self.loss[:, 1:])


def _normal(rng: np.random.Generator, mean: Array, cov: Array, count: int) -> Array:
    spread, axes = np.linalg.eigh(cov)
    normal = rng.standard_normal((count, mean.size))
    return np.asarray(mean + (normal * np.sqrt(np.maximum(spread, 0.0))) @ axes.T)


def one_run_loss(fit: ResponseFit, p_spin: float, p_bog: float) -> tuple[float, float]:
    """Return what going wrong adds to a run's mean, and to where 95 runs in 100 end. [s]."""
    if fit.regimes is None:
        return 0.0, 0.0
    chance = np.array([p_spin, p_bog])
    lost = float(chance @ fit.regimes.loss_s)
    square = float(chance @ (fit.regimes.loss_s**2 * (1 + 1 / regimes.LOSS_SHAPE)))
    return lost, lost + Z95 * float(np.sqrt(max(square - lost**2, 0.0)))
