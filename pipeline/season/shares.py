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
    own = fit.spec.parts
    if fit.runs.height < _LEAST_RUNS or not own:
        return ()
    sds, doubt = _drawn_spreads(fit)
    low, high = np.percentile(sds, [2.5, 97.5], axis=0)
    low = np.sqrt(np.maximum(low**2 - doubt, 0.0))
    kinds = [fit.spec.factors[f[0]].kind for f in own.values()]
    shown = [k for k, kind in enumerate(kinds) if low[k] > 0 or not kind.is_told]
    middle = np.median(sds, axis=0)
    order = sorted(shown, key=lambda k: -middle[k])
    return tuple(
        Spread(
            response=fit.response,
            adjustment=kinds[j].part_name,
            label=kinds[j].part_spoken,
            is_setting=kinds[j].is_setting,
            seconds=float(middle[j]),
            low_s=float(low[j]),
            high_s=float(high[j]),
            rank=rank,
            tied_with=tuple(
                kinds[k].part_name
                for k in order
                if k != j and abs(float((sds[:, j] > sds[:, k]).mean()) - 0.5) < _TIED - 0.5 - 1e-9
            ),
        )
        for rank, j in enumerate(order, 1)
    )


def _drawn_spreads(fit: ResponseFit) -> tuple[Array, Array]:
    """Sd over runs of every part's shares at draws of b, shape (draws, parts), and tr(QV), (parts,).

    The draws go through the symmetric root of the covariance, which does not hang on which axes a library
    of linear algebra happens to give.
    """
    posterior = fit.posterior
    columns = len(fit.spec.columns)
    rng = np.random.default_rng(_SEED)
    cov = posterior.cov[:columns, :columns]
    size, axes = np.linalg.eigh(cov)
    root = (axes * np.sqrt(np.maximum(size, 0.0))) @ axes.T
    draws = posterior.mean[:columns] + rng.standard_normal((DRAWS, columns)) @ root
    parts = paired_parts(fit.spec, np.zeros_like(fit.state), fit.state)
    own = fit.spec.parts
    out, doubt = np.zeros((DRAWS, len(own))), np.zeros(len(own))
    for k, factors in enumerate(own.values()):
        shares = parts[:, factors].sum(1)
        shares = shares - shares.mean(0)
        square = shares.T @ shares / len(shares)
        out[:, k] = np.sqrt(np.maximum(((draws @ square) * draws).sum(1), 0.0))
        doubt[k] = float((square * cov).sum())
    return out, doubt
