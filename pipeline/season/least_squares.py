"""Ordinary least squares and the inflation of variance, for the plain regression beside ours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from pipeline.season.sums import Array, Index

MOST_INFLATION = 50.0
"""Above this variance inflation a plain regression's numbers mean nothing. [judgement]"""

_LEAST_CLUSTERS = 5
_LEAST_SPREAD = 1e-6
_SINGULAR = 1e-13


@dataclass(frozen=True, slots=True)
class OrdinaryLeastSquares:
    """Coefficients, their classical standard errors and half widths of 95 % intervals. Shape (k,) each."""

    coefficients: Array
    standard_errors: Array
    half_widths: Array


def ordinary_least_squares(columns: Array, observed: Array, cluster: Index) -> OrdinaryLeastSquares:
    """Return the ordinary least squares fit with the wider of two intervals.

    Parameters
    ----------
    columns
        Shape (n, k).
    observed
        Shape (n,).
    cluster
        Number of the cluster of each row, from 0. Shape (n,).

    Returns
    -------
    OrdinaryLeastSquares
        Half widths are those of the classical errors, t with n - rank degrees of freedom; with enough
        clusters also of errors clustered, t with G - 1, where those are wider.

    References
    ----------
    Cameron & Miller, "A Practitioner's Guide to Cluster-Robust Inference", J. Human Resources 50 (2015),
    equations 11 and 12: the sandwich with the factor G / (G - 1) * (n - 1) / (n - k).
    """
    n, k = columns.shape
    inverse = np.linalg.pinv(columns, rcond=1e-15)
    unscaled = inverse @ inverse.T
    coefficients = inverse @ observed
    residuals = observed - columns @ coefficients
    spare = n - int(np.linalg.matrix_rank(columns))
    classical = np.sqrt(np.diag(unscaled) * float(residuals @ residuals) / spare)
    half = stdtrit(spare, 0.975) * classical
    clusters = int(cluster.max()) + 1
    if clusters >= _LEAST_CLUSTERS:
        scores = np.zeros((clusters, k))
        np.add.at(scores, cluster, columns * residuals[:, None])
        spread = scores @ unscaled
        factor = clusters / (clusters - 1) * (n - 1) / (n - k)
        half = np.maximum(half, stdtrit(clusters - 1, 0.975) * np.sqrt(factor * (spread**2).sum(0)))
    return OrdinaryLeastSquares(coefficients, classical, half)


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


def independent(columns: Array) -> list[int]:
    """Return the places of the columns that are not made up of those before them."""
    kept: list[int] = []
    basis = np.zeros((columns.shape[0], 0))
    for j in range(columns.shape[1]):
        rest = columns[:, j] - basis @ (basis.T @ columns[:, j])
        rest = rest - basis @ (basis.T @ rest)
        size = float(np.linalg.norm(rest))
        if size > _LEAST_SPREAD * max(float(np.linalg.norm(columns[:, j])), 1.0):
            kept.append(j)
            basis = np.column_stack([basis, rest / size])
    return kept
