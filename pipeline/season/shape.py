"""Shape beyond the parabola: third and fourth powers of one feature, freed of what a parabola can say.

A parabola through a bend that is sharper on one side tilts everything. Two more columns a feature, shrunken
towards nothing, let the curve lean and flatten; their worth grows fast away from what was tried, so that a
prediction there is worth less.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

LEAST_REACH = 3.0
"""Steps from the reference at which a column is about 1 when less than that was tried. [judgement]"""

LEAST_RUNS = 30
"""Fewer runs cannot show more than a parabola, and would be fitted through. [judgement]"""

_EVEN_POINTS = 41
Powers = tuple[float, ...]
"""Coefficients of 1, u, u^2, ... of a polynomial in one feature."""


def bends(values: Array, degrees: tuple[int, ...] = (3, 4)) -> tuple[Powers, ...]:
    """Return polynomials that no parabola can stand in for, one a degree.

    Parameters
    ----------
    values
        The feature as tried, in steps from the reference. shape (n,)
    degrees
        Of the polynomials.

    Notes
    -----
    (u/R)^k less its least-squares fit by lower powers, over the values tried and, with equal weight, over an
    even spread of [-R, R]; R is the farthest value tried, at least ``LEAST_REACH`` steps [derived].
    """
    reach = max(LEAST_REACH, float(np.abs(values).max(initial=0.0)))
    at = np.r_[values, np.linspace(-reach, reach, _EVEN_POINTS)] / reach
    weight = np.sqrt(
        np.r_[np.full(values.size, 1 / max(values.size, 1)), np.full(_EVEN_POINTS, 1 / _EVEN_POINTS)]
    )
    out = []
    for degree in degrees:
        lower = np.vander(at, degree, increasing=True)
        taken = np.linalg.lstsq(lower * weight[:, None], at**degree * weight, rcond=None)[0]
        scaled = np.r_[-taken, 1.0] / reach ** np.arange(degree + 1)
        out.append(tuple(float(c) for c in scaled))
    return tuple(out)


def value(powers: Powers, feature: Array) -> Array:
    """Return the polynomial at a feature's values. Shape (n,)."""
    return np.asarray(np.polynomial.polynomial.polyval(feature, powers))


def slope(powers: Powers, feature: Array) -> Array:
    """Return the polynomial's derivative at a feature's values. Shape (n,)."""
    return np.asarray(np.polynomial.polynomial.polyval(feature, np.polynomial.polynomial.polyder(powers)))
