"""A workbook looked over before it is opened: how much it unpacks to, and how large a grid its cells span.

The reader lays every tab out as one grid from its first to its last cell, so two cells far apart cost as
much memory as a full tab, and a cell at an absurd place ends the whole process. What a part says of its own
size is not believed either: it is unpacked here, a block at a time, and counted.
"""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import IO
from xml.parsers import expat

from pipeline.errors import SheetError

MOST_UNPACKED_BYTES = 400_000_000
MOST_UNPACKED_RATIO = 300.0
MOST_GRID_CELLS = 20_000_000
BLOCK_BYTES = 1_000_000
OLD_SUFFIX = ".xls"
# A cell past column BZ or row 99,999, white space made spaces: then the grid is followed cell by cell.
FAR_CELL = re.compile(
    rb"""r {0,200}= {0,200}["'] {0,200}(?:[A-Za-z]{3}|[C-Zc-z][A-Za-z]|[A-Za-z]{0,2}\d{6})"""
)
BEFORE_KEY = (b" ", b'"', b"'")
MANY_SPACES = b" " * 200
OVERLAP_BYTES = 1000
_BROKEN = (
    zipfile.BadZipFile, zlib.error, struct.error, expat.ExpatError, NotImplementedError, UnicodeError,
)  # fmt: skip
"""What the readers of packed files raise over one that is none, or whose list of parts is garbled."""
WHITE_TO_SPACES = bytes.maketrans(b"\t\r\n", b"   ")
_REFERENCE = re.compile(r"([A-Za-z]*)(\d*)")


def refuse_hostile(path: Path, name: str) -> None:
    """Refuse a workbook no season needs: one that unpacks to too much or spans too large a grid.

    Parameters
    ----------
    path
        The file.
    name
        Its path below the logbook.

    Raises
    ------
    SheetError
        When it is of the old kind, is no workbook, or is too large in either way.
    """
    if path.suffix.casefold() == OLD_SUFFIX:
        raise SheetError(
            f"{name} is a workbook of the old kind ({OLD_SUFFIX}), which cannot be looked over first.",
            "Save it again as .xlsx or .ods.",
        )
    try:
        with zipfile.ZipFile(path) as packed, path.open("rb") as file:
            parts = packed.infolist()
            _refuse_bomb(name, sum(part.file_size for part in parts), path.stat().st_size)
            for part in parts:
                _look_over(file, part, name)
    except _BROKEN as broken:
        raise SheetError(
            f"{name} is not a workbook, whatever its ending says ({str(broken)[:80]}).",
            "Save it again from the spreadsheet.",
        ) from broken


def _refuse_bomb(name: str, unpacked: int, size: int) -> None:
    ratio = unpacked / max(size, 1)
    if unpacked > MOST_UNPACKED_BYTES or (unpacked > 20_000_000 and ratio > MOST_UNPACKED_RATIO):
        raise SheetError(
            f"{name} would unpack from {size / 1e6:.1f} to {unpacked / 1e6:.0f} MB; no season does.",
            "Take it out of the logbook; if it is yours, save the tabs you need as CSV.",
        )


def _look_over(file: IO[bytes], part: zipfile.ZipInfo, name: str) -> None:
    is_far = part.filename == "content.xml"  # of an .ods, where a cell may say that it stands a million times
    left = b""
    for block in _unpacked(file, part, name):
        if not is_far:
            plain = left + block.translate(WHITE_TO_SPACES)
            is_far = _may_be_far(plain)
            left = plain[-OVERLAP_BYTES:]
    if is_far:
        grid = _Grid(name)
        for block in _unpacked(file, part, name):
            grid.feed(block)


def _may_be_far(plain: bytes) -> bool:
    found = (plain[match.start() - 1 : match.start()] for match in FAR_CELL.finditer(plain))
    return MANY_SPACES in plain or any(before in BEFORE_KEY for before in found)


def _unpacked(file: IO[bytes], part: zipfile.ZipInfo, name: str) -> Iterator[bytes]:
    """Unpack a part a block at a time, and stop where it holds more than it says."""
    file.seek(part.header_offset)
    name_bytes, extra_bytes = struct.unpack("<26x2H", file.read(30))
    file.seek(part.header_offset + 30 + name_bytes + extra_bytes)
    size = 0
    for block in _plain_blocks(file, part):
        size += len(block)
        if size > part.file_size:
            raise SheetError(
                f"{name} holds more than it says: its part {part.filename[:60]!r} is longer than "
                f"{part.file_size} bytes.",
                "Open it in a spreadsheet and save it again, or take it out of the logbook.",
            )
        yield block


def _plain_blocks(file: IO[bytes], part: zipfile.ZipInfo) -> Iterator[bytes]:
    left = part.compress_size
    if part.compress_type == zipfile.ZIP_STORED:
        while left > 0 and (block := file.read(min(BLOCK_BYTES, left))):
            left -= len(block)
            yield block
        return
    if part.compress_type != zipfile.ZIP_DEFLATED:
        raise NotImplementedError(f"packed by method {part.compress_type}")
    unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
    while not unpacker.eof:
        packed = unpacker.unconsumed_tail
        if not packed:
            packed = file.read(min(BLOCK_BYTES, left))
            left -= len(packed)
            if not packed:
                return
        yield unpacker.decompress(packed, BLOCK_BYTES)


class _Grid:
    """Follows the cells of a tab, or of the tabs of an .ods, and refuses the grid when it grows too large."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.row = self.column = 0  # where the cell at hand stands, from 1
        self.row_repeats = self.cell_repeats = 1
        self.rows = self.columns = 0  # how far cells with something in them reach
        self.has_content = False
        self.parser = expat.ParserCreate("utf-8")  # whatever it says of itself: so the reader takes it
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text

    def feed(self, block: bytes) -> None:
        """Take the next block of the part."""
        self.parser.Parse(block)

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        local = tag.rpartition(":")[2]
        if local == "row":
            given = attributes.get("r", "")
            self.row = _number(given, self.row + 1)
            self.column, self.row_repeats = 0, 1
        elif local == "c":
            self._place(attributes.get("r", ""))
        elif local == "table":
            self.row = self.rows = self.columns = 0
        elif local == "table-row":
            self.row += self.row_repeats
            self.row_repeats = _count(attributes, "number-rows-repeated")
            self.column, self.cell_repeats = 0, 1
        elif local in {"table-cell", "covered-table-cell"}:
            self.column += self.cell_repeats
            self.cell_repeats = _count(attributes, "number-columns-repeated")
            if any(key.rpartition(":")[2] == "value-type" for key in attributes):
                self._reach()
        elif local in {"v", "is", "p"}:
            self.has_content = True

    def _text(self, text: str) -> None:
        if self.has_content and text.strip():
            self._reach()

    def _end(self, tag: str) -> None:
        if tag.rpartition(":")[2] in {"c", "table-cell", "covered-table-cell"}:
            self.has_content = False

    def _place(self, reference: str) -> None:
        self.cell_repeats = 1
        found = _REFERENCE.match(reference)
        letters, digits = found.groups() if found else ("", "")
        self.column = _column(letters) if letters else self.column + 1
        self.row = _number(digits, self.row)

    def _reach(self) -> None:
        self.rows = max(self.rows, self.row + self.row_repeats - 1)
        self.columns = max(self.columns, self.column + self.cell_repeats - 1)
        if self.rows * self.columns > MOST_GRID_CELLS:
            raise SheetError(
                f"{self.name} has a tab that reaches row {self.rows}, column {self.columns}; no season does.",
                "Look for a stray entry far below or far right of the others, and delete it.",
            )


def _count(attributes: dict[str, str], wanted: str) -> int:
    given = next((value for key, value in attributes.items() if key.rpartition(":")[2] == wanted), "1")
    return _number(given, 1)


def _number(text: str, otherwise: int) -> int:
    return int(text[:12]) if text.isdecimal() else otherwise


def _column(letters: str) -> int:
    number = 0
    for letter in letters[:12].upper():
        number = number * 26 + ord(letter) - 64
    return number
