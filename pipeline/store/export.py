"""The store's tables as files: CSV, Parquet, or one workbook.

Parquet keeps every value exactly. In CSV and the workbook a list or a mapping becomes JSON text.
A cell that a person typed and that a spreadsheet would run as a formula stays text: the workbook
stores it as a string, the CSV puts an apostrophe before it.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
import xlsxwriter
from xlsxwriter.exceptions import XlsxWriterException

from pipeline.errors import RequestError, StoreError
from pipeline.files.spreadsheet_text import FORMULA_START
from pipeline.files.whole import whole_file
from pipeline.garage.dictionary import SHEET_TABLES, TABLES
from pipeline.store.fleet_tables import RESULT_TABLES
from pipeline.store.tables import table_names

KINDS = ("csv", "parquet", "workbook")
SHEET_ROWS = 1_048_575  # rows a workbook's tab can hold below its headings
CELL_LETTERS = 32_767  # letters a workbook's cell can hold
FAILURES = (duckdb.IOException, XlsxWriterException, pl.exceptions.ComputeError)
REMEDY = "Free some space or choose another folder with --out; the store is unharmed."


def exported_tables(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Return the tables a person would want as files: those of the dictionary, then the results."""
    present = set(table_names(con))
    return [name for name in (*(table.name for table in TABLES), *sorted(RESULT_TABLES)) if name in present]


def export_tables(
    con: duckdb.DuckDBPyConnection, tables: Sequence[str], folder: Path, kind: str, car: str | None = None
) -> tuple[Path, ...]:
    """Write tables of the store as files.

    Parameters
    ----------
    con
        An open store.
    tables
        Names of the tables to write, in order.
    folder
        Where; made when missing. Each file in it is replaced whole, or stays as it was.
    kind
        One of ``KINDS``.
    car
        Only this car's rows of the tables that have a car; None for every car.

    Returns
    -------
    tuple of pathlib.Path
        The files written.

    Raises
    ------
    RequestError
        When ``kind`` is not one of ``KINDS``.
    StoreError
        When a file cannot be written, or a table is too long for a workbook.
    """
    if kind not in KINDS:
        raise RequestError(f"--as {kind} is not a kind of export.", f"Choose one of {', '.join(KINDS)}.")
    if kind == "workbook":
        return (_write_workbook(con, tables, folder / "slipledger.xlsx", car),)
    return tuple(_write_one(con, table, folder, kind, car) for table in tables)


def _rows(con: duckdb.DuckDBPyConnection, table: str, car: str | None) -> duckdb.DuckDBPyRelation:
    rows = con.table(table)
    if table in SHEET_TABLES:
        rows = rows.order(SHEET_TABLES[table].key)  # as the sheets have them; the store itself keeps no order
    if car is None or "car" not in rows.columns:
        return rows
    return rows.filter(duckdb.ColumnExpression("car") == duckdb.ConstantExpression(car))


def _write_one(con: duckdb.DuckDBPyConnection, table: str, folder: Path, kind: str, car: str | None) -> Path:
    path = folder / f"{table}.{kind}"
    with whole_file(path, REMEDY, failures=FAILURES) as partial:
        if kind == "parquet":
            _rows(con, table, car).write_parquet(str(partial))
        else:
            flat_frame(_rows(con, table, car).pl(), escape_formulas=True).write_csv(partial)
    return path


def flat_frame(frame: pl.DataFrame, *, escape_formulas: bool) -> pl.DataFrame:
    """Turn nested columns into JSON text and, if asked, take the danger out of formulas.

    Parameters
    ----------
    frame
        Any table of the store.
    escape_formulas
        Put an apostrophe before text that a spreadsheet would run.

    Returns
    -------
    polars.DataFrame
        Same rows and column names; every column a scalar.
    """
    columns = [_flat_column(frame[name]) for name in frame.columns]
    flat = pl.DataFrame(columns)
    if not escape_formulas:
        return flat
    return flat.with_columns(_as_text(name) for name, kind in flat.schema.items() if kind == pl.String)


def _as_text(name: str) -> pl.Expr:
    text = pl.col(name)
    is_number = text.cast(pl.Float64, strict=False).is_not_null()
    would_run = text.str.contains(FORMULA_START) & ~is_number
    return pl.when(would_run).then(pl.concat_str(pl.lit("'"), text)).otherwise(text).alias(name)


def _flat_column(column: pl.Series) -> pl.Series:
    if not column.dtype.is_nested():
        return column
    texts = [None if value is None else json.dumps(_plain(value), default=str) for value in column]
    return pl.Series(column.name, texts, dtype=pl.String)


def _plain(value: Any) -> Any:
    return value.to_list() if isinstance(value, pl.Series) else value


def _write_workbook(
    con: duckdb.DuckDBPyConnection, tables: Sequence[str], path: Path, car: str | None
) -> Path:
    for table in tables:
        _refuse_long(table, _rows(con, table, car))
    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "nan_inf_to_errors": True,
    }
    with (
        whole_file(path, REMEDY, failures=FAILURES) as partial,
        xlsxwriter.Workbook(str(partial), options) as book,
    ):
        heading = book.add_format({"bold": True, "bottom": 1})
        stamp = book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"})
        for table in tables:
            frame = flat_frame(_rows(con, table, car).pl(), escape_formulas=False)
            tab = book.add_worksheet(table[:31])
            tab.freeze_panes(1, 0)
            for at, name in enumerate(frame.columns):
                tab.write_string(0, at, name, heading)
            for at, row in enumerate(frame.iter_rows(), start=1):
                _write_row(tab, at, row, stamp)
    return path


def _refuse_long(table: str, relation: duckdb.DuckDBPyRelation) -> None:
    rows = relation.shape[0]
    if rows > SHEET_ROWS:
        raise StoreError(
            f"The table {table} has {rows} rows, more than a workbook's tab holds ({SHEET_ROWS}).",
            "Export it with --as parquet or --as csv.",
        )


def _write_row(tab: Any, at: int, row: tuple[Any, ...], stamp: Any) -> None:
    for column, value in enumerate(row):
        if isinstance(value, str):
            _refuse_long_text(tab.name, at, value)
            tab.write_string(at, column, value)
        elif isinstance(value, bool):
            tab.write_boolean(at, column, value)
        elif isinstance(value, dt.date | dt.time | dt.timedelta):
            tab.write_datetime(at, column, value, stamp)
        elif value is not None:
            tab.write_number(at, column, value)


def _refuse_long_text(table: str, row: int, text: str) -> None:
    if len(text) > CELL_LETTERS:
        raise StoreError(
            f"Row {row} of the table {table} holds {len(text)} letters in one cell ({text[:20]!r}...), "
            f"more than a workbook's cell holds ({CELL_LETTERS}).",
            "Export it with --as parquet or --as csv.",
        )
