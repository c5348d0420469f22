"""Find doubtful entries: run the rules of ``queries/doubts`` and leave one question a cell.

The numbers of a slip are judged in three steps, so that a great store costs little more than one look at
each row: what is usual for each car, the few suspect slips, and for those the rules' guesses of what the
ticket said, of which the one that fits best is kept. Everything else is a rule of its own that writes
straight into ``findings``.
"""

from __future__ import annotations

from typing import Any

import duckdb

from pipeline.garage.factors import ADJUSTMENTS
from pipeline.garage.logbook import Car, Clutch, Garage
from pipeline.ingest.entries import fill_question_values
from pipeline.ingest.questions import apply_answers
from pipeline.store.database import query, run_queries

PREPARE = (
    "written", "clock_text", "swapped", "altimeter", "slip_columns", "findings", "guessed_cells",
    "usual_ratios", "slip_widths", "slip_middles", "slip_features", "slip_sample", "tickets", "slip_usual",
    "away", "middle_without", "slip_misfit", "glanced", "suspects", "suspect_cells", "suspect_tickets",
    "doubles", "days", "day_readings", "strayed_rows", "clocked_days", "clocked_rows", "air_days",
    "track_days", "settings", "slip_settings", "judged_settings",
)  # fmt: skip
"""Working tables and macros, in the order they build on each other."""

SLIP_GUESSES = (
    "missing_decimal", "time_and_speed_swapped", "splits_not_rising", "swapped_digits", "shifted_row",
    "next_column",
)  # fmt: skip
"""Rules that say what a suspect slip may have meant; the best guess is kept."""

LAST_GUESSES = ("wrong_digit", "does_not_fit")
"""Tried with the others on a second look, when nothing explained the slip or it held a second error."""

CHOOSE = ("guesses", "judged_guesses", "best_guesses", "slip_findings")

RULES = (
    "doubles_differ", "wrong_year", "day_and_month_swapped", "am_pm_slip", "celsius", "altimeter_or_station",
    "altimeter_without_elevation",
    "humidity_fraction", "moisture_above_air", "ring_height_down", "turns_past_limit", "unequal_screws",
    "counterweight_total", "setting_out_of_reach", "setup_after_its_runs", "out_of_range", "hundredths",
    "track_below_air",
)  # fmt: skip
"""Rules that find on their own."""

RANKING = ["doubles_differ", *SLIP_GUESSES, *LAST_GUESSES, *RULES[1:]]
"""Of two rules equally sure about one cell, the earlier speaks."""


LOOK = (
    *(f"doubts/{name}" for name in SLIP_GUESSES),
    *(f"doubts/choose/{name}" for name in CHOOSE),
)
SECOND_LOOK = (
    "doubts/choose/second_look", "doubts/prepare/suspect_cells", "doubts/prepare/suspect_tickets",
    "doubts/prepare/guessed_cells",
    *(f"doubts/{name}" for name in (*SLIP_GUESSES, *LAST_GUESSES)),
    *(f"doubts/choose/{name}" for name in CHOOSE),
)  # fmt: skip
"""What is done to the suspect slips, and then to those of them that are still suspect."""


def find_doubts(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Fill ``questions`` with every doubtful entry of the typed tables.

    Parameters
    ----------
    con
        The store inside ingest's transaction: typed tables, ``questions`` and ``answers``.
    garage
        For the limits of each car and the elevation of each strip.

    Notes
    -----
    Leaves the temporary table ``doubles`` (rows that repeat an earlier row) for the clean tables.
    A cell that ingest could not read keeps ingest's question.
    """
    load_givens(con, garage)
    judge(con)
    fill_question_values(con)
    apply_answers(con)


def judge(con: duckdb.DuckDBPyConnection) -> None:
    """Run every rule and add one question a doubtful cell; needs :func:`load_givens` before it."""
    run_queries(con, [f"doubts/prepare/{name}" for name in PREPARE])
    run_queries(con, LOOK)
    run_queries(con, SECOND_LOOK)
    run_queries(con, [f"doubts/{name}" for name in RULES])
    con.execute(query("doubts/choose/weaker_words"))
    con.execute(query("doubts/choose/questions"), {"rules": RANKING})


def load_givens(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Put what is given beforehand into temporary tables: limits, elevations, ranges.

    Parameters
    ----------
    con
        A writable store.
    garage
        What ``garage.toml`` says.
    """
    run_queries(con, [f"doubts/prepare/{name}" for name in ("given_limits", "given_venues", "plausible")])
    _insert(con, "add_limits", [row for car in garage.cars for row in _limits(garage, car)])
    _insert(con, "add_venue", [{"venue": v.name, "elevation_ft": v.elevation_ft} for v in garage.venues])


def _insert(con: duckdb.DuckDBPyConnection, name: str, rows: list[dict[str, Any]]) -> None:
    if rows:
        con.executemany(query(f"doubts/prepare/{name}"), rows)


def _limits(garage: Garage, car: Car) -> list[dict[str, Any]]:
    """Gather one car's limits, a row an adjustment; None where garage.toml gives none.

    Where there is no limit of what is safe, what the hardware can do stands in for it.
    """
    clutch = garage.clutch_of(car.name) or Clutch(name="not described")
    can_do = {"launch_rpm": car.engine_rpm_limit, "preload": clutch.reach_turns}
    rows = []
    for factor in ADJUSTMENTS:
        low, high = garage.limits_of(car.name, factor) or (None, can_do.get(factor.name))
        row = {"car": car.name, "column": factor.column, "low": low, "high": high, "levers": clutch.levers}
        rows.append(row)
    return rows
