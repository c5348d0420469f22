"""Where a change of the mean time came from: a path integral through the fitted basis.

For runs A and B, the part of factor f is the mean over pairs (a, b) of the integral of the
slope in f along the straight line from a to b, times the change in f. Parts are linear in the
coefficients, hence a posterior interval without resampling, and they sum to the change exactly.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from pipeline.season import basis
from pipeline.season.posterior import Contrast
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import ChangePart, Period, SeasonChange
from pipeline.season.spec import Spec
from pipeline.season.sums import Array, Index

Rows = npt.NDArray[np.bool_]

TRACK = "track"
TRACK_LABEL = "the track itself, event by event"
OTHERS = "others"
OTHERS_LABEL = "smaller things written down"
LEAST_RUNS_A_SIDE = 3
"""Fewer runs on a side and the mean is mostly luck. [judgement]"""

# Six Gauss-Legendre nodes on [0, 1] integrate degree 11 exactly. Along a line the strain is a polynomial over
# a power that changes by a few percent, its fourth power next to one of degree 11 [derived]. The slope of a
# product of two factors is straight along a line: its mean is that in the middle.
_MIDDLE = (0.5, 1.0)
_NODES = [((1 + at) / 2, share / 2) for at, share in zip(*np.polynomial.legendre.leggauss(6), strict=True)]
SAYS = 0.995
"""Chance of its direction from which a part that is usually small stands for itself. [judgement]"""
_PAIRS_AT_ONCE = 5_000
ALL_PAIRS = 40_000
"""Up to this many pairs all are taken: two sides of 200 runs."""
_TURNS = 64


def path_parts(spec: Spec, state_from: Array, state_to: Array) -> Array:
    """Contrast of every factor's part, averaged over pairs of runs.

    Parameters
    ----------
    state_from, state_to
        shape (a, F), (b, F)

    Returns
    -------
    shape (F, p); rows sum to the difference of the mean basis rows
    """
    first, second, share = pairs(state_from.shape[0], state_to.shape[0])
    parts = np.zeros((len(spec.factors), len(spec.columns)))
    for start in range(0, share.size, _PAIRS_AT_ONCE):
        some = slice(start, start + _PAIRS_AT_ONCE)
        begin = state_from[first[some]]
        away = state_to[second[some]] - begin
        for f, j, change in _changes(spec, begin, away):
            parts[f, j] += share[some] @ change
    return parts


def pairs(count_from: int, count_to: int) -> tuple[Index, Index, Array]:
    """Pairs of runs and their shares: all of them, or when they are too many, a balanced choice.

    Returns
    -------
    indices into the first and the second runs, and shares that sum to 1. Every run of a side has the
    same share, so parts add up exactly either way. Shapes (m,)

    Notes
    -----
    Both sides are laid on a circle of length 1, a run an arc; the second is turned by k / 64 of the
    circle, and every overlap of two arcs is a pair with the overlap's length as its share.
    """
    if count_from * count_to <= ALL_PAIRS:
        first, second = np.divmod(np.arange(count_from * count_to), count_to)
        return first, second, np.full(first.size, 1 / first.size)
    made = [_overlaps(count_from, count_to, turn / _TURNS) for turn in range(_TURNS)]
    first, second, share = (np.concatenate(part) for part in zip(*made, strict=True))
    return first, second, share / _TURNS


def _overlaps(count_from: int, count_to: int, turn: float) -> tuple[Index, Index, Array]:
    edges = np.unique(
        np.r_[np.arange(count_from + 1) / count_from, (np.arange(count_to) / count_to - turn) % 1]
    )
    middle = (edges[1:] + edges[:-1]) / 2
    first = np.minimum((middle * count_from).astype(np.intp), count_from - 1)
    second = np.minimum((((middle + turn) % 1) * count_to).astype(np.intp), count_to - 1)
    return first, second, np.diff(edges)


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
    out = np.zeros((state_from.shape[0], len(spec.factors), len(spec.columns)))
    for f, j, change in _changes(spec, state_from, state_to - state_from):
        out[:, f, j] += change
    return out


def _changes(spec: Spec, begin: Array, away: Array) -> Iterator[tuple[int, int, Array]]:
    """Yield what adds up to each line's integral of a column's slope in a factor times its change."""
    moved = [f for f in range(len(spec.factors)) if np.any(away[:, f])]
    strain = len(spec.factors)
    straight = [j for j, c in enumerate(spec.columns) if not c.powers and strain not in c.features]
    bent = [j for j in range(len(spec.columns)) if j not in straight]
    for (node, weight), columns in [(_MIDDLE, straight), *((each, bent) for each in _NODES)]:
        for f, j, slope in basis.slopes(spec, begin + node * away, moved, columns):
            yield f, j, weight * away[:, f] * slope


def season_change(
    fit: ResponseFit, rows_from: Rows, rows_to: Rows, title: str, parts: Array | None = None
) -> SeasonChange:
    """Decompose the change of the mean time between two sets of runs.

    Parameters
    ----------
    rows_from, rows_to
        Which of the fit's runs. shape (n,)
    title
        What the change is, such as ``first to last third of the season``.
    parts
        From :func:`path_parts`, where the caller has them already. shape (F, p)

    Notes
    -----
    ``track`` is the change in event effects, event-mean columns and slope deviations; what the fit leaves
    over is ``unexplained_s``. Total = parts + unexplained, to rounding.
    """
    posterior = fit.posterior
    if parts is None:
        parts = path_parts(fit.spec, fit.state[rows_from], fit.state[rows_to])
    own = fit.spec.parts
    contrasts = np.vstack(
        [*(posterior.pad(parts[f].sum(0)) for f in own.values()), _track_contrast(fit, rows_from, rows_to)]
    )
    events = np.zeros((len(own) + 1, len(fit.events), fit.random.shape[1]))
    events[-1] = _event_contrast(fit, rows_to) - _event_contrast(fit, rows_from)
    _hand_over(fit, events)
    found = posterior.contrast(contrasts, events)
    labels = {name: fit.spec.factors[f[0]].kind.part_spoken for name, f in own.items()} | {TRACK: TRACK_LABEL}
    small = _saying_nothing(fit, found)
    made = [_part(name, label, found, i) for i, (name, label) in enumerate(labels.items()) if not small[i]]
    if small.any():
        rest = posterior.contrast(contrasts[small].sum(0, keepdims=True), events[small].sum(0, keepdims=True))
        made.insert(-1, _part(OTHERS, OTHERS_LABEL, rest, 0))
    residual = posterior.residuals
    return SeasonChange(
        response=fit.response,
        title=title,
        from_period=_period(fit, rows_from),
        to_period=_period(fit, rows_to),
        total_s=float(fit.observed_s[rows_to].mean() - fit.observed_s[rows_from].mean()),
        parts=tuple(made),
        unexplained_s=float(residual[rows_to].mean() - residual[rows_from].mean()),
    )


def _part(name: str, label: str, found: Contrast, i: int) -> ChangePart:
    return ChangePart(name, label, float(found.mean[i]), float(found.low[i]), float(found.high[i]))


def _saying_nothing(fit: ResponseFit, found: Contrast) -> Rows:
    """Which parts, the track's last, would be shown only if the runs said something of them. (parts + 1,)."""
    told = [fit.spec.factors[f[0]].kind.is_told for f in fit.spec.parts.values()]
    return np.array([*told, False]) & (np.abs(found.prob_negative - 0.5) < SAYS - 0.5)


def _hand_over(fit: ResponseFit, events: Array) -> None:
    """Take what belongs to the night and to filled-in conditions out of the track's part.

    The night's part counts from each night's first run, whose hours are nil.
    """
    track, own, parts = events[-1], len(fit.spec.slope_factors) + 1, list(fit.spec.parts)
    if fit.spec.night is not None:
        factor = fit.spec.factors[fit.spec.night]
        begin = factor.reference / factor.step * track[:, 0]
        events[parts.index(factor.name), :, own] = track[:, own] + begin
        track[:, own] = -begin
        own += 1
    for i, name in enumerate(fit.filled):
        if name in parts:
            events[parts.index(name), :, own + i] = track[:, own + i]
            track[:, own + i] = 0.0


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


def _between(fit: ResponseFit, rows_from: Rows, rows_to: Rows, title: str) -> SeasonChange | None:
    if min(int(rows_from.sum()), int(rows_to.sum())) < LEAST_RUNS_A_SIDE:
        return None
    return season_change(fit, rows_from, rows_to, title)
