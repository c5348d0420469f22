"""What a test plan would teach: the uncertainty of each step effect now and after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import altair as alt

from pipeline.decide.results import ExpectedPrecision
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
from reports.numbers import percent, thousandths
from reports.theme import ink
from reports.words import Setting, plain, setting


def precision_rows(precision: Sequence[ExpectedPrecision], known: Mapping[str, Setting]) -> Rows:
    """Make one row an adjustment: its standard error now and after, in thousandths per step."""
    rows: Rows = []
    for one in precision:
        label = f"{setting(one.adjustment, known).label}, {plain(one.step)}"
        less = 1 - one.after_s / one.now_s if one.now_s else 0.0
        rows.append(
            {
                "row": f"{label}{CELL}{thousandths(one.after_s, sign=False)}",
                "what": label,
                "now": rounded(1000 * one.now_s, 2),
                "after": rounded(1000 * one.after_s, 2),
                "less": percent(less),
            }
        )
    return rows


def precision_chart(
    precision: Sequence[ExpectedPrecision], known: Mapping[str, Setting]
) -> alt.TopLevelLayerSpec | None:
    """Draw the standard error of each step effect now (hollow) and after the plan (filled).

    Parameters
    ----------
    precision
        One record an adjustment.
    known
        How adjustments are called.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without a record.
    """
    rows = precision_rows(precision, known)
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("now", "how unsure, thousandths a step", format=".1f")
    axis["scale"] = alt.Scale(zero=True, nice=True)
    shown = tips(
        ("what", "step"), ("now", "now", ".1f"), ("after", "after the plan", ".1f"), ("less", "less by")
    )
    layers = [
        span("rule", {"color": ink("quicker"), "strokeWidth": 2}, left, axis, "now", "after", tooltip=shown),
        marks(
            "point", {"color": ink("quiet"), "size": 90, "filled": False, "strokeWidth": 2}, y=between,
            x=alt.X(**axis), tooltip=shown,
        ),
        marks(
            "point", {"color": ink("quicker"), "size": 110, "filled": True, "shape": "triangle-left"},
            y=right, x=at(axis, "after"), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers)
