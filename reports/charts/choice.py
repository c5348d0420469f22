"""Stay or change: the time expected of the next run under either."""

from __future__ import annotations

import altair as alt

from pipeline.decide.results import NextSetting
from reports.charts.common import (
    CELL,
    Rows,
    ledger,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    rounded,
    span,
    tips,
)
from reports.numbers import interval, seconds
from reports.theme import ink

CHOICE_STEP = 44


def choice_chart(choice: NextSetting) -> alt.TopLevelLayerSpec:
    """Draw the expected time and the interval of one run, for staying and for changing.

    Parameters
    ----------
    choice
        The next setting.

    Returns
    -------
    altair.TopLevelLayerSpec
        One row when staying is the answer, two otherwise.
    """
    options = [("stay", choice.stay)]
    if choice.change_to is not None:
        options.append(("change", choice.change_to))
    rows: Rows = [
        {
            "row": name + CELL + seconds(option.expected_s),
            "what": name,
            "expected": rounded(option.expected_s),
            "low": rounded(option.low_s),
            "high": rounded(option.high_s),
            "range": interval(option.low_s, option.high_s),
        }
        for name, option in options
    ]
    left, _, right = ledger_rows(rows)
    axis = number("expected", quicker_slower("time of one run, s"))
    shown = tips(("what", "choice"), ("expected", "expected", ".3f"), ("range", "19 runs in 20"))
    layers = [
        span("bar", {"color": ink("wash"), "size": 20}, left, axis, "low", "high", tooltip=shown),
        marks(
            "point", {"color": ink("quicker"), "size": 130, "filled": True, "shape": "diamond"}, y=right,
            x=alt.X(**axis), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, step=CHOICE_STEP)
