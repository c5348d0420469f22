"""Every run of a season in one table: its setting, air and track, and how far off expectation it came."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import polars as pl

from pipeline.season.check_results import RunCheck
from reports.night_changes import settings_of_run
from reports.numbers import fixed, seconds, short_day
from reports.words import Setting, setting


@dataclass(frozen=True, slots=True)
class RunRow:
    """One row: its cells as text, its event, and which of the picks of the list it belongs to."""

    event: str
    cells: tuple[str, ...]
    picks: str


@dataclass(frozen=True, slots=True)
class EveryRun:
    """The table: its headings, which of its columns hold figures, and its rows in the order run."""

    headings: tuple[str, ...]
    figures: frozenset[int]
    rows: tuple[RunRow, ...]
    outside: int


def side_of_bar(check: RunCheck) -> str:
    """Say on which side of its own bar a run came; empty for one inside."""
    if check.low_s <= check.observed_s <= check.high_s:
        return ""
    return "slower" if check.observed_s > check.high_s else "quicker"


def every_run(
    runs: pl.DataFrame, checks: Mapping[int, RunCheck], known: Mapping[str, Setting]
) -> EveryRun | None:
    """Put every run of a car into one table.

    Parameters
    ----------
    runs
        Rows of ``runs`` of one car, with ``run_words``.
    checks
        What was expected of each run's 60 ft, by run.
    known
        How adjustments are called.

    Returns
    -------
    EveryRun or None
        None without a run.
    """
    if runs.is_empty():
        return None
    rows = list(runs.sort("run_at", "run_id", nulls_last=True).iter_rows(named=True))
    settings = [settings_of_run(row) for row in rows]
    names = list(dict.fromkeys(name for each in settings for name in each))
    words = [setting(name, known) for name in names]
    headings = (
        "run", "event", "round", "lane", *(heading(one) for one in words),
        "air, °F", "density altitude, ft", "track, °F", "60 ft, s", "expected, s", "off by, s", "own bar",
        "how it went", "left out, and why",
    )  # fmt: skip
    made = tuple(
        _row(row, [words[i].bare(own.get(name)) for i, name in enumerate(names)], checks.get(row["run_id"]))
        for row, own in zip(rows, settings, strict=True)
    )
    last = 4 + len(names) + 6
    outside = sum(1 for one in made if "b" in one.picks)
    return EveryRun(headings, frozenset(range(4, last)), made, outside)


def heading(one: Setting) -> str:
    """Return a column's heading: the adjustment and its unit."""
    unit = one.plural or one.unit
    return f"{one.label}, {unit}" if unit and not one.label.endswith(unit) else one.label


def _row(row: Mapping[str, Any], settings: list[str], check: RunCheck | None) -> RunRow:
    off = None if check is None else check.observed_s - check.expected_s
    side = "" if check is None else side_of_bar(check)
    reason = str(row.get("left_out_reason") or "")
    cells = (
        f"{short_day(row.get('run_date'))}, {row.get('run_of_event')}",
        str(row.get("event") or ""),
        str(row.get("round") or ""),
        str(row.get("lane") or ""),
        *settings,
        fixed(row.get("air_temp_degf"), 0),
        fixed(row.get("density_altitude_ft"), 0),
        fixed(row.get("track_temp_degf"), 0),
        seconds(row.get("t60_s")),
        seconds(None if check is None else check.expected_s),
        seconds(off, sign=True),
        side or ("" if check is None else "inside"),
        str(row.get("outcome") or ""),
        reason,
    )
    picks = f"{'c' if check is not None else ''}{'o' if reason else ''}{'b' if side else ''}"
    return RunRow(str(row.get("event") or ""), cells, picks)
