"""Questions and answers: what the person is asked, and what they say to it.

What is wrong with many entries of a column in the same way is one question, answered once for all of them.

A question is known by its file, sheet, row, column and the entry as typed, so an answer lasts as long as
the entry does. A row that only moved keeps its answers; an entry that was changed makes them stale, and
stale answers are shown, never dropped.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import duckdb

from pipeline.files.spreadsheet_text import as_text
from pipeline.files.whole import whole_file
from pipeline.garage.dictionary import WORD_COLUMNS
from pipeline.store.database import query, run_queries

HEADINGS = (
    "question_id", "answer", "file", "sheet", "row", "column", "value", "reading", "suggestion", "problem",
    "severity", "rule", "entries", "places",
)  # fmt: skip
"""Columns of ``questions.csv``; the person fills ``answer`` and leaves the rest."""


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """An answer that does not count, or that changes nothing.

    Attributes
    ----------
    file, sheet, row, column
        Where the entry stood.
    value
        The entry as it was typed then.
    answer
        What was answered.
    reason
        Why, in words.
    """

    file: str
    sheet: str
    row: int | None
    column: str
    value: str
    answer: str
    reason: str


def apply_answers(con: duckdb.DuckDBPyConnection) -> None:
    """Name every question and put its answer beside it.

    Parameters
    ----------
    con
        The store inside ingest's transaction, with ``questions`` (values filled) and ``answers``.

    Notes
    -----
    Of several answers to one question the last counts. Leaves the table ``stale_answers``.
    ``accept`` needs a suggestion; accepting ``empty`` empties the cell.
    """
    names = ("name_questions", "answer_words", "matched", "apply", "stale")
    run_queries(con, [f"answers/{name}" for name in names], {"words": sorted(WORD_COLUMNS)})


def stale_answers(con: duckdb.DuckDBPyConnection) -> tuple[GivenAnswer, ...]:
    """List the answers that no longer count, in the order they were given."""
    rows = con.execute(query("answers/list_stale")).fetchall()
    return tuple(GivenAnswer(*row) for row in rows)


def idle_answers(con: duckdb.DuckDBPyConnection) -> tuple[GivenAnswer, ...]:
    """List the answers that count and change nothing."""
    rows = con.execute(query("answers/list_idle"), {"words": sorted(WORD_COLUMNS)}).fetchall()
    return tuple(GivenAnswer(*row) for row in rows)


def question_lines(con: duckdb.DuckDBPyConnection) -> list[tuple[object, ...]]:
    """Return every question with the answer it has, in the columns of ``HEADINGS``.

    Answers that are stale stand at the end, so nothing is lost.
    """
    return con.execute(query("answers/list_questions")).fetchall()


def asked_rows(con: duckdb.DuckDBPyConnection) -> dict[tuple[str, str, int], list[tuple[str, str]]]:
    """Return each row with a question as it was typed; needs the connection that ingested.

    Returns
    -------
    dict
        By file, tab and row: heading and text of each cell that is not blank, in the order of the sheet.
        Rows of sheets too long to be laid out cell by cell are missing.
    """
    found: dict[tuple[str, str, int], list[tuple[str, str]]] = {}
    for file, sheet, row, heading, value in con.execute(query("answers/asked_cells")).fetchall():
        found.setdefault((file, sheet, row), []).append((heading, value))
    return found


def write_questions(con: duckdb.DuckDBPyConnection, path: Path) -> int:
    """Write every question, one row a cause, with the answer it has, for the person to fill in.

    Parameters
    ----------
    con
        The connection that ingested.
    path
        The CSV; replaced in one step. What a spreadsheet would run gets an apostrophe before it.

    Returns
    -------
    int
        How many questions wait for an answer; one answer may settle many entries.

    Raises
    ------
    StoreError
        When the file cannot be written.
    """
    rows = question_lines(con)
    remedy = "Close it in the spreadsheet, or free some space, and run the command again."
    with whole_file(path, remedy) as partial, partial.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        writer.writerows([as_text(cell) for cell in row] for row in rows)
    answer, severity = HEADINGS.index("answer"), HEADINGS.index("severity")
    return sum(1 for row in rows if not row[answer] and row[severity] not in {"doubt", "stale"})
