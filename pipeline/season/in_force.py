"""The setting in force now, and which entries about it wait for an answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import polars as pl

from pipeline.garage.factors import ADJUSTMENTS, columns_of, extras_of

COLUMNS = columns_of(ADJUSTMENTS)

WEAR_COLUMNS = ("ring_height_in", "shim_removed_in")
"""Columns of a check on which the least safe preload depends."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """An entry in question on which the present setting, or a limit of it, depends.

    Attributes
    ----------
    adjustment
        What it leaves unknown; ``wear`` for a check of the clutch, ``setup`` for a row that may set anything.
    sentence
        Place, entry, what is wrong with it and the suggested reading, for the person.
    typed
        The number as it was typed, when it is one.
    """

    adjustment: str
    sentence: str
    typed: float | None = None


def present_settings(
    runs: pl.DataFrame, setups: pl.DataFrame | None = None, extras: Iterable[str] = ()
) -> dict[str, float]:
    """Read the setting in force now, in own units.

    Parameters
    ----------
    runs
        One car's runs; each adjustment's last known value counts.
    setups
        Its changes of the setup, when known: those after the last run override it.
    extras
        Names of the extra adjustments.
    """
    present: dict[str, float] = {}
    frames = [runs.sort("run_at", "run_id", nulls_last=False)]
    later = after_the_runs(runs, setups)
    if later is not None:
        frames.append(later)
    for frame in frames:
        for name, column in COLUMNS.items():
            value = _last_number(frame[column]) if column in frame.columns else None
            if value is not None:
                present[name] = value
        present |= _last_extras(frame, set(extras))
    return present


def after_the_runs(runs: pl.DataFrame, setups: pl.DataFrame | None) -> pl.DataFrame | None:
    """Pick the changes of the setup made since the last run, in order; None when there can be none.

    Before the first run all of them count.
    """
    if setups is None or setups.is_empty():
        return None
    last = runs["run_at"].max() if runs.height else None
    if runs.height and last is None:
        return None
    since = pl.col("set_at").is_not_null() if last is None else pl.col("set_at") > last
    order = [name for name in ("set_at", "entry_order") if name in setups.columns]
    return setups.filter(since).sort(order)


def last_known(frame: pl.DataFrame | None, column: str) -> float | None:
    """Return the last number of a column in order of runs; None when there is none."""
    if frame is None or column not in frame.columns:
        return None
    order = [name for name in ("run_at", "run_id") if name in frame.columns]
    own = frame.select(*order, column)  # to put all its columns in order takes longer
    return _last_number((own.sort(order) if order else own)[column])


def _last_number(values: pl.Series) -> float | None:
    known = values.cast(pl.Float64).drop_nulls().drop_nans()
    return float(known[-1]) if known.len() else None


def _last_extras(frame: pl.DataFrame, names: set[str]) -> dict[str, float]:
    found: dict[str, float] = {}
    if "extras" not in frame.columns:
        return found
    for entry in frame["extras"].to_list():
        found |= {key: value for key, value in extras_of(entry).items() if key in names}
    return found


# --- what waits for an answer


def doubts_in_force(
    runs: pl.DataFrame,
    setups: pl.DataFrame,
    checks: pl.DataFrame,
    questions: pl.DataFrame,
    labels: Mapping[str, str],
) -> tuple[Doubt, ...]:
    """Find the entries in question on which the present setting, or a limit of it, depends.

    Parameters
    ----------
    runs, setups, checks
        One car's rows of those tables, with ``questioned``.
    questions
        The questions about its rows that wait for an answer.
    labels
        Every adjustment of the car, with the words for it.

    Returns
    -------
    tuple of Doubt
        One for each adjustment whose latest entry waits, then those of the clutch's checks.
    """
    asked = list(questions.iter_rows(named=True))
    found = []
    for name, label in labels.items():
        row = _latest_in_question(name, runs, setups)
        if row is not None:
            found.append(_doubt(name, row, name, label, asked))
    last = checks.filter(pl.col("checked_at").is_not_null()).sort("checked_at", "entry_order")
    measured = [row for row in last.iter_rows(named=True) if row["ring_height_in"] is not None]
    for row in checks.iter_rows(named=True):
        column = next((name for name in WEAR_COLUMNS if name in row["questioned"]), None)
        column = column or ("checked_at" if row["checked_at"] is None else None)
        if column is not None and not (measured and _order(row) < _order(measured[-1])):
            found.append(_doubt("wear", row, column, "the clutch check", asked))
    return tuple(found)


def _order(check: Mapping[str, Any]) -> tuple[int, Any]:
    """Order checks by moment; one whose date waits counts as the latest, for it may be."""
    at = check["checked_at"]
    return (1, check["row"]) if at is None else (0, at)


def _latest_in_question(name: str, runs: pl.DataFrame, setups: pl.DataFrame) -> Mapping[str, Any] | None:
    """Return the row that leaves an adjustment's present value in question; None when it is known."""
    dated = setups.filter(pl.col("set_at").is_not_null()).sort("set_at", "entry_order")
    last_run = runs.filter(pl.col("run_at").is_not_null()).sort("run_at", "run_id").tail(1)
    run = next(last_run.iter_rows(named=True), None)
    entries = [row for row in dated.iter_rows(named=True) if _says(row, name)]
    undated = [
        row
        for row in setups.filter(pl.col("set_at").is_null()).iter_rows(named=True)
        if _says(row, name) and not any(_comes_after(other, row) for other in entries)
    ]
    if undated:
        return undated[-1]
    since = [row for row in entries if run is None or row["set_at"] > run["run_at"]]
    if since:
        return since[-1] if _in_question(since[-1], name) else None
    if run is None or not _in_question(run, name):
        return None
    before = [row for row in entries if _in_question(row, name)]
    return before[-1] if before and before[-1] is entries[-1] else run


def _comes_after(dated: Mapping[str, Any], undated: Mapping[str, Any]) -> bool:
    """Whether a dated row stands below an undated one on the same sheet: rows are written in order."""
    same = (dated["file"], dated["sheet"]) == (undated["file"], undated["sheet"])
    return same and dated["row"] > undated["row"]


def _says(row: Mapping[str, Any], name: str) -> bool:
    """Whether a row of the setups sheet says anything of an adjustment, in question or not."""
    value = row.get(COLUMNS[name]) if name in COLUMNS else extras_of(row.get("extras")).get(name)
    return value is not None or _in_question(row, name)


def _in_question(row: Mapping[str, Any], name: str) -> bool:
    column = COLUMNS.get(name, name)
    return any(asked in (column, f"extra:{column}") for asked in row["questioned"] or ())


def _doubt(
    adjustment: str, row: Mapping[str, Any], name: str, label: str, asked: Iterable[Mapping[str, Any]]
) -> Doubt:
    """Put a doubt in words: place, entry, what is wrong with it and the suggested reading."""
    column = COLUMNS.get(name, name)
    columns = {column, f"extra:{column}"}
    if row.get("set_at", row.get("checked_at", row.get("run_at"))) is None:
        columns |= {"date", "time"}
    place = (row["file"], row["sheet"], row["row"])
    mine = [one for one in asked if (one["file"], one["sheet"], one["row"]) == place]
    sheet = f" ({row['sheet']})" if row["sheet"] else ""
    where = f"{row['file']}{sheet}, row {row['row']}"
    one = next((one for one in mine if one["column"] in columns), None)
    if one is None:
        return Doubt(adjustment, f"{where}: {label} is in question.")
    entry = f" {one['value']!r}" if one["value"] else ""
    what = f"the {one['column']} of {label}" if one["column"] in ("date", "time") else label
    reading = f" Perhaps {one['suggestion']}." if one["suggestion"] else ""
    return Doubt(
        adjustment, f"{where}: {what}{entry} is in question. {one['problem']}{reading}", _number(one["value"])
    )


def _number(typed: str | None) -> float | None:
    try:
        return float(typed or "")
    except ValueError:
        return None
