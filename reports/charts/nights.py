"""Event by event: how consistent the car was, and how far each whole night was from its usual."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt
import polars as pl

from pipeline.season.check_results import NightCheck
from reports.charts.common import (
    CELL,
    LINE,
    PICKED,
    Rows,
    at,
    by_outcome,
    fade_others,
    launch_of,
    ledger,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    rounded,
    span,
    tips,
    tone,
    tone_color,
    zero_line,
)
from reports.numbers import seconds, short_day, thousandths
from reports.theme import ink

EVENT_STEP = 42
"""Height of an event's row: its runs lie in it from first (top) to last. [px]"""


def night_words(night: NightCheck) -> str:
    """Name an event shortly: its day and its name."""
    return f"{short_day(night.date)}{LINE}{night.event}"


def consistency_chart(
    nights: Sequence[NightCheck], runs: pl.DataFrame, column: str = "t60_s"
) -> alt.TopLevelLayerSpec | None:
    """Draw every run of every event on a ledger, with the typical time and where it was expected.

    Parameters
    ----------
    nights
        Of one response, in order of date.
    runs
        The ``runs`` table with ``run_words``.
    column
        The response's column of ``runs``.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without an event.
    """
    if not nights:
        return None
    rows: Rows = [
        {
            "row": night_words(night) + CELL + seconds(night.typical_s),
            "event": night.event,
            "typical": rounded(night.typical_s),
            "low": rounded(night.expected_low_s),
            "high": rounded(night.expected_high_s),
            "spread": rounded(1000 * night.spread_s, 1),
            "best": rounded(night.best_s),
        }
        for night in nights
    ]
    left, between, right = ledger_rows(rows)
    axis = number("typical", quicker_slower("time, s"))
    shown = tips(("event", "event"), ("typical", "typical", ".3f"), ("best", "best", ".3f"),
                 ("spread", "spread, thousandths", ".1f"))  # fmt: skip
    dots = _dots(nights, runs, column)
    layers = [
        span(
            "bar", {"color": ink("wash"), "size": 26, "opacity": 0.6}, left, axis, "low", "high",
            tooltip=shown,
        ),
        marks(
            "point", {"size": 42, "filled": True}, dots, y=between, x=at(axis, "time"),
            yOffset=alt.YOffset(field="place", type="quantitative", scale=alt.Scale(domain=[-0.35, 1.35])),
            **by_outcome(0.8),
            tooltip=tips(("run", "run"), ("time", "time", ".3f"), ("outcome", "outcome")),
        ),
        marks(
            "tick", {"color": ink("margin"), "thickness": 3, "size": 30}, y=right, x=alt.X(**axis),
            tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, step=EVENT_STEP, switches={PICKED: ""})


def nights_chart(nights: Sequence[NightCheck], picked: str = "") -> alt.TopLevelLayerSpec | None:
    """Draw ``the whole night`` of every event: its level against the car's usual.

    Parameters
    ----------
    nights
        Of one response, in order of date.
    picked
        The event to bring forward; empty for none.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without an event.
    """
    if not nights:
        return None
    usual = 1000 * nights[0].tau_s
    rows: Rows = [
        {
            "row": night_words(night) + CELL + thousandths(night.night_s),
            "event": night.event,
            "ms": rounded(1000 * night.night_s, 2),
            "low": rounded(1000 * night.night_low_s, 2),
            "high": rounded(1000 * night.night_high_s, 2),
            "runs": night.runs,
            "tone": tone(night.night_s, sure=night.night_low_s > 0 or night.night_high_s < 0),
        }
        for night in nights
    ]
    left, _between, right = ledger_rows(rows)
    axis = number("ms", quicker_slower("thousandths from usual"), format="+.0f")
    shown = tips(("event", "event"), ("ms", "night, thousandths", "+.1f"), ("low", "from", "+.1f"),
                 ("high", "to", "+.1f"), ("runs", "runs"))  # fmt: skip
    layers = [
        marks(
            "rect", {"color": ink("wash"), "opacity": 0.5}, [{"ms": -usual, "high": usual}],
            x=alt.X(**axis), x2=alt.X2(field="high"),
        ),
        zero_line(),
        span(
            "rule", {"strokeWidth": 2.5, "strokeCap": "round"}, left, axis, "low", "high", color=tone_color(),
            opacity=fade_others(1, 0.35), tooltip=shown,
        ),
        marks(
            "point", {"size": 90, "filled": True}, y=right, x=alt.X(**axis), color=tone_color(),
            opacity=fade_others(1, 0.35), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, step=EVENT_STEP - 4, switches={PICKED: picked})


def _dots(nights: Sequence[NightCheck], runs: pl.DataFrame, column: str) -> Rows:
    labels = {night.event: night_words(night) + CELL + seconds(night.typical_s) for night in nights}
    have = runs.drop_nulls([column]).filter(pl.col("event").is_in(list(labels)))
    most = dict(have.group_by("event").agg(pl.col("run_of_event").max()).iter_rows())
    return [
        {
            "row": labels[row["event"]],
            "event": row["event"],
            "run": row["run_words"],
            "time": rounded(row[column], 4),
            "place": round(((row["run_of_event"] or 1) - 1) / max(1, (most[row["event"]] or 1) - 1), 3),
            "launch": launch_of(row["outcome"]),
            "outcome": row["outcome"],
        }
        for row in have.iter_rows(named=True)
    ]
