"""Plate load at launch against the 60 ft time, with the loads that hold the engine."""

from __future__ import annotations

import altair as alt
import polars as pl

from pipeline.decide.results import LoadsThatHold
from reports.charts.common import (
    PICKED,
    Rows,
    at_top,
    by_outcome,
    launch_of,
    marks,
    number,
    quicker_slower,
    rounded,
    stack,
    tips,
)
from reports.theme import ink

LEAST_RUNS = 3


def load_rows(runs: pl.DataFrame) -> Rows:
    """Make one row a run whose plate load at launch and 60 ft time are known."""
    have = runs.drop_nulls(["plate_load_lb", "t60_s"])
    return [
        {
            "load": rounded(row["plate_load_lb"], 0),
            "t60": rounded(row["t60_s"], 4),
            "run": row["run_words"],
            "event": row["event"],
            "launch": launch_of(row["outcome"]),
            "outcome": row["outcome"],
        }
        for row in have.iter_rows(named=True)
    ]


def load_at_launch_chart(runs: pl.DataFrame, holds: LoadsThatHold | None) -> alt.TopLevelLayerSpec | None:
    """Draw every run's 60 ft time against what pressed the plates at launch.

    Parameters
    ----------
    runs
        The runs that count for 60 ft, with ``run_words``.
    holds
        Loads that hold the engine's greatest torque; None where garage.toml does not say enough.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None with fewer than three such runs.
    """
    rows = load_rows(runs)
    if len(rows) < LEAST_RUNS:
        return None
    lightest, heaviest = min(row["load"] for row in rows), max(row["load"] for row in rows)
    x = number("load", "plate load at launch, lb", format=",.0f", nice=False)
    y = alt.Y(**number("t60", quicker_slower("60 ft, s")[1], format=".3f"))
    # What holds lies far to the right on a clutch that locks late: it is drawn where the runs reach it.
    band: Rows = []
    if holds is not None and holds.from_lb < heaviest:
        band = [{"load": max(holds.from_lb, lightest), "to": min(holds.to_lb, heaviest)}]
    words = [{"load": one["load"], "label": "may hold the engine"} for one in band]
    layers = [
        marks(
            "rect", {"color": ink("wash"), "opacity": 0.6}, band,
            x=alt.X(**x), x2=alt.X2(field="to"),
        ),
        marks(
            "text", {"color": ink("margin"), "align": "left", "dx": 5, "dy": 6, "baseline": "top"}, words,
            x=alt.X(**x), y=at_top(), text=alt.Text(field="label", type="nominal"),
        ),
        marks(
            "point", {"size": 48, "filled": True}, x=alt.X(**x), y=y, **by_outcome(0.75),
            tooltip=tips(("run", "run"), ("load", "plate load, lb", ",.0f"), ("t60", "60 ft", ".3f"),
                         ("outcome", "outcome")),
        ),
    ]  # fmt: skip
    return stack(rows, layers, switches={PICKED: ""})
