"""Answers as values: what a person answered to a question becomes the value of its cell."""

from __future__ import annotations

import datetime as dt
from typing import Any, Literal

import duckdb
import polars as pl

from pipeline.garage.dictionary import NOON_S, SHEET_TABLES, WORD_COLUMNS
from pipeline.garage.logbook import Garage
from pipeline.garage.units import Conversion
from pipeline.ingest.dates import read_date_as, read_dates, read_time
from pipeline.ingest.readings import read_cell
from pipeline.store.database import lend, query

ACCEPT, KEEP, EMPTY = "accept", "keep", "empty"
LEAVE_OUT, LEAVE_OUT_ROW = "leave out", "leave out row"
ORDERS: dict[str, Literal["day", "month"]] = {"day first": "day", "month first": "month"}
HALVES = {"am": 0, "pm": NOON_S}
HEADING = "heading"
"""Where a question is about a whole column; its answer is heard when the sheet is read (``read_sheets``)."""
ROW_COLUMNS = frozenset({"date", "time", "car"})
"""Without one of these a row cannot be placed: leaving it out sets the whole row aside."""
SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "file": pl.String, "sheet": pl.String, "row": pl.Int32, "column": pl.String,
    "is_left_out": pl.Boolean, "is_number": pl.Boolean, "number": pl.Float64,
    "several": pl.List(pl.Float64), "is_words": pl.Boolean, "words": pl.String,
    "day": pl.Date, "clock_s": pl.Int32,
}  # fmt: skip


def settle_answers(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Read every answer as a value of its column into the table ``answered``.

    An answer that cannot be read leaves its question open, with a word about why.

    Parameters
    ----------
    con
        A writable store during ingest, with ``questions`` answered as far as they are.
    garage
        For counterweight hardware and screws.
    """
    con.execute(query("tables/answered"))
    rows = []
    for (
        question_id,
        file,
        sheet,
        row,
        column,
        value,
        suggestion,
        answer,
        severity,
        rule,
        factor,
        shift,
    ) in con.execute(query("clean/answered_questions")).fetchall():
        if column == HEADING:
            continue
        word = " ".join(answer.casefold().split())
        if word == LEAVE_OUT:
            word = LEAVE_OUT_ROW if column in ROW_COLUMNS or severity == "rejected" else EMPTY
        heading = Conversion(1.0 if factor is None else factor, 0.0 if shift is None else shift)
        found: dict[str, Any] | None
        why = f" The answer {answer.strip()[:40]!r} cannot be read."
        if word == KEEP and rule != "unreadable":
            why = _why_impossible(column, value or "", heading, garage)
            found = None if why else {}
        else:
            found = _value(column, word, answer, value, suggestion, heading, garage)
        if found is None:
            con.execute(query("clean/reopen_question"), {"why": why, "question_id": question_id})
        else:
            rows.append({"file": file, "sheet": sheet, "row": row, "column": column, **found})
    if rows:
        lend(con, "answer_values", pl.DataFrame(rows, schema=SCHEMA))
        con.execute(query("clean/keep_answered"))
        con.unregister("answer_values")


def _value(
    column: str,
    word: str,
    answer: str,
    value: str | None,
    suggestion: str | None,
    heading: Conversion,
    garage: Garage,
) -> dict[str, Any] | None:
    if word == ACCEPT:
        if suggestion is None:
            return None
        word, answer, heading = " ".join(suggestion.casefold().split()), suggestion, Conversion(1.0, 0.0)
    if word == LEAVE_OUT_ROW:
        return {"is_left_out": True}
    if word == EMPTY:
        return {"is_words": True} if column in WORD_COLUMNS else {"is_number": True}
    if word == KEEP:
        kept = _read(column, value or "", heading, garage) if column not in WORD_COLUMNS else None
        return kept if kept is not None and kept.get("number") is not None else {}
    if column == "time" and word in HALVES:
        clock, _ = read_time(value or "")
        return {"clock_s": _seconds(clock) % NOON_S + HALVES[word]} if clock else None
    if column == "date" and word in ORDERS:
        day = read_date_as(value or "", ORDERS[word])
        return {"day": day} if day else None
    return _read(column, answer, heading, garage)


def _why_impossible(column: str, typed: str, heading: Conversion, garage: Garage) -> str:
    """Say why an entry cannot be kept; empty where it can. What is kept is what was read before."""
    known = next((c for table in SHEET_TABLES.values() for c in table.columns if c.name == column), None)
    if known is None or known.low is None or known.high is None:
        return ""
    number = read_cell(typed, column, heading, garage)["number"]
    if not isinstance(number, float) or known.low <= number <= known.high:
        return ""
    return f" It cannot be kept: {number:g} lies outside {known.low:g} to {known.high:g}, where it must lie."


def _read(column: str, text: str, heading: Conversion, garage: Garage) -> dict[str, Any] | None:
    """Read an answer by the rules of a sheet's cell; None when it cannot be."""
    if column == "date":
        found = read_dates([text]).get(text)
        day = found.day or found.suggestion if found else None
        return {"day": day} if day else None
    if column == "time":
        clock, _ = read_time(text)
        return {"clock_s": _seconds(clock)} if clock else None
    if column in WORD_COLUMNS:
        return {"is_words": True, "words": text.strip()}
    cell = read_cell(text, column, heading, garage)
    if cell["number"] is None:
        return None
    return {"is_number": True, "number": cell["number"], "several": cell.get("several")}


def _seconds(clock: dt.time) -> int:
    return clock.hour * 3600 + clock.minute * 60 + clock.second
