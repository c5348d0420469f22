"""The Bayesian mixed regression in closed form: a mixture of normals over a small grid.

At one node (sigma, tau, omega) everything is normal and solved exactly; event intercepts and
slopes are integrated out event by event, so the work grows with the number of events and not
with its cube. Nodes are weighted by marginal likelihood times prior, and every question is a
linear contrast of the coefficients. Units are those of the response (seconds here) per step.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from pipeline.season.sums import Array, EventSums

_LOG_2PI = float(np.log(2 * np.pi))
_BISECTIONS = 44  # halves a reach of 24 sd to less than 1e-11 sd


@dataclass(frozen=True, slots=True)
class NodeSolution:
    """The normal solution at k nodes.

    Attributes
    ----------
    means, covs
        Coefficients. shape (k, p), (k, p, p)
    event_gain
        G_e with  E[u_e given b] = event_base_e - G_e b. shape (k, E, q, p)
    event_base
        shape (k, E, q)
    event_covs
        Covariance of u_e when b is known. shape (k, E, q, q)
    log_evidence
        Log marginal likelihood of the responses. shape (k,)
    """

    means: Array
    covs: Array
    event_gain: Array
    event_base: Array
    event_covs: Array
    log_evidence: Array


def solve_nodes(sums: EventSums, sigma: Array, event_precision: Array, prior_sd: Array) -> NodeSolution:
    """Solve the mixed regression at k fixed sets of variances.

    Parameters
    ----------
    sums
        Weighted cross products, by event.
    sigma
        Run noise sd. shape (k,)
    event_precision
        Prior precision of an event's intercept and slopes. shape (k, q, q)
    prior_sd
        Prior sd of the coefficients, prior mean 0. shape (p,)

    Notes
    -----
    With D_e = Z'WZ/s^2 + Omega and K_e = D_e^-1 Z'W[X y]/s^2, the coefficients have precision
    S = X'WX/s^2 + P - sum_e X'WZ/s^2 K_e (Schur complement), and
    2 log evidence = -n log(2 pi s^2) + log|W| + E log|Omega| - sum log|D_e| + log|P| - log|S|
    - (reduced y'Wy/s^2 - r'S^-1 r).

    References
    ----------
    Searle, Casella & McCulloch, *Variance Components* (1992), ch. 6 (Henderson's equations) [memory].
    """
    k, p, events = sigma.size, prior_sd.size, sums.zz.shape[0]
    inv_s2 = 1 / sigma**2
    event_matrix = sums.zz[None] * inv_s2[:, None, None, None] + event_precision[:, None]
    cross = sums.zm[None] * inv_s2[:, None, None, None]
    inverse = np.linalg.inv(event_matrix)
    inverse = (inverse + np.swapaxes(inverse, -1, -2)) / 2
    gain = inverse @ cross
    q = event_matrix.shape[-1]
    flat = cross.reshape(k, events * q, p + 1)
    taken = np.swapaxes(flat, 1, 2) @ gain.reshape(k, events * q, p + 1)
    reduced = sums.mm[None] * inv_s2[:, None, None] - taken
    precision = reduced[:, :p, :p] + np.diag(prior_sd**-2.0)
    precision = (precision + np.swapaxes(precision, 1, 2)) / 2
    lower = np.linalg.cholesky(precision)
    half = np.linalg.inv(lower)
    covs = np.swapaxes(half, 1, 2) @ half
    right = reduced[:, :p, p]
    means = np.einsum("kij,kj->ki", covs, right)
    log_det = 2 * np.log(np.einsum("kii->ki", lower)).sum(1)
    quadratic = reduced[:, p, p] - np.einsum("ki,ki->k", means, right)
    evidence = (
        -sums.n * (_LOG_2PI + 2 * np.log(sigma))
        + sums.log_weights
        + events * np.linalg.slogdet(event_precision)[1]
        - np.linalg.slogdet(event_matrix)[1].sum(1)
        - 2 * np.log(prior_sd).sum()
        - log_det
        - quadratic
    ) / 2
    return NodeSolution(means, covs, gain[..., :p], gain[..., p], inverse, evidence)


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
    sigma, tau, omega
        Run noise scale, event sd, slope sd at the nodes. [s], [s], [s/step]. shape (k,)
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
    whitening
        Mean m and root T of a prior other than independent ones round zero (b = m + T z), or None.
    """

    mix: Array
    sigma: Array
    tau: Array
    omega: Array
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
    whitening: tuple[Array, Array] | None = None

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

    def whitened(self, x: Array) -> tuple[Array, Array, Array]:
        """Columns, offset and prior sd in the coefficients that :func:`solve_nodes` solves for.

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
        through = np.einsum("meq,keqp->kmp", event_contrast, self.event_gain, optimize=True)
        mean, variance = self._moments(c[None] - through)
        mean = mean + np.einsum("meq,keq->km", event_contrast, self.event_base, optimize=True)
        own = np.einsum("meq,keqr,mer->km", event_contrast, self.event_covs, event_contrast, optimize=True)
        return mean, variance + own

    def _moments(self, c: Array) -> tuple[Array, Array]:
        mean = np.einsum("kmp,kp->km", c, self.means)
        return mean, np.einsum("kmp,kmp->km", c @ self.covs, c)

    def contrast(
        self, contrast: Array, event_contrast: Array | None = None, *, level: float = 0.95
    ) -> Contrast:
        """Mean, sd, limits and sign chance of linear contrasts; see :meth:`at_nodes`."""
        return summarise(self.mix, *self.at_nodes(contrast, event_contrast), level=level)

    def one_run(self, contrast: Array, slopes: Array, *, level: float = 0.95) -> Contrast:
        """Prediction for one run of an event not seen: adds event, slope and run noise.

        Parameters
        ----------
        contrast
            Basis columns of the run. shape (m, p)
        slopes
            Its settings, in steps, that vary by event. shape (m, s)
        """
        mean, variance = self.at_nodes(contrast)
        spread = (np.atleast_2d(slopes) ** 2).sum(1)
        extra = (self.tau**2 + self.noise**2)[:, None] + self.omega[:, None] ** 2 * spread
        return summarise(self.mix, mean, variance + extra, level=level)


def summarise(mix: Array, mean: Array, variance: Array, *, level: float) -> Contrast:
    """Mixture of normals -> mean, sd, equal-tailed limits (bisection on the cdf), P(negative).

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


def _quantile(mix: Array, mean: Array, sd: Array, q: float) -> Array:
    reach = 12 * sd
    low, high = (mean - reach).min(0), (mean + reach).max(0)
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        below = mix @ ndtr((middle - mean) / sd) < q
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    out: npt.NDArray[np.float64] = (low + high) / 2
    return out
