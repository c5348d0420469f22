"""A file into text cells: every sheet as rows of text with the line or row they stand on.

A CSV of ordinary size is read with the standard library's reader, which knows the true line of every
record, notes with newlines included. A large one goes through DuckDB's reader, but only when it can be
proved that records and lines are the same there; otherwise it takes the careful way too.
"""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import logging
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import fastexcel
import polars as pl

from pipeline.errors import SheetError
from pipeline.files.sheets import NOTES_SUFFIX
from pipeline.ingest.workbook_guard import refuse_hostile

CAREFUL_BYTES = 2_000_000  # below this the careful reader costs a fraction of a second
MOST_CAREFUL_BYTES = 600_000_000
LONGEST_NOTE_LINES = 40
LONGEST_LINE = 2_000_000_000  # the reader only; longer cells than LONGEST_CELL are refused after it
MOST_COLUMNS = 400
LONGEST_CELL = 20_000
HEAD_ROWS = 40
BATCH_ROWS = 20_000
PARTED_SHARE = 0.8
SCAN_BYTES = 4_000_000
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xls", ".ods"})
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)

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


def _decoded(content: bytes, name: str) -> str:
    for mark, encoding in _BOMS:
        if content.startswith(mark):
            return _decode(content, encoding, name)
    if content[:4000].count(0) > len(content[:4000]) // 4:
        looks_little = content[:4000:2].count(0) < content[1:4000:2].count(0)
        decoded = _decode(content, "utf-16-le" if looks_little else "utf-16-be", name)
        if decoded[:200].isprintable() or "\n" in decoded[:4000]:
            return _refuse_binary(decoded, name)
    try:
        return _refuse_binary(content.decode("utf-8"), name)
    except UnicodeDecodeError:
        return _refuse_binary(content.decode("cp1252", errors="replace"), name)


def _decode(content: bytes, encoding: str, name: str) -> str:
    try:
        return _refuse_binary(content.decode(encoding), name)
    except UnicodeDecodeError as broken:
        raise SheetError(
            f"{name} says it is {encoding} but is not at byte {broken.start}.",
            "Save it again as CSV in UTF-8.",
        ) from broken


def _refuse_binary(text: str, name: str) -> str:
    start = text[:8000]
    odd = sum(1 for letter in start if letter < " " and letter not in "\t\n\r\f\v")
    if "\x00" in text or odd > len(start) // 50:
        raise SheetError(
            f"{name} is not text: it holds control characters a sheet never has.",
            "If it is a workbook give it its own ending, such as .xlsx; else take it out of the logbook.",
        )
    return text


def _delimiter(text: str, suffix: str) -> str:
    if suffix.casefold() == ".tsv":
        return "\t"
    lines = [line for line in text[:20_000].splitlines() if line.strip()][:20]
    return max(",;\t|", key=lambda mark: (sum(min(line.count(mark), 40) for line in lines), mark == ","))


def _is_parted(lines: list[str], delimiter: str) -> bool:
    """Tell whether nearly all lines of a text have the same number of a delimiter, as a sheet has."""
    counts = [line.count(delimiter) for line in lines if line.strip()]
    usual = max(set(counts), key=counts.count, default=0)
    return usual >= 2 and counts.count(usual) >= PARTED_SHARE * len(counts)


def careful_rows(content: bytes, name: str) -> Iterator[tuple[int, list[str]]]:
    """Split the bytes of a CSV into records with the line each begins on.

    Parameters
    ----------
    content
        In any encoding in common use.
    name
        Of the file, with its ending.

    Yields
    ------
    tuple
        Line, counted from 1, and the cells.

    Raises
    ------
    SheetError
        When the bytes are not text.

    Notes
    -----
    A quote mark that opens a cell and is not closed within ``LONGEST_NOTE_LINES`` lines is a mark of
    inches or a slip, not a quotation: its line is split as if quotes meant nothing.
    """
    text = _decoded(content, name)
    csv.field_size_limit(LONGEST_LINE)
    delimiter = _delimiter(text, ".tsv" if name.casefold().endswith(".tsv") else ".csv")
    lines = io.StringIO(text, newline="").readlines()
    if name.casefold().endswith(NOTES_SUFFIX) and not _is_parted(lines, delimiter):
        yield from ((at, [line.rstrip()]) for at, line in enumerate(lines, start=1))
        return
    at, cells = 0, []
    while at < len(lines):
        plain_to = at
        while plain_to < len(lines) and '"' not in lines[plain_to]:
            plain_to += 1
        for cells in csv.reader(lines[at:plain_to], delimiter=delimiter, quoting=csv.QUOTE_NONE):
            at += 1
            yield at, cells
        if at < len(lines):
            cells, used = _record_with_ditto(lines[at], delimiter, len(cells)) or _quoted_record(
                lines, at, delimiter
            )
            yield at + 1, cells
            at += used


def _record_with_ditto(line: str, delimiter: str, width: int) -> tuple[list[str], int] | None:
    """Split a line in which a quote mark alone fills a cell, if that gives as many cells as above."""
    lone = rf'(^|{re.escape(delimiter)})[ ]*"[ ]*(?={re.escape(delimiter)})'
    line, times = re.subn(lone, r'\1""""', line)
    try:
        cells = next(csv.reader([line], delimiter=delimiter, strict=True)) if times else []
    except csv.Error:
        return None
    return (cells, 1) if times and len(cells) == width else None


def _quoted_record(lines: list[str], at: int, delimiter: str) -> tuple[list[str], int]:
    for used in range(1, min(LONGEST_NOTE_LINES, len(lines) - at) + 1):
        try:
            return next(csv.reader(lines[at : at + used], delimiter=delimiter, strict=True)), used
        except csv.Error as broken:
            if "unexpected end of data" not in str(broken):
                break
    return next(csv.reader([lines[at]], delimiter=delimiter, quoting=csv.QUOTE_NONE)), 1


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
    if b"\n" not in head or any(head.startswith(mark) for mark, encoding in _BOMS if encoding != "utf-8-sig"):
        return None
    text = head[: head.rfind(b"\n") + 1].decode("utf-8-sig", errors="replace")
    delimiter = _delimiter(text, path.suffix)
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
