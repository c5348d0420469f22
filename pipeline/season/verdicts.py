"""Did it move the time? Wald tests of contrasts, Holm's correction, and who cannot be told apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import gammaincc

from pipeline.season.results import Verdict
from pipeline.season.sums import Array

LEVEL = 0.05
TANGLED = 0.6
"""Posterior correlation beyond which two adjustments are hard to tell apart."""

VISIBLE_SDS = 2.8
"""An effect this many sd's wide is found 80 % of the time at the 5 % level: 1.96 + 0.84 [derived]."""

LITTLE_LEARNT = 0.7
"""Posterior sd over prior sd above which the data hold almost nothing on an effect. [judgement]"""

_RANK_TOLERANCE = 1e-9


def wald_p(contrasts: Array, mean: Array, cov: Array) -> float:
    """Chi-square p-value that all contrasts are zero, by pseudo-inverse.

    Parameters
    ----------
    contrasts
        shape (m, p); rows may be zero or dependent.
    mean, cov
        Posterior of the coefficients. shape (p,), (p, p)

    Returns
    -------
    1.0 when no contrast has any variance

    Notes
    -----
    W = v' (C V C')^+ v with v = C b, chi-square with rank(C V C') degrees of freedom.
    """
    value = contrasts @ mean
    spread, axes = np.linalg.eigh(contrasts @ cov @ contrasts.T)
    keep = spread > _RANK_TOLERANCE * max(float(spread.max(initial=0.0)), np.finfo(float).tiny)
    if not keep.any():
        return 1.0
    along = axes[:, keep].T @ value
    statistic = float((along**2 / spread[keep]).sum())
    return float(gammaincc(keep.sum() / 2, statistic / 2))


def holm(p_values: Array) -> Array:
    """Adjust p-values by Holm's step-down rule.

    References
    ----------
    Holm, "A simple sequentially rejective multiple test procedure", Scand. J. Stat. 6 (1979) 65-70 [memory].

    Examples
    --------
    >>> [round(float(p), 10) for p in holm(np.array([0.01, 0.04, 0.03]))]
    [0.03, 0.06, 0.06]
    """
    order = np.argsort(p_values, kind="stable")
    factors = np.arange(p_values.size, 0, -1)
    stepped = np.maximum.accumulate(np.minimum(p_values[order] * factors, 1.0))
    out = np.empty_like(stepped)
    out[order] = stepped
    return out


@dataclass(frozen=True, slots=True)
class Judgement:
    """Verdict on one row: p-values, and the rows (by number) it cannot be told from."""

    verdict: Verdict
    p_value: float
    p_holm: float
    partners: tuple[int, ...]


def judge(contrasts: list[Array], whole: Array, mean: Array, cov: Array) -> list[Judgement]:
    """Judge all rows of one response together.

    Parameters
    ----------
    contrasts
        For each of J rows, its tested contrasts. shapes (m_j, p)
    whole
        Whole-range contrast of each row. shape (J, p)
    mean, cov
        Posterior of the coefficients.

    Notes
    -----
    ``moved``: Holm p < 0.05. ``inseparable``: neither moved, |posterior correlation| > 0.6 and the joint
    test of both has p < 0.05 / J. ``no_sign`` otherwise; its partners are those beyond 0.6.
    """
    count = len(contrasts)
    p_values = np.array([wald_p(c, mean, cov) for c in contrasts])
    adjusted = holm(p_values)
    tangled = np.abs(correlation(whole, cov)) > TANGLED
    moved = adjusted < LEVEL
    found = []
    for j in range(count):
        near = [k for k in range(count) if k != j and tangled[j, k]]
        pairs = [] if moved[j] else [k for k in near if not moved[k]]
        joined = tuple(
            k for k in pairs if wald_p(np.vstack([contrasts[j], contrasts[k]]), mean, cov) < LEVEL / count
        )
        verdict: Verdict = "moved" if moved[j] else "inseparable" if joined else "no_sign"
        partners = joined if joined else () if moved[j] else tuple(near)
        found.append(Judgement(verdict, float(p_values[j]), float(adjusted[j]), partners))
    return found


def correlation(contrasts: Array, cov: Array) -> Array:
    """Posterior correlation between contrasts; zero where one has no variance. Shape (J, J)."""
    joint = contrasts @ cov @ contrasts.T
    sd = np.sqrt(np.maximum(np.diag(joint), 0.0))
    scale = np.outer(sd, sd)
    out: Array = np.divide(joint, scale, out=np.zeros_like(joint), where=scale > 0)
    return out
