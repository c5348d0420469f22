"""The waterfall: how the mean time went from one set of runs to another, factor by factor."""

from __future__ import annotations

import itertools

import altair as alt

from pipeline.season.results import Period, SeasonChange
from reports.charts.common import (
    CELL,
    Rows,
    at,
    ledger,
    ledger_rows,
    marks,
    number,
    quicker_slower,
    span,
    tips,
    tone,
    tone_color,
)
from reports.numbers import interval, seconds, short_day, thousandths
from reports.theme import ink


def waterfall_rows(change: SeasonChange) -> Rows:
    """Make one row a part, between a row for the first runs and a row for the last.

    Returns
    -------
    list of dict
        ``row``; ``start``, ``end`` of the bar and ``low``, ``high`` of its end, in s; ``next`` is
        the row the level is handed on to; ``tone``; ``figure`` and ``range`` in thousandths.
    """
    level = change.from_period.mean_s
    rows: Rows = [_period_row("from", _period_words(change.from_period), level)]
    for part in change.parts:
        end = level + part.seconds
        rows.append(
            {
                "row": part.label.partition(",")[0] + CELL + thousandths(part.seconds),
                "what": part.label,
                "start": round(level, 5),
                "end": round(end, 5),
                "low": round(level + part.low_s, 5),
                "high": round(level + part.high_s, 5),
                "tone": tone(part.seconds, sure=part.low_s > 0 or part.high_s < 0),
                "figure": thousandths(part.seconds),
                "range": interval(part.low_s, part.high_s, 1, scale=1000),
            }
        )
        level = end
    end = level + change.unexplained_s
    rows.append(
        {
            "row": "unexplained" + CELL + thousandths(change.unexplained_s),
            "what": "unexplained",
            "start": round(level, 5),
            "end": round(end, 5),
            "tone": "quiet",
            "figure": thousandths(change.unexplained_s),
            "range": "what is left over",
        }
    )
    rows.append(_period_row("to", _period_words(change.to_period), end))
    for row, following in itertools.pairwise(rows):
        row["next"] = following["row"]
    return rows


def waterfall_chart(change: SeasonChange) -> alt.TopLevelLayerSpec | None:
    """Draw a change of the mean time as steps down a ledger.

    Parameters
    ----------
    change
        Parts that add up to the total.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when there is no part to show.
    """
    if not change.parts:
        return None
    rows = waterfall_rows(change)
    left, between, right = ledger_rows(rows)
    axis = number("start", quicker_slower("mean time, s"), padding=14)
    shown = tips(("what", "factor"), ("figure", "thousandths"), ("range", "interval"), ("end", "to", ".3f"))
    layers = [
        marks(
            "rule", {"color": ink("quiet"), "strokeWidth": 1}, [row for row in rows if "next" in row],
            x=at(axis, "end"), y=left, y2=alt.Y2(field="next"),
        ),
        span("bar", {"size": 15}, between, axis, "start", "end", color=tone_color(), tooltip=shown),
        span("rule", {"color": ink("ink"), "strokeWidth": 1.5}, between, axis, "low", "high", tooltip=shown),
        marks(
            "tick", {"color": ink("ink"), "thickness": 4, "size": 22, "opacity": 1},
            [row for row in rows if row.get("is_period")], y=right, x=at(axis, "end"), tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers)


def _period_words(period: Period) -> str:
    first, last_day = short_day(period.first_date), short_day(period.last_date)
    return first if first == last_day else f"{first} to {last_day}"


def _period_row(which: str, words: str, mean_s: float) -> dict[str, object]:
    mark = "start" if which == "from" else "end"
    return {
        "row": f"{words}{CELL}{seconds(mean_s)}",
        "what": f"{mark}: {words}",
        "start": round(mean_s, 5),
        "end": round(mean_s, 5),
        "tone": "ink",
        "is_period": True,
        "figure": "mean",
        "range": "mean of the runs",
    }
