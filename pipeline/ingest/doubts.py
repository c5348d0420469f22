"""Find doubtful entries: run the rules of ``queries/doubts`` and leave one question a cell.

The numbers of a slip are judged in three steps, so that a great store costs little more than one look at
each row: what is usual for each car, the few suspect slips, and for those every slip of the pen that may have
made them, of which the one that fits best is kept (``slip_repairs``). Everything else is a rule of its own
that writes straight into ``findings``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import duckdb

from pipeline.garage.factors import ADJUSTMENTS
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Car, Clutch
from pipeline.ingest.entries import fill_question_values
from pipeline.ingest.guesses import guess
from pipeline.ingest.questions import apply_answers
from pipeline.ingest.slip_repairs import WORDS, find_repairs
from pipeline.store.database import query, query_names, run_queries
from pipeline.store.order import ordered
from pipeline.store.working_tables import WorkingTables


@dataclass(frozen=True, slots=True)
class Steps:
    """Names of the queries that judge the entries, each list in the order in which it runs.

    Attributes
    ----------
    finders
        Rules that find on their own.
    ranking
        All rules, bare, those about the numbers of one slip among them: of two equally sure about one cell,
        the earlier speaks.
    """

    finders: tuple[str, ...]
    ranking: tuple[str, ...]


@cache
def steps() -> Steps:
    """Return the steps in the order that the headers of ``queries/doubts`` ask for."""
    rules = query_names("doubts")
    ranked = [name.removeprefix("doubts/") for name in ordered(rules, "Yields to")]
    ranked.remove("doubles_differ")
    return Steps(
        finders=tuple(ordered(rules)),
        ranking=("doubles_differ", *WORDS, *ranked),
    )


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
    guess(con)
    apply_answers(con)


def judge(con: duckdb.DuckDBPyConnection) -> None:
    """Run every rule and add one question a doubtful cell; needs :func:`load_givens` before it."""
    step = steps()
    made = WorkingTables(con, query_names("doubts/prepare"))
    made.make("findings", "doubles", "written")
    if made.has_rows("suspects"):
        find_repairs(con)
    for rule in step.finders:
        if made.may_find(rule):
            made.run(rule)
    run_queries(con, ("doubts/after/weaker_words", "doubts/after/better_suggestions"))
    con.execute(query("doubts/after/questions"), {"rules": step.ranking})


def load_givens(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Put what is given beforehand into temporary tables: limits, elevations, ranges.

    Parameters
    ----------
    con
        A writable store.
    garage
        What ``garage.toml`` says.
    """
    run_queries(con, ("doubts/given/given_limits", "doubts/given/given_venues"))
    _insert(con, "add_limits", [row for car in garage.cars for row in _limits(garage, car)])
    _insert(con, "add_venue", [{"venue": v.name, "elevation_ft": v.elevation_ft} for v in garage.venues])


def _insert(con: duckdb.DuckDBPyConnection, name: str, rows: list[dict[str, Any]]) -> None:
    if rows:
        con.executemany(query(f"doubts/given/{name}"), rows)


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
