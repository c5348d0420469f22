"""Before and after: neighbouring runs of one event between which an adjustment changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import altair as alt

from pipeline.season.check_results import BeforeAfter
from reports.charts.common import (
    CELL,
    PICKED,
    Rows,
    at,
    fade_others,
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
from reports.numbers import thousandths
from reports.theme import ink
from reports.words import Setting, listed, setting

MOST_PAIRS = 24
"""More rows than this are left to the table."""


def pair_rows(
    pairs: Sequence[BeforeAfter], days: Mapping[str, str], words: Setting, known: Mapping[str, Setting]
) -> Rows:
    """Make one row a pair: what was changed, what the clock said, what the model gave to it."""
    rows: Rows = []
    for place, pair in enumerate(pairs, start=1):
        change = f"{words.bare(pair.value_before)} → {words.bare(pair.value_after)}"
        rows.append(
            {
                "row": f"{days.get(pair.event, pair.event)}: {change}{' ' * (place - 1)}"
                f"{CELL}{thousandths(pair.adjusted_s)}",
                "event": pair.event,
                "what": change,
                "as_run": rounded(1000 * pair.difference_s, 2),
                "ms": rounded(1000 * pair.adjusted_s, 2),
                "expected": rounded(1000 * pair.expected_s, 2),
                "also": listed(setting(name, known).label for name in pair.also_changed) or "nothing else",
                "tone": tone(pair.adjusted_s),
            }
        )
    return rows


def pairs_chart(
    pairs: Sequence[BeforeAfter], days: Mapping[str, str], words: Setting, known: Mapping[str, Setting]
) -> alt.TopLevelLayerSpec | None:
    """Draw before/after pairs on a ledger.

    Parameters
    ----------
    pairs
        Of one adjustment and one response.
    days
        By event: its short day.
    words, known
        How this adjustment, and others that changed with it, are written.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when the adjustment was never changed within an event.
    """
    rows = pair_rows(pairs[:MOST_PAIRS], days, words, known)
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("ms", quicker_slower("thousandths, after less before"), format="+.0f")
    shown = tips(("event", "event"), ("what", "changed"), ("as_run", "as run", "+.1f"),
                 ("ms", "the rest taken off", "+.1f"), ("expected", "the model gives", "+.1f"),
                 ("also", "also changed"))  # fmt: skip
    layers = [
        zero_line(),
        span(
            "rule", {"color": ink("quiet"), "strokeWidth": 1.5}, left, axis, "as_run", "ms",
            opacity=fade_others(0.9),
        ),
        marks(
            "point", {"color": ink("quiet"), "size": 50, "filled": False, "strokeWidth": 1.5}, y=between,
            x=at(axis, "as_run"), opacity=fade_others(), tooltip=shown,
        ),
        marks(
            "tick", {"color": ink("ink"), "thickness": 2.5, "size": 18}, y=between,
            x=at(axis, "expected"), opacity=fade_others(), tooltip=shown,
        ),
        marks(
            "point", {"size": 95, "filled": True}, y=right, x=alt.X(**axis), color=tone_color(),
            opacity=fade_others(), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, switches={PICKED: ""})
