"""The fleet: effects with how much cars differ, and one car's own estimates beside the pooled ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from pipeline.fleet.results import CarEffect, FleetEffect
from reports.charts.common import (
    CELL,
    LINE,
    Rows,
    at,
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
from reports.numbers import interval, thousandths
from reports.theme import ink
from reports.words import plain

FLEET_STEP = 38
PER_STEP = "thousandths of a second per step"


def fleet_rows(effects: Sequence[FleetEffect]) -> Rows:
    """Make one row an effect: its mean, its limits, and where two cars in three lie. [thousandths]."""
    return [
        {
            "row": f"{one.label}{LINE}{plain(one.step)}{CELL}{thousandths(one.mean_s)}",
            "what": f"{one.label}, {plain(one.step)}",
            "ms": rounded(1000 * one.mean_s, 2),
            "low": rounded(1000 * one.low_s, 2),
            "high": rounded(1000 * one.high_s, 2),
            "from": rounded(1000 * (one.mean_s - one.spread_s), 2),
            "to": rounded(1000 * (one.mean_s + one.spread_s), 2),
            "range": interval(one.low_s, one.high_s, 1, scale=1000),
            "spread": thousandths(one.spread_s, sign=False),
            "cars": one.cars,
            "tone": tone(one.mean_s, sure=one.low_s > 0 or one.high_s < 0),
        }
        for one in effects
    ]


def fleet_chart(effects: Sequence[FleetEffect]) -> alt.TopLevelLayerSpec | None:
    """Draw each effect's mean over the fleet on the band in which two cars in three lie.

    Parameters
    ----------
    effects
        Of one clutch type and one response.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without an effect.
    """
    rows = fleet_rows(effects)
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("ms", quicker_slower(PER_STEP), format="+.0f")
    shown = tips(("what", "step"), ("ms", "mean", "+.1f"), ("range", "limits of the mean"),
                 ("spread", "cars differ by"), ("cars", "cars"))  # fmt: skip
    layers = [
        span(
            "bar", {"color": ink("wash"), "size": 16, "opacity": 0.75}, left, axis, "from", "to",
            tooltip=shown,
        ),
        zero_line(),
        *_estimate(axis, between, right, shown),
    ]  # fmt: skip
    return ledger(rows, layers, step=FLEET_STEP)


def car_chart(effects: Sequence[CarEffect]) -> alt.TopLevelLayerSpec | None:
    """Draw one car's effects from its own runs (hollow) and with the fleet behind it (filled).

    Parameters
    ----------
    effects
        Of one car and one response.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without an effect.
    """
    rows: Rows = [
        {
            "row": f"{one.label}{LINE}{plain(one.step)}{CELL}{thousandths(one.pooled_s)}",
            "what": f"{one.label}, {plain(one.step)}",
            "own": rounded(1000 * one.own_s, 2),
            "own_low": rounded(1000 * one.own_low_s, 2),
            "own_high": rounded(1000 * one.own_high_s, 2),
            "ms": rounded(1000 * one.pooled_s, 2),
            "low": rounded(1000 * one.pooled_low_s, 2),
            "high": rounded(1000 * one.pooled_high_s, 2),
            "own_range": interval(one.own_low_s, one.own_high_s, 1, scale=1000),
            "range": interval(one.pooled_low_s, one.pooled_high_s, 1, scale=1000),
            "tone": tone(one.pooled_s, sure=one.pooled_low_s > 0 or one.pooled_high_s < 0),
        }
        for one in effects
    ]
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("ms", quicker_slower(PER_STEP), format="+.0f")
    shown = tips(("what", "step"), ("own", "own runs alone", "+.1f"), ("own_range", "between"),
                 ("ms", "with the fleet", "+.1f"), ("range", "between"))  # fmt: skip
    layers = [
        span(
            "rule", {"color": ink("quiet"), "strokeWidth": 1.5, "yOffset": -6}, left, axis,
            "own_low", "own_high", tooltip=shown,
        ),
        marks(
            "point", {"color": ink("quiet"), "size": 60, "filled": False, "strokeWidth": 1.8, "yOffset": -6},
            y=between, x=at(axis, "own"), tooltip=shown,
        ),
        zero_line(),
        *_estimate(axis, between, right, shown, offset=6),
    ]  # fmt: skip
    return ledger(rows, layers, step=FLEET_STEP)


def _estimate(
    axis: dict[str, Any], between: alt.Y, right: alt.Y, shown: list[alt.Tooltip], *, offset: int = 0
) -> list[alt.UnitSpec]:
    return [
        span(
            "rule", {"strokeWidth": 2.5, "strokeCap": "round", "yOffset": offset}, between, axis,
            "low", "high", color=tone_color(), tooltip=shown,
        ),
        marks(
            "point", {"size": 100, "filled": True, "shape": "diamond", "yOffset": offset}, y=right,
            x=alt.X(**axis), color=tone_color(), tooltip=shown,
        ),
    ]  # fmt: skip
