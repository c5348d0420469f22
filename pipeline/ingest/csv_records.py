"""The bytes of a CSV into records: its encoding, its delimiter, and the line on which each record begins."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator

from pipeline.errors import SheetError
from pipeline.files.sheets import NOTES_SUFFIXES

LONGEST_NOTE_LINES = 40
LONGEST_LINE = 2_000_000_000  # the reader only; cells too long for a sheet are refused after it
PARTED_SHARE, MOST_REMARKS = 0.8, 0.6
WIDE = 5
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def _decoded(content: bytes, name: str) -> str:
    for mark, encoding in BOMS:
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


def delimiter_of(text: str, suffix: str) -> str:
    """Tell what parts the cells of a text: a tab by its ending, else the commonest mark of its lines.

    A mark that nearly all lines have as often goes before one that they have not: a decimal comma.
    """
    if suffix.casefold() == ".tsv":
        return "\t"
    lines = [line for line in text[:20_000].splitlines() if line.strip()]

    def worth(mark: str) -> tuple[float, int, bool]:
        return _share_parted(lines, mark), sum(min(line.count(mark), 40) for line in lines), mark == ","

    return max(",;\t|", key=worth)


def _is_parted(lines: list[str], delimiter: str) -> bool:
    """Tell whether nearly all lines of a text have the same number of a delimiter, as a sheet has."""
    return _share_parted(lines, delimiter) > 0.0


def _share_parted(lines: list[str], delimiter: str) -> float:
    """Give the share of lines with the usual number of a delimiter; 0 where they are not nearly all.

    Tabs and upright lines stand in no running text, so that remarks between the rows of a table, which have
    none, do not count; nor do lists above one drawn with upright lines. A remark past the last column of a
    wide table has more of a mark; commas are too often decimals for that.
    """
    counts = [line.count(delimiter) for line in lines if line.strip()]
    filled = [count for count in counts if count]
    is_drawn = delimiter == "\t" or (delimiter == "|" and _usual(filled) >= WIDE)
    if is_drawn and counts.count(0) <= MOST_REMARKS * len(counts):
        counts = filled
    usual = _usual(counts)
    odd = [count for count in counts if count > usual] if delimiter != "," and usual >= WIDE else []
    share = (counts.count(usual) + len(odd)) / max(len(counts), 1)
    return share if usual >= 2 and share >= PARTED_SHARE else 0.0


def _usual(counts: list[int]) -> int:
    return max(set(counts), key=counts.count, default=0)


def _is_parted_twice(lines: list[str]) -> bool:
    """Tell whether marks of two sorts part the lines of a text, so that its values stand in groups."""
    bare = [_DECIMAL_COMMA.sub(".", line) for line in lines]
    return sum(_is_parted(bare, mark) for mark in ",;\t|") > 1


def _are_decimals(lines: list[str], delimiter: str) -> bool:
    """Tell whether nearly all commas stand in numbers, and blanks part those: columns below each other."""
    own = [line for line in lines if delimiter == "," and "," in line]
    within = sum(
        "," not in _DECIMAL_COMMA.sub("", line) and all(word.count(",") <= 1 for word in line.split())
        for line in own
    )
    return within > PARTED_SHARE * len(own)


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
    delimiter = delimiter_of(text, ".tsv" if name.casefold().endswith(".tsv") else ".csv")
    lines = io.StringIO(text, newline="").readlines()
    if name.casefold().endswith(tuple(NOTES_SUFFIXES)) and (
        not _is_parted(lines, delimiter) or _is_parted_twice(lines) or _are_decimals(lines, delimiter)
    ):
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
