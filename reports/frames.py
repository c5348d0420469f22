"""Small preparations of the ``runs`` table that several pages share."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import polars as pl

from pipeline.season.check_results import NightCheck
from pipeline.season.results import Response
from reports.numbers import of, short_day

USED_COLUMNS: dict[Response, str] = {"t60": "use_t60", "t60_330": "use_t60_330", "t330": "use_t330"}


def with_run_words(runs: pl.DataFrame) -> pl.DataFrame:
    """Add ``run_words``, which names a run in full, and ``run_short``, which names it within its event."""
    words = [_run_words(row) for row in runs.iter_rows(named=True)]
    short = [_run_short(row) for row in runs.iter_rows(named=True)]
    return runs.with_columns(
        pl.Series("run_words", words, dtype=pl.String), pl.Series("run_short", short, dtype=pl.String)
    )


def _run_words(row: dict[str, Any]) -> str:
    inside = ", ".join(str(row[key]) for key in ("round", "lane") if row.get(key))
    where = " ".join(part for part in (short_day(row.get("run_date")), str(row.get("event") or "")) if part)
    return f"{where}, run {row.get('run_of_event')}{f' ({inside})' if inside else ''}"


def _run_short(row: dict[str, Any]) -> str:
    at = row.get("run_at")
    clock = f"{at:%H:%M}" if at is not None and (at.hour or at.minute > 5) else ""
    return " ".join(
        part for part in (f"{row.get('run_of_event')}.", clock, str(row.get("round") or "")) if part
    )


def run_names(runs: pl.DataFrame) -> dict[int, tuple[str, str]]:
    """Return by run_id how a run is called within its event, and in full."""
    return {
        run_id: (short, full)
        for run_id, short, full in runs.select("run_id", "run_short", "run_words").iter_rows()
    }


def event_choices(runs: pl.DataFrame) -> list[dict[str, str]]:
    """List the events in order of date, with the words for a list to pick from."""
    if runs.is_empty():
        return []
    events = (
        runs.drop_nulls("event")
        .group_by("event")
        .agg(pl.col("run_date").min().alias("first"), pl.len().alias("runs"))
        .sort("first", "event")
    )
    return [
        {"event": event, "words": f"{short_day(first)} {event} ({of(count, 'run')})"}
        for event, first, count in events.iter_rows()
    ]


def first_and_last_day(runs: pl.DataFrame) -> tuple[Any, Any]:
    """Return the first and last date of the runs; None and None without any."""
    days = runs["run_date"].drop_nulls()
    return (days.min(), days.max())


def nights_of(nights: Sequence[NightCheck], response: str) -> list[NightCheck]:
    """Return the events of one response in order of date."""
    return sorted((night for night in nights if night.response == response), key=lambda night: night.date)


def used(runs: pl.DataFrame, response: Response) -> pl.DataFrame:
    """Keep the runs that count for a response."""
    column = USED_COLUMNS[response]
    return runs.filter(pl.col(column).fill_null(False)) if column in runs.columns else runs


def left_out(runs: pl.DataFrame) -> pl.DataFrame:
    """Keep the runs left out of something, with their reason."""
    return runs.filter(pl.col("left_out_reason").is_not_null())


def last_run_date(runs: pl.DataFrame) -> date | None:
    """Return the day of the last run, on which wear and next setting stand."""
    last = runs["run_date"].max()
    return last if isinstance(last, date) else None
