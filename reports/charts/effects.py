"""Effects with their intervals: one ledger row an adjustment, zero in the middle of the argument."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import altair as alt

from pipeline.season.results import Effect, JointEffect
from reports.charts.common import (
    CELL,
    LINE,
    Rows,
    coded,
    ledger,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    span,
    tips,
    tone,
    tone_codes,
    tone_color,
    zero_line,
)
from reports.numbers import interval, thousandths
from reports.theme import VERDICT_SHAPES, ink
from reports.words import Setting, listed, plain, setting, step_words, verdict_words

EFFECT_STEP = 38
"""Height of a row with the adjustment above its step. [px]"""


def effect_rows(effects: Iterable[Effect], known: Mapping[str, Setting]) -> Rows:
    """Make one row an effect, more where a cool and a hot track differ, and one a tangled pair.

    Returns
    -------
    list of dict
        ``row`` (words and figure), ``ms``, ``low``, ``high`` (thousandths of a second per step),
        ``visible`` (smallest effect that would have shown), ``verdict``, ``tone``, ``says``.
    """
    rows: Rows = []
    joints: set[frozenset[str]] = set()
    for effect in effects:
        rows.append(_effect_row(effect, known))
        rows += [
            _track_row(effect, where, values, known)
            for where, values in (("cool", effect.at_cool), ("hot", effect.at_hot))
            if values is not None
        ]
        if effect.joint is not None and frozenset(effect.joint.adjustments) not in joints:
            joints.add(frozenset(effect.joint.adjustments))
            rows.append(_joint_row(effect.joint, known))
    return rows


def effects_chart(effects: Iterable[Effect], known: Mapping[str, Setting]) -> alt.TopLevelLayerSpec | None:
    """Draw effects of one response as dots with intervals on a ledger.

    Parameters
    ----------
    effects
        Of one response.
    known
        How adjustments are called.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when no effect has a number.
    """
    rows = effect_rows(effects, known)
    if all(row["ms"] is None for row in rows):
        return None
    left, between, right = ledger_rows(rows)
    axis = number("ms", quicker_slower("thousandths of a second per step"), format="+.0f")
    shown = tips(("what", "step"), ("figure", "thousandths"), ("range", "interval"), ("says", "verdict"))
    hollow = {**tone_codes(), "hollow": ink("slip")}
    layers = [
        span(
            "bar", {"color": ink("shade"), "size": 14, "opacity": 0.75}, left, axis,
            "unseen_low", "unseen_high", tooltip=shown,
        ),
        zero_line(),
        span(
            "rule", {"strokeWidth": 2.5, "strokeCap": "round"}, between, axis, "low", "high",
            color=tone_color(), tooltip=shown,
        ),
        marks(
            "point", {"size": 120, "filled": False, "strokeWidth": 2}, y=right, x=alt.X(**axis),
            stroke=coded(alt.Stroke, "tone", tone_codes()), fill=coded(alt.Fill, "filled", hollow),
            shape=coded(alt.Shape, "verdict", VERDICT_SHAPES), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, step=EFFECT_STEP)


def _effect_row(effect: Effect, known: Mapping[str, Setting]) -> dict[str, object]:
    words = step_words(effect, known)
    label, step = setting(effect.adjustment, known).label, plain(effect.step)
    figure = thousandths(effect.per_step_s) if effect.per_step_s is not None else "–"
    direction = tone(effect.per_step_s, sure=effect.verdict != "no_sign")
    unseen = effect.smallest_visible_s if effect.verdict == "no_sign" else None
    return {
        "row": f"{label}{LINE}{step}{CELL}{figure}",
        "what": words,
        "figure": figure,
        "range": interval(effect.low_s, effect.high_s, 1, scale=1000),
        "ms": _ms(effect.per_step_s),
        "low": _ms(effect.low_s),
        "high": _ms(effect.high_s),
        "unseen_low": None if unseen is None else -_ms(unseen),
        "unseen_high": _ms(unseen),
        "verdict": effect.verdict,
        "tone": direction,
        "filled": direction if effect.verdict == "moved" else "hollow",
        "says": verdict_words(effect, known),
    }


def _track_row(
    effect: Effect, where: str, values: tuple[float, float, float], known: Mapping[str, Setting]
) -> dict[str, object]:
    """Near its best an average slope is about zero even when it matters: show it where it bites."""
    value, low, high = values
    sure = low > 0 or high < 0
    label = setting(effect.adjustment, known).label
    direction = tone(value, sure=sure)
    return {
        "row": f"{label}{LINE}on a {where} track{CELL}{thousandths(value)}",
        "what": f"{label}, {effect.step}, on a {where} track",
        "figure": thousandths(value),
        "range": interval(low, high, 1, scale=1000),
        "ms": _ms(value),
        "low": _ms(low),
        "high": _ms(high),
        "unseen_low": None,
        "unseen_high": None,
        "verdict": "moved" if sure else "no_sign",
        "tone": direction,
        "filled": direction if sure else "hollow",
        "says": f"on a {where} track",
    }


def _joint_row(joint: JointEffect, known: Mapping[str, Setting]) -> dict[str, object]:
    sure = joint.low_s > 0 or joint.high_s < 0
    labels = [setting(name, known).label for name in joint.adjustments]
    names = listed(labels)
    direction = tone(joint.per_step_s, sure=sure)
    return {
        "row": f"{labels[0]} and{LINE}{listed(labels[1:])} together{CELL}{thousandths(joint.per_step_s)}",
        "what": f"{names} together: {joint.step}",
        "figure": thousandths(joint.per_step_s),
        "range": interval(joint.low_s, joint.high_s, 1, scale=1000),
        "ms": _ms(joint.per_step_s),
        "low": _ms(joint.low_s),
        "high": _ms(joint.high_s),
        "unseen_low": None,
        "unseen_high": None,
        "verdict": "moved" if sure else "no_sign",
        "tone": direction,
        "filled": direction if sure else "hollow",
        "says": "as they were run, stepped together",
    }


def _ms(value_s: float | None) -> float:
    # Typed as a number for arithmetic above; nothing in, nothing out.
    return None if value_s is None else round(1000 * value_s, 2)  # type: ignore[return-value]
