"""A file into text cells: every sheet as rows of text with the line or row they stand on.

A CSV of ordinary size is read with the standard library's reader, which knows the true line of every
record, notes with newlines included. A large one goes through DuckDB's reader, but only when it can be
proved that records and lines are the same there; otherwise it takes the careful way too.
"""

from __future__ import annotations

import codecs
import csv
import io
import mmap
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import fastexcel
import polars as pl

from pipeline.errors import SheetError

CAREFUL_BYTES = 6_000_000  # below this the careful reader costs well under a second
MOST_COLUMNS = 400
LONGEST_CELL = 20_000
HEAD_ROWS = 40
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xls", ".ods"})
MOST_UNPACKED_BYTES = 400_000_000
MOST_UNPACKED_RATIO = 300.0
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


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
        How many rows hold anything at all.
    """

    file: str
    sheet: str
    cells: duckdb.DuckDBPyRelation
    width: int
    head: tuple[tuple[int, tuple[str | None, ...]], ...]
    rows: int


def read_file(con: duckdb.DuckDBPyConnection, path: Path, root: Path) -> list[TextSheet]:
    """Read every sheet of a file as text.

    Parameters
    ----------
    con
        Where the relations live.
    path
        The file.
    root
        The logbook folder.

    Returns
    -------
    list of TextSheet
        One a CSV, one a tab of a workbook; empty sheets are left out.

    Raises
    ------
    SheetError
        When the file can not be read as sheets.
    """
    name = path.relative_to(root).as_posix()
    try:
        if path.suffix.casefold() in WORKBOOK_SUFFIXES:
            return list(_workbook(con, path, name))
        return list(_csv(con, path, name))
    except OSError as gone:
        raise SheetError(
            f"{name} can not be read ({gone.strerror or gone}).", "Check that the file is there and is yours."
        ) from gone


# --- CSV and TSV


def _csv(con: duckdb.DuckDBPyConnection, path: Path, name: str) -> Iterator[TextSheet]:
    if path.stat().st_size > CAREFUL_BYTES and (delimiter := _plain_delimiter(path)):
        yield _large_csv(con, path, name, delimiter)
        return
    content = path.read_bytes()
    if content.strip():
        text = _decoded(content, name)
        yield from _sheet_of_rows(con, name, "", _careful_rows(text, path.suffix, name))


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


def _careful_rows(text: str, suffix: str, name: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text, suffix))
    csv.field_size_limit(max(csv.field_size_limit(), 10_000_000))
    before = 0
    try:
        for cells in reader:
            yield before + 1, cells
            before = reader.line_num
    except csv.Error as broken:
        raise SheetError(
            f"{name} breaks off at line {reader.line_num} ({broken}).",
            "Look for a quote mark that is never closed.",
        ) from broken


def _plain_delimiter(path: Path) -> str | None:
    """Give the delimiter of a large file whose records are provably its lines, else None."""
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as view:
        head = view[:65_536]
        awkward = (b'"', b"\x00", b"\n\n", b"\n\r\n", b"\r\r")
        if any(view.find(mark) >= 0 for mark in awkward) or b"\n" not in head:
            return None
        if any(head.startswith(mark) for mark, encoding in _BOMS if encoding != "utf-8-sig"):
            return None
    try:
        text = head.decode("utf-8-sig", errors="strict" if len(head) < 65_536 else "ignore")
    except UnicodeDecodeError:
        return None
    return _delimiter(text, path.suffix)


def _large_csv(con: duckdb.DuckDBPyConnection, path: Path, name: str, delimiter: str) -> TextSheet:
    try:
        cells = con.read_csv(
            str(path),
            header=False,
            all_varchar=True,
            delimiter=delimiter,
            quotechar="",
            escapechar="",
            null_padding=True,
            auto_detect=False,
            columns=_text_columns(_widest(path, delimiter)),
            max_line_size=2_000_000,
        )
        width = len(cells.columns)
        head = cells.limit(HEAD_ROWS).fetchall()
    except duckdb.Error as broken:
        raise SheetError(
            f"{name} can not be read as CSV ({str(broken).splitlines()[0][:160]}).",
            "Open it in a spreadsheet and save it as CSV again.",
        ) from broken
    numbered = cells.row_number("over ()", "row, *").select("row::integer as row, * exclude (row)")
    return TextSheet(
        file=name,
        sheet="",
        cells=numbered,
        width=width,
        head=tuple((at, tuple(row)) for at, row in enumerate(head, start=1)),
        rows=_count_lines(path),
    )


def _text_columns(width: int) -> dict[str, str]:
    return {f"c{at}": "VARCHAR" for at in range(width)}


def _widest(path: Path, delimiter: str) -> int:
    with path.open("r", encoding="utf-8-sig", errors="replace", newline="") as file:
        return max(line.count(delimiter) + 1 for _, line in zip(range(200), file, strict=False))


def _count_lines(path: Path) -> int:
    newlines, last = 0, b"\n"
    with path.open("rb") as file:
        while block := file.read(1 << 22):
            newlines += block.count(b"\n")
            last = block[-1:]
    return newlines + (last != b"\n")


# --- workbooks


def _workbook(con: duckdb.DuckDBPyConnection, path: Path, name: str) -> Iterator[TextSheet]:
    _refuse_bomb(path, name)
    try:
        book = fastexcel.read_excel(path)
        for tab in book.sheet_names:
            loaded = book.load_sheet(tab, header_row=None, skip_rows=0, dtypes="string")
            if loaded.width > MOST_COLUMNS:
                raise _too_wide(f"{name}, tab {tab}", loaded.width)
            if loaded.total_height:
                yield from _sheet_of_frame(con, name, tab, loaded.to_polars())
    except fastexcel.FastExcelError as broken:
        raise SheetError(
            f"{name} can not be opened as a workbook ({str(broken).splitlines()[0][:120]}).",
            "Open it in a spreadsheet and save it again, without a password.",
        ) from broken


def _refuse_bomb(path: Path, name: str) -> None:
    """Refuse a workbook that unpacks to far more than any season could fill."""
    if path.suffix.casefold() == ".xls":
        return
    try:
        with zipfile.ZipFile(path) as packed:
            unpacked = sum(item.file_size for item in packed.infolist())
            size = max(path.stat().st_size, 1)
    except zipfile.BadZipFile as broken:
        raise SheetError(
            f"{name} is not a workbook, whatever its ending says.", "Save it again from the spreadsheet."
        ) from broken
    if unpacked > MOST_UNPACKED_BYTES or (unpacked > 20_000_000 and unpacked / size > MOST_UNPACKED_RATIO):
        raise SheetError(
            f"{name} would unpack from {size / 1e6:.1f} to {unpacked / 1e6:.0f} MB; no season does.",
            "Take it out of the logbook; if it is yours, save the tabs you need as CSV.",
        )


def _sheet_of_frame(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, frame: pl.DataFrame
) -> Iterator[TextSheet]:
    named = frame.rename({old: f"c{at}" for at, old in enumerate(frame.columns)})
    columns = [pl.col(column) for column in named.columns]
    numbered = named.select(pl.int_range(1, pl.len() + 1, dtype=pl.Int32).alias("row"), *columns)
    yield from _finished(con, name, tab, numbered)


def _sheet_of_rows(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, rows: Iterator[tuple[int, list[str]]]
) -> Iterator[TextSheet]:
    numbers: list[int] = []
    cells: list[list[str]] = []
    for number, row in rows:
        if len(row) > MOST_COLUMNS:
            raise _too_wide(f"{name}, line {number}", len(row))
        numbers.append(number)
        cells.append(row)
    width = max((len(row) for row in cells), default=0)
    columns = {
        f"c{at}": [row[at][:LONGEST_CELL] if at < len(row) else None for row in cells] for at in range(width)
    }
    schema = {"row": pl.Int32, **dict.fromkeys(columns, pl.String)}
    yield from _finished(con, name, tab, pl.DataFrame({"row": numbers, **columns}, schema=schema))


def _finished(
    con: duckdb.DuckDBPyConnection, name: str, tab: str, frame: pl.DataFrame
) -> Iterator[TextSheet]:
    width = frame.width - 1
    if width == 0 or frame.height == 0:
        return
    head = tuple((int(row[0]), tuple(row[1:])) for row in frame.head(HEAD_ROWS).rows())
    yield TextSheet(name, tab, con.from_arrow(frame.to_arrow()), width, head, frame.height)


def _too_wide(where: str, width: int) -> SheetError:
    return SheetError(
        f"{where} has {width} columns; a sheet of a logbook has at most {MOST_COLUMNS}.",
        "Check the delimiter, or take the file out of the logbook.",
    )
