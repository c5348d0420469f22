"""The prior a fleet teaches: empirical Bayes on per-car sums, with few-car correction and odd-car spike."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.garage.factors import MS

FEW_CARS = 30
WEAK_CARS = 8.0
"""Below ``FEW_CARS`` the spread learned is averaged with the weak prior's, which counts as eight cars."""
SPREAD_DOUBT = 26.0
"""From ``FEW_CARS`` up the spread is widened by 1 + 26/K. Both from the simulations behind the design."""

ODD_SHARE = 0.20
ODD_WIDTH = 4.0
"""One car in five may have one coefficient drawn from a spread four times as wide."""

LEAST_SPREAD_S = 0.05 * MS
"""Spreads below this are of no practical weight and would make the arithmetic singular."""

STEPS = 400
SETTLED = 2e-4
FIRST_SAMPLE = 300
SAMPLE = 2000

_BISECTIONS = 20  # halves a reach of 18 sd to 2e-5 sd


@dataclass(frozen=True, slots=True)
class Information:
    """What each car's runs say.

    Attributes
    ----------
    precision
        X'V^-1X/s^2. shape (K, p, p)
    score
        X'V^-1y/s^2. shape (K, p)
    inverse_events
        One over the number of events. shape (K,)
    wander
        How far the event means of rpm and track temperature wander: covariance over events, the same for
        the whole fleet. [steps^2]. shape (2, 2)
    """

    precision: Array
    score: Array
    inverse_events: Array
    wander: Array

    def of(self, which: npt.NDArray[np.intp]) -> Information:
        """Keep some cars."""
        return Information(self.precision[which], self.score[which], self.inverse_events[which], self.wander)


@dataclass(frozen=True, slots=True)
class FleetPrior:
    """Where a car of this kind stands before its own runs are seen.

    Attributes
    ----------
    mean
        [s per step]. shape (p,)
    spread
        Covariance between cars as estimated. shape (p, p)
    cov
        Covariance to use for a car, corrected for the number of cars. shape (p, p)
    displaced
        What the straight effects of a car seen at one event only vary by, because it was seen at one
        rpm and track temperature; falls as one over its events. shape (p, p)
    inverse_events
        Mean of one over the events of the cars learned from: ``spread`` holds that much of it already.
    cars
        Cars it was learned from.
    steps
        EM steps taken.
    """

    mean: Array
    spread: Array
    cov: Array
    displaced: Array
    inverse_events: float
    cars: int
    steps: int


def learn_prior(information: Information, weak_sd: Array, rng: np.random.Generator) -> FleetPrior:
    """Learn mean and spread of the cars' effects.

    Parameters
    ----------
    information
        Of K cars.
    weak_sd
        Spread to start from, and to lean on when cars are few. shape (p,)
    rng
        Picks the sample of a large fleet.

    Notes
    -----
    EM for b_car ~ N(m, O): with P_c = (A_c + O^-1)^-1 and b_c = P_c (r_c + O^-1 m), m is the mean of b_c
    and O the mean of P_c + (b_c - m)(b_c - m)'. Two thousand cars settle the prior; a first round on a
    few hundred brings it near at little cost.

    References
    ----------
    Dempster, Laird & Rubin, J. R. Stat. Soc. B 39 (1977) 1-38 [memory].
    """
    cars = information.score.shape[0]
    order = rng.permutation(cars)
    mean, spread = np.zeros(weak_sd.size), np.diag(weak_sd**2)
    steps = 0
    for size in dict.fromkeys((min(FIRST_SAMPLE, cars), min(SAMPLE, cars))):
        chosen = information.of(np.sort(order[:size]))
        mean, spread, taken = _em(chosen, mean, spread)
        steps += taken
    return FleetPrior(
        mean=mean,
        spread=spread,
        cov=corrected(spread, cars, weak_sd),
        displaced=_displaced(mean, information.wander),
        inverse_events=float(information.inverse_events.mean()),
        cars=cars,
        steps=steps,
    )


def _displaced(mean: Array, wander: Array) -> Array:
    """Covariance of the straight effects from being seen at one rpm and track temperature. Shape (p, p).

    Notes
    -----
    About a centre moved by (r, t) the slope of rpm is 2 b_rpm2 r + b_rpmtrack t larger, and that of the
    track b_rpmtrack r.
    """
    move = np.zeros((mean.size, 2))
    bend, twist = mean[fb.RPM2 - 1], mean[fb.RPM_TRACK - 1]
    move[fb.RPM - 1] = (2 * bend, twist)
    move[fb.TRACK - 1] = (twist, 0.0)
    out: Array = move @ wander @ move.T
    return out


def cov_for(prior: FleetPrior, inverse_events: Array) -> Array:
    """Prior covariance of cars seen at few events or many. Shape (K, p, p).

    Parameters
    ----------
    inverse_events
        One over each car's number of events. shape (K,)
    """
    more = np.maximum(inverse_events - prior.inverse_events, 0.0)
    return prior.cov + more[:, None, None] * prior.displaced


def _em(information: Information, mean: Array, spread: Array) -> tuple[Array, Array, int]:
    floor = np.eye(mean.size) * LEAST_SPREAD_S**2
    step = 0
    while step < STEPS:
        step += 1
        inverse = np.linalg.inv(spread)
        covs = np.linalg.inv(information.precision + inverse)
        means = np.einsum("kij,kj->ki", covs, information.score + inverse @ mean)
        mean = means.mean(0)
        away = means - mean
        new = covs.mean(0) + away.T @ away / means.shape[0] + floor
        new = (new + new.T) / 2
        change = np.abs(np.sqrt(np.diag(new) / np.diag(spread)) - 1).max()
        spread = new
        if change < SETTLED:
            break
    return mean, spread, step


def corrected(spread: Array, cars: int, weak_sd: Array) -> Array:
    """Widen the spread for the number of cars it was learned from. Shape (p, p)."""
    if cars >= FEW_CARS:
        return spread * (1 + SPREAD_DOUBT / cars)
    weak = np.diag(weak_sd**2)
    out: Array = (cars * spread + WEAK_CARS * weak) / (cars + WEAK_CARS) * (1 + 1 / cars)
    return out


def with_odd_cars(prior: FleetPrior) -> Array:
    """Covariance of the whole prior, odd cars included: for a model that takes one normal. Shape (p, p)."""
    each = ODD_SHARE / prior.mean.size * (ODD_WIDTH**2 - 1)
    out: Array = prior.cov + np.diag(each * np.diag(prior.cov))
    return out


@dataclass(frozen=True, slots=True)
class Pooled:
    """Cars under the fleet's prior, odd cars allowed for.

    Attributes
    ----------
    mean, sd, low, high
        [s per step], 95 % limits. shape (K, p)
    odd
        Probability that this coefficient of the car is the odd one. shape (K, p)
    """

    mean: Array
    sd: Array
    low: Array
    high: Array
    odd: Array


def pool(information: Information, prior: FleetPrior, *, level: float = 0.95) -> Pooled:
    """Estimate each car under the fleet's prior.

    Notes
    -----
    The prior is a mixture: O with share 0.8, and for each coefficient j, with share 0.2/p, O with 15 O_jj
    added at (j, j) (four times the sd). Each odd component is a rank-one change of the ordinary one:
    with u = O^-1 e_j, c = 15 O_jj / (1 + 15 O_jj u_j) and d = 1 - c u'Pu, its covariance is
    P + c P u u'P / d and its evidence follows from the determinant lemma. The interval of coefficient j
    is that of two normals: j odd, and all other cases taken together.
    """
    p = prior.mean.size
    cov = cov_for(prior, information.inverse_events)
    inverse = np.linalg.inv(cov)
    base = np.linalg.inv(information.precision + inverse)
    base = (base + np.swapaxes(base, 1, 2)) / 2
    surprise = information.score - information.precision @ prior.mean
    extra = (ODD_WIDTH**2 - 1) * np.einsum("kii->ki", cov)
    grown = 1 + extra * np.einsum("kii->ki", inverse)
    strength = extra / grown
    through = base @ inverse
    left = 1 - strength * np.einsum("kij,kji->ki", inverse, through)
    pull = np.einsum("kji,kj->ki", through, surprise)
    factor = strength / left
    log_odd = 0.5 * (factor * pull**2 - np.log(grown) - np.log(left))
    log_share = np.column_stack(
        [np.full(log_odd.shape[0], np.log(1 - ODD_SHARE)), np.log(ODD_SHARE / p) + log_odd]
    )
    share = np.exp(log_share - log_share.max(1, keepdims=True))
    share /= share.sum(1, keepdims=True)
    ordinary = np.einsum("kij,kj->ki", base, surprise)
    # Axes below: car, coefficient, component (the ordinary one first).
    means = (prior.mean + ordinary)[:, :, None] + np.concatenate(
        [np.zeros((*ordinary.shape, 1)), through * (factor * pull)[:, None, :]], axis=2
    )
    variances = np.einsum("kii->ki", base)[:, :, None] + np.concatenate(
        [np.zeros((*ordinary.shape, 1)), through**2 * factor[:, None, :]], axis=2
    )
    return _summarised(share, means, variances, level)


def _summarised(share: Array, means: Array, variances: Array, level: float) -> Pooled:
    mean = np.einsum("kc,kic->ki", share, means)
    variance = np.einsum("kc,kic->ki", share, variances + (means - mean[:, :, None]) ** 2)
    p = mean.shape[1]
    at = np.arange(p)
    odd = share[:, 1:]
    odd_mean, odd_variance = means[:, at, at + 1], variances[:, at, at + 1]
    rest = np.maximum(1 - odd, 1e-12)
    rest_mean = (mean - odd * odd_mean) / rest
    second = (variance + mean**2 - odd * (odd_variance + odd_mean**2)) / rest
    rest_variance = np.maximum(second - rest_mean**2, variances[:, :, 0])
    low, high = (
        _quantile(odd, (odd_mean, rest_mean), (odd_variance, rest_variance), q)
        for q in ((1 - level) / 2, (1 + level) / 2)
    )
    return Pooled(mean, np.sqrt(variance), low, high, odd)


def _quantile(odd: Array, means: tuple[Array, Array], variances: tuple[Array, Array], q: float) -> Array:
    """Quantile of a mixture of two normals by bisection, elementwise."""
    sds = (np.sqrt(variances[0]), np.sqrt(variances[1]))
    low = np.minimum(means[0] - 9 * sds[0], means[1] - 9 * sds[1])
    high = np.maximum(means[0] + 9 * sds[0], means[1] + 9 * sds[1])
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        below = odd * ndtr((middle - means[0]) / sds[0]) + (1 - odd) * ndtr((middle - means[1]) / sds[1]) < q
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    out: Array = (low + high) / 2
    return out
