"""Typed readers of the store's tables: polars frames with the columns of ``pipeline.garage.dictionary``."""

from __future__ import annotations

import duckdb
import polars as pl

from pipeline.errors import StoreError
from pipeline.garage.dictionary import TABLES, Table
from pipeline.store.database import query

_BY_NAME: dict[str, Table] = {table.name: table for table in TABLES}


def table_names(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Return the names of all tables and views of the store."""
    return [str(row[0]) for row in con.execute(query("tables/table_names")).fetchall()]


def read_table(con: duckdb.DuckDBPyConnection, name: str) -> pl.DataFrame:
    """Read a whole table.

    Parameters
    ----------
    con
        An open store.
    name
        A table of the dictionary or another of the store.

    Returns
    -------
    polars.DataFrame
        For a table of the dictionary, its columns in the dictionary's order.

    Raises
    ------
    StoreError
        When the store has no such table.
    """
    try:
        relation = con.table(name)
    except duckdb.CatalogException as missing:
        raise StoreError(
            f"The store has no table {name!r}.", "Run 'slipledger ingest LOGBOOK' first."
        ) from missing
    if name in _BY_NAME:
        relation = relation.select(
            *(duckdb.ColumnExpression(column.name) for column in _BY_NAME[name].columns)
        )
    frame: pl.DataFrame = relation.pl()
    return frame


def car_names(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Return the cars that have runs, in order of their names."""
    return [str(row[0]) for row in con.execute(query("tables/car_names")).fetchall()]
