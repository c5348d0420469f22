"""What was tried of one adjustment: its values in the runs, and how the car went at each."""

from __future__ import annotations

import polars as pl

from pipeline.garage.factors import extras_of
from reports.numbers import seconds
from reports.page import Table
from reports.words import COLUMNS, Setting

MOST_VALUES = 14


def values_of(runs: pl.DataFrame, adjustment: str) -> pl.Series:
    """Take an adjustment's values out of ``runs``, from its column or from ``extras``."""
    column = COLUMNS.get(adjustment)
    if column is not None and column in runs.columns:
        return runs[column]
    extras = runs["extras"].to_list() if "extras" in runs.columns else [None] * runs.height
    found = [extras_of(cell).get(adjustment) for cell in extras]
    return pl.Series(adjustment, found, dtype=pl.Float64)


def latest_value(runs: pl.DataFrame, adjustment: str) -> float | None:
    """Return an adjustment's value at the last run that has one."""
    values = values_of(runs.sort("run_at"), adjustment).drop_nulls()
    return float(values[-1]) if values.len() else None


def tried_table(runs: pl.DataFrame, adjustment: str, words: Setting) -> Table | None:
    """Make the table of what was tried: each value with its runs, events and typical time."""
    values = values_of(runs, adjustment)
    if values.drop_nulls().is_empty():
        return None
    step = (
        {0: 100.0, 1: 1.0}.get(words.decimals, 0.5)
        if values.n_unique() > MOST_VALUES
        else 10.0**-words.decimals
    )
    frame = runs.with_columns(value=(values / step).round() * step)
    groups = (
        frame.drop_nulls("value")
        .group_by("value")
        .agg(pl.len().alias("n"), pl.col("event").n_unique().alias("events"), pl.col("t60_s").median())
        .sort("value")
    )
    if groups.height > 2 * MOST_VALUES:
        return None
    return Table(
        caption=f"What was tried: runs at each {words.label}",
        headings=(words.label, "runs", "events", "typical 60 ft, as run"),
        rows=tuple(
            (words.text(row["value"]), str(row["n"]), str(row["events"]), seconds(row["t60_s"]))
            for row in groups.iter_rows(named=True)
        ),
        figures=frozenset({1, 2, 3}),
    )
