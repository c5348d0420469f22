"""The effect curve of one adjustment with the runs it came from (partial residuals)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import altair as alt

from pipeline.season.check_results import PartialResidual
from pipeline.season.results import CurvePoint
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
    upright,
)
from reports.theme import HATCH, ink

LEAST_POINTS = 2
AXIS_FORMAT = {0: ",.0f", 1: ".1f"}


def residual_rows(residuals: Sequence[PartialResidual], runs: Mapping[int, Mapping[str, object]]) -> Rows:
    """Make one row a run: the curve's value at its setting plus what is left over."""
    rows: Rows = []
    for residual in residuals:
        run = runs.get(residual.run_id, {})
        rows.append(
            {
                "run": run.get("run_words", f"run {residual.run_id}"),
                "event": run.get("event", ""),
                "value": rounded(residual.value, 3),
                "ms": rounded(1000 * residual.seconds, 2),
                "weight": rounded(residual.weight, 2),
                "launch": launch_of(str(run.get("outcome", ""))),
                "outcome": run.get("outcome", ""),
            }
        )
    return rows


def curve_chart(
    curve: Sequence[CurvePoint],
    residuals: Sequence[PartialResidual],
    runs: Mapping[int, Mapping[str, object]],
    *,
    axis_title: str,
    decimals: int = 2,
    current: float | None = None,
) -> alt.TopLevelLayerSpec | None:
    """Draw time against one setting, all else at its middle.

    Parameters
    ----------
    curve, residuals
        Of one adjustment and one response.
    runs
        By run_id, with ``run_words``, ``event`` and ``outcome``.
    axis_title
        The adjustment with its unit.
    decimals
        Of the setting.
    current
        The setting last run, marked on the axis.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when the curve has fewer than two points.
    """
    if len(curve) < LEAST_POINTS:
        return None
    style = AXIS_FORMAT.get(decimals, ".2f")
    line: Rows = [
        {
            "value": rounded(point.value, 3),
            "ms": rounded(1000 * point.seconds, 2),
            "low": rounded(1000 * point.low_s, 2),
            "high": rounded(1000 * point.high_s, 2),
        }
        for point in curve
    ]
    never = [
        {"value": rounded(a.value, 3), "to": rounded(b.value, 3)}
        for a, b in pairwise(curve)
        if not (a.supported and b.supported)
    ]
    x = alt.X(**number("value", axis_title, format=style, nice=False, padding=8))
    up = "thousandths of a second · quicker is down"
    y = alt.Y(**number("ms", up, format="+.0f"))
    layers = [
        marks("rect", {"fill": HATCH, "opacity": 0.85}, never, x=x, x2=alt.X2(field="to")),
        marks(
            "area", {"color": ink("wash"), "opacity": 0.6}, line, x=x,
            y=alt.Y(**number("low", up, format="+.0f")), y2=alt.Y2(field="high"),
        ),
        marks("rule", {"color": ink("rule"), "strokeWidth": 1}, [{}], y=alt.YDatum(0)),
        marks(
            "point", {"filled": True}, residual_rows(residuals, runs), x=x, y=y, **by_outcome(0.65),
            size=alt.Size(
                field="weight", type="quantitative", legend=None,
                scale=alt.Scale(domain=[0, 1], range=[8, 60]),
            ),
            tooltip=tips(("run", "run"), ("value", "setting", style), ("ms", "thousandths", "+.1f"),
                         ("outcome", "outcome"), ("weight", "weight", ".2f")),
        ),
        marks(
            "line", {"color": ink("quicker"), "strokeWidth": 3}, line, x=x, y=y,
            tooltip=tips(("value", "setting", style), ("ms", "thousandths", "+.1f"), ("low", "from", "+.1f"),
                         ("high", "to", "+.1f")),
        ),
    ]  # fmt: skip
    if current is not None:
        layers += upright([{"value": rounded(current, 3), "label": "set now"}], "margin", x, dy=4)
    return stack([], layers, switches={PICKED: ""})
