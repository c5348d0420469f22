"""What every chart is built from: rows of plain values, layers of marks, and the shared switches.

Charts are made of altair's classes of the Vega-Lite schema (``TopLevelLayerSpec`` of ``UnitSpec``,
``MarkDef``, ``FacetedEncoding``) and data are attached once at the top: ``alt.Chart`` and its method chain
copy and validate the whole chart at every step, which costs more than everything else on a page. Tests
validate every chart against the schema instead.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from functools import wraps
from typing import Any, ClassVar, ParamSpec, TypeVar

import altair as alt
import polars as pl
from altair.utils.schemapi import debug_mode

from reports.theme import MONO, OUTCOME_SHAPES, ROW_STEP, ink

Rows = list[dict[str, Any]]
P = ParamSpec("P")
T = TypeVar("T")

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


class WholeRows:
    """Rows that altair takes as they are: copying them with every layer costs more than the chart."""

    __slots__ = ("rows",)
    _schema: ClassVar[dict[str, Any]] = {}  # with ``to_dict``, what altair asks of a piece of a chart

    def __init__(self, rows: Rows) -> None:
        self.rows = rows

    def to_dict(self, **_context: Any) -> Rows:
        """Return the rows when the chart becomes a specification."""
        return self.rows


def unchecked(make: Callable[P, T]) -> Callable[P, T]:
    """Build charts without altair's validation at every step; tests validate each kind as a whole."""

    @wraps(make)
    def quickly(*args: P.args, **kwargs: P.kwargs) -> T:
        with debug_mode(False):
            return make(*args, **kwargs)

    return quickly


@unchecked
def marks(mark: Any, style: Mapping[str, Any], rows: Rows | None = None, **channels: Any) -> alt.UnitSpec:
    """Make one layer: a mark, its style and its channels, with its own rows when it needs them."""
    whole: Any = alt.Undefined if rows is None else WholeRows(rows)
    return alt.UnitSpec(
        data=whole, mark=alt.MarkDef(type=mark, **style), encoding=alt.FacetedEncoding(**channels)
    )


@unchecked
def stack(
    rows: Rows,
    layers: Sequence[alt.UnitSpec],
    *,
    height: int | float = CHART_HEIGHT,
    switches: Mapping[str, Any] | None = None,
    own_y_axes: bool = False,
) -> alt.TopLevelLayerSpec:
    """Lay layers over each other, as wide as the page gives.

    Parameters
    ----------
    rows
        Rows of every layer that brought none.
    layers
        From the back to the front.
    height
        Height of the plot. [px]
    switches
        Names and starting values that the page may set, such as ``picked_event``.
    own_y_axes
        Whether layers keep their own y axis (a ledger row has words left and a figure right).

    Returns
    -------
    altair.TopLevelLayerSpec
        Not yet validated.
    """
    shown = [layer for layer in layers if not (isinstance(layer.data, WholeRows) and not layer.data.rows)]
    datasets = _name_rows(rows, shown)
    chart = alt.TopLevelLayerSpec(
        layer=shown,
        data=alt.NamedData(name=MAIN_ROWS),
        datasets=datasets,
        width="container",
        height=height,
        autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
        params=[alt.VariableParameter(name=name, value=value) for name, value in (switches or {}).items()]
        or alt.Undefined,
    )
    chart["$schema"] = alt.SCHEMA_URL
    if own_y_axes:
        chart.resolve = alt.Resolve(axis=alt.AxisResolveMap(y="independent"))
    return chart


def ledger(
    rows: Rows,
    layers: Sequence[alt.UnitSpec],
    *,
    step: int = ROW_STEP,
    switches: Mapping[str, Any] | None = None,
) -> alt.TopLevelLayerSpec:
    """Lay layers over the rows of a ledger, each ``step`` high [px], with the axes of :func:`ledger_rows`."""
    height = max(1, len({row["row"] for row in rows})) * step
    return stack(rows, layers, height=height, switches=switches, own_y_axes=True)


def at(axis: Mapping[str, Any], field: str) -> alt.X:
    """Place along a measured axis by another field than its own."""
    return alt.X(**{**axis, "field": field})


def span(
    mark: str,
    style: Mapping[str, Any],
    y: alt.Y,
    axis: Mapping[str, Any],
    low: str,
    high: str,
    **channels: Any,
) -> alt.UnitSpec:
    """Make a layer of marks that reach from one field to another along a measured axis."""
    return marks(mark, style, y=y, x=at(axis, low), x2=alt.X2(field=high), **channels)


def upright(rows: Rows, color: str, x: alt.X, *, dy: int, on_left: bool = False) -> list[alt.UnitSpec]:
    """Draw dashed lines across the plot, each with its ``label`` beside its top."""
    side = {"align": "right", "dx": -5} if on_left else {"align": "left", "dx": 5}
    return [
        marks("rule", {"color": ink(color), "strokeDash": [5, 3], "strokeWidth": 1.5}, rows, x=x),
        marks(
            "text", {"color": ink(color), **side, "dy": dy, "baseline": "top"}, rows,
            x=x, y=at_top(), text=alt.Text(field="label", type="nominal"),
        ),
    ]  # fmt: skip


def level(rows: Rows, color: str, y: alt.Y) -> list[alt.UnitSpec]:
    """Draw lines along the plot, each with its ``label`` above its right end."""
    return [
        marks("rule", {"color": ink(color), "strokeWidth": 1.5}, rows, y=y),
        marks(
            "text", {"color": ink(color), "align": "right", "dx": -4, "dy": -6}, rows,
            x=at_right(), y=y, text=alt.Text(field="label", type="nominal"),
        ),
    ]  # fmt: skip


def _name_rows(rows: Rows, layers: Sequence[alt.UnitSpec]) -> dict[str, Any]:
    """Move every layer's own rows to one list of datasets, the same rows only once."""
    datasets: dict[str, Any] = {MAIN_ROWS: WholeRows(rows)}
    names: dict[int, str] = {}
    for layer in layers:
        own = layer.data
        if not isinstance(own, WholeRows):
            continue
        name = names.setdefault(id(own.rows), f"rows{len(names) + 1}")
        datasets[name] = own
        layer.data = alt.NamedData(name=name)
    return datasets


def number(field: str, title: str | list[str] | None, **axis: Any) -> dict[str, Any]:
    """Describe a measured axis that need not start at zero; for ``alt.X`` and ``alt.Y``."""
    scale = alt.Scale(zero=False, nice=axis.pop("nice", True), padding=axis.pop("padding", 6))
    style = {"format": ".3f", **axis}
    if str(style["format"]).startswith("+"):
        # Zero has no sign.
        style["labelExpr"] = f"datum.value == 0 ? '0' : format(datum.value, '{style['format']}')"
    return {
        "field": field,
        "type": "quantitative",
        "title": title,
        "scale": scale,
        "axis": alt.Axis(**style),
    }


def ledger_rows(rows: Rows) -> tuple[alt.Y, alt.Y, alt.Y]:
    """Return the y channel of a ledger chart three times: words left, no axis, figures right.

    The first layer takes the words, the last the figures, any between none; a line break in the
    words makes a second line.
    """
    order = list(dict.fromkeys(row["row"] for row in rows))
    shared: dict[str, Any] = {
        "field": "row", "type": "nominal", "title": None, "scale": alt.Scale(domain=order),
    }  # fmt: skip
    plain: dict[str, Any] = {"domain": False, "ticks": False}
    left = alt.Axis(
        **plain,
        grid=True,
        gridDash=[1, 3],
        labelExpr="split(split(datum.label, '\\t')[0], '\\v')",
        labelLineHeight=14,
        labelOffset=-7 if any(LINE in row["row"] for row in rows) else 0,
    )
    right = alt.Axis(
        **plain,
        orient="right",
        labelExpr="split(datum.label, '\\t')[1]",
        labelFont=MONO,
        labelColor=ink("ink"),
        labelAlign="right",
        labelPadding=FIGURE_SPACE,
    )
    return alt.Y(**shared, axis=left), alt.Y(**shared, axis=None), alt.Y(**shared, axis=right)


def zero_line() -> alt.UnitSpec:
    """Draw the line that means: no difference."""
    return marks("rule", {"color": ink("ink"), "strokeWidth": 1}, [{}], x=alt.XDatum(0.0))


def at_top() -> Any:
    """Place at the plot's top edge."""
    return alt.YValue(0)  # type: ignore[no-untyped-call]


def at_right() -> Any:
    """Place at the plot's right edge."""
    return alt.XValue("width")  # type: ignore[no-untyped-call]


def coded(channel: Callable[..., T], field: str, codes: Mapping[str, Any]) -> T:
    """Show the words of a field by colors or shapes, without a legend: the page has its own."""
    scale = alt.Scale(domain=list(codes), range=list(codes.values()))
    return channel(field=field, type="nominal", legend=None, scale=scale)


def tone_codes() -> dict[str, str]:
    """Return the color of each direction; the sign, the side of the zero line and a word say the same."""
    return {name: ink(name) for name in ("quicker", "slower", "quiet", "ink")}


def tone_color() -> alt.Color:
    """Color by direction."""
    return coded(alt.Color, "tone", tone_codes())


def by_outcome(full: float) -> dict[str, Any]:
    """Shape and color runs by how the launch went; those of every event but the picked one step back."""
    colors = dict(zip(OUTCOME_SHAPES, (ink("slower"), ink("margin"), ink("ink")), strict=True))
    return {
        "shape": coded(alt.Shape, "launch", OUTCOME_SHAPES),
        "color": coded(alt.Color, "launch", colors),
        "opacity": fade_others(full),
    }


def fade_others(full: float = 0.9, faded: float = 0.12) -> alt.Opacity:
    """Let marks of every event but the picked one step back."""
    # Written as a plain mapping: alt.condition would validate the whole schema each time.
    test: dict[str, Any] = {"test": f"{PICKED} == '' || datum.event == {PICKED}", "value": full}
    return alt.Opacity(condition=test, value=faded)


def tips(*fields: tuple[str, str] | tuple[str, str, str]) -> list[alt.Tooltip]:
    """List what hovering shows: (field, words) for text, (field, words, format) for a number."""
    shown = []
    for field in fields:
        name, title = field[0], field[1]
        if len(field) == 3:
            shown.append(alt.Tooltip(field=name, type="quantitative", title=title, format=field[2]))
        else:
            shown.append(alt.Tooltip(field=name, type="nominal", title=title))
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
