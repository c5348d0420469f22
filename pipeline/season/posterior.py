"""The Bayesian mixed regression in closed form: a mixture of normals over a small grid.

At one node (sigma, tau, omega) everything is normal and solved exactly (see
:mod:`pipeline.season.elimination`). Nodes are weighted by marginal likelihood times prior, and
every question is a linear contrast of the coefficients. Units are those of the response
(seconds here) per step.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy.special import ndtr, ndtri

from pipeline.season.spreads import Nodes
from pipeline.season.sums import Array, Observed

_ROOT_2PI = float(np.sqrt(2 * np.pi))
_CLOSE = 1e-7  # in sds; the step after one of this size is of its square
_MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class Contrast:
    """A linear combination of coefficients: mixture mean, sd, 95 % limits, chance to be negative.

    Each field has shape (m,), one entry a contrast.
    """

    mean: Array
    sd: Array
    low: Array
    high: Array
    prob_negative: Array


@dataclass(frozen=True)
class Posterior:
    """The posterior as a mixture over the kept nodes.

    Attributes
    ----------
    mix
        Weights of the k nodes, sum 1. shape (k,)
    nodes
        Run noise scale, event sd, slope sd and the like at the nodes.
    noise
        Sd of an ordinary run at the nodes, >= sigma when runs were down-weighted. [s]. shape (k,)
    means, covs
        Coefficients at the nodes; covs include ``inflation``. shape (k, p), (k, p, p)
    event_gain, event_base, event_covs
        See :class:`NodeSolution`; event_covs include ``inflation``.
    prior
        Prior sd of the coefficients. shape (p,)
    run_weights, fitted, residuals, leverage
        Per run, in the order given to the fit. shape (n,)
    inflation
        What every variance was multiplied by for the t-weights (1 when all weights are 1).
    observed
        The runs as they were solved.
    whitening
        Mean m and root T of a prior other than independent ones round zero (b = m + T z), or None.
    """

    mix: Array
    nodes: Nodes
    noise: Array
    means: Array
    covs: Array
    event_gain: Array
    event_base: Array
    event_covs: Array
    prior: Array
    run_weights: Array
    fitted: Array
    residuals: Array
    leverage: Array
    inflation: float
    observed: Observed
    whitening: tuple[Array, Array] | None = None

    @property
    def sigma(self) -> Array:
        """Run noise scale at the nodes. [s]. Shape (k,)."""
        return self.nodes.sigma

    @property
    def tau(self) -> Array:
        """Event sd at the nodes. [s]. Shape (k,)."""
        return self.nodes.tau

    @property
    def omega(self) -> Array:
        """Sd from event to event of a setting's effect, at the nodes. [s/step]. Shape (k,)."""
        return self.nodes.omega

    @cached_property
    def mean(self) -> Array:
        """Mixture mean of the coefficients. Shape (p,)."""
        out: Array = self.mix @ self.means
        return out

    @cached_property
    def cov(self) -> Array:
        """Mixture covariance of the coefficients. Shape (p, p)."""
        away = self.means - self.mean
        out: Array = np.tensordot(self.mix, self.covs, 1) + (away * self.mix[:, None]).T @ away
        return out

    @cached_property
    def event_effects(self) -> Array:
        """Mixture mean of every event's intercept and slopes. Shape (E, q)."""
        at_nodes = self.event_base - np.einsum("keqp,kp->keq", self.event_gain, self.means)
        out: Array = np.tensordot(self.mix, at_nodes, 1)
        return out

    def likeliest(self, count: int) -> Posterior:
        """Give the same with its ``count`` likeliest nodes only."""
        few = np.argsort(-self.mix, kind="stable")[:count]
        return replace(
            self,
            mix=self.mix[few] / self.mix[few].sum(),
            nodes=self.nodes.taken(few),
            noise=self.noise[few],
            means=self.means[few],
            covs=self.covs[few],
            event_gain=self.event_gain[few],
            event_base=self.event_base[few],
            event_covs=self.event_covs[few],
        )

    def whitened(self, x: Array) -> tuple[Array, Array, Array]:
        """Columns, offset and prior sd in the coefficients that were solved for.

        Returns
        -------
        x T (n, p), x m (n,) and the prior sd (p,)
        """
        if self.whitening is None:
            return x, np.zeros(x.shape[0]), self.prior
        mean, root = self.whitening
        return x @ root, x @ mean, np.ones(mean.size)

    def typical(self, values: Array) -> float:
        """Mixture mean of a node quantity such as ``sigma``, ``tau`` or ``omega``."""
        return float(self.mix @ values)

    def pad(self, contrast: Array) -> Array:
        """Contrasts with zeros put after the coefficients given. Shape (m, p)."""
        given = np.atleast_2d(np.asarray(contrast, dtype=np.float64))
        out = np.zeros((given.shape[0], self.prior.size))
        out[:, : given.shape[1]] = given
        return out

    def at_nodes(self, contrast: Array, event_contrast: Array | None = None) -> tuple[Array, Array]:
        """Means and variances of contrasts at every node.

        Parameters
        ----------
        contrast
            shape (m, p) or shorter rows, padded with zeros: basis columns come first.
        event_contrast
            Coefficients on the event effects, or None. shape (m, E, q)

        Returns
        -------
        two arrays of shape (k, m)
        """
        c = self.pad(contrast)
        if event_contrast is None:
            return self._moments(np.broadcast_to(c, (self.mix.size, *c.shape)))
        asked = np.flatnonzero(event_contrast.any(axis=(0, 2)))
        given = event_contrast[:, asked]
        through = np.einsum("meq,keqp->kmp", given, self.event_gain[:, asked], optimize=True)
        mean, variance = self._moments(c[None] - through)
        mean = mean + np.einsum("meq,keq->km", given, self.event_base[:, asked], optimize=True)
        own = np.einsum("meq,keqr,mer->km", given, self.event_covs[:, asked], given, optimize=True)
        return mean, variance + own

    def _moments(self, c: Array) -> tuple[Array, Array]:
        mean = np.einsum("kmp,kp->km", c, self.means)
        return mean, np.einsum("kmp,kmp->km", c @ self.covs, c)

    def contrast(
        self, contrast: Array, event_contrast: Array | None = None, *, level: float = 0.95
    ) -> Contrast:
        """Mean, sd, limits and sign chance of linear contrasts; see :meth:`at_nodes`."""
        return summarise(self.mix, *self.at_nodes(contrast, event_contrast), level=level)

    def event_variance(self, z: Array) -> Array:
        """Variance that an event not seen adds to runs with these event-wise columns. Shape (k, m).

        Parameters
        ----------
        z
            Event-wise columns of the runs; those not given are zero. shape (m, <= q)
        """
        given = np.atleast_2d(z)
        out: Array = self.nodes.event_sd[:, : given.shape[1]] ** 2 @ given.T**2
        return out

    def one_run(self, contrast: Array, z: Array, *, level: float = 0.95) -> Contrast:
        """Prediction for one run of an event not seen: adds event, slope and run noise.

        Parameters
        ----------
        contrast
            Basis columns of the run. shape (m, p)
        z
            Its event-wise columns. shape (m, q)
        """
        mean, variance = self.at_nodes(contrast)
        extra = self.event_variance(z) + self.noise[:, None] ** 2
        return summarise(self.mix, mean, variance + extra, level=level)


def summarise(mix: Array, mean: Array, variance: Array, *, level: float) -> Contrast:
    """Mixture of normals -> mean, sd, equal-tailed limits (from the cdf), P(negative).

    Parameters
    ----------
    mix
        shape (k,)
    mean, variance
        shape (k, m)
    """
    sd = np.sqrt(np.maximum(variance, 0.0))
    centre = mix @ mean
    spread = np.sqrt(mix @ (variance + (mean - centre) ** 2))
    safe = np.maximum(sd, np.finfo(float).tiny)
    low, high = (_quantile(mix, mean, safe, q) for q in ((1 - level) / 2, (1 + level) / 2))
    negative = mix @ ndtr(-mean / safe)
    return Contrast(centre, spread, low, high, negative)


def mixture_cdf(mix: Array, mean: Array, variance: Array, at: Array) -> Array:
    """Return the chance that a mixture of normals lies below some values.

    Parameters
    ----------
    mix
        shape (k,)
    mean, variance
        shape (k, m)
    at
        shape (m,)

    Returns
    -------
    shape (m,)
    """
    safe = np.maximum(np.sqrt(np.maximum(variance, 0.0)), np.finfo(float).tiny)
    return np.asarray(mix @ ndtr((at - mean) / safe))


def _quantile(mix: Array, mean: Array, sd: Array, q: float) -> Array:
    """Solve mixture cdf = q by Newton's steps, kept inside what is known to hold the answer. Shape (m,).

    They begin where one normal of the mixture's mean and sd would have the answer.
    """
    reach = 12 * sd
    low, high = (mean - reach).min(0), (mean + reach).max(0)
    centre = mix @ mean
    spread = np.sqrt(mix @ (sd**2 + (mean - centre) ** 2))
    at, near = centre + ndtri(q) * spread, _CLOSE * sd.min(0)
    left = np.arange(at.size)
    with np.errstate(all="ignore"):  # where nothing is unsure, the density has no end
        for _ in range(_MOST_STEPS):
            now = at[left]
            away = (now - mean[:, left]) / sd[:, left]
            over = mix @ ndtr(away) - q
            low[left], high[left] = np.where(over < 0, now, low[left]), np.where(over < 0, high[left], now)
            following = now - over / (mix @ (np.exp(-0.5 * away**2) / (sd[:, left] * _ROOT_2PI)))
            inside = (following >= low[left]) & (following <= high[left])
            at[left] = np.where(inside, following, (low[left] + high[left]) / 2)
            left = left[(np.abs(at[left] - now) > near[left]) & (high[left] - low[left] > near[left])]
            if not left.size:
                break
    return np.asarray(at)
