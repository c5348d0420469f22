"""Launch rpm against track temperature: the best rpm with its band, the runs made, the region never tried."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt
import polars as pl

from pipeline.season.results import RpmPoint
from reports.charts.common import (
    PICKED,
    Rows,
    by_outcome,
    launch_of,
    marks,
    number,
    rounded,
    stack,
    tips,
)
from reports.theme import HATCH, ink
from reports.words import EDGE_WORDS

LEAST_POINTS = 2
TRACK_TEMP = "track_temp"
"""The switch the slider sets. [degF]"""


def run_rows(runs: pl.DataFrame) -> Rows:
    """Make one row a run that has both a launch rpm and a track temperature."""
    have = runs.drop_nulls(["launch_rpm", "track_temp_degf"])
    return [
        {
            "run": row["run_words"],
            "event": row["event"],
            "temp": rounded(row["track_temp_degf"], 1),
            "rpm": rounded(row["launch_rpm"], 0),
            "t60": rounded(row["t60_s"], 4),
            "launch": launch_of(row["outcome"]),
            "outcome": row["outcome"],
        }
        for row in have.iter_rows(named=True)
    ]


def stretches(points: Sequence[RpmPoint], *, supported: bool) -> list[tuple[float, float]]:
    """Find the stretches of track temperature that were tried, or never were.

    Where the best rpm is an end of what was tried, the track was tried all the same.
    Neighbouring points share the boundary half way between them, so stretches leave no gap.
    """
    found: list[tuple[float, float]] = []
    for place, point in enumerate(points):
        if (point.supported or point.edge is not None) is not supported:
            continue
        before = points[place - 1].track_temp_f if place else point.track_temp_f
        after = points[place + 1].track_temp_f if place + 1 < len(points) else point.track_temp_f
        low, high = (before + point.track_temp_f) / 2, (after + point.track_temp_f) / 2
        if found and abs(found[-1][1] - low) < 1e-9:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def rpm_by_track_chart(
    points: Sequence[RpmPoint],
    runs: pl.DataFrame,
    start_degf: float | None = None,
    advised: tuple[float, float] | None = None,
) -> alt.TopLevelLayerSpec | None:
    """Draw the best launch rpm by track temperature with the runs behind it.

    Parameters
    ----------
    points
        In order of track temperature.
    runs
        The ``runs`` table with ``run_words``.
    start_degf
        Where the slider starts; the middle point when not given. [degF]
    advised
        Track temperature and launch rpm of the setting advised. [degF], [1/min]

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None with fewer than two points.
    """
    if len(points) < LEAST_POINTS:
        return None
    line = [
        {
            "temp": point.track_temp_f,
            "rpm": round(point.launch_rpm),
            "low": round(point.low_rpm),
            "high": round(point.high_rpm),
        }
        for point in points
    ]
    edges = [
        {**row, "edge": EDGE_WORDS[point.edge]} for row, point in zip(line, points, strict=True) if point.edge
    ]
    never = [{"low_t": low, "high_t": high} for low, high in stretches(points, supported=False)]
    start = points[len(points) // 2].track_temp_f if start_degf is None else start_degf
    x = alt.X(**number("temp", "track temperature, °F", format=".0f", nice=False, padding=0))
    y = alt.Y(**number("rpm", "launch rpm", format=",.0f"))
    run_tips = tips(
        ("run", "run"), ("rpm", "launch rpm", ",.0f"), ("temp", "track °F", ".0f"),
        ("t60", "60 ft", ".3f"), ("outcome", "outcome"),
    )  # fmt: skip
    line_tips = tips(
        ("temp", "track °F", ".0f"),
        ("rpm", "best rpm", ",.0f"),
        ("low", "from", ",.0f"),
        ("high", "to", ",.0f"),
    )
    edge_tips = tips(("temp", "track °F", ".0f"), ("rpm", "best rpm", ",.0f"), ("edge", "which is"))
    at_slider = [alt.FilterTransform(filter=f"datum.temp == {TRACK_TEMP}")]
    slider_rule = marks("rule", {"color": ink("margin"), "strokeWidth": 1.5, "strokeDash": [5, 3]}, line, x=x)
    slider_band = marks(
        "rule", {"color": ink("margin"), "strokeWidth": 3}, line, x=x,
        y=alt.Y(**number("low", "launch rpm", format=",.0f")), y2=alt.Y2(field="high"),
    )  # fmt: skip
    slider_dot = marks(
        "point", {"color": ink("margin"), "size": 150, "filled": True, "shape": "diamond"}, line,
        x=x, y=y, tooltip=line_tips,
    )  # fmt: skip
    for layer in (slider_rule, slider_band, slider_dot):
        layer.transform = at_slider
    layers = [
        marks(
            "area", {"color": ink("wash"), "opacity": 0.55}, line, x=x,
            y=alt.Y(**number("low", "launch rpm", format=",.0f")), y2=alt.Y2(field="high"),
        ),
        marks(
            "rect", {"fill": HATCH, "opacity": 0.85}, never,
            x=alt.X(**number("low_t", "track temperature, °F", format=".0f", nice=False, padding=0)),
            x2=alt.X2(field="high_t"),
        ),
        marks("line", {"color": ink("quicker"), "strokeWidth": 2.5}, line, x=x, y=y, tooltip=line_tips),
        marks(
            "point", {"color": ink("quicker"), "size": 110, "filled": False, "shape": "diamond"}, edges,
            x=x, y=y, tooltip=edge_tips,
        ),
        marks(
            "point", {"size": 48, "filled": True}, run_rows(runs), x=x, y=y, tooltip=run_tips,
            **by_outcome(0.75),
        ),
        slider_rule, slider_band, slider_dot,
        marks(
            "point", {"color": ink("ink"), "size": 190, "filled": False, "shape": "square"},
            [] if advised is None else [{"temp": advised[0], "rpm": advised[1]}], x=x, y=y,
            tooltip=tips(("temp", "track °F", ".0f"), ("rpm", "rpm advised", ",.0f")),
        ),
    ]  # fmt: skip
    return stack([], layers, switches={PICKED: "", TRACK_TEMP: start})
