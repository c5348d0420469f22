"""Given rows in, found questions out: typed tables made from the dictionary, rules run on them alone."""

from __future__ import annotations

import datetime as dt
from typing import Any

import duckdb

from pipeline.garage.dictionary import QUESTIONS, SHEET_TABLES, Column, Kind
from pipeline.garage.logbook import Garage
from pipeline.ingest.doubts import judge, load_givens
from pipeline.store.database import query

GARAGE = Garage.model_validate(
    {
        "car": [
            {
                "name": "Marigold",
                "clutch": "eight-screw",
                "launch_rpm_limits": [4500, 7400],
                "tire_pressure_limits": ["8 psi", "14 psi"],
            }
        ],
        "clutch": [
            {
                "name": "eight-screw",
                "safe_turns": 4.5,
                "reach_turns": 8,
                "levers": 6,
                "counterweight_limits": ["0 g", "12 g"],
                "ring_height_new": "2.150 in",
            }
        ],
        "venue": [
            {"name": "Cinder Flats", "elevation": "1250 ft"},
            {"name": "Low Strip", "elevation": "40 ft"},
        ],
    }
)
DAY = dt.datetime(2025, 6, 14)
CLEAN_SLIP = {
    "t60_s": 1.482, "t330_s": 3.952, "t660_s": 6.061, "v660_mph": 116.32, "t1000_s": 7.887, "t1320_s": 9.444,
    "v1320_mph": 145.04,
}  # fmt: skip


def column_of(column: Column) -> str:
    return f'"{column.name}" {column.sql_type}'


def empty_store() -> duckdb.DuckDBPyConnection:
    """A store in memory with the typed tables, ``questions`` and ``answers``, all empty."""
    con = duckdb.connect(config={"threads": 1})
    for kind, table in SHEET_TABLES.items():
        columns = [column_of(column) for column in table.columns if column.name != "questioned"]
        extra = ["short_splits INTEGER", "clock_s INTEGER"] if kind == "timeslips" else []
        con.execute(f"create table typed_{kind} ({', '.join([*columns, *extra])})")
    con.execute(f"create table questions ({', '.join(map(column_of, QUESTIONS.columns))})")
    con.execute(
        "create table sheet_columns (file VARCHAR, sheet VARCHAR, position INTEGER, heading VARCHAR, "
        '"column" VARCHAR, factor DOUBLE, shift DOUBLE)'
    )
    con.execute(
        "create table answers (question_id VARCHAR, file VARCHAR, sheet VARCHAR, row INTEGER, "
        '"column" VARCHAR, value VARCHAR, answer VARCHAR, entry_order BIGINT)'
    )
    con.execute(query("tables/entries"))
    return con


IDS = {
    "timeslips": "slip_id",
    "weather": "reading_id",
    "track": "reading_id",
    "setups": "setup_id",
    "checks": "check_id",
}
TIMES = {
    "timeslips": "run_at",
    "weather": "read_at",
    "track": "read_at",
    "setups": "set_at",
    "checks": "checked_at",
}


def put(con: duckdb.DuckDBPyConnection, kind: Kind, rows: list[dict[str, Any]], file: str = "") -> None:
    """Add typed rows; what a row leaves out is filled in: ids, file, row 2, 3, ..., car, venue."""
    table = SHEET_TABLES[kind]
    names = {column.name for column in table.columns} | {"short_splits"}
    start = con.execute(f"select coalesce(max({IDS[kind]}), 0) from typed_{kind}").fetchall()[0][0]
    for at, row in enumerate(rows, start=1):
        filled: dict[str, Any] = {
            "file": file or f"{kind}.csv", "sheet": "", "row": at + 1, IDS[kind]: start + at,
            "entry_order": start + at, "car": "Marigold", "venue": "Cinder Flats",
        }  # fmt: skip
        if kind == "timeslips":
            filled |= {"has_time": True, "short_splits": 0}
        if kind in {"timeslips", "setups"}:
            filled["extras"] = {}
        filled = {name: value for name, value in (filled | row).items() if name in names}
        marks = ", ".join("?" for _ in filled)
        columns = ", ".join(f'"{name}"' for name in filled)
        con.execute(f"insert into typed_{kind} ({columns}) values ({marks})", list(filled.values()))


def slips(*changes: dict[str, Any], steady: int = 12) -> list[dict[str, Any]]:
    """``steady`` ordinary runs of one car, a little apart, then one run for each of the changes."""
    rows = []
    for at in range(steady + len(changes)):
        wiggle = ((at * 7) % 11 - 5) / 5
        early, late = 0.008 * wiggle, 0.004 * ((at * 5) % 7 - 3)
        row: dict[str, Any] = {"run_at": DAY + dt.timedelta(hours=11, minutes=25 * at)}
        for name, value in CLEAN_SLIP.items():
            if name.endswith("_mph"):
                row[name] = round(value * (1 - 0.1 * late), 2)
            else:
                row[name] = round(value + early + late * 0.3 * (name != "t60_s"), 3)
        if at >= steady:
            change = changes[at - steady]
            row |= change
        rows.append(row)
    return rows


def run_rules(con: duckdb.DuckDBPyConnection, garage: Garage = GARAGE) -> None:
    """Run every rule on what was put in."""
    load_givens(con, garage)
    judge(con)


def asked(con: duckdb.DuckDBPyConnection, file: str | None = None) -> list[tuple[Any, ...]]:
    """Every question (of one file) as (row, column, suggestion, severity, rule), by row and column."""
    return con.execute(
        'select row, "column", suggestion, severity, rule from questions where file = coalesce(?, file) '
        'order by file, row, "column"',
        [file],
    ).fetchall()
