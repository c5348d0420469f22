"""The few chances and quantiles that fits and decisions ask for, by Python's own ``math`` and ``statistics``.

SciPy has them all, but to load it takes longer than all that a command asks of it.
"""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from pipeline.season.sums import Array

_HALVINGS = 60


def ndtr(z: npt.ArrayLike) -> Array:
    """Chance that a standard normal lies below z, erfc(-z / sqrt 2) / 2. The shape of ``z``."""
    out = np.asarray(z, dtype=np.float64) * -math.sqrt(0.5)
    return np.fromiter(map(math.erfc, out.ravel().tolist()), np.float64, out.size).reshape(out.shape) / 2


def ndtri(p: float) -> float:
    """Value below which a standard normal lies with chance p, 0 < p < 1."""
    return NormalDist().inv_cdf(p)


def expit(x: npt.ArrayLike) -> Array:
    """Chance whose log odds are x, 1 / (1 + exp(-x)). The shape of ``x``."""
    given = np.asarray(x, dtype=np.float64)
    small = np.exp(-np.abs(given))
    return np.asarray(np.where(given >= 0, 1.0, small) / (1 + small))


def chi_square_tail(freedom: int, x: float) -> float:
    """Chance that chi-square with ``freedom`` >= 1 degrees of freedom exceeds x >= 0.

    Notes
    -----
    Q_1 = erfc sqrt(x / 2), Q_2 = exp(-x / 2), and by parts
    Q_k = Q_(k-2) + (x / 2)^(k/2 - 1) exp(-x / 2) / Gamma(k / 2) [derived].
    """
    half = x / 2
    tail = math.erfc(math.sqrt(half)) if freedom % 2 else math.exp(-half)
    for k in range(4 - freedom % 2, freedom + 1, 2):
        tail += half ** (k / 2 - 1) * math.exp(-half) / math.gamma(k / 2)
    return tail


@cache
def student_quantile(freedom: int, p: float) -> float:
    """Value below which Student's t with ``freedom`` >= 1 degrees of freedom lies with chance p, 0.5 < p < 1.

    References
    ----------
    Abramowitz & Stegun, *Handbook of Mathematical Functions*, 26.7.3 and 26.7.4 (a sum over cosines of
    arctan(t / sqrt(freedom)) for the chance between -t and t) [memory]; halved down to it.
    """
    low, high = 0.0, math.pi / 2
    for _ in range(_HALVINGS):
        angle = (low + high) / 2
        low, high = (angle, high) if _between(freedom, angle) < 2 * p - 1 else (low, angle)
    return math.sqrt(freedom) * math.tan((low + high) / 2)


def _between(freedom: int, angle: float) -> float:
    """Chance that Student's t lies between -t and t, t = sqrt(freedom) tan(angle)."""
    sine, square = math.sin(angle), math.cos(angle) ** 2
    odd = freedom % 2
    term = math.cos(angle) if odd else 1.0
    total = 0.0
    for k in range(2 + odd, freedom + 1, 2):
        total += term
        term *= square * (k - 1) / k
    return 2 / math.pi * (angle + sine * total) if odd else sine * total
