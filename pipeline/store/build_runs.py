"""Build the ``runs`` table from the clean tables: weather, track, setup, wear and loads at each run.

Each step is a query in ``queries/runs/`` that reads clean tables and the steps before it; the store keeps
``runs``, and of the steps those that tell of the clutch as it stands.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import duckdb

from pipeline.store.database import query_names, run_queries
from pipeline.store.order import ordered


@dataclass(frozen=True, slots=True)
class Reach:
    """How far from a run a reading may be and still count.

    Attributes
    ----------
    weather_reach_h, track_reach_h
        Reach of a reading that stands on one side of the run only. [h]
    bracket_h
        Longest time between two readings for a straight line to be drawn between them: one day's racing,
        not one meeting to the next. [h]
    """

    weather_reach_h: float = 3.0
    track_reach_h: float = 2.0
    bracket_h: float = 12.0


def build_runs(con: duckdb.DuckDBPyConnection, reach: Reach | None = None) -> None:
    """Make the ``runs`` table anew.

    Parameters
    ----------
    con
        A writable store with the clean tables and those of the garage in it, inside a transaction, so that
        a build that is cut off leaves the old tables whole.
    reach
        None = the usual reach.
    """
    run_queries(con, ordered(query_names("runs")), asdict(reach or Reach()))
