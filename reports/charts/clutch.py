"""The bench card: plate load and torque capacity against engine speed."""

from __future__ import annotations

import altair as alt
import polars as pl

from reports.charts.common import Rows, marks, number, rows_of, stack, tips, upright
from reports.theme import ink

LOAD_COLUMNS = ("rpm", "static_lb", "centrifugal_lb", "plate_load_lb")
TORQUE_COLUMNS = ("rpm", "capacity_low_lb_ft", "capacity_high_lb_ft", "engine_torque_lb_ft")
LEAST_POINTS = 2
LABEL_TURNS = 0.75
"""A launch farther along the axis than this has its label on the left, or a phone would cut it off."""


def plate_load_chart(curve: pl.DataFrame, launch_rpm: float | None = None) -> alt.TopLevelLayerSpec | None:
    """Draw plate load split into what the springs give and what the spinning levers add.

    Parameters
    ----------
    curve
        ``rpm``, ``static_lb``, ``centrifugal_lb``, ``plate_load_lb``.
    launch_rpm
        Marked on the axis.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None with fewer than two points.
    """
    rows = rows_of(curve, LOAD_COLUMNS)
    if len(rows) < LEAST_POINTS:
        return None
    for row in rows:
        row["centrifugal_lb"] = row["centrifugal_lb"] or 0.0
        row["plate_load_lb"] = row.get("plate_load_lb") or row["static_lb"] + row["centrifugal_lb"]
    x = alt.X(**number("rpm", "engine rpm", format=",.0f", nice=False, padding=0))
    top = number("plate_load_lb", "plate load, lb", format=",.0f")
    top["scale"] = alt.Scale(zero=True, nice=True)
    shown = tips(("rpm", "rpm", ",.0f"), ("static_lb", "springs, lb", ",.0f"),
                 ("centrifugal_lb", "levers and weights, lb", ",.0f"),
                 ("plate_load_lb", "in all, lb", ",.0f"))  # fmt: skip
    layers = [
        marks(
            "area", {"color": ink("wash"), "opacity": 0.9}, x=x,
            y=alt.Y(**{**top, "field": "static_lb"}), y2=alt.Y2Datum(0), tooltip=shown,
        ),
        marks(
            "area", {"color": ink("slower"), "opacity": 0.22}, x=x,
            y=alt.Y(**{**top, "field": "static_lb"}), y2=alt.Y2(field="plate_load_lb"), tooltip=shown,
        ),
        marks("line", {"color": ink("ink"), "strokeWidth": 2.5}, x=x, y=alt.Y(**top), tooltip=shown),
        marks(
            "point", {"size": 40, "opacity": 0, "filled": True}, x=x, y=alt.Y(**top), tooltip=shown,
        ),
        *_launch_mark(launch_rpm, rows, x),
    ]  # fmt: skip
    return stack(rows, layers)


def capacity_chart(curve: pl.DataFrame, launch_rpm: float | None = None) -> alt.TopLevelLayerSpec | None:
    """Draw the band of torque capacity with the engine's torque, when it was given.

    Parameters
    ----------
    curve
        ``rpm``, ``capacity_low_lb_ft``, ``capacity_high_lb_ft`` and, if known, ``engine_torque_lb_ft``.
    launch_rpm
        Marked on the axis.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when the capacity cannot be computed.
    """
    rows = [row for row in rows_of(curve, TORQUE_COLUMNS) if row.get("capacity_low_lb_ft") is not None]
    if len(rows) < LEAST_POINTS:
        return None
    x = alt.X(**number("rpm", "engine rpm", format=",.0f", nice=False, padding=0))
    y = number("capacity_low_lb_ft", "torque, lb-ft", format=",.0f")
    shown = tips(("rpm", "rpm", ",.0f"), ("capacity_low_lb_ft", "capacity from", ",.0f"),
                 ("capacity_high_lb_ft", "to", ",.0f"),
                 ("engine_torque_lb_ft", "engine", ",.0f"))  # fmt: skip
    engine: Rows = [row for row in rows if row.get("engine_torque_lb_ft") is not None]
    layers = [
        marks(
            "area", {"color": ink("wash"), "opacity": 0.8}, x=x,
            y=alt.Y(**y), y2=alt.Y2(field="capacity_high_lb_ft"), tooltip=shown,
        ),
        marks(
            "line", {"color": ink("slower"), "strokeWidth": 2.5, "strokeDash": [7, 3]}, engine, x=x,
            y=alt.Y(**{**y, "field": "engine_torque_lb_ft"}), tooltip=shown,
        ),
        *_launch_mark(launch_rpm, rows, x),
    ]  # fmt: skip
    return stack(rows, layers)


def _launch_mark(launch_rpm: float | None, rows: Rows, x: alt.X) -> list[alt.UnitSpec]:
    if launch_rpm is None:
        return []
    here = [{"rpm": launch_rpm, "label": "launch"}]
    ends = rows[0]["rpm"], rows[-1]["rpm"]
    is_far_right = launch_rpm > ends[0] + LABEL_TURNS * (ends[1] - ends[0])
    return upright(here, "margin", x, dy=4, on_left=is_far_right)
