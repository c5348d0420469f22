"""The figures of the clutch on the season's page: wear, bearing clearance, and load at launch."""

from __future__ import annotations

import statistics
from dataclasses import dataclass, field

import polars as pl

from pipeline.decide.results import LoadsThatHold
from pipeline.season.results import Wear
from reports.charts.clearance import clearance_chart, clearance_rows
from reports.charts.common import Rows
from reports.charts.load_at_launch import load_at_launch_chart, load_rows
from reports.charts.wear import wear_chart
from reports.numbers import fixed, seconds
from reports.page import Figure, Table
from reports.words import RUN_MARKS, listed

LOAD_CLASSES = 5
"""Rows of the table of loads: as many runs in each as can be."""


@dataclass(frozen=True, slots=True)
class ClutchRecord:
    """What garage.toml and the checks say of the clutch.

    Attributes
    ----------
    service_due_in
        Ring height at which service is due. [in]
    clearance_wanted_in
        Least bearing clearance. [in]
    holds
        Plate loads that hold the engine's greatest torque.
    checks
        The car's rows of ``clutch_checks``.
    """

    service_due_in: float | None = None
    clearance_wanted_in: float | None = None
    holds: LoadsThatHold | None = None
    checks: pl.DataFrame = field(default_factory=pl.DataFrame)


def clutch_figures(
    runs: pl.DataFrame, counted: pl.DataFrame, wear: Wear | None, clutch: ClutchRecord
) -> list[Figure]:
    """Make the figures in the order of the page.

    Parameters
    ----------
    runs, counted
        All runs, and those that count for 60 ft, with ``run_words``.
    wear
        None when it could not be worked out.
    clutch
        What garage.toml and the checks say.
    """
    return [
        wear_figure(runs, wear, clutch.service_due_in),
        clearance_figure(clutch.checks, clutch.clearance_wanted_in),
        load_figure(counted, clutch.holds),
    ]


def wear_figure(runs: pl.DataFrame, wear: Wear | None, service_due_in: float | None) -> Figure:
    """Make the figure of ring height by run."""
    return Figure(
        key="wear",
        title="Ring height, run by run",
        reads="Measured at checks, filled in between over runs made. A step down is a service.",
        spoken=wear.sentence if wear is not None else "Ring height by run.",
        chart=wear_chart(runs, service_due_in),
        empty="Ring height was not measured often enough to draw. Two caliper readings between services "
        "are a start.",
        marks=(("dash", "service"),),
    )


def clearance_figure(checks: pl.DataFrame, wanted_in: float | None) -> Figure:
    """Make the figure of bearing clearance by check."""
    rows = clearance_rows(checks)
    return Figure(
        key="clearance",
        title="Bearing clearance, check by check",
        reads="A line starts anew where the clearance was set. Below the least wanted the bearing may ride "
        "on the levers and let the clutch slip.",
        spoken="Bearing clearance: "
        + listed(f"{one['day']} {fixed(one['clearance'], 3)} in" for one in rows),
        chart=clearance_chart(checks, wanted_in),
        empty="Bearing clearance was measured once or never; two checks show which way it goes.",
        table=Table(
            caption="Bearing clearance at each check",
            headings=("checked", "runs made", "clearance, in"),
            rows=tuple((one["day"], str(one["n"]), fixed(one["clearance"], 3)) for one in rows),
            figures=frozenset({1, 2}),
        ),
    )


def load_figure(counted: pl.DataFrame, holds: LoadsThatHold | None) -> Figure:
    """Make the figure of plate load at launch against the 60 ft time."""
    rows = sorted(load_rows(counted), key=lambda row: float(row["load"]))
    return Figure(
        key="load-at-launch",
        title="Plate load at launch and 60 ft",
        reads="Each mark is a run, by what pressed the plates together at its launch rpm: preload left after "
        f"wear, and the counterweights. Air and track are not taken off.{held_words(holds)}",
        spoken="60 ft by plate load at launch: "
        + listed(f"{load} lb {t60} s" for load, _, t60, _ in _classes(rows)),
        chart=load_at_launch_chart(counted, holds),
        empty="It takes runs with preload, counterweight and launch rpm, and the clutch's figures in "
        "garage.toml, to know the load at launch.",
        table=Table(
            caption="60 ft by plate load at launch",
            headings=("plate load, lb", "runs", "typical 60 ft, s", "spun or bogged"),
            rows=_classes(rows),
            figures=frozenset({1, 2, 3}),
        ),
        marks=RUN_MARKS,
    )


def held_words(holds: LoadsThatHold | None) -> str:
    """Say from which plate load on the engine is held; empty where garage.toml lacks a figure."""
    if holds is None:
        return ""
    return (
        f" With the friction of garage.toml the engine’s {fixed(holds.engine_lb_ft, 0)} lb-ft are held from "
        f"{fixed(holds.from_lb, 0)} lb (most friction) or {fixed(holds.to_lb, 0)} lb (least friction) on; "
        "below that the disc slips at full torque. The levers add load as rpm rises."
    )


def _classes(rows: Rows) -> tuple[tuple[str, str, str, str], ...]:
    """Put runs in rising order of load into classes of one size: loads, runs, typical time, gone wrong."""
    size = -(-len(rows) // LOAD_CLASSES)
    found = []
    for start in range(0, len(rows), size or 1):
        some = rows[start : start + size]
        loads = f"{fixed(some[0]['load'], 0)} to {fixed(some[-1]['load'], 0)}"
        typical = seconds(statistics.median(row["t60"] for row in some))
        wrong = sum(row["launch"] != "other" for row in some)
        found.append((loads, str(len(some)), typical, str(wrong)))
    return tuple(found)
