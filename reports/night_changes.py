"""Run by run through one night: every setting, and what was changed between runs."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import polars as pl
from markupsafe import Markup

from pipeline.garage.factors import ADJUSTMENTS, columns_of, extras_of
from pipeline.season.check_results import RunCheck
from reports.numbers import UNKNOWN, fixed, seconds
from reports.page import Table
from reports.words import Setting, listed, setting

BAR_HALF_S = 0.04
"""An offset of this size fills half of the small bar beside it. [s]"""
BUILT_IN = columns_of(ADJUSTMENTS)


def settings_of_run(row: Mapping[str, Any]) -> dict[str, float]:
    """Return a run's settings by adjustment, extras with them; what is not known is left out."""
    settings = {name: row.get(column) for name, column in BUILT_IN.items()}
    settings |= extras_of(row.get("extras"))
    return {name: float(value) for name, value in settings.items() if value is not None}


def run_table_rows(
    runs: pl.DataFrame, checks: Mapping[int, RunCheck], known: Mapping[str, Setting]
) -> list[dict[str, Any]]:
    """Prepare one row a run: its setting, air and track, its time, how far off."""
    rows = []
    for row in runs.iter_rows(named=True):
        check = checks.get(row["run_id"])
        off = None if check is None else check.observed_s - check.expected_s
        rows.append(
            {
                "name": row["run_short"],
                "lane": row.get("lane") or "",
                "t60": seconds(row.get("t60_s")),
                "off": seconds(off, sign=True),
                "bar": offset_bar(off),
                "flagged": check.flagged if check is not None else False,
                "t330": seconds(row.get("t330_s")),
                "settings": [
                    setting(name, known).text(value)
                    if name in BUILT_IN
                    else f"{setting(name, known).label} {setting(name, known).bare(value)}"
                    for name, value in settings_of_run(row).items()
                ],
                "track": _with(row.get("track_temp_degf"), 0, "°F"),
                "air": f"{_with(row.get('air_temp_degf'), 0, '°F')}, "
                f"{_with(row.get('density_altitude_ft'), 0, 'ft')}",
                "outcome": row.get("outcome") or "",
                "notes": row.get("notes") or "",
            }
        )
    return rows


def changes_table(
    runs: pl.DataFrame, checks: Mapping[int, RunCheck], known: Mapping[str, Setting]
) -> Table | None:
    """Make the table of what was changed between runs, and what followed; None when nothing was."""
    rows = []
    for before, after in pairwise(runs.iter_rows(named=True)):
        had, has = settings_of_run(before), settings_of_run(after)
        changed = [name for name in has if name in had and has[name] != had[name]]
        if not changed:
            continue
        words = listed(
            f"{setting(name, known).label} {setting(name, known).bare(had[name])} → "
            f"{setting(name, known).text(has[name])}"
            for name in changed
        )
        first, second = checks.get(before["run_id"]), checks.get(after["run_id"])
        followed = expected = None
        if before.get("t60_s") is not None and after.get("t60_s") is not None:
            followed = after["t60_s"] - before["t60_s"]
        if first is not None and second is not None:
            expected = second.expected_s - first.expected_s
        rows.append(
            (
                f"{before['run_of_event']} → {after['run_of_event']}",
                words,
                seconds(followed, sign=True),
                seconds(expected, sign=True),
                str(after.get("outcome") or ""),
            )
        )
    if not rows:
        return None
    return Table(
        caption="What was changed between runs, and what the 60 ft did",
        headings=("runs", "changed", "60 ft, s", "expected, s", "how it went"),
        rows=tuple(rows),
        figures=frozenset({2, 3}),
    )


def offset_bar(off_s: float | None) -> Markup:
    """Draw a small bar left or right of zero; the number beside it says the same."""
    if off_s is None:
        return Markup("<span></span>")
    width = min(1.0, abs(off_s) / BAR_HALF_S) * 44
    start = 44 - width if off_s < 0 else 44
    kind = "g-q" if off_s < 0 else "g-s"
    return Markup(
        '<svg class="offbar" viewBox="0 0 88 14" preserveAspectRatio="none" aria-hidden="true" '
        'focusable="false">'
        '<rect class="{}" x="{}" y="3" width="{}" height="8"/><path class="g-zero" d="M44 0V14"/></svg>'
    ).format(kind, round(start, 1), round(width, 1))


def _with(value: float | None, decimals: int, unit: str) -> str:
    return UNKNOWN if value is None else f"{fixed(value, decimals)} {unit}"
