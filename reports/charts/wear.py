"""The clutch's wear: ring height run by run, with its services and the growth that calls for one."""

from __future__ import annotations

import itertools

import altair as alt
import polars as pl

from reports.charts.common import (
    PICKED,
    Rows,
    fade_others,
    level,
    marks,
    number,
    rounded,
    stack,
    tips,
    upright,
)
from reports.theme import ink

LEAST_RUNS = 2
WEAR_HEIGHT = 240


def wear_rows(runs: pl.DataFrame) -> Rows:
    """Make one row a run whose ring height is known, counted through the season."""
    have = runs.sort("run_at").with_row_index("number", offset=1).drop_nulls(["ring_height_in"])
    return [
        {
            "n": row["number"],
            "run": row["run_words"],
            "event": row["event"],
            "height": rounded(row["ring_height_in"], 5),
            "service": row["service_no"],
            "load": rounded(row["preload_lb"], 0),
        }
        for row in have.iter_rows(named=True)
    ]


def wear_chart(runs: pl.DataFrame, service_due_in: float | None = None) -> alt.TopLevelLayerSpec | None:
    """Draw ring height against runs made; a step down is a service.

    Parameters
    ----------
    runs
        The ``runs`` table with ``run_words``.
    service_due_in
        Ring height at which service is due. [in]

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when fewer than two runs have a ring height.
    """
    rows = wear_rows(runs)
    if len(rows) < LEAST_RUNS:
        return None
    services = [
        {"n": row["n"] - 0.5, "label": "service"}
        for before, row in itertools.pairwise(rows)
        if row["service"] != before["service"]
    ]
    x = alt.X(**number("n", "runs made", format=".0f", nice=False))
    y = alt.Y(**number("height", "ring height, in", format=".3f"))
    layers = [
        *upright(services, "margin", x, dy=6),
        marks(
            "line", {"color": ink("quicker"), "strokeWidth": 1.5}, x=x, y=y,
            detail=alt.Detail(field="service", type="nominal"),
        ),
        marks(
            "point", {"color": ink("quicker"), "size": 34, "filled": True}, x=x, y=y, opacity=fade_others(),
            tooltip=tips(("run", "run"), ("height", "ring height", ".4f"), ("load", "preload, lb", ",.0f")),
        ),
    ]  # fmt: skip
    if service_due_in is not None:
        due = [{"height": rounded(service_due_in), "label": "service due"}]
        layers += level(due, "slower", y)
    return stack(rows, layers, height=WEAR_HEIGHT, switches={PICKED: ""})
