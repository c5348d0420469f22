"""Tables that stand under each other on one sheet: each is read by the headings nearest above it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import replace

import duckdb
import polars as pl

from pipeline.garage.dictionary import KINDS
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.headings import HeadingReader, SheetPlan
from pipeline.ingest.sheets import HEAD_ROWS, TextSheet
from pipeline.store.database import query


def tables_of(con: duckdb.DuckDBPyConnection, sheet: TextSheet, garage: Garage) -> list[TextSheet]:
    """Cut a sheet where other headings begin than those above.

    Parameters
    ----------
    con
        Where the relations live.
    sheet
        The text, with its row numbers.
    garage
        For the person's own headings.

    Returns
    -------
    list of TextSheet
        The sheet itself when it holds one table; else one a table, from the second on named
        ``table 2``, ``table 3``, ... behind the tab's name, with the row numbers of the whole sheet.
    """
    frame = sheet.cells.pl()
    starts = list(_starts(frame, HeadingReader.of(garage)))
    if not starts:
        return [sheet]
    rows: list[int] = frame["row"].to_list()
    edges = [min(rows), *starts, max(rows) + 1]
    return [
        _part(con, sheet, frame.filter(pl.col("row").is_between(low, high - 1)), number)
        for number, (low, high) in enumerate(itertools.pairwise(edges), start=1)
    ]


def has_later_headings(con: duckdb.DuckDBPyConnection, sheet_no: int, garage: Garage) -> bool:
    """Tell whether a sheet whose rows were read holds a row of other headings further down.

    Parameters
    ----------
    con
        The store, with the rows of the sheet.
    sheet_no
        Place of the sheet in the logbook.
    garage
        For the person's own words for a date.
    """
    words = sorted(HeadingReader.of(garage).date_words)
    found = con.execute(query("raw/later_headings"), {"sheet_no": sheet_no, "date_words": words}).fetchall()
    shapes = {tuple(cells) for (cells,) in found}
    return len(shapes) > 1


def _starts(frame: pl.DataFrame, reader: HeadingReader) -> Iterator[int]:
    """Return the row numbers at which a further table begins."""
    above: SheetPlan | None = None
    above_at = 0
    for at in _candidates(frame, reader):
        rows = [_row(frame, place) for place in range(max(at - 1, 0), at + 1)]
        plan = reader.read(rows, len(rows) - 1)
        if plan is None or plan.kind not in KINDS:
            continue
        is_further = above is not None and _has_rows_between(frame, above_at, at)
        if is_further and _meaning(plan) != _meaning(above):
            alone = reader.read(rows[-1:], 0)
            is_grouped = alone is None or len(alone.columns) < len(plan.columns)
            yield rows[0][0] if is_grouped else plan.heading_row
        above, above_at = plan, at


def _meaning(plan: SheetPlan | None) -> object:
    """Return what each place holds, as far as two rows of headings must agree in it to be one table."""
    return plan and [(column.name, column.index, folded(column.heading)) for column in plan.columns]


def _candidates(frame: pl.DataFrame, reader: HeadingReader) -> list[int]:
    """Return the places of the rows in which some cell begins with a word for a date."""
    spellings = (r"[\W_]*".join(map(re.escape, word)) for word in sorted(reader.date_words))
    pattern = rf"^[\W_]*(?:{'|'.join(spellings)})"
    cells = [pl.col(name).str.to_lowercase().str.contains(pattern) for name in frame.columns if name != "row"]
    return frame.select(pl.any_horizontal(cells).fill_null(value=False).arg_true()).to_series().to_list()


def _row(frame: pl.DataFrame, place: int) -> tuple[int, tuple[str | None, ...]]:
    number, *cells = frame.row(place)
    return int(number), tuple(cells)


def _has_rows_between(frame: pl.DataFrame, above: int, below: int) -> bool:
    """Tell whether anything but blank rows stands between two places."""
    between = frame.slice(above + 1, below - above - 1).drop("row")
    return any(cell and cell.strip() for row in between.iter_rows() for cell in row)


def _part(con: duckdb.DuckDBPyConnection, sheet: TextSheet, frame: pl.DataFrame, number: int) -> TextSheet:
    label = f"table {number}" if number > 1 else ""
    head = tuple((int(row[0]), tuple(row[1:])) for row in frame.head(HEAD_ROWS).rows())
    return replace(
        sheet,
        sheet=", ".join(filter(None, (sheet.sheet, label))),
        cells=con.from_arrow(frame.to_arrow()),
        head=head,
        rows=frame.height,
    )
