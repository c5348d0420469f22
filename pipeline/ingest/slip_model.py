"""How the numbers of one slip go together: one bell-shaped cloud a car, on logarithms of times and speeds.

The cloud is taken from the car's own runs, the odd ones left out; a car with few runs leans on what is usual
for any car that accelerates all the way (``usual_cloud``). With it every number of a slip can be held against
all the others of that slip at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
COLUMNS = ("t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph")
IS_TIME = np.array([name.endswith("_s") for name in COLUMNS])
FEET = np.array([60, 330, 660, 660, 1000, 1320, 1320])
LEAST_RUNS = 6
OWN_WEIGHT = 6.0
"""The usual cloud counts as so many runs beside the car's own."""
CLOCK = 0.0006
"""Spread that is always allowed: a clock of thousandths, a timing beam not quite straight."""
POOR_START_S = 0.05
"""A start so much poorer than usual, written down or not, lengthens every time alike."""
BAD_START = ((0, 0.3), (60, 0.15), (330, 0.04))
"""From where on a run that spun or bogged loses time [ft], and how much [s]: what is lost stays lost."""
LIFTED_FT = 330
"""Whoever only lifts does so this late, and loses less than with a run broken off."""
MIDDLES = (1.75, 0.855, 1.09, 0.866, 0.853, 1.035)
SPREAD_BETWEEN = (0.2, 0.10, 0.04, 0.02, 0.023, 0.023, 0.012)
SPREAD_WITHIN = (0.02, 0.015, 0.005, 0.004, 0.003, 0.003, 0.004)
"""60 ft, then each section over the one before and each trap speed times its section (queries/doubts/prepare/
usual_ratios.sql), from car to car and from run to run of one car, in parts of the value."""


@dataclass(frozen=True, slots=True)
class Cloud:
    """Where the logarithms of a slip's numbers lie.

    Attributes
    ----------
    middle
        Shape (k,).
    spread
        Covariance, shape (k, k).
    steady
        The same of runs that started as usual, shape (k, k).
    """

    middle: Floats
    spread: Floats
    steady: Floats

    def distance(self, logs: Floats) -> Floats:
        """Return squared distances of slips from the middle, in widths; ``logs`` has shape (n, k)."""
        away = logs - self.middle
        return np.asarray(np.einsum("ij,ij->i", away @ np.linalg.inv(self.spread), away))

    def log_size(self) -> float:
        """Return the part of minus twice the log density that does not depend on the slip."""
        _, size = np.linalg.slogdet(self.spread)
        return float(size + len(self.middle) * np.log(2 * np.pi))

    def each_from_others(self, logs: Floats) -> tuple[Floats, Floats]:
        """Return for each number of each slip what the others make of it.

        Returns
        -------
        tuple
            Expected logarithm, and how much of the distance goes when the number is left out; both of
            shape (n, k).
        """
        precision = np.linalg.inv(self.spread)
        pull = (logs - self.middle) @ precision
        own = np.diag(precision)
        return logs - pull / own, pull**2 / own


@cache
def usual_cloud(*, within: bool) -> Cloud:
    """Return the cloud of any car (``within`` false), or of the runs of one car about its own middle."""
    random = np.random.default_rng(660)
    spreads = SPREAD_WITHIN if within else SPREAD_BETWEEN
    noise = np.exp(random.normal(size=(20_000, 7)) * spreads)
    t60 = 1.5 * noise[:, 0]
    to_330 = t60 * MIDDLES[0] * noise[:, 1]
    to_660 = to_330 * MIDDLES[1] * noise[:, 2]
    to_1000 = to_660 * MIDDLES[3] * noise[:, 4]
    to_1320 = to_1000 * MIDDLES[4] * noise[:, 5]
    v660 = 225.0 * MIDDLES[2] * noise[:, 3] / to_660
    v1320 = 218.2 * MIDDLES[5] * noise[:, 6] / to_1320
    times = np.cumsum([t60, to_330, to_660, to_1000, to_1320], axis=0)
    logs = np.log(np.column_stack([times[0], times[1], times[2], v660, times[3], times[4], v1320]))
    spread = np.cov(logs, rowvar=False)
    return Cloud(logs.mean(axis=0), spread, spread)


def fit_cloud(runs: Floats, has: NDArray[np.bool_]) -> Cloud:
    """Fit the cloud of one car for slips that have these numbers.

    Parameters
    ----------
    runs
        Logarithms of the car's runs, shape (n, 7), nan where not written or not to be relied on.
    has
        Which of the seven the slip in question has, shape (7,).

    Returns
    -------
    Cloud
        Of those numbers, in their order.
    """
    whole = runs[:, has]
    whole = whole[~np.isnan(whole).any(axis=1)]
    if len(whole) < LEAST_RUNS:
        anyone = usual_cloud(within=False)
        return _with_start(anyone.spread[np.ix_(has, has)], anyone.middle[has], has)
    usual = usual_cloud(within=True).spread[np.ix_(has, has)]
    middle, spread = np.median(whole, axis=0), usual * 4
    for _ in range(5):
        away = Cloud(middle, spread, spread).distance(whole)
        kept = whole[away <= max(np.median(away) * 3.0, 1e-9)]
        middle = kept.mean(axis=0)
        own = (kept - middle).T @ (kept - middle)
        spread = (own * 1.15 + OWN_WEIGHT * usual) / (len(kept) + OWN_WEIGHT) * (1 + 1 / len(kept))
    return _with_start(spread, middle, has)


def _with_start(spread: Floats, middle: Floats, has: NDArray[np.bool_]) -> Cloud:
    """Allow the clock its thousandth and the start its tenth."""
    late = np.where(IS_TIME[has], POOR_START_S / np.exp(middle), 0.0)
    steady = np.asarray(spread + np.diag(np.full(len(late), CLOCK**2)))
    return Cloud(middle, steady + np.outer(late, late), steady)


def spoiled(cloud: Cloud, has: NDArray[np.bool_], good_ft: int, *, is_bad_start: bool) -> Cloud:
    """Widen a cloud for a run that went wrong: times longer, speeds lower past the last good split."""
    late = FEET[has] > good_ft
    much = 1.0 if good_ft < LIFTED_FT else 0.4
    loose = np.where(late, np.where(IS_TIME[has], 0.12, 0.3), 0.0) ** 2 * much**2
    drift = np.where(late, np.where(IS_TIME[has], 0.1, -0.2), 0.0) * much
    more = np.diag(loose) + np.outer(drift, drift)
    for start_ft, lost_s in BAD_START if is_bad_start else ():
        lost = np.where(IS_TIME[has] & (FEET[has] > start_ft), lost_s / np.exp(cloud.middle), 0.0)
        more += np.outer(lost, lost)
    return Cloud(cloud.middle, cloud.spread + more, cloud.steady + more)
