"""Runs written as more or less than a run above them: ``+0.012``, ``-.8``, ``0``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.vocabulary import MEASURED

LEAST_SIGNED, SIGNED_SHARE = 4, 0.5
"""A column is written so when so many of its entries, in number and share, bear a sign."""
_SIGNED = re.compile(r"^\s*(?P<sign>[+\-−–])\s*(?P<size>\d*[.,]?\d+)\s*$")
_PLAIN = re.compile(r"^\s*(?P<size>\d+[.,]\d+|\d+)\s*$")


def add_marks(rows: Sequence[Row]) -> None:
    """Write the times and speeds out that are given as more or less than the last one without a sign."""
    for name in MEASURED:
        texts = [row.cells.get(name, "") for row in rows]
        signed = sum(_SIGNED.match(text) is not None for text in texts)
        if signed >= LEAST_SIGNED and signed >= SIGNED_SHARE * sum(map(bool, texts)):
            _write_out(rows, name)


def _write_out(rows: Sequence[Row], name: str) -> None:
    mark: Decimal | None = None
    for row in rows:
        text = row.cells.get(name, "")
        if found := _SIGNED.match(text):
            size = _number(found["size"])
            if mark is not None:
                row.cells[name] = str(mark + (size if found["sign"] == "+" else -size))
        elif found := _PLAIN.match(text):
            if _number(found["size"]):
                mark = _number(found["size"])
            elif mark is not None:
                row.cells[name] = str(mark)


def _number(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))
