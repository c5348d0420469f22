"""Conditions known for some runs only: the likely value of the rest, and how far off it may be.

A small regression of the known values on what else is written down (the other conditions, the settings that
answer them, the hour, the time of year, the strip) with a level of its own for every event gives the
likely value. What may be wrong with it is shared by the runs of an event, and a little is each run's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

from pipeline.garage.factors import Factor
from pipeline.season.grid import fit
from pipeline.season.nights import event_names, hours_into_night
from pipeline.season.spreads import MS, Settings
from pipeline.season.sums import Array, Index

LEAST_KNOWN = 5
"""With fewer values than this there is nothing to fill in from. [judgement]"""

_UNIT = 10 * MS
"""One sd of the known values in the fit's own scale, whose spreads are made for thousandths of a second."""

_COLUMN_PRIOR = 0.4 * _UNIT
_PLAIN = Settings(
    nu=np.inf, passes=2, mad_passes=0, follows=(0.0,), follows_prior=(1.0,), omega_s=(0.1 * MS,)
)


@dataclass(frozen=True, slots=True)
class Filled:
    """A condition filled in for some runs, in its own unit.

    Attributes
    ----------
    name
        Of the factor.
    count
        How many runs lean on it.
    shared
        Sd of what may be wrong with a run's value and is shared by its event; 0 where known. shape (n,)
    own
        Sd of what is the run's own. shape (n,)
    """

    name: str
    count: int
    shared: Array
    own: Array


def filled_in(runs: pl.DataFrame, factors: tuple[Factor, ...]) -> tuple[pl.DataFrame, tuple[Filled, ...]]:
    """Fill conditions in where they are missing.

    Parameters
    ----------
    runs
        In time order.
    factors
        Everything that may differ between runs; conditions with a column are filled in.

    Returns
    -------
    The runs with nothing missing of what could be filled in, and what was.
    """
    known = {
        factor.name: _numbers(runs, factor.column) for factor in factors if factor.column in runs.columns
    }
    made = []
    for factor in factors:
        if factor.is_setting or factor.is_told or factor.name not in known:
            continue
        values = known[factor.name]
        seen = np.isfinite(values)
        if seen.all() or seen.sum() < LEAST_KNOWN or np.ptp(values[seen]) == 0:
            continue
        others = [v for name, v in known.items() if name != factor.name]
        likely, shared, own = _likely(values, _predictors(runs, others), _events(runs, seen))
        runs = runs.with_columns(pl.Series(factor.column, likely))
        made.append(Filled(factor.name, int((~seen).sum()), shared, own))
    return runs, tuple(made)


def _numbers(runs: pl.DataFrame, column: str) -> Array:
    if not runs[column].dtype.is_numeric():
        return np.full(runs.height, np.nan)
    return runs[column].cast(pl.Float64).fill_null(np.nan).to_numpy().astype(np.float64)


def _events(runs: pl.DataFrame, seen: Array) -> Index:
    """Event numbers, those without a known value first."""
    names = event_names(runs).to_numpy()
    with_value = set(names[seen].tolist())
    order = {
        name: i for i, name in enumerate(sorted(set(names.tolist()), key=lambda n: (n in with_value, n)))
    }
    return np.array([order[name] for name in names.tolist()], dtype=np.intp)


def _predictors(runs: pl.DataFrame, others: list[Array]) -> Array:
    """Return what goes with a condition, each of sd 1, 0 where not known. Shape (n, m)."""
    hours = hours_into_night(runs)
    columns = [*others, hours, hours**2]
    if "runs_since_service" in runs.columns:
        columns.append(_numbers(runs, "runs_since_service"))
    if "run_at" in runs.columns:
        day = runs["run_at"].dt.epoch("s").cast(pl.Float64).fill_null(np.nan).to_numpy() / 86400
        columns += [day, (day - np.nanmean(day)) ** 2] if np.isfinite(day).any() else []
    venues = runs["venue"].fill_null("") if "venue" in runs.columns else pl.Series([""] * runs.height)
    columns += [(venues == name).to_numpy().astype(np.float64) for name in venues.unique(maintain_order=True)]
    scaled = []
    for column in columns:
        seen = np.isfinite(column)
        spread = float(column[seen].std()) if seen.any() else 0.0
        if spread > 0:
            scaled.append(np.where(seen, (column - column[seen].mean()) / spread, 0.0))
    return np.column_stack([np.ones(runs.height), *scaled])


def _likely(values: Array, x: Array, event: Index) -> tuple[Array, Array, Array]:
    """Values with the missing ones filled in, and sds of what may be wrong: shared by event, own. (n,)."""
    seen = np.isfinite(values)
    centre, scale = float(values[seen].mean()), float(values[seen].std()) / _UNIT
    y = (values[seen] - centre) / scale
    prior = np.r_[3 * _UNIT, np.full(x.shape[1] - 1, _COLUMN_PRIOR)]
    found = fit(x[seen], y, np.ones((y.size, 1)), event[seen], prior, _PLAIN)
    rows = np.flatnonzero(~seen)
    events = np.zeros((rows.size, int(event.max()) + 1, 1))
    events[np.arange(rows.size), event[rows], 0] = 1.0
    guess = found.contrast(x[rows], events)
    out, shared, own = values.copy(), np.zeros(values.size), np.zeros(values.size)
    out[rows] = centre + scale * guess.mean
    shared[rows] = scale * guess.sd
    own[rows] = scale * found.typical(found.noise)
    return out, shared, own
