"""Wear: how fast the ring height grows, when service is due, and which shims bring it back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pipeline.physics.ranges import refuse_outside

# Half a ten-thousandth of an inch: lengths closer than this are one length to any caliper.
_SAME_LENGTH_M = 0.5e-4 * 0.0254
_MOST_PIECES = 4
CALIPER_M = 25.4e-6
"""How far a ring height by caliper may be off: a thousandth of an inch. [common practice, no source]"""


@dataclass(frozen=True, slots=True)
class Slope:
    """A robust slope with its interval.

    Attributes
    ----------
    slope, low, high
        In y per x; ``low`` and ``high`` are NaN when there are too few pairs to say.
    pairs
        Pairs of points it is the median of.
    """

    slope: float
    low: float
    high: float
    pairs: int


def theil_sen(x: ArrayLike, y: ArrayLike, stretch: ArrayLike | None = None, level: float = 0.95) -> Slope:
    """Return the median slope of all pairs of points, none of them across a restart.

    Parameters
    ----------
    x, y
        Shape (n,) each; points with a NaN are left out.
    stretch
        Shape (n,): points pair up only within equal values. None = one stretch.
    level
        Confidence of the interval.

    Returns
    -------
    Slope
        NaN throughout when no pair differs in x.

    Raises
    ------
    OutOfRange
        For a level not between 0 and 1.

    Notes
    -----
    The interval is Sen's: the pair slopes of rank (P - C)/2 and (P + C)/2 + 1, with C = z times the root
    of Kendall's variance of the score, corrected for ties and summed over the stretches.

    References
    ----------
    P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", J. Am. Stat. Assoc. 63
    (1968) 1379-1389.

    Examples
    --------
    >>> theil_sen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]).slope
    4.0
    """
    refuse_outside("confidence level", level, "", 0.01, 0.9999)
    xs, ys = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    groups = np.unique(np.zeros(xs.shape) if stretch is None else stretch, return_inverse=True)[1]
    known = np.isfinite(xs) & np.isfinite(ys)
    parts = [_pair_slopes(xs[known & (groups == g)], ys[known & (groups == g)]) for g in np.unique(groups)]
    slopes = np.sort(np.concatenate([part[0] for part in parts])) if parts else np.empty(0)
    if slopes.size == 0:
        return Slope(math.nan, math.nan, math.nan, 0)
    low, high = _sen_limits(slopes, sum(part[1] for part in parts), level)
    return Slope(float(np.median(slopes)), low, high, int(slopes.size))


def _pair_slopes(x: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[NDArray[np.float64], float]:
    """Return the slopes of all pairs and Kendall's variance of the score, 0 for fewer than two points."""
    first, second = np.triu_indices(x.size, k=1)
    run = x[second] - x[first]
    slopes = (y[second] - y[first])[run != 0.0] / run[run != 0.0]
    variance = (_kendall(x.size) - sum(_kendall(n) for values in (x, y) for n in _ties(values))) / 18.0
    return slopes, max(variance, 0.0)


def _kendall(n: int) -> float:
    return float(n * (n - 1) * (2 * n + 5))


def _ties(values: NDArray[np.float64]) -> list[int]:
    return [int(count) for count in np.unique(values, return_counts=True)[1] if count > 1]


def _sen_limits(slopes: NDArray[np.float64], variance: float, level: float) -> tuple[float, float]:
    c = NormalDist().inv_cdf(0.5 + 0.5 * level) * math.sqrt(variance)
    lower = round((slopes.size - c) / 2.0)
    upper = round((slopes.size + c) / 2.0)
    if lower < 1 or variance <= 0.0:
        return math.nan, math.nan
    return float(slopes[lower - 1]), float(slopes[upper])


def growth_per_run(
    runs: ArrayLike, ring_height_m: ArrayLike, service_no: ArrayLike, level: float = 0.95
) -> Slope:
    """Return the growth of the ring height per run, restarted at each service.

    A ring does not shrink, so the slope is never below zero. The interval is Sen's, and never narrower than
    a caliper can tell: both ends of the longest stretch off by ``CALIPER_M``, the opposite ways.

    Parameters
    ----------
    runs
        Runs made when each height was measured, shape (n,).
    ring_height_m
        Shape (n,). [m]
    service_no
        Which stretch between services each belongs to, shape (n,).
    level
        Confidence of the interval.

    Returns
    -------
    Slope
        [m per run]

    Raises
    ------
    OutOfRange
        For a level not between 0 and 1.

    References
    ----------
    As :func:`theil_sen`.
    """
    found = theil_sen(runs, ring_height_m, service_no, level)
    if found.pairs == 0:
        return found
    made, stretch = np.asarray(runs, dtype=np.float64), np.asarray(service_no)
    longest = max(float(np.ptp(made[stretch == number])) for number in np.unique(stretch))
    slope, off = max(found.slope, 0.0), 2.0 * CALIPER_M / longest
    low, high = np.nanmin([found.low, slope - off]), np.nanmax([found.high, slope + off])
    return replace(found, slope=slope, low=float(low), high=float(high))


@dataclass(frozen=True, slots=True)
class ServiceForecast:
    """Runs left until the growth reaches its limit.

    Attributes
    ----------
    runs
        At the robust growth per run; 0 when past the limit, infinite when it does not grow.
    sooner, later
        At the fast and slow end of its interval; NaN when there is none.
    """

    runs: float
    sooner: float
    later: float


def runs_to_limit(grown_m: float, limit_m: float, growth: Slope) -> ServiceForecast:
    """Forecast the runs until service is due.

    Parameters
    ----------
    grown_m
        Growth since the last service or since new. [m]
    limit_m
        Growth at which service is due. [m]
    growth
        [m per run]

    Returns
    -------
    ServiceForecast

    Raises
    ------
    OutOfRange
        For a limit not above zero.

    References
    ----------
    Straight-line wear; the limit is the maker's or the person's own.

    Examples
    --------
    >>> runs_to_limit(3e-4, 5e-4, Slope(1e-5, 0.8e-5, 1.25e-5, 10)).runs
    20.0
    """
    refuse_outside("growth at which service is due", limit_m, "m", 1e-6, 0.0127)
    left = limit_m - grown_m
    return ServiceForecast(_runs(left, growth.slope), _runs(left, growth.high), _runs(left, growth.low))


def _runs(left_m: float, per_run_m: float) -> float:
    if math.isnan(per_run_m) or math.isnan(left_m):
        return math.nan
    if left_m <= 0.0:
        return 0.0
    return round(left_m / per_run_m, 9) if per_run_m > 0.0 else math.inf


@dataclass(frozen=True, slots=True)
class ShimStack:
    """Shims to take out from under each stand.

    Attributes
    ----------
    pieces_m
        Thicknesses, thickest first. [m]
    total_m
        Their sum. [m]
    left_m
        What is asked for less the sum: minus when the stack is thicker. [m]
    """

    pieces_m: tuple[float, ...]
    total_m: float
    left_m: float


def shim_stack(
    thicknesses_m: Sequence[float],
    wanted_m: float,
    *,
    may_exceed: bool = False,
    most_pieces: int = _MOST_PIECES,
) -> ShimStack:
    """Choose the shims nearest to a thickness.

    Parameters
    ----------
    thicknesses_m
        Kinds of shim on hand; each may be used again. [m]
    wanted_m
        Thickness to make up, such as the growth. [m]
    may_exceed
        Whether a stack thicker than wanted will do. Taking out too much makes the springs tighter than
        they were set, so not by default.
    most_pieces
        Pieces in one stack, 1 to 6.

    Returns
    -------
    ShimStack
        The nearest, and of equally near ones the one with fewest pieces; empty when none is near enough
        to help.

    Raises
    ------
    OutOfRange
        For a thickness not above zero or more than half an inch, or too many pieces.

    References
    ----------
    Common practice, no source: a shim as thick as the growth brings the ring back.

    Examples
    --------
    >>> stack = shim_stack([0.127e-3, 0.254e-3, 0.381e-3], 0.3e-3)
    >>> stack.pieces_m, round(stack.left_m, 6)
    ((0.000254,), 4.6e-05)
    """
    refuse_outside("pieces", most_pieces, "", 1, 6)
    kinds = sorted(set(thicknesses_m), reverse=True)
    refuse_outside("shim thickness", kinds or [1e-3], "m", 1e-6, 0.0127, "Write it like '0.010 in'.")
    best = ShimStack((), 0.0, wanted_m)
    for count in range(1, most_pieces + 1):
        for pieces in combinations_with_replacement(kinds, count):
            left = wanted_m - math.fsum(pieces)
            allowed = may_exceed or left >= -_SAME_LENGTH_M
            if allowed and abs(left) < abs(best.left_m) - _SAME_LENGTH_M:
                best = ShimStack(pieces, math.fsum(pieces), left)
    return best
