"""How much of the spread between runs each adjustment and condition made: seconds, ranked, ties said.

The fitted time of a run is split among the factors along the straight line from the season's middle
setting to the run's own (as the season's change is), so the shares of one run add up to its whole. A
factor's spread is the sd of its shares over the runs: what the times would have varied by had only it
been changed. Two factors changed together share a covariance that belongs to neither; it is not handed
out, so squares need not add up to the square of the whole, and the record says by how much they do not.
"""

from __future__ import annotations

import numpy as np

from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Spread
from pipeline.season.season_change import paired_parts
from pipeline.season.sums import Array

DRAWS = 400
_SEED = 20310405
_TIED = 0.9
"""A factor leads when it made the larger spread in this share of the draws; else the two tie. [judgement]"""
_LEAST_RUNS = 5


def spread(fit: ResponseFit) -> tuple[Spread, ...]:
    """Rank what varied by the run-to-run spread it made.

    Notes
    -----
    With s_f = A_f b the shares of factor f (A_f from the path integral, centred over runs) and Q = A'A / n,
    the sd of s_f is sqrt(b'Qb): its median and middle 95 % over draws of b are told. Doubt about b makes a
    spread where there is none, E[b'Qb] = m'Qm + tr(QV), so tr(QV) is taken off the square of the lower limit.
    """
    live = [f for f, factor in enumerate(fit.spec.factors) if factor.varies]
    if fit.runs.height < _LEAST_RUNS or not live:
        return ()
    sds, doubt = _drawn_spreads(fit, live)
    middle = np.median(sds, axis=0)
    order = np.argsort(-middle, kind="stable")
    low, high = np.percentile(sds, [2.5, 97.5], axis=0)
    low = np.sqrt(np.maximum(low**2 - doubt, 0.0))
    made = []
    for rank, j in enumerate(order, 1):
        factor = fit.spec.factors[live[j]]
        made.append(
            Spread(
                response=fit.response,
                adjustment=factor.name,
                label=factor.kind.part_label or factor.label,
                is_setting=factor.is_setting,
                seconds=float(middle[j]),
                low_s=float(low[j]),
                high_s=float(high[j]),
                rank=rank,
                tied_with=tuple(
                    fit.spec.factors[live[k]].name
                    for k in order
                    if k != j and abs(float((sds[:, j] > sds[:, k]).mean()) - 0.5) < _TIED - 0.5 - 1e-9
                ),
            )
        )
    return tuple(made)


def _drawn_spreads(fit: ResponseFit, live: list[int]) -> tuple[Array, Array]:
    """Sd over runs of every factor's shares at draws of b, shape (draws, factors), and tr(QV), (factors,)."""
    posterior = fit.posterior
    columns = len(fit.spec.columns)
    rng = np.random.default_rng(_SEED)
    cov = posterior.cov[:columns, :columns]
    size, axes = np.linalg.eigh(cov)
    normal = rng.standard_normal((DRAWS, columns)) * np.sqrt(np.maximum(size, 0.0))
    draws = posterior.mean[:columns] + normal @ axes.T
    middle = np.zeros_like(fit.state)
    parts = paired_parts(fit.spec, middle, fit.state)
    out, doubt = np.zeros((DRAWS, len(live))), np.zeros(len(live))
    for k, f in enumerate(live):
        shares = parts[:, f] - parts[:, f].mean(0)
        square = shares.T @ shares / len(shares)
        out[:, k] = np.sqrt(np.maximum(((draws @ square) * draws).sum(1), 0.0))
        doubt[k] = float((square * cov).sum())
    return out, doubt
