"""The store's tables as files: CSV, Parquet, or one workbook.

Parquet keeps every value exactly. In CSV and the workbook a list or a mapping becomes JSON text.
A cell that a person typed and that a spreadsheet would run as a formula stays text: the workbook
stores it as a string, the CSV puts an apostrophe before it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
import xlsxwriter

from pipeline.errors import RequestError, StoreError

KINDS = ("csv", "parquet", "workbook")
FORMULA_START = r"^[=+\-@\t\r]"
SHEET_ROWS = 1_048_575  # rows a workbook's tab can hold below its headings


def export_tables(
    con: duckdb.DuckDBPyConnection, tables: Iterable[str], folder: Path, kind: str
) -> tuple[Path, ...]:
    """Write tables of the store as files.

    Parameters
    ----------
    con
        An open store.
    tables
        Names of the tables to write, in order.
    folder
        Where; made when missing.
    kind
        One of ``KINDS``.

    Returns
    -------
    tuple of pathlib.Path
        The files written.

    Raises
    ------
    RequestError
        When ``kind`` is not one of ``KINDS``.
    StoreError
        When the folder can not be written, or a table is too long for a workbook.
    """
    if kind not in KINDS:
        raise RequestError(f"--as {kind} is not a kind of export.", f"Choose one of {', '.join(KINDS)}.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if kind == "workbook":
            return (_write_workbook(con, tables, folder / "slipledger.xlsx"),)
        return tuple(_write_one(con, table, folder, kind) for table in tables)
    except OSError as refused:
        raise StoreError(
            f"The folder {folder} can not be written ({refused.strerror or refused}).",
            "Choose another with --out; the store is unharmed.",
        ) from refused


def _write_one(con: duckdb.DuckDBPyConnection, table: str, folder: Path, kind: str) -> Path:
    path = folder / f"{table}.{kind}"
    if kind == "parquet":
        con.table(table).write_parquet(str(path))
    else:
        flat_frame(con.table(table).pl(), escape_formulas=True).write_csv(path)
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


def _write_workbook(con: duckdb.DuckDBPyConnection, tables: Iterable[str], path: Path) -> Path:
    options = {"strings_to_formulas": False, "strings_to_urls": False, "nan_inf_to_errors": True}
    with xlsxwriter.Workbook(str(path), options) as book:
        heading = book.add_format({"bold": True, "bottom": 1})
        stamp = book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"})
        for table in tables:
            frame = flat_frame(con.table(table).pl(), escape_formulas=False)
            if frame.height > SHEET_ROWS:
                raise StoreError(
                    f"The table {table} has {frame.height} rows, more than a workbook's tab holds.",
                    "Export it with --as parquet or --as csv.",
                )
            tab = book.add_worksheet(table[:31])
            tab.freeze_panes(1, 0)
            for at, name in enumerate(frame.columns):
                tab.write_string(0, at, name, heading)
                _write_column(tab, at, frame[name], stamp)
    return path


def _write_column(tab: Any, at: int, column: pl.Series, stamp: Any) -> None:
    for row, value in enumerate(column, start=1):
        if value is None:
            continue
        if isinstance(value, str):
            tab.write_string(row, at, value)
        elif isinstance(value, bool):
            tab.write_boolean(row, at, value)
        elif column.dtype.is_temporal():
            tab.write_datetime(row, at, value, stamp)
        else:
            tab.write(row, at, value)
