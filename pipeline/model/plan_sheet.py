"""The printable sheet of a test plan: timeslips with the settings filled in, which ingest reads back."""

from __future__ import annotations

from collections.abc import Mapping

from pipeline.dictionary import SETUPS, TIMESLIPS
from pipeline.model.limits import COLUMNS
from pipeline.model.results import TestPlan


def plan_sheet_rows(
    plan: TestPlan, *, car: str, venue: str | None = None, labels: Mapping[str, str] | None = None
) -> list[list[str]]:
    """Write the plan as a timeslip sheet with the settings filled in and the rest to be written.

    Parameters
    ----------
    plan
        What ``plan_runs`` gave.
    car, venue
        Written on every row; venue may stay empty.
    labels
        Headings of the extra adjustments, by name; their names when None.

    Returns
    -------
    list of rows
        The headings first. They are the ones ingest knows, units in them where they have one.
    """
    settings = list(dict.fromkeys(name for run in plan.runs for name in run.settings))
    before = ("date", "time", "car", "venue", "event", "round", "lane")
    slip = ("reaction_s", "t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph")
    headings = [*before, *(_setting_heading(name, labels or {}) for name in settings)]
    headings += ["track temp (F)", *(_slip_heading(name) for name in slip), "outcome", "notes"]
    rows = [headings]
    for run in plan.runs:
        filled = [f"{run.settings[name]:g}" if name in run.settings else "" for name in settings]
        note = f"test run {run.order}, clutch setting {run.block}: {run.why}"
        rows.append(["", "", car, venue or "", "", "", "", *filled, *[""] * (len(slip) + 2), note])
    return rows


def _slip_heading(name: str) -> str:
    column = TIMESLIPS.column(name)
    return f"{column.heading} (s)" if column.unit == "s" else column.heading


def _setting_heading(name: str, labels: Mapping[str, str]) -> str:
    if name not in COLUMNS:
        return labels.get(name, name)
    column = SETUPS.column(COLUMNS[name])
    return column.heading if column.unit in {"turn", "rpm"} else f"{column.heading} ({column.unit})"
