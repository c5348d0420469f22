"""From each event to the next: what the settings that differ were expected to do, and what came."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import ChangePart, EventChange
from pipeline.season.season_change import LEAST_RUNS_A_SIDE, Rows, path_parts, season_change


def event_changes(fit: ResponseFit) -> tuple[EventChange, ...]:
    """Compare each event with the one before it, where both have runs enough.

    Parameters
    ----------
    fit
        A fitted response.

    Returns
    -------
    tuple of EventChange
        In order of date; fewer than the events less one where an event has too few runs.
    """
    rows = [fit.event == number for number in range(len(fit.events))]
    enough = [number for number, some in enumerate(rows) if some.sum() >= LEAST_RUNS_A_SIDE]
    return tuple(_change(fit, a, b, rows[a], rows[b]) for a, b in pairwise(enough))


def _change(fit: ResponseFit, before: int, event: int, rows_from: Rows, rows_to: Rows) -> EventChange:
    names = fit.events[before], fit.events[event]
    return EventChange(
        event_before=names[0],
        event=names[1],
        change=season_change(fit, rows_from, rows_to, f"{names[0]} to {names[1]}"),
        settings=_settings_together(fit, rows_from, rows_to),
        tau_s=fit.posterior.typical(fit.posterior.tau),
    )


def _settings_together(fit: ResponseFit, rows_from: Rows, rows_to: Rows) -> ChangePart | None:
    """Return what all settings that differ were expected to do together; None when none differs."""
    state_from, state_to = fit.state[rows_from], fit.state[rows_to]
    settings = [f for f, factor in enumerate(fit.spec.factors) if factor.varies and factor.is_setting]
    if np.allclose(state_from[:, settings].mean(0), state_to[:, settings].mean(0)):
        return None
    parts = path_parts(fit.spec, state_from, state_to)[settings].sum(0)
    found = fit.posterior.contrast(fit.posterior.pad(parts))
    mean, low, high = (float(v[0]) for v in (found.mean, found.low, found.high))
    return ChangePart("settings", "the settings together", mean, low, high)
