"""Bearing clearance at every check, over the runs made, against the one wanted."""

from __future__ import annotations

import itertools

import altair as alt
import polars as pl

from reports.charts.common import Rows, level, marks, number, rounded, stack, tips
from reports.numbers import short_day
from reports.theme import ink

LEAST_CHECKS = 2
CLEARANCE_HEIGHT = 200


def clearance_rows(checks: pl.DataFrame) -> Rows:
    """Make one row a check whose clearance was measured; ``set`` counts how often it was set anew."""
    if "bearing_clearance_in" not in checks.columns:
        return []
    known = checks.drop_nulls(["bearing_clearance_in"]).sort("checked_at", "entry_order")
    if known.is_empty():
        return []
    clearances = known["bearing_clearance_in"].to_list()
    grew = [int(after > before) for before, after in itertools.pairwise(clearances)]
    return [
        {
            "n": row["runs_made"],
            "day": short_day(row["checked_at"].date()),
            "clearance": rounded(row["bearing_clearance_in"], 4),
            "set": times,
        }
        for row, times in zip(known.iter_rows(named=True), itertools.accumulate(grew, initial=0), strict=True)
    ]


def clearance_chart(checks: pl.DataFrame, wanted_in: float | None) -> alt.TopLevelLayerSpec | None:
    """Draw the clearance against runs made; a line starts anew where it was set.

    Parameters
    ----------
    checks
        The car's rows of ``clutch_checks``.
    wanted_in
        What garage.toml wants. [in]

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when it was measured fewer than two times.
    """
    rows = clearance_rows(checks)
    if len(rows) < LEAST_CHECKS:
        return None
    x = alt.X(**number("n", "runs made", format=".0f", nice=False))
    y = alt.Y(**number("clearance", "bearing clearance, in", format=".3f"))
    wanted = [] if wanted_in is None else [{"clearance": rounded(wanted_in, 4), "label": "least wanted"}]
    layers = [
        *level(wanted, "slower", y),
        marks(
            "line", {"color": ink("quicker"), "strokeWidth": 1.5}, x=x, y=y,
            detail=alt.Detail(field="set", type="nominal"),
        ),
        marks(
            "point", {"color": ink("quicker"), "size": 48, "filled": True}, x=x, y=y,
            tooltip=tips(("day", "checked"), ("n", "runs made", ".0f"), ("clearance", "inches", ".3f")),
        ),
    ]  # fmt: skip
    return stack(rows, layers, height=CLEARANCE_HEIGHT)
