"""The runs of one night against what their setting, air and track led us to expect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import altair as alt

from pipeline.season.check_results import RunCheck
from reports.charts.common import (
    CELL,
    Rows,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    rounded,
    row_height,
    stack,
    tips,
    tone,
)
from reports.numbers import interval, seconds
from reports.theme import ink


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
    tones = ["quicker", "slower", "quiet"]
    layers = [
        marks(
            "bar", {"color": ink("wash"), "size": 14, "opacity": 0.8}, y=left,
            x=alt.X(**{**axis, "field": "low"}), x2=alt.X2(field="high"), tooltip=shown,
        ),
        marks(
            "tick", {"color": ink("soft"), "thickness": 2, "size": 14}, y=between,
            x=alt.X(**{**axis, "field": "expected"}), tooltip=shown,
        ),
        marks(
            "point", {"size": 110, "filled": True}, y=right, x=alt.X(**axis), tooltip=shown,
            color=alt.Color(
                field="tone", type="nominal", legend=None,
                scale=alt.Scale(domain=tones, range=[ink("quicker"), ink("slower"), ink("ink")]),
            ),
            shape=alt.Shape(
                field="flag", type="nominal", legend=None,
                scale=alt.Scale(domain=["as expected", "flagged"], range=["circle", "diamond"]),
            ),
        ),
    ]  # fmt: skip
    return stack(rows, layers, height=row_height(rows), own_y_axes=True)
