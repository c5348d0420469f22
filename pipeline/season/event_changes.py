"""From each event to the next: what the settings that differ were expected to do, and what came."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import ChangePart
from pipeline.season.season_change import LEAST_RUNS_A_SIDE, Rows, paired_parts, pairs, season_change
from pipeline.season.sums import Array
from pipeline.season.whole_run_results import EventChange

AT_ONCE = 12
"""So many events at once: of twenty runs each, some five thousand pairs of runs."""


def event_changes(fit: ResponseFit, event: str | None = None) -> tuple[EventChange, ...]:
    """Compare each event with the one before it, where both have runs enough.

    Parameters
    ----------
    fit
        A fitted response.
    event
        Only this event; None = each.

    Returns
    -------
    tuple of EventChange
        In order of date; fewer than the events less one where an event has too few runs.
    """
    rows = [fit.event == number for number in range(len(fit.events))]
    enough = [number for number, some in enumerate(rows) if some.sum() >= LEAST_RUNS_A_SIDE]
    neighbours = [(a, b) for a, b in pairwise(enough) if event in (None, fit.events[b])]
    parts = _parts_of([(rows[a], rows[b]) for a, b in neighbours], fit)
    return tuple(
        _change(fit, (a, b), (rows[a], rows[b]), own) for (a, b), own in zip(neighbours, parts, strict=True)
    )


def _parts_of(sides: list[tuple[Rows, Rows]], fit: ResponseFit) -> Iterator[Array]:
    """Return what ``path_parts`` gives for each two sides; all at once costs far less than one by one."""
    for start in range(0, len(sides), AT_ONCE):
        some = [(np.flatnonzero(a), np.flatnonzero(b)) for a, b in sides[start : start + AT_ONCE]]
        chosen = [pairs(a.size, b.size) for a, b in some]
        state_from = np.vstack([fit.state[a[i]] for (a, _), (i, _, _) in zip(some, chosen, strict=True)])
        state_to = np.vstack([fit.state[b[j]] for (_, b), (_, j, _) in zip(some, chosen, strict=True)])
        lines = paired_parts(fit.spec, state_from, state_to)
        end = 0
        for _, _, share in chosen:
            begin, end = end, end + share.size
            yield np.tensordot(share, lines[begin:end], 1)


def _change(fit: ResponseFit, which: tuple[int, int], sides: tuple[Rows, Rows], parts: Array) -> EventChange:
    names = fit.events[which[0]], fit.events[which[1]]
    return EventChange(
        event_before=names[0],
        event=names[1],
        change=season_change(fit, *sides, f"{names[0]} to {names[1]}", parts),
        settings=_settings_together(fit, *sides, parts),
        tau_s=fit.posterior.typical(fit.posterior.tau),
    )


def _settings_together(fit: ResponseFit, rows_from: Rows, rows_to: Rows, parts: Array) -> ChangePart | None:
    """Return what all settings that differ were expected to do together; None when none differs."""
    settings = [f for f, factor in enumerate(fit.spec.factors) if factor.varies and factor.is_setting]
    means = (fit.state[rows][:, settings].mean(0) for rows in (rows_from, rows_to))
    if np.allclose(*means):
        return None
    found = fit.posterior.contrast(fit.posterior.pad(parts[settings].sum(0)))
    mean, low, high = (float(v[0]) for v in (found.mean, found.low, found.high))
    return ChangePart("settings", "the settings together", mean, low, high)
