"""Ditto marks: a cell that says "the same as above" gets the entry it points to.

Words are taken over as they stand above, and so are settings, which hold until they are changed, and the
air and the track, which are read again when they have changed. What a slip prints or a clutch check measures
becomes a question with the number above as the suggestion, since two seldom agree to the last digit.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

import duckdb
import polars as pl

from pipeline.ingest.change_words import said_abroad
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.recognise.vocabulary import CLUTCH, MEASURED
from pipeline.ingest.sheets import TextSheet
from pipeline.ingest.values import CELLS_KEPT

_WORDS = "|".join(
    ["do", "ditto", "dito", "dto", "id", "ib", "ibid", "(?:same )?as above", *said_abroad("ditto")]
)
_MARKS = r"""(?:-*\s*(?:["”“″〃々]|''|’’|´´|,,|//)\s*-*\s*)+|(?:[→↓⇒⇓]|[-=]+>)\s*"""
MARK = rf"""(?i)^\s*(?:{_MARKS}|(?:{_WORDS})\.?\s*)$"""
_MARK = re.compile(MARK)
_POINTED = re.compile(r"^(?P<mark>.+) \(same as above: (?P<above>.+)\)$", re.DOTALL)
_MEASURED_ANEW = MEASURED | {*CLUTCH}


@lru_cache(maxsize=CELLS_KEPT)
def is_ditto(text: str) -> bool:
    """Tell whether a cell says no more than that it is the same as the one above.

    Examples
    --------
    >>> [is_ditto(text) for text in ('"', "''", "do.", "Ditto", "〃", '-"-', "j.w.", "→", "3.5", "'")]
    [True, True, True, True, True, True, True, True, False, False]
    """
    return not text[:1].isdigit() and _MARK.match(text) is not None


def is_taken_over(column: str) -> bool:
    """Tell whether a mark in a column says what holds, and no number that is measured each time.

    Examples
    --------
    >>> [is_taken_over(name) for name in ("venue", "launch_rpm", "air_temp_degf", "t60_s", "ring_height_in")]
    [True, True, True, False, False]
    """
    return column not in _MEASURED_ANEW


def pointed_at(text: str) -> tuple[str, str] | None:
    """Return mark and entry above of a number cell that :func:`with_dittos_read` wrote; None of others."""
    found = _POINTED.match(text)
    return (found["mark"], found["above"]) if found and is_ditto(found["mark"]) else None


def with_dittos_read(con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan) -> TextSheet:
    """Put beside or in place of each ditto mark what stands above it.

    Parameters
    ----------
    con
        Where the relations live.
    sheet
        The text, with its row numbers.
    plan
        What its headings mean.

    Returns
    -------
    TextSheet
        The sheet itself when it has no such mark. Else what holds is taken over, and a number that
        is measured each time stands behind the mark, for :func:`pointed_at`. Blank rows are looked past.
    """
    frame = sheet.cells.pl()
    marked = [
        column
        for column in plan.columns
        if frame[f"c{column.index}"].str.contains(MARK).fill_null(value=False).any()
    ]
    if not marked:
        return sheet
    is_data = pl.col("row") > plan.heading_row
    written = [pl.col(name).str.strip_chars() != "" for name in frame.columns if name != "row"]
    is_blank = ~pl.any_horizontal(written).fill_null(value=False)
    changed = []
    for column in marked:
        cell = pl.col(f"c{column.index}")
        is_mark = is_data & cell.str.contains(MARK).fill_null(value=False)
        above = pl.when(is_data & ~is_mark & ~is_blank).then(cell.fill_null("")).forward_fill()
        if not is_taken_over(column.name):
            above = (
                pl.when(above != "").then(pl.format("{} (same as above: {})", cell, above)).otherwise(cell)
            )
        changed.append(pl.when(is_mark).then(above).otherwise(cell).alias(f"c{column.index}"))
    return replace(sheet, cells=con.from_arrow(frame.with_columns(changed).to_arrow()))
