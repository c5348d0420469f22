"""A small store in memory: clean tables by the dictionary, filled with the rows of one test."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import duckdb

from pipeline.garage.dictionary import SHEET_TABLES, Table
from pipeline.store.build_runs import Reach, build_runs

Row = Mapping[str, Any]

GARAGE_TABLES: dict[str, dict[str, str]] = {
    "cars": {"car": "VARCHAR", "clutch": "VARCHAR"},
    "clutches": {
        "clutch": "VARCHAR",
        "screws": "INTEGER",
        "springs": "INTEGER",
        "base_load_lb": "DOUBLE",
        "load_per_turn_lb": "DOUBLE",
        "spring_rate_lb_per_in": "DOUBLE",
        "growth_effect": "VARCHAR",
        "levers": "INTEGER",
        "lever_mass_g": "DOUBLE",
        "lever_radius_in": "DOUBLE",
        "lever_ratio": "DOUBLE",
    },
    "venues": {"venue": "VARCHAR", "elevation_ft": "DOUBLE"},
    "adjustments": {"adjustment": "VARCHAR"},
}
EIGHT_SCREW: Row = {
    "clutch": "eight-screw", "screws": 8, "springs": 8, "base_load_lb": 300.0, "load_per_turn_lb": 6.0,
    "spring_rate_lb_per_in": 150.0, "growth_effect": "less load", "levers": 6, "lever_mass_g": 30.0,
    "lever_radius_in": 3.5, "lever_ratio": 1.0,
}  # fmt: skip
GARAGE: dict[str, list[Row]] = {
    "cars": [{"car": "Marigold", "clutch": "eight-screw"}],
    "clutches": [EIGHT_SCREW],
    "venues": [{"venue": "Cinder Flats", "elevation_ft": 1200.0}],
    "adjustments": [{"adjustment": "shock_clicks"}],
}
DEFAULTS: dict[str, dict[str, Any]] = {
    "timeslips": {"car": "Marigold", "venue": "Cinder Flats", "has_time": True, "outcome": "clean",
                  "t60_s": 1.4, "t330_s": 3.9, "file": "slips.csv"},
    "weather": {"venue": "Cinder Flats", "pressure_kind": "station"},
    "track": {"venue": "Cinder Flats"},
    "setups": {"car": "Marigold"},
    "checks": {"car": "Marigold"},
}  # fmt: skip
KEYS = {"timeslips": "slip_id", "weather": "reading_id", "track": "reading_id", "setups": "setup_id",
        "checks": "check_id"}  # fmt: skip


def at(text: str) -> datetime:
    """Give a moment of the invented season: ``"10:30"`` is on 2 May, ``"03 10:30"`` on 3 May."""
    day, _, clock = text.rpartition(" ")
    return datetime.fromisoformat(f"2026-05-{day or '02'} {clock}")


def store(
    garage: Mapping[str, Sequence[Row]] | None = None, **sheets: Sequence[Row]
) -> duckdb.DuckDBPyConnection:
    """Make a store with these rows in its clean tables; the rest is as in ``DEFAULTS`` and ``GARAGE``."""
    con = duckdb.connect()
    for name, table in SHEET_TABLES.items():
        _make(con, name, {column.name: column.sql_type for column in table.columns})
        _fill(
            con, name, [_row(name, table, number, row) for number, row in enumerate(sheets.get(name, ()), 1)]
        )
    for name, columns in GARAGE_TABLES.items():
        _make(con, name, columns)
        _fill(con, name, (garage or {}).get(name, GARAGE[name]))
    return con


def runs_of(
    con: duckdb.DuckDBPyConnection, columns: str, reach: Reach | None = None
) -> list[tuple[Any, ...]]:
    """Build the runs and give some of their columns, in order of run."""
    con.begin()
    build_runs(con, reach)
    con.commit()
    return con.sql(f"select {columns} from runs order by run_id").fetchall()


def _row(name: str, table: Table, number: int, row: Row) -> Row:
    order = {"entry_order": number} if any(c.name == "entry_order" for c in table.columns) else {}
    return {KEYS[name]: number, "row": number + 1, **order, **DEFAULTS[name], **row}


def _make(con: duckdb.DuckDBPyConnection, name: str, columns: Mapping[str, str]) -> None:
    listed = ", ".join(f'"{column}" {sql_type}' for column, sql_type in columns.items())
    con.execute(f"create table {name} ({listed})")


def _fill(con: duckdb.DuckDBPyConnection, name: str, rows: Sequence[Row]) -> None:
    for row in rows:
        listed = ", ".join(f'"{column}"' for column in row)
        con.execute(f"insert into {name} ({listed}) values ({', '.join('?' * len(row))})", list(row.values()))
