"""Which event a run belongs to, how far its night had gone, and its place among the runs."""

from __future__ import annotations

import numpy as np
import polars as pl

from pipeline.season.sums import Array

USUAL_GAP_H = 0.5
"""Time from run to run where the sheets tell only the day. [judgement]"""

COOLING_MIN = {"heat": 15.0, "heat_long": 45.0}
"""Times in which the heat of a run falls to 1/e: of plate and disc, and of the whole unit. [judgement]"""

USUAL_MIN, SOONEST_MIN = 30.0, 15.0
"""Heat counts as 1 so long after a run; a run sooner than this counts as made then. [judgement]"""

_APART = 50.0
"""Runs of two days of an event stand this many runs apart: their noise does not follow."""


def event_names(runs: pl.DataFrame) -> pl.Series:
    """Name of each run's event; without one, venue and date stand in."""
    date = pl.col("run_date").cast(pl.String) if "run_date" in runs.columns else pl.lit(None, pl.String)
    venue = pl.col("venue") if "venue" in runs.columns else pl.lit(None, pl.String)
    event = pl.col("event") if "event" in runs.columns else pl.lit(None, pl.String)
    spelled = pl.concat_str(venue.fill_null("unknown venue"), date.fill_null("unknown date"), separator=" ")
    return runs.select(pl.coalesce(event, spelled).alias("event_name")).to_series()


def _by_day(runs: pl.DataFrame) -> pl.DataFrame:
    """Event, day, moment and row of each run; a run without a moment has its event's name only."""
    moment = pl.col("run_at") if "run_at" in runs.columns else pl.lit(None, pl.Datetime("us"))
    frame = runs.select(moment.cast(pl.Datetime("us")).alias("moment")).with_row_index("row")
    return frame.with_columns(event_names(runs)).with_columns(
        day=pl.concat_str(pl.col("event_name"), pl.col("moment").dt.date().cast(pl.String).fill_null("?"))
    )


def hours_into_night(runs: pl.DataFrame) -> Array:
    """Hours since the first run of the day at that event.

    Where the runs of a day have no times of their own, every run counts as half an hour.

    Returns
    -------
    shape (n,)
    """
    order = pl.col("moment").rank("ordinal").over("day").fill_null(1) - 1
    since = (pl.col("moment") - pl.col("moment").min().over("day")).dt.total_seconds() / 3600
    timed = pl.col("moment").n_unique().over("day") * 2 > pl.len().over("day")
    hours = pl.when(timed).then(since).otherwise(order * USUAL_GAP_H)
    out = _by_day(runs).select(hours.cast(pl.Float64).fill_null(0.0)).to_series()
    return out.to_numpy().astype(np.float64)


def heat_left(runs: pl.DataFrame, cooling_min: float) -> Array:
    """Heat of the last run that is left, against half an hour after it; nil at a day's first run.

    Nil everywhere where the runs have no times of their own.

    Parameters
    ----------
    cooling_min
        Time in which it falls to 1/e. [min]

    Returns
    -------
    shape (n,)
    """
    frame = _by_day(runs).sort("moment", nulls_last=True)
    since = (pl.col("moment").diff().dt.total_seconds() / 60).over("day")
    timed = pl.col("moment").n_unique().over("day") == pl.len().over("day")
    share = ((USUAL_MIN - since.clip(SOONEST_MIN)) / cooling_min).exp()
    left = pl.when(timed & (since > 0)).then(share).otherwise(0.0)
    out = frame.with_columns(left=left.fill_null(0.0)).sort("row")["left"]
    return out.to_numpy().astype(np.float64)


def usual_length_h(runs: pl.DataFrame, hours: Array) -> float:
    """Median over days of how long the runs went on [h], at least half an hour."""
    longest = _by_day(runs).with_columns(hours=pl.Series(hours)).group_by("day").agg(pl.col("hours").max())
    lengths = longest.filter(pl.col("hours") > 0)["hours"]
    return max(float(np.median(lengths.to_numpy())) if lengths.len() else 0.0, USUAL_GAP_H)


def places(runs: pl.DataFrame) -> Array:
    """Where each run stands in the order of its event; another day of the event stands far off.

    Returns
    -------
    shape (n,)
    """
    frame = _by_day(runs)
    order = pl.col("moment").rank("ordinal").over("event_name").fill_null(pl.len().over("event_name"))
    days = pl.col("day").rank("dense").over("event_name")
    out = frame.select((order + days * _APART).cast(pl.Float64)).to_series()
    return out.to_numpy().astype(np.float64)
