"""Results of the fleet as tables, beside those of single cars."""

from __future__ import annotations

from typing import Any

import duckdb

from pipeline.fleet.results import FleetFit
from pipeline.store import results_tables
from pipeline.store.records import frame_of
from pipeline.store.results_tables import records_in, replace_table

FLEET_TABLES: dict[str, tuple[str, type[Any]]] = {
    f"fleet_{field}": (field, kind) for field, kind in records_in(FleetFit).items()
}
"""Table -> field of FleetFit and its record type."""
RESULT_TABLES = (*results_tables.RESULT_TABLES, *FLEET_TABLES)


def write_fleet(con: duckdb.DuckDBPyConnection, fleet: FleetFit) -> None:
    """Replace the results of the fleet stage.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    fleet
        What the fleet says.
    """
    for table, (field, record_type) in FLEET_TABLES.items():
        replace_table(con, table, frame_of(record_type, getattr(fleet, field)))
