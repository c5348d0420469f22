"""The normal regression at one node in closed form, its event effects swept out event by event.

The work grows with the number of events and not with its cube.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.season.sums import Array, EventSums, Index

_LOG_2PI = float(np.log(2 * np.pi))
_ROUNDING = 1e-6


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
    """

    means: Array
    covs: Array
    event_gain: Array
    event_base: Array
    event_covs: Array


@dataclass(frozen=True, slots=True)
class Eliminated:
    """Event effects taken out at k sets of ratios of event spread to run noise.

    Attributes
    ----------
    reduced
        Cross products of [X y] with the event effects swept out. shape (k, p + 1, p + 1)
    gain
        (Z'WZ + L)^-1 Z'W [X y]. shape (k, E, q, p + 1)
    inverse
        (Z'WZ + L)^-1. shape (k, E, q, q)
    log_ratio
        E log|L| - sum log|Z'WZ + L|. shape (k,)
    """

    reduced: Array
    gain: Array
    inverse: Array
    log_ratio: Array

    def taken(self, rows: Index) -> Eliminated:
        """Give some of the k."""
        return Eliminated(self.reduced[rows], self.gain[rows], self.inverse[rows], self.log_ratio[rows])


def eliminate(sums: EventSums, precision: Array) -> Eliminated:
    """Sweep the event effects out.

    Parameters
    ----------
    sums
        Weighted cross products, by event.
    precision
        L, the prior precision of an event's intercept and slopes times sigma^2. shape (k, q, q)

    Notes
    -----
    With sigma^2 taken out, the work is shared by all sigma of one ratio.
    """
    k, (events, q, width) = precision.shape[0], sums.zm.shape
    matrix = sums.zz[None] + precision[:, None]
    inverse = np.linalg.inv(matrix)
    inverse = (inverse + np.swapaxes(inverse, -1, -2)) / 2
    gain = inverse @ sums.zm[None]
    reduced = sums.mm[None] - sums.zm.reshape(events * q, width).T @ gain.reshape(k, events * q, width)
    reduced = (reduced + np.swapaxes(reduced, 1, 2)) / 2
    ratio = events * np.linalg.slogdet(precision)[1] - np.linalg.slogdet(matrix)[1].sum(1)
    return Eliminated(reduced, gain, inverse, ratio)


def log_evidence(sums: EventSums, events: Eliminated, sigma: Array, prior_sd: Array) -> Array:
    """Log marginal likelihood of the responses.

    Parameters
    ----------
    events
        Of k ratios.
    sigma
        Run noise sd at j points for each. shape (k, j)
    prior_sd
        Prior sd of the coefficients, prior mean 0. shape (p,)

    Returns
    -------
    shape (k, j)

    Notes
    -----
    2 log evidence = -n log(2 pi s^2) + log|W| + E log|L| - sum log|Z'WZ + L| + log|P| - log|S|
    - (reduced y'Wy/s^2 - r'S^-1 r). The Cholesky root of S bordered by r and y'Wy holds the last two.

    References
    ----------
    Searle, Casella & McCulloch, *Variance Components* (1992), ch. 6 (Henderson's equations) [memory].
    """
    p = prior_sd.shape[-1]
    bordered = events.reduced[:, None] / sigma[..., None, None] ** 2
    bordered[..., np.arange(p), np.arange(p)] += prior_sd**-2.0
    bordered[..., p, p] += _ROUNDING  # times that are all alike leave nothing over
    root = np.diagonal(np.linalg.cholesky(bordered), axis1=-2, axis2=-1)
    constant = sums.log_weights + events.log_ratio - 2 * np.log(prior_sd).sum()
    likelihood = -sums.n * (_LOG_2PI + 2 * np.log(sigma)) - 2 * np.log(root[..., :p]).sum(-1)
    out: Array = (constant[:, None] + likelihood - (root[..., p] ** 2 - _ROUNDING)) / 2
    return out


def coefficients(reduced: Array, sigma: Array, prior_sd: Array) -> tuple[Array, Array]:
    """Means (k, p) and covariances (k, p, p) of the coefficients; ``reduced`` as of :class:`Eliminated`."""
    p = prior_sd.shape[-1]
    precision = reduced[:, :p, :p] / sigma[:, None, None] ** 2
    precision[:, np.arange(p), np.arange(p)] += prior_sd**-2.0
    half = np.linalg.inv(np.linalg.cholesky(precision))
    covs = np.swapaxes(half, 1, 2) @ half
    return np.einsum("kij,kj->ki", covs, reduced[:, :p, p] / sigma[:, None] ** 2), covs


def solution(events: Eliminated, sigma: Array, prior_sd: Array) -> NodeSolution:
    """Solve at k nodes whose event effects have been swept out; sigma (k,), prior sd (p,)."""
    p = prior_sd.shape[-1]
    means, covs = coefficients(events.reduced, sigma, prior_sd)
    own = events.inverse * sigma[:, None, None, None] ** 2
    return NodeSolution(means, covs, events.gain[..., :p], events.gain[..., p], own)
