"""A file into text cells: every sheet as rows of text with the line or row they stand on.

A CSV of ordinary size is read with the standard library's reader, which knows the true line of every
record, notes with newlines included. A large one goes through DuckDB's reader, but only when it can be
proved that records and lines are the same there; otherwise it takes the careful way too.
"""

from __future__ import annotations

import csv
import itertools
import logging
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import fastexcel
import polars as pl

from pipeline.errors import SheetError
from pipeline.ingest.csv_records import BOMS, careful_rows, delimiter_of
from pipeline.ingest.workbook_guard import refuse_hostile

CAREFUL_BYTES = 2_000_000  # below this the careful reader costs a fraction of a second
MOST_CAREFUL_BYTES = 600_000_000
MOST_COLUMNS = 400
LONGEST_CELL = 20_000
HEAD_ROWS = 40
BATCH_ROWS = 20_000
SCAN_BYTES = 4_000_000
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xls", ".ods"})

logging.getLogger("calamine").addHandler(logging.NullHandler())  # else its warnings go to the terminal


@dataclass(frozen=True, slots=True)
class TextSheet:
    """One sheet as text.

    Attributes
    ----------
    file
        Path below the logbook, with forward slashes.
    sheet
        Tab of a workbook; empty for a CSV.
    cells
        Columns ``row`` (line of the file or row of the tab, from 1) and ``c0``, ``c1``, ... as text.
    width
        How many text columns.
    head
        The first rows as lists of text, with their row numbers.
    rows
        How many rows, blank ones included.
    is_numbered
        False when ``row`` is null and each record stands on the next line, as long as there are
        as many records as ``rows``.
    texts
        The same as ``cells``, where they were put together here.
    """

    file: str
    sheet: str
    cells: duckdb.DuckDBPyRelation
    width: int
    head: tuple[tuple[int, tuple[str | None, ...]], ...]
    rows: int
    is_numbered: bool = True
    texts: pl.DataFrame | None = None

    @property
    def place(self) -> str:
        """The file, with the tab or the table of it, in words."""
        tab = "tab " if Path(self.file).suffix.casefold() in WORKBOOK_SUFFIXES else ""
        return f"{self.file}, {tab}{self.sheet}" if self.sheet else self.file


def read_file(
    con: duckdb.DuckDBPyConnection, path: Path, name: str, *, careful: bool = False
) -> list[TextSheet]:
    """Read every sheet of a file as text.

    Parameters
    ----------
    con
        Where the relations live.
    path
        The file.
    name
        Its path below the logbook, with forward slashes.
    careful
        Read a large CSV the careful way too.

    Returns
    -------
    list of TextSheet
        One a CSV, one a tab of a workbook; empty sheets are left out.

    Raises
    ------
    SheetError
        When the file cannot be read as sheets.
    """
    try:
        if path.suffix.casefold() in WORKBOOK_SUFFIXES:
            return list(_workbook(con, path, name))
        return list(_csv(con, path, name, careful=careful))
    except OSError as gone:
        raise SheetError(
            f"{name} cannot be read ({gone.strerror or gone}).", "Check that the file is there and is yours."
        ) from gone


# --- CSV and TSV


def _csv(con: duckdb.DuckDBPyConnection, path: Path, name: str, *, careful: bool) -> Iterator[TextSheet]:
    size = path.stat().st_size
    if size > CAREFUL_BYTES and not careful and (plain := _plain_text(path)):
        yield _large_csv(con, path, name, plain)
        return
    if size > MOST_CAREFUL_BYTES:
        raise SheetError(
            f"{name} is {size / 1e6:.0f} MB and not plain enough to be read in one go.",
            "Split it, or save it again as CSV in UTF-8 with one line a row.",
        )
    content = path.read_bytes()
    if content.strip():
        yield from _sheet_of_rows(con, name, "", careful_rows(content, name))


@dataclass(frozen=True, slots=True)
class _Plain:
    """What is known of a large file before it is read."""

    delimiter: str
    width: int
    has_quotes: bool
    lines: int


def _plain_text(path: Path) -> _Plain | None:
    """Look whether a large file may be read in one go: no NUL, no encoding but UTF-8 announced.

    Blank lines, notes over several lines and bad bytes show later, as fewer records than lines.
    The file is looked through block by block: mapped as a whole it would count as memory in use.
    """
    newlines, has_quotes, head, last = 0, False, b"", b"\n"
    with path.open("rb") as file:
        while block := file.read(SCAN_BYTES):
            head = head or block[:65_536]
            if b"\x00" in block:
                return None
            has_quotes = has_quotes or b'"' in block
            newlines += block.count(b"\n")
            last = block[-1:]
    if b"\n" not in head or any(head.startswith(mark) for mark, encoding in BOMS if encoding != "utf-8-sig"):
        return None
    text = head[: head.rfind(b"\n") + 1].decode("utf-8-sig", errors="replace")
    delimiter = delimiter_of(text, path.suffix)
    width = max(len(cells) for cells in csv.reader(text.splitlines(), delimiter=delimiter))
    if width > MOST_COLUMNS:
        return None
    return _Plain(delimiter, width, has_quotes, newlines + (last != b"\n"))


def _large_csv(con: duckdb.DuckDBPyConnection, path: Path, name: str, plain: _Plain) -> TextSheet:
    """Read a large file in one parallel pass; the caller must compare the records with ``rows``.

    Lines DuckDB would refuse are passed over, so that fewer records than lines tell that lines and
    records differ: then the careful way is taken instead.
    """
    cells = con.read_csv(
        str(path),
        header=False,
        all_varchar=True,
        delimiter=plain.delimiter,
        quotechar='"' if plain.has_quotes else "",
        escapechar='"' if plain.has_quotes else "",
        auto_detect=False,
        columns={f"c{at}": "VARCHAR" for at in range(plain.width)},
        null_padding=not plain.has_quotes,
        ignore_errors=True,
        max_line_size=2_000_000,
    )
    head = cells.limit(HEAD_ROWS).fetchall()
    unnumbered = duckdb.ConstantExpression(None).cast("INTEGER").alias("row")
    return TextSheet(
        file=name,
        sheet="",
        cells=cells.select(unnumbered, duckdb.StarExpression()),
        width=plain.width,
        head=tuple((at, tuple(row)) for at, row in enumerate(head, start=1)),
        rows=plain.lines,
        is_numbered=False,
    )


# --- workbooks


def _workbook(con: duckdb.DuckDBPyConnection, path: Path, name: str) -> Iterator[TextSheet]:
    refuse_hostile(path, name)
    try:
        book = fastexcel.read_excel(path)
        for tab in book.sheet_names:
            loaded = book.load_sheet(tab, header_row=None, skip_rows=0, dtypes="string")
            if loaded.width > MOST_COLUMNS:
                raise _too_wide(f"{name}, tab {tab}", loaded.width)
            if loaded.total_height:
                frame = loaded.to_polars()
                if path.suffix.casefold() == ".ods":
                    frame = _with_times_of_day(book, tab, frame)
                yield from _sheet_of_frame(con, name, tab, frame)
    except fastexcel.FastExcelError as broken:
        raise SheetError(
            f"{name} cannot be opened as a workbook ({str(broken).splitlines()[0][:120]}).",
            "Open it in a spreadsheet and save it again, without a password.",
        ) from broken


def _with_times_of_day(book: fastexcel.ExcelReader, tab: str, texts: pl.DataFrame) -> pl.DataFrame:
    """Fill in cells that are kept as lengths of time, as an .ods keeps times of day: no text has them."""

    def lengths(rows: int | None) -> pl.DataFrame:
        sheet = book.load_sheet(tab, header_row=None, skip_rows=0, n_rows=rows, dtypes="duration")
        return sheet.to_polars()

    blank = [name for name in texts.columns if texts[name].null_count()]
    if not blank or not any(column.count() for column in lengths(HEAD_ROWS)):
        return texts
    midnight = pl.datetime(2000, 1, 1)
    found = lengths(None).select((pl.all() + midnight).dt.to_string("%H:%M:%S").str.strip_suffix(":00"))
    return texts.with_columns(texts[name].fill_null(found[name]) for name in blank if name in found.columns)


def _sheet_of_frame(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, frame: pl.DataFrame
) -> Iterator[TextSheet]:
    named = frame.rename({old: f"c{at}" for at, old in enumerate(frame.columns)})
    _refuse_long_cells(named, f"{name}, tab {tab}")
    columns = [pl.col(column) for column in named.columns]
    numbered = named.select(pl.int_range(1, pl.len() + 1, dtype=pl.Int32).alias("row"), *columns)
    yield from _finished(con, name, tab, numbered)


def _sheet_of_rows(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, rows: Iterator[tuple[int, list[str]]]
) -> Iterator[TextSheet]:
    batches = []
    while batch := list(itertools.islice(rows, BATCH_ROWS)):
        batches.append(_frame_of(batch, name))
    if batches:
        yield from _finished(con, name, tab, pl.concat(batches, how="diagonal"))


def _frame_of(batch: list[tuple[int, list[str]]], name: str) -> pl.DataFrame:
    for number, cells in batch:
        if len(cells) > MOST_COLUMNS:
            raise _too_wide(f"{name}, line {number}", len(cells))
        if any(len(cell) > LONGEST_CELL for cell in cells):
            raise _too_long(f"{name}, line {number}")
    by_column = itertools.zip_longest(*(cells for _, cells in batch))
    columns = {f"c{at}": list(column) for at, column in enumerate(by_column)}
    schema = {"row": pl.Int32, **dict.fromkeys(columns, pl.String)}
    return pl.DataFrame({"row": [number for number, _ in batch], **columns}, schema=schema)


def _finished(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, frame: pl.DataFrame
) -> Iterator[TextSheet]:
    width = frame.width - 1
    if width == 0 or frame.height == 0:
        return
    head = tuple((int(row[0]), tuple(row[1:])) for row in frame.head(HEAD_ROWS).rows())
    yield TextSheet(name, tab, con.from_arrow(frame.to_arrow()), width, head, frame.height)


def _refuse_long_cells(frame: pl.DataFrame, where: str) -> None:
    long = frame.select(pl.any_horizontal(pl.all().str.len_chars() > LONGEST_CELL).arg_true().alias("at"))
    if long.height:
        raise _too_long(f"{where}, row {int(long['at'][0]) + 1}")


def _too_long(where: str) -> SheetError:
    return SheetError(
        f"{where} has a cell of more than {LONGEST_CELL} characters.",
        "Shorten it, or look for a quote mark that is never closed.",
    )


def _too_wide(where: str, width: int) -> SheetError:
    return SheetError(
        f"{where} has {width} columns; a sheet of a logbook has at most {MOST_COLUMNS}.",
        "Check the delimiter, or take the file out of the logbook.",
    )
