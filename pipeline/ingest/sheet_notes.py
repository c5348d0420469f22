"""What is noted of every sheet: where it stands, what its headings were read as, what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence

import duckdb
import polars as pl

from pipeline.errors import SheetError
from pipeline.garage.columns import KINDS, Kind
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.ingest.answers import HEADING
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.recognise.ready import spoken_name
from pipeline.ingest.sheets import TextSheet
from pipeline.store.database import lend, query


def note_unreadable(con: duckdb.DuckDBPyConnection, name: str, wrong: SheetError) -> None:
    """Note a file that cannot be read."""
    con.execute(query("raw/keep_problem"), {"file": name, "sheet": "", "problem": str(wrong)})
    con.execute(
        query("raw/keep_sheet"),
        {
            "sheet_no": None, "file": name, "sheet": "", "kind": "unreadable", "version_id": None,
            "rows": 0, "heading_row": 0, "headings": [],
        },
    )  # fmt: skip


def note_sheet(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan, sheet_no: int, version: int
) -> None:
    """Note a sheet and what is wrong with it or its headings; its columns are noted with all others'."""
    headings = {column.name: column.heading for column in plan.columns}
    names: list[str] = []
    if plan.kind in KINDS:
        table = SHEET_TABLES[_kind(plan)]
        names = ["date", "time", *(column.name for column in (*table.texts, *table.numbers))]
    con.execute(
        query("raw/keep_sheet"),
        {
            "sheet_no": sheet_no, "file": sheet.file, "sheet": sheet.sheet, "kind": plan.kind,
            "version_id": version, "rows": sheet.rows, "heading_row": plan.heading_row,
            "headings": [headings.get(name) for name in names],
        },
    )  # fmt: skip
    problems = list(plan.problems)
    if plan.kind == "unrecognised" and not problems:
        problems.append(_count_for_nothing(sheet, plan))
    place = sheet.place
    for problem in problems:
        told = {"file": sheet.file, "sheet": sheet.sheet, "problem": f"{place}: {problem}"}
        con.execute(query("raw/keep_problem"), told)
    for column in plan.columns:
        if column.doubt:
            asked = {
                "file": sheet.file, "sheet": sheet.sheet, "row": column.row, "column": HEADING,
                "value": column.heading, "problem": column.doubt, "suggestion": spoken_name(column.name),
            }  # fmt: skip
            con.execute(query("raw/doubtful_column"), asked)


def _count_for_nothing(sheet: TextSheet, plan: SheetPlan) -> str:
    """Say of a sheet that is not understood what it costs, and what would mend it."""
    seen = ", ".join(heading for _, heading in plan.unused[:6]) or "nothing"
    mend = "Name the columns as the blank sheets do, or say what they hold under [headings] in garage.toml."
    rows = max(sheet.rows - (plan.heading_row > 0), 0)
    cost = f"{rows} {'row counts' if rows == 1 else 'rows count'} for nothing"
    if plan.heading_row and plan.unused:
        return f"{cost}: no column that could be kept is known (its headings: {seen}). {mend}"
    return f"{cost}: no row of it looks like headings (first row: {seen}). {mend}"


def _kind(plan: SheetPlan) -> Kind:
    return next(kind for kind in KINDS if kind == plan.kind)


def note_columns(con: duckdb.DuckDBPyConnection, noted: Sequence[tuple[TextSheet, SheetPlan]]) -> None:
    """Note what each heading of all sheets was read as."""
    rows: list[tuple[str, str, int, str, str | None, float | None, float | None, str]] = []
    for sheet, plan in noted:
        rows += [
            (
                sheet.file,
                sheet.sheet,
                column.index if column.place is None else column.place,
                column.heading,
                column.name,
                column.to_canonical.factor,
                column.to_canonical.offset,
                column.why,
            )
            for column in plan.columns
        ]
        rows += [
            (sheet.file, sheet.sheet, place, heading, None, None, None, "") for place, heading in plan.unused
        ]
    if not rows:
        return
    schema = {
        "file": pl.String, "sheet": pl.String, "position": pl.Int32, "heading": pl.String,
        "column": pl.String, "factor": pl.Float64, "shift": pl.Float64, "why": pl.String,
    }  # fmt: skip
    lend(con, "headed_columns", pl.DataFrame(rows, schema=schema, orient="row"))
    con.execute(query("raw/keep_columns"))
    con.unregister("headed_columns")
