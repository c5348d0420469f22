"""One split event by event: as run, and in the season's middle air in both ways."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from pipeline.season.whole_run_results import AirTime, SpreadCause
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
from reports.numbers import percent, seconds, short_day, thousandths
from reports.theme import ink


def equal_air_rows(times: Sequence[AirTime]) -> Rows:
    """Make one row an event, in order of date."""
    return [
        {
            "row": f"{short_day(one.date)} {one.event}{CELL}{seconds(one.own_s)}",
            "what": f"{short_day(one.date)} {one.event}",
            "event": one.event,
            "as_run": rounded(one.as_run_s, 4),
            "own": rounded(one.own_s, 4),
            "published": rounded(one.published_s, 4),
        }
        for one in times
    ]


def equal_air_chart(times: Sequence[AirTime]) -> alt.TopLevelLayerSpec | None:
    """Draw a split's typical time of each event, as run and on equal air.

    Parameters
    ----------
    times
        Of one split.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None where nothing can be put on equal air.
    """
    rows = equal_air_rows([one for one in times if one.own_s is not None])
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("as_run", ["← quicker · slower →", "typical time, s"])
    shown = tips(
        ("what", "event"), ("as_run", "as run", ".3f"), ("own", "own effect", ".3f"),
        ("published", "published", ".3f"),
    )  # fmt: skip
    layers = [
        span("rule", {"color": ink("quiet"), "strokeWidth": 1}, left, axis, "as_run", "own", tooltip=shown),
        marks(
            "tick", {"color": ink("soft"), "thickness": 3, "size": 14}, y=between, x=alt.X(**axis),
            tooltip=shown,
        ),
        marks(
            "point", {"color": ink("margin"), "size": 70, "shape": "diamond"},
            [row for row in rows if row["published"] is not None], y=between,
            x=at(axis, "published"), tooltip=shown,
        ),
        marks(
            "point", {"color": ink("quicker"), "size": 100, "filled": True, "shape": "circle"}, y=right,
            x=at(axis, "own"), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers)


def causes_chart(causes: Sequence[SpreadCause]) -> alt.TopLevelLayerSpec | None:
    """Draw how far each cause alone made runs of one event stray.

    Parameters
    ----------
    causes
        Of one response, the largest first.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without a cause.
    """
    rows: Rows = [
        {
            "row": f"{short_cause(one)}{CELL}{thousandths(one.seconds, sign=False)}",
            "what": one.label,
            "ms": rounded(1000 * one.seconds, 2),
            "share": percent(one.share),
        }
        for one in causes
    ]
    if not rows:
        return None
    left, _, right = ledger_rows(rows)
    axis = number("ms", "thousandths of a second", format=".0f")
    axis["scale"] = alt.Scale(zero=True, nice=True)
    shown = tips(("what", "made by"), ("ms", "thousandths", ".1f"), ("share", "share"))
    layers = [
        marks("bar", {"color": ink("wash"), "size": 14}, y=left, x=alt.X(**axis), tooltip=shown),
        marks(
            "tick", {"color": ink("ink"), "thickness": 3, "size": 16}, y=right, x=alt.X(**axis),
            tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers)


def short_cause(one: SpreadCause) -> str:
    """Name a cause in the room left of a bar."""
    return one.label.partition(":")[0]
