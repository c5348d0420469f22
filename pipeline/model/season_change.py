"""Where a change of the mean time came from: a path integral through the fitted basis.

For runs A and B, the part of factor f is the mean over all pairs (a, b) of the integral of the
slope in f along the straight line from a to b, times the change in f. Parts are linear in the
coefficients, hence a posterior interval without resampling, and they sum to the change exactly.
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from pipeline.model import basis
from pipeline.model.basis import Spec
from pipeline.model.response_fit import ResponseFit
from pipeline.model.results import ChangePart, Period, SeasonChange
from pipeline.model.sums import Array

Rows = npt.NDArray[np.bool_]

TRACK = "track"
TRACK_LABEL = "the track itself, event by event"
LEAST_RUNS_A_SIDE = 3
"""Fewer runs on a side and the mean is mostly luck. [judgement]"""

# Three Gauss-Legendre nodes on [0, 1] integrate degree 5 exactly; along a line the squared plate load
# is of degree 6 in the settings, so its slope is of degree 5 [derived].
_NODES, _NODE_WEIGHTS = np.polynomial.legendre.leggauss(3)
_NODES, _NODE_WEIGHTS = (_NODES + 1) / 2, _NODE_WEIGHTS / 2
_PAIRS_AT_ONCE = 5_000


def path_parts(spec: Spec, state_from: Array, state_to: Array) -> Array:
    """Contrast of every factor's part, averaged over all pairs.

    Parameters
    ----------
    state_from, state_to
        shape (a, F), (b, F)

    Returns
    -------
    shape (F, p); rows sum to the difference of the mean basis rows
    """
    parts = np.zeros((len(spec.factors), len(spec.columns)))
    chunk = max(1, _PAIRS_AT_ONCE // max(1, state_to.shape[0]))
    for start in range(0, state_from.shape[0], chunk):
        some = state_from[start : start + chunk]
        away = (state_to[None] - some[:, None]).reshape(-1, state_to.shape[1])
        begin = np.repeat(some, state_to.shape[0], axis=0)
        parts += _line_integrals(spec, begin, away).sum(0)
    mean: Array = parts / (state_from.shape[0] * state_to.shape[0])
    return mean


def paired_parts(spec: Spec, state_from: Array, state_to: Array) -> Array:
    """Contrast of every factor's part of m single changes, row by row.

    Parameters
    ----------
    state_from, state_to
        shape (m, F)

    Returns
    -------
    shape (m, F, p)
    """
    return _line_integrals(spec, state_from, state_to - state_from)


def _line_integrals(spec: Spec, begin: Array, away: Array) -> Array:
    """Each line's integral of each factor's slope times its change. Shape (m, F, p)."""
    out = np.zeros((begin.shape[0], len(spec.factors), len(spec.columns)))
    for node, weight in zip(_NODES, _NODE_WEIGHTS, strict=True):
        at = begin + node * away
        for f, factor in enumerate(spec.factors):
            if np.any(away[:, f]):
                out[:, f] += weight * away[:, f, None] * basis.gradient(spec, at, factor.name)
    return out


def season_change(fit: ResponseFit, rows_from: Rows, rows_to: Rows, title: str) -> SeasonChange:
    """Decompose the change of the mean time between two sets of runs.

    Parameters
    ----------
    rows_from, rows_to
        Which of the fit's runs. shape (n,)
    title
        What the change is, such as ``first to last third of the season``.

    Notes
    -----
    ``track`` is the change in event effects, event-mean columns and slope deviations; what the fit leaves
    over is ``unexplained_s``. Total = parts + unexplained, to rounding.
    """
    posterior = fit.posterior
    parts = path_parts(fit.spec, fit.state[rows_from], fit.state[rows_to])
    live = [f for f, factor in enumerate(fit.spec.factors) if factor.varies]
    contrasts = np.vstack([posterior.pad(parts[live]), _track_contrast(fit, rows_from, rows_to)])
    events = np.zeros((len(live) + 1, len(fit.events), fit.random.shape[1]))
    events[-1] = _event_contrast(fit, rows_to) - _event_contrast(fit, rows_from)
    found = posterior.contrast(contrasts, events)
    names = [fit.spec.factors[f].name for f in live] + [TRACK]
    labels = [fit.spec.factors[f].label for f in live] + [TRACK_LABEL]
    made = tuple(
        ChangePart(name, label, float(found.mean[i]), float(found.low[i]), float(found.high[i]))
        for i, (name, label) in enumerate(zip(names, labels, strict=True))
    )
    residual = posterior.residuals
    return SeasonChange(
        response=fit.response,
        title=title,
        from_period=_period(fit, rows_from),
        to_period=_period(fit, rows_to),
        total_s=float(fit.observed_s[rows_to].mean() - fit.observed_s[rows_from].mean()),
        parts=made,
        unexplained_s=float(residual[rows_to].mean() - residual[rows_from].mean()),
    )


def _track_contrast(fit: ResponseFit, rows_from: Rows, rows_to: Rows) -> Array:
    change = fit.design[rows_to].mean(0) - fit.design[rows_from].mean(0)
    change[: len(fit.spec.columns)] = 0.0
    return np.asarray(change[None])


def _event_contrast(fit: ResponseFit, rows: Rows) -> Array:
    """Mean of the event-wise columns over some runs, by event. Shape (E, q)."""
    out = np.zeros((len(fit.events), fit.random.shape[1]))
    np.add.at(out, fit.event[rows], fit.random[rows])
    return np.asarray(out / rows.sum())


def _period(fit: ResponseFit, rows: Rows) -> Period:
    dates = sorted(str(d) for d in fit.runs.filter(rows)["run_date"].to_list() if d is not None)
    ends = (dates[0], dates[-1]) if dates else ("", "")
    return Period(ends[0], ends[1], int(rows.sum()), float(fit.observed_s[rows].mean()))


def first_and_last_third(fit: ResponseFit) -> SeasonChange | None:
    """From the first third of the runs to the last; None when a third is too few."""
    third = fit.runs.height // 3
    if third < LEAST_RUNS_A_SIDE:
        return None
    place = np.arange(fit.runs.height)
    return season_change(
        fit, place < third, place >= fit.runs.height - third, "first to last third of the season"
    )


def before_and_after_date(fit: ResponseFit, day: dt.date) -> SeasonChange | None:
    """From the runs before a date to those on it or after; None when a side is too few."""
    dates = [d is not None and d >= day for d in fit.runs["run_date"].to_list()]
    return _split(fit, np.array(dates), f"before to after {day.isoformat()}")


def before_and_after_services(fit: ResponseFit) -> tuple[SeasonChange, ...]:
    """From each service's stretch of runs to the next one's, where both have runs enough."""
    if "service_no" not in fit.runs.columns:
        return ()
    number = fit.runs["service_no"].fill_null(-1).to_numpy()
    stretches = [int(v) for v in np.unique(number) if v >= 0]
    made = []
    for before, after in pairwise(stretches):
        change = _between(fit, number == before, number == after, f"before to after service {after}")
        if change is not None:
            made.append(change)
    return tuple(made)


def _split(fit: ResponseFit, later: Rows, title: str) -> SeasonChange | None:
    return _between(fit, ~later, later, title)


def _between(fit: ResponseFit, rows_from: Rows, rows_to: Rows, title: str) -> SeasonChange | None:
    if min(int(rows_from.sum()), int(rows_to.sum())) < LEAST_RUNS_A_SIDE:
        return None
    return season_change(fit, rows_from, rows_to, title)
