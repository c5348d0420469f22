"""Every entry as it was typed: the text behind a stored value, by file, sheet, row and column."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

import duckdb
import polars as pl

from pipeline.ingest.archive import unarchive
from pipeline.ingest.csv_records import careful_rows
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.sheets import TextSheet
from pipeline.store.database import lend, query

MOST_ROWS = 20_000  # sheets up to this are laid out cell by cell; of longer ones only what is asked for
MOST_BYTES = 600_000_000


def keep_entries(con: duckdb.DuckDBPyConnection, sheets: Iterable[tuple[TextSheet, SheetPlan]]) -> None:
    """Lay the recognised cells of sheets out in the table ``entries``, one row a cell.

    Parameters
    ----------
    con
        A store with the table ``entries``.
    sheets
        Their text with what the headings mean; sheets of more than ``MOST_ROWS`` are left out.
    """
    cells = [_cells(sheet, plan) for sheet, plan in sheets if sheet.rows <= MOST_ROWS and sheet.is_numbered]
    if cells:
        lend(con, "sheet_entries", pl.concat(cells))
        con.execute(query("raw/keep_entries"))
        con.unregister("sheet_entries")


def _cells(sheet: TextSheet, plan: SheetPlan) -> pl.DataFrame:
    frame = sheet.cells.pl() if sheet.texts is None else sheet.texts
    named = frame.select(
        pl.col("row").cast(pl.Int32),
        *(pl.col(f"c{column.index}").alias(column.name) for column in plan.columns),
    )
    return (
        named.unpivot(index="row", variable_name="column", value_name="value")
        .filter(pl.col("value").str.strip_chars() != "")
        .select(
            pl.lit(sheet.file).alias("file"), pl.lit(sheet.sheet).alias("sheet"), "row", "column", "value"
        )
    )


def fill_question_values(con: duckdb.DuckDBPyConnection) -> None:
    """Write into every question the entry as typed, where it does not say so yet.

    Parameters
    ----------
    con
        A writable store during ingest, with ``entries`` and ``questions``.
    """
    con.execute(query("clean/question_values"))
    asked = con.execute(query("clean/questions_without_value")).fetchall()
    by_version: dict[tuple[int, str, str], list[tuple[int, int, str]]] = defaultdict(list)
    for version, file, sheet, row, column, position in asked:
        by_version[version, file, sheet].append((row, position, column))
    found = [
        {"file": file, "sheet": sheet, "row": row, "column": column, "value": value}
        for (version, file, sheet), cells in by_version.items()
        for row, column, value in _typed(con, version, file, cells)
    ]
    if not found:
        return
    schema = {
        "file": pl.String, "sheet": pl.String, "row": pl.Int32, "column": pl.String, "value": pl.String,
    }  # fmt: skip
    lend(con, "asked_entries", pl.DataFrame(found, schema=schema))
    con.execute(query("clean/keep_asked_entries"))
    con.unregister("asked_entries")
    con.execute(query("clean/question_values"))


def _typed(
    con: duckdb.DuckDBPyConnection, version: int, file: str, cells: list[tuple[int, int, str]]
) -> list[tuple[int, str, str]]:
    """Read the asked cells of a long CSV from its archived bytes."""
    content = unarchive(con, version)
    if len(content) > MOST_BYTES:
        return []
    wanted: dict[int, list[tuple[int, str]]] = defaultdict(list)
    for row, position, column in cells:
        wanted[row].append((position, column))
    return [
        (line, column, texts[position])
        for line, texts in careful_rows(content, file)
        if line in wanted
        for position, column in wanted[line]
        if position < len(texts)
    ]
