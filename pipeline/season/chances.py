"""Chances of a normal, a logistic, a chi-square and Student's t; a library of them takes 0.1 s to load."""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist

import numpy as np

from pipeline.season.sums import Array

_STEPS = 64  # table entries an sd: far enough apart to build at once, close enough for six terms
_REACH = 39  # sds, past which nothing is left
_AT = np.arange(-_REACH * _STEPS, _REACH * _STEPS + 1) / _STEPS
_MOST_STEPS = 60
_BELOW = np.array([0.5 * math.erfc(-at / math.sqrt(2)) for at in _AT])
_DENSITY = np.exp(-0.5 * _AT**2) / math.sqrt(2 * math.pi)


def normal_below(x: Array | float) -> Array:
    """Return the chance that a standard normal lies below x, to 1e-15. Shape of x.

    Notes
    -----
    Taylor's series about the nearest entry of a table; its derivatives are Hermite's polynomials.
    """
    held = np.clip(x, -_REACH, _REACH)
    entry = np.rint(held * _STEPS).astype(np.intp) + _REACH * _STEPS
    at = _AT[entry]
    d, a2 = held - at, at * at
    terms = (at * (3 - a2)) * (d / 4) + (a2 - 1) + ((a2 - 6) * a2 + 3) * (d * d / 20)
    terms = 1 - d / 2 * (at - d / 3 * terms)
    return np.asarray(_BELOW[entry] + _DENSITY[entry] * d * terms)


def normal_at(chance: float) -> float:
    """Return the value below which a standard normal lies with this chance."""
    return NormalDist().inv_cdf(chance)


def logistic(x: Array) -> Array:
    """Return 1 / (1 + exp(-x)). Shape of x."""
    small = np.exp(-np.abs(x))
    return np.asarray(np.where(x < 0, small, 1.0) / (1.0 + small))


def chi_square_above(freedom: int, x: float) -> float:
    """Return the chance that a chi-square of whole degrees of freedom exceeds x.

    References
    ----------
    Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 26.4.4 and 26.4.5 [memory].
    """
    half = x / 2
    if half <= 0:
        return 1.0
    first, above = (0.5, math.erfc(math.sqrt(half))) if freedom % 2 else (1.0, math.exp(-half))
    for place in range((freedom - 1) // 2):
        a = first + place
        above += math.exp(a * math.log(half) - half - math.lgamma(a + 1))
    return above


@cache
def student_at(freedom: int, chance: float) -> float:
    """Return the value below which Student's t of whole degrees of freedom lies with this chance, above 0.5.

    Notes
    -----
    Newton's steps from the normal's value, which is nearer to 0, so that none goes too far.
    """
    t = normal_at(chance)
    peak = math.exp(math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2)) / math.sqrt(freedom * math.pi)
    for _ in range(_MOST_STEPS):
        density = peak * (1 + t * t / freedom) ** (-(freedom + 1) / 2)
        step = (chance - _student_below(freedom, t)) / density
        t += step
        if abs(step) < 1e-14 * t:
            break
    return t


def _student_below(freedom: int, t: float) -> float:
    """Return the chance that Student's t lies below t.

    References
    ----------
    Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4 [memory].
    """
    angle = math.atan(t / math.sqrt(freedom))
    odd, cosine = freedom % 2, math.cos(angle)
    term = 0.0 if freedom == 1 else math.sin(angle) * (cosine if odd else 1.0)
    within = term
    for k in range(1, (freedom - odd) // 2):
        term *= cosine**2 * (2 * k - 1 + odd) / (2 * k + odd)
        within += term
    return 0.5 + (angle + within) / math.pi if odd else 0.5 + within / 2
