"""What every chart is built from: rows of plain values, layers of marks, and the shared switches.

A chart is a specification of Vega-Lite as that language writes it, in plain mappings: whatever builds it
piece by piece in classes takes longer to load than the page takes to write. Tests hold every chart to the
language's schema.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

import polars as pl

from reports.theme import MONO, OUTCOME_SHAPES, ROW_STEP, ink

Rows = list[dict[str, Any]]
Spec = dict[str, Any]
"""A chart, a layer or a part of one, as Vega-Lite writes it."""
SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"

CHART_HEIGHT = 340
"""Height of a chart with two measured axes. [px]"""
CELL = "\t"
"""Stands between the words left of a ledger row and the figure right of it, in one axis value."""
LINE = "\v"
"""Stands where the words left of a ledger row break into a second line."""
FIGURE_SPACE = 54
"""Room for the figure right of a ledger row. [px]"""
MAIN_ROWS = "rows"
PICKED = "picked_event"
"""The switch that every chart with events shares: the event picked on the page, or empty."""


def quicker_slower(what: str) -> list[str]:
    """Title an axis of times in two lines, short enough for a phone."""
    return ["← quicker · slower →", what]


def marks(mark: str, style: Mapping[str, Any], rows: Rows | None = None, **channels: Any) -> Spec:
    """Make one layer: a mark, its style and its channels, with its own rows when it needs them."""
    layer: Spec = {"mark": {"type": mark, **style}, "encoding": channels}
    return layer if rows is None else {**layer, "data": rows}


def stack(
    rows: Rows,
    layers: Sequence[Spec],
    *,
    height: int | float = CHART_HEIGHT,
    switches: Mapping[str, Any] | None = None,
    own_y_axes: bool = False,
) -> Spec:
    """Lay layers over each other, as wide as the page gives.

    Parameters
    ----------
    rows
        Rows of every layer that brought none.
    layers
        From the back to the front; one whose own rows are none is left out.
    height
        Height of the plot. [px]
    switches
        Names and starting values that the page may set, such as ``picked_event``.
    own_y_axes
        Whether layers keep their own y axis (a ledger row has words left and a figure right).

    Returns
    -------
    dict
        Every layer's own rows once, in the datasets of the whole.
    """
    datasets: dict[str, Rows] = {MAIN_ROWS: rows}
    names: dict[int, str] = {}
    shown: list[Spec] = []
    for layer in layers:
        own = layer.get("data")
        if own is not None and not own:
            continue
        if own is not None:
            name = names.setdefault(id(own), f"rows{len(names) + 1}")
            datasets[name] = own
            layer = {**layer, "data": {"name": name}}
        shown.append(layer)
    chart: Spec = {
        "$schema": SCHEMA,
        "layer": shown,
        "data": {"name": MAIN_ROWS},
        "datasets": datasets,
        "width": "container",
        "height": height,
        "autosize": {"type": "fit-x", "contains": "padding"},
    }
    if switches:
        chart["params"] = [{"name": name, "value": value} for name, value in switches.items()]
    if own_y_axes:
        chart["resolve"] = {"axis": {"y": "independent"}}
    return chart


def number(field: str, title: str | list[str] | None, **axis: Any) -> dict[str, Any]:
    """Describe a measured axis that need not start at zero."""
    scale = {"zero": False, "nice": axis.pop("nice", True), "padding": axis.pop("padding", 6)}
    style = {"format": ".3f", **axis}
    if str(style["format"]).startswith("+"):
        # Zero has no sign.
        style["labelExpr"] = f"datum.value == 0 ? '0' : format(datum.value, '{style['format']}')"
    return {
        "field": field,
        "type": "quantitative",
        "title": title,
        "scale": scale,
        "axis": style,
    }


def ledger_rows(rows: Rows) -> tuple[Spec, Spec, Spec]:
    """Return the y channel of a ledger chart three times: words left, no axis, figures right.

    The first layer takes the words, the last the figures, any between none; a line break in the
    words makes a second line.
    """
    order = list(dict.fromkeys(row["row"] for row in rows))
    shared: dict[str, Any] = {
        "field": "row", "type": "nominal", "title": None, "scale": {"domain": order},
    }  # fmt: skip
    plain: dict[str, Any] = {"domain": False, "ticks": False}
    left = {
        **plain,
        "grid": True,
        "gridDash": [1, 3],
        "labelExpr": "split(split(datum.label, '\\t')[0], '\\v')",
        "labelLineHeight": 14,
        "labelOffset": -7 if any(LINE in row["row"] for row in rows) else 0,
    }
    right = {
        **plain,
        "orient": "right",
        "labelExpr": "split(datum.label, '\\t')[1]",
        "labelFont": MONO,
        "labelColor": ink("ink"),
        "labelAlign": "right",
        "labelPadding": FIGURE_SPACE,
    }
    return {**shared, "axis": left}, {**shared, "axis": None}, {**shared, "axis": right}


def row_height(rows: Iterable[Any], step: int = ROW_STEP) -> int:
    """Return the height [px] of a ledger chart."""
    return max(1, len({row["row"] for row in rows})) * step


def zero_line(value: float = 0.0) -> Spec:
    """Draw the line that means: no difference."""
    return marks(
        "rule",
        {"color": ink("ink"), "strokeWidth": 1},
        [{}],
        x={"datum": value},
    )


def at_top() -> Spec:
    """Place at the plot's top edge."""
    return {"value": 0}


def at_right() -> Spec:
    """Place at the plot's right edge."""
    return {"value": "width"}


TONES = ("quicker", "slower", "quiet", "ink")


def by_kind(field: str, looks: Mapping[str, str]) -> Spec:
    """Give each kind that a field names its color or shape; the words beside the chart are its key."""
    scale = {"domain": [*looks], "range": [*looks.values()]}
    return {"field": field, "type": "nominal", "legend": None, "scale": scale}


def tone_color() -> Spec:
    """Color by direction; the sign, the side of the zero line and a word say the same."""
    return by_kind("tone", {name: ink(name) for name in TONES})


def outcome_shape() -> Spec:
    """Shape by how the launch went."""
    return by_kind("launch", OUTCOME_SHAPES)


def outcome_color() -> Spec:
    """Color by how the launch went; the shape says the same."""
    inks = (ink("slower"), ink("margin"), ink("ink"))
    return by_kind("launch", dict(zip(OUTCOME_SHAPES, inks, strict=True)))


def fade_others(full: float = 0.9, faded: float = 0.12) -> Spec:
    """Let marks of every event but the picked one step back."""
    test: dict[str, Any] = {"test": f"{PICKED} == '' || datum.event == {PICKED}", "value": full}
    return {"condition": test, "value": faded}


def tips(*fields: tuple[str, str] | tuple[str, str, str]) -> list[Spec]:
    """List what hovering shows: (field, words) for text, (field, words, format) for a number."""
    shown = []
    for field in fields:
        name, title = field[0], field[1]
        if len(field) == 3:
            shown.append({"field": name, "type": "quantitative", "title": title, "format": field[2]})
        else:
            shown.append({"field": name, "type": "nominal", "title": title})
    return shown


def rounded(value: Any, digits: int = 5) -> Any:
    """Make a value fit for JSON: short numbers, ISO days, nothing for what is not finite."""
    if isinstance(value, float):
        return round(value, digits) if math.isfinite(value) else None
    if isinstance(value, datetime | date):
        return value.isoformat()
    return value


def rows_of(frame: pl.DataFrame, columns: Iterable[str]) -> Rows:
    """Take columns of a frame as rows for a chart; a column the frame lacks is left out."""
    have = [column for column in columns if column in frame.columns]
    return [
        {key: rounded(value) for key, value in row.items()}
        for row in frame.select(have).iter_rows(named=True)
    ]


def tone(value: float | None, *, sure: bool = True) -> str:
    """Name the direction of a difference of times."""
    if value is None or not sure or value == 0:
        return "quiet"
    return "quicker" if value < 0 else "slower"


def launch_of(outcome: str | None) -> str:
    """Sort an outcome into spun, bogged or other."""
    return outcome if outcome in {"spun", "bogged"} else "other"
