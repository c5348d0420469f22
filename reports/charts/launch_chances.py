"""Chance of spinning and of bogging over track temperature and launch rpm, with the runs on it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import altair as alt
import polars as pl

from pipeline.season.results import LaunchChance
from reports.charts.common import (
    PICKED,
    Rows,
    by_outcome,
    marks,
    number,
    stack,
    tips,
)
from reports.charts.rpm_by_track import run_rows
from reports.theme import ink

DEEPEST = 0.85
"""How opaque a tile is where every launch goes wrong that way."""
SPOKEN = 0.095
"""Tiles with at least this chance of going wrong carry it in writing, as hundredths."""


def _middles(values: Sequence[float]) -> list[float]:
    """Edges of the tiles round sorted values, one more than there are values."""
    inner = [(a + b) / 2 for a, b in pairwise(values)]
    return [2 * values[0] - inner[0], *inner, 2 * values[-1] - inner[-1]]


def tile_rows(points: Sequence[LaunchChance]) -> Rows:
    """Make one row a tile, with its four edges and both chances."""
    temps = sorted({point.track_temp_f for point in points})
    rpms = sorted({point.launch_rpm for point in points})
    if len(temps) < 2 or len(rpms) < 2:
        return []
    t, r = _middles(temps), _middles(rpms)
    return [
        {
            "temp": point.track_temp_f,
            "rpm": round(point.launch_rpm),
            "left": t[temps.index(point.track_temp_f)],
            "right": t[temps.index(point.track_temp_f) + 1],
            "low": round(r[rpms.index(point.launch_rpm)], 1),
            "high": round(r[rpms.index(point.launch_rpm) + 1], 1),
            "spin": round(point.p_spin, 3),
            "bog": round(point.p_bog, 3),
            "either": round(point.p_spin + point.p_bog, 3),
        }
        for point in points
    ]


def launch_chances_chart(points: Sequence[LaunchChance], runs: pl.DataFrame) -> alt.TopLevelLayerSpec | None:
    """Draw both chances as tiles and the runs as marks.

    Parameters
    ----------
    points
        A whole grid of launch rpm and track temperature.
    runs
        The ``runs`` table with ``run_words``.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None with fewer than two temperatures or rpm.
    """
    rows = tile_rows(points)
    if not rows:
        return None
    x = number("left", "track temperature, °F", format=".0f", nice=False, padding=0)
    y = number("low", "launch rpm", format=",.0f", nice=False, padding=0)
    corners = {"x": alt.X(**x), "x2": alt.X2(field="right"), "y": alt.Y(**y), "y2": alt.Y2(field="high")}
    said = tips(
        ("rpm", "launch rpm", ",.0f"), ("temp", "track °F", ".0f"),
        ("spin", "chance of spinning", ".0%"), ("bog", "chance of bogging", ".0%"),
    )  # fmt: skip
    middle = {"x": alt.X(**{**x, "field": "temp"}), "y": alt.Y(**{**y, "field": "rpm"})}
    run_tips = tips(
        ("run", "run"), ("rpm", "launch rpm", ",.0f"), ("temp", "track °F", ".0f"),
        ("t60", "60 ft", ".3f"), ("outcome", "outcome"),
    )  # fmt: skip
    layers = [
        *(
            marks("rect", {"fill": ink(color)}, rows, opacity=_depth(field), tooltip=said, **corners)
            for field, color in (("spin", "slower"), ("bog", "quicker"))
        ),
        marks(
            "text", {"fontSize": 10, "color": ink("ink")},
            [row for row in rows if float(row["either"]) >= SPOKEN],
            text=alt.Text(field="either", type="quantitative", format=".0%"), **middle,
        ),
        marks(
            "point", {"size": 40, "filled": True}, run_rows(runs), tooltip=run_tips,
            **by_outcome(0.8), **middle,
        ),
    ]  # fmt: skip
    return stack([], layers, switches={PICKED: ""})


def _depth(field: str) -> alt.Opacity:
    return alt.Opacity(
        field=field,
        type="quantitative",
        legend=None,
        scale=alt.Scale(domain=[0, 1], range=[0, DEEPEST]),
    )
