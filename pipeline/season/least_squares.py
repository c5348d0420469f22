"""Least squares to nearly full precision: scaled Householder QR, refined with doubled sums.

Used where an ordinary regression is wanted beside the model. Refinement works on the whole
system of residuals and coefficients, with every product and sum carried in two doubles, so it
needs no extended number type and gives the same digits on every machine.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import solve_triangular

from pipeline.errors import ThinData
from pipeline.season.sums import Array

_REFINEMENTS = 6
_SPLIT = 2.0**27 + 1.0  # Veltkamp's constant for 53-bit doubles
_SINGULAR = 1e-13


@dataclass(frozen=True, slots=True)
class LeastSquares:
    """An ordinary least-squares fit.

    Attributes
    ----------
    coefficients, standard_errors
        shape (p,)
    covariance
        Residual variance times (X'X)^-1. shape (p, p)
    residuals, leverage
        shape (n,)
    residual_sd
        Root of the residual sum of squares over ``spare``; 0 for an exact fit.
    spare
        n - p.
    r_squared
        About the mean when the columns can make a constant, else about zero (``centred`` says).
    """

    coefficients: Array
    standard_errors: Array
    covariance: Array
    residuals: Array
    leverage: Array
    residual_sd: float
    spare: int
    r_squared: float
    centred: bool


def least_squares(x: Array, y: Array, weights: Array | None = None) -> LeastSquares:
    """Fit y on the columns of x.

    Parameters
    ----------
    x
        Columns, the constant among them if wanted. shape (n, p), n > p
    y
        shape (n,)
    weights
        Positive weights, or None for all ones. shape (n,)

    Raises
    ------
    ThinData
        When there are not more rows than columns, or the columns are dependent.

    Notes
    -----
    Columns are scaled by powers of two (exact), factored by Householder QR, and (residuals,
    coefficients) refined together by the augmented system [[I, X], [X', 0]].

    References
    ----------
    Bjorck, "Iterative refinement of linear least squares solutions I", BIT 7 (1967) 257-278 [memory].
    Ogita, Rump & Oishi, "Accurate sum and dot product", SIAM J. Sci. Comput. 26 (2005) [memory].
    """
    rows, columns = x.shape
    if rows <= columns:
        raise ThinData(
            f"A regression with {columns} columns was asked of {rows} rows.",
            "Give it more rows than columns.",
        )
    if weights is not None:
        root = np.sqrt(weights)
        x, y = x * root[:, None], y * root
    scale = 2.0 ** np.round(np.log2(np.maximum(np.abs(x).max(axis=0), np.finfo(float).tiny)))
    scaled = x / scale
    q, r = np.linalg.qr(scaled)
    diagonal = np.abs(np.diag(r))
    if diagonal.min() < _SINGULAR * diagonal.max():
        raise ThinData(
            f"Column {int(diagonal.argmin()) + 1} of {columns} is made up of the others.", "Drop one of them."
        )
    coefficients, residuals = _refined(scaled, y, q, r)
    spare = rows - columns
    variance = float(residuals @ residuals) / spare
    half = solve_triangular(r, np.eye(columns))
    covariance = variance * (half @ half.T) / np.outer(scale, scale)
    centred = _makes_constant(q, rows)
    total = y - y.mean() if centred else y
    spread = float(total @ total)
    return LeastSquares(
        coefficients / scale,
        np.sqrt(np.diag(covariance)),
        covariance,
        residuals,
        np.minimum((q**2).sum(1), 1.0),
        float(np.sqrt(variance)),
        spare,
        1 - variance * spare / spread if spread > 0 else 0.0,
        centred,
    )


def _refined(x: Array, y: Array, q: Array, r: Array) -> tuple[Array, Array]:
    coefficients = solve_triangular(r, q.T @ y)
    residuals = y - x @ coefficients
    for _ in range(_REFINEMENTS):
        miss = _residual_twice(y, residuals, x, coefficients)
        lean = -_dot_twice(x.T, residuals)
        half = solve_triangular(r, lean, trans="T")
        along = q.T @ miss
        coefficients = coefficients + solve_triangular(r, along - half)
        residuals = residuals + miss - q @ along + q @ half
    return coefficients, residuals


def _makes_constant(q: Array, rows: int) -> bool:
    ones = np.ones(rows)
    return bool(np.linalg.norm(ones - q @ (q.T @ ones)) < 1e-8 * np.sqrt(rows))


def _two_sum(a: Array, b: Array) -> tuple[Array, Array]:
    """Sum and its rounding error, exactly (Knuth)."""
    total = a + b
    part = total - a
    return total, (a - (total - part)) + (b - part)


def _two_product(a: Array, b: Array) -> tuple[Array, Array]:
    """Product and its rounding error, exactly (Dekker, Veltkamp)."""
    product = a * b
    high_a, high_b = _SPLIT * a, _SPLIT * b
    high_a, high_b = high_a - (high_a - a), high_b - (high_b - b)
    low_a, low_b = a - high_a, b - high_b
    return product, low_a * low_b - (((product - high_a * high_b) - low_a * high_b) - high_a * low_b)


def _accumulate(total: Array, error: Array, left: Array, right: Array) -> tuple[Array, Array]:
    """Add left @ right to a two-part sum, one column at a time."""
    for j in range(left.shape[1]):
        product, product_error = _two_product(left[:, j], right[j])
        total, sum_error = _two_sum(total, product)
        error = error + (product_error + sum_error)
    return total, error


def _dot_twice(left: Array, right: Array) -> Array:
    zero = np.zeros(left.shape[0])
    total, error = _accumulate(zero, zero, left, right)
    return total + error


def _residual_twice(y: Array, residuals: Array, x: Array, coefficients: Array) -> Array:
    """Return y - residuals - x @ coefficients, rounded once."""
    total, error = _two_sum(y, -residuals)
    total, error = _accumulate(total, error, x, -coefficients)
    return total + error


def variance_inflation(x: Array) -> Array:
    """Return 1 / (1 - R^2) of every column on the others and a constant; infinite when dependent. (p,).

    References
    ----------
    Marquardt, Technometrics 12 (1970) 591-612 [memory].
    """
    out = np.ones(x.shape[1])
    for j in range(x.shape[1]):
        others = np.column_stack([np.ones(x.shape[0]), np.delete(x, j, axis=1)])
        spread = float(((x[:, j] - x[:, j].mean()) ** 2).sum())
        rest = x[:, j] - others @ np.linalg.lstsq(others, x[:, j])[0]
        left = float(rest @ rest)
        out[j] = spread / left if left > _SINGULAR * spread else np.inf
    return out
