"""The runs of one night against what their setting, air and track led us to expect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import altair as alt

from pipeline.season.check_results import RunCheck
from reports.charts.common import (
    CELL,
    Rows,
    at,
    coded,
    ledger,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    rounded,
    span,
    tips,
    tone,
)
from reports.numbers import interval, seconds
from reports.theme import ink


def _tones() -> dict[str, str]:
    """Return the color of each direction; a run as expected stands in ink."""
    return {"quicker": ink("quicker"), "slower": ink("slower"), "quiet": ink("ink")}


def run_check_rows(checks: Sequence[RunCheck], run_words: Mapping[int, tuple[str, str]]) -> Rows:
    """Make one row a run.

    Parameters
    ----------
    checks
        Of one response.
    run_words
        By run_id: how the run is called on its row, and in full.
    """
    rows: Rows = []
    for check in checks:
        short, full = run_words[check.run_id]
        off = check.observed_s - check.expected_s
        rows.append(
            {
                "row": short + CELL + seconds(off, sign=True),
                "run": full,
                "observed": rounded(check.observed_s, 4),
                "expected": rounded(check.expected_s, 4),
                "low": rounded(check.low_s, 4),
                "high": rounded(check.high_s, 4),
                "range": interval(check.low_s, check.high_s),
                "off": seconds(off, sign=True),
                "flag": "flagged" if check.flagged else "as expected",
                "tone": tone(off, sure=check.flagged),
                "reason": check.reason or "–",
            }
        )
    return rows


def run_checks_chart(
    checks: Sequence[RunCheck], run_words: Mapping[int, tuple[str, str]]
) -> alt.TopLevelLayerSpec | None:
    """Draw each run of a night: the interval expected, and the time it made.

    Parameters
    ----------
    checks
        Of one response and one event, in the order run.
    run_words
        By run_id: how the run is called on its row, and in full.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None without a run.
    """
    rows = run_check_rows(checks, run_words)
    if not rows:
        return None
    left, between, right = ledger_rows(rows)
    axis = number("observed", quicker_slower("time, s"))
    shown = tips(("run", "run"), ("observed", "time", ".3f"), ("expected", "expected", ".3f"),
                 ("range", "interval"), ("off", "off by"), ("reason", "probable reason"))  # fmt: skip
    layers = [
        span(
            "bar", {"color": ink("wash"), "size": 14, "opacity": 0.8}, left, axis, "low", "high",
            tooltip=shown,
        ),
        marks(
            "tick", {"color": ink("soft"), "thickness": 2, "size": 14}, y=between,
            x=at(axis, "expected"), tooltip=shown,
        ),
        marks(
            "point", {"size": 110, "filled": True}, y=right, x=alt.X(**axis), tooltip=shown,
            color=coded(alt.Color, "tone", _tones()),
            shape=coded(alt.Shape, "flag", {"as expected": "circle", "flagged": "diamond"}),
        ),
    ]  # fmt: skip
    return ledger(rows, layers)
