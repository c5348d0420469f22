"""How much of the spread between runs each adjustment and condition made: a bar each, ranked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import altair as alt

from pipeline.season.results import Spread
from reports.charts.common import (
    CELL,
    Rows,
    at,
    ledger,
    ledger_rows,
    marks,
    number,
    rounded,
    span,
    tips,
)
from reports.numbers import interval, thousandths
from reports.theme import ink
from reports.words import Setting, spread_label


def spread_rows(spread: Sequence[Spread], known: Mapping[str, Setting]) -> Rows:
    """Make one row a factor, the largest first, in thousandths."""
    return [
        {
            "row": f"{spread_label(one, known)}{CELL}{thousandths(one.seconds, sign=False)}",
            "what": spread_label(one, known),
            "ms": rounded(1000 * one.seconds, 2),
            "low": rounded(1000 * one.low_s, 2),
            "high": rounded(1000 * one.high_s, 2),
            "range": interval(one.low_s, one.high_s, 1, scale=1000),
        }
        for one in spread
    ]


def spread_chart(spread: Sequence[Spread], known: Mapping[str, Setting]) -> alt.TopLevelLayerSpec | None:
    """Draw each factor's spread with what the runs leave open.

    Parameters
    ----------
    spread
        Of one response, ranked.
    known
        How adjustments are called.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without a record.
    """
    rows = spread_rows(spread, known)
    if not rows:
        return None
    left, _, right = ledger_rows(rows)
    axis = number("low", "spread between runs, thousandths", format=".0f")
    axis["scale"] = alt.Scale(zero=True, nice=True)
    shown = tips(("what", "made by"), ("ms", "thousandths", ".1f"), ("range", "interval"))
    layers = [
        span("rule", {"color": ink("quiet"), "strokeWidth": 2}, left, axis, "low", "high", tooltip=shown),
        marks(
            "point", {"color": ink("ink"), "size": 110, "filled": True, "shape": "circle"},
            y=right, x=at(axis, "ms"), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers)
