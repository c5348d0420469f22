"""The whole ingest stage: sheets as they are typed in, facts with their doubts out.

sheets -> raw (bytes, append-only) -> rows_* (every row, as read) -> typed_* (data rows) -> bad_cells and
questions -> answers -> timeslips, weather, track, setups, checks.

All of it is one transaction: a stage that is killed leaves the store as it was.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import duckdb
import polars as pl

from pipeline.errors import SheetError
from pipeline.garage.dictionary import KINDS, SHEET_TABLES, Kind
from pipeline.garage.logbook import Garage, Logbook
from pipeline.ingest.answers import settle_answers
from pipeline.ingest.archive import archive_file
from pipeline.ingest.ditto import with_dittos_read
from pipeline.ingest.doubts import find_doubts
from pipeline.ingest.entries import keep_entries
from pipeline.ingest.garage_tables import write_garage
from pipeline.ingest.headings import SheetPlan, plan_sheet
from pipeline.ingest.readings import careful_readings
from pipeline.ingest.rows import insert_rows
from pipeline.ingest.sheets import TextSheet, read_file
from pipeline.ingest.stacked import has_later_headings, tables_of
from pipeline.ingest.words import settle_words
from pipeline.store.database import first_row, query, run_for_each_kind, run_queries, transaction
from pipeline.store.remembered import forget

Progress = Callable[[str, float], None]
TABLES = (
    "tables/raw_versions", "tables/raw_parts", "tables/current_sheets", "tables/sheet_columns",
    "tables/sheet_problems", "tables/bad_cells", "tables/questions", "tables/answers",
    "tables/sheet_counts", "tables/entries", "tables/doubles", "raw/macros", "clean/macros",
)  # fmt: skip
ANSWER_FIELDS = ("question_id", "file", "sheet", "row", "column", "value", "answer")


@dataclass(frozen=True, slots=True)
class SheetCount:
    """What became of the rows of one sheet: read = kept + questioned + rejected + set_aside."""

    file: str
    sheet: str
    kind: str
    read: int
    kept: int
    questioned: int
    rejected: int
    set_aside: int


@dataclass(frozen=True, slots=True)
class IngestReport:
    """What ingest found.

    Attributes
    ----------
    sheets
        The counts, sheet by sheet.
    unused
        Headings nothing is read from: file, tab, heading.
    problems
        Sentences about files that could not be read, sheets not recognised and headings.
    open_questions
        Questions that wait for an answer.
    """

    sheets: tuple[SheetCount, ...]
    unused: tuple[tuple[str, str, str], ...]
    problems: tuple[str, ...]
    open_questions: int

    @property
    def total(self) -> SheetCount:
        """The counts of all sheets together."""
        sums = (
            sum(getattr(sheet, name) for sheet in self.sheets)
            for name in ("read", "kept", "questioned", "rejected", "set_aside")
        )
        return SheetCount("", "", "all", *sums)


def ingest_logbook(
    con: duckdb.DuckDBPyConnection,
    logbook: Logbook,
    progress: Progress | None = None,
    mark: str | None = None,
) -> IngestReport:
    """Read every sheet of a logbook into the store, find what is doubtful, and count every row.

    Parameters
    ----------
    con
        A writable store.
    logbook
        The folder, opened.
    progress
        Told what is being done and the share done, 0 to 1.
    mark
        Of the logbook's content; a run table remembered as made of anything else is forgotten with this.

    Returns
    -------
    IngestReport
    """
    tell = progress or (lambda _what, _share: None)
    with transaction(con):
        forget(con, "runs", mark)
        run_queries(con, TABLES)
        run_for_each_kind(con, "tables/rows")
        write_garage(con, logbook.garage)
        plans = _read_all(con, logbook, tell)
        tell("reading odd cells", 0.6)
        _read_odd_cells(con, plans, logbook.garage)
        settle_words(con, logbook.garage)
        run_for_each_kind(con, "raw/typed")
        tell("looking for doubtful entries", 0.7)
        con.execute(query("clean/questions_from_bad_cells"))
        find_doubts(con, logbook.garage)
        tell("applying answers", 0.95)
        settle_answers(con, logbook.garage)
        con.execute(query("clean/row_marks"))
        run_for_each_kind(con, "clean/settled")
        con.execute(query("clean/sheet_counts"))
        report = _report(con)
    tell("done", 1.0)
    return report


def _read_all(con: duckdb.DuckDBPyConnection, logbook: Logbook, tell: Progress) -> dict[int, SheetPlan]:
    """Archive every file and read its sheets; give each sheet's plan."""
    plans: dict[int, SheetPlan] = {}
    for done, path in enumerate(logbook.sheets):
        name = path.relative_to(logbook.root).as_posix()
        tell(f"reading {name}", 0.6 * done / len(logbook.sheets))
        try:
            version = archive_file(con, path, name)
            for sheet in read_file(con, path, name):
                _load_sheet(con, path, sheet, plans, version, logbook.garage)
        except SheetError as wrong:
            _note_unreadable(con, name, wrong)
    for name, why in logbook.passed_over:
        _note_unreadable(con, name, why)
    return plans


def _note_unreadable(con: duckdb.DuckDBPyConnection, name: str, wrong: SheetError) -> None:
    con.execute(query("raw/keep_problem"), {"file": name, "sheet": "", "problem": str(wrong)})
    con.execute(
        query("raw/keep_sheet"),
        {
            "sheet_no": None, "file": name, "sheet": "", "kind": "unreadable", "version_id": None,
            "rows": 0, "heading_row": 0, "headings": [],
        },
    )  # fmt: skip


def _load_sheet(
    con: duckdb.DuckDBPyConnection,
    path: Path,
    sheet: TextSheet,
    plans: dict[int, SheetPlan],
    version: int,
    garage: Garage,
) -> None:
    """Read a sheet, one table or several, and add the plan of each to ``plans``."""
    if not sheet.is_numbered:
        plan, sheet_no = plan_sheet(sheet.head, garage), len(plans) + 1
        if plan.kind in KINDS and insert_rows(con, sheet, plan, sheet_no, garage):
            if not has_later_headings(con, sheet_no, garage):
                plans[sheet_no] = plan
                _note_sheet(con, sheet, plan, sheet_no, version)
                return
            con.execute(query("raw/forget", plan.kind), {"sheet_no": sheet_no})
        (sheet,) = read_file(con, path, sheet.file, careful=True)
    for table in tables_of(con, sheet, garage):
        plan, sheet_no = plan_sheet(table.head, garage), len(plans) + 1
        if table.sheet != sheet.sheet:
            told = f"Row {plan.heading_row} has headings of its own; the rows below it are read by them."
            plan = replace(plan, problems=(*plan.problems, told))
        plans[sheet_no] = plan
        if plan.kind in KINDS:
            insert_rows(con, with_dittos_read(con, table, plan), plan, sheet_no, garage)
            keep_entries(con, table, plan)
        elif plan.kind == "answers":
            _keep_answers(con, table, plan, sheet_no)
        _note_sheet(con, table, plan, sheet_no, version)


def _note_sheet(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan, sheet_no: int, version: int
) -> None:
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
    if plan.kind == "unrecognised":
        seen = ", ".join(heading for _, heading in plan.unused[:6]) or "nothing"
        problems.append(
            f"No row of it looks like headings (first row: {seen}). "
            "Name the columns as the blank sheets do, or say what they hold under [headings] in garage.toml."
        )
    place = sheet.place
    for problem in problems:
        told = {"file": sheet.file, "sheet": sheet.sheet, "problem": f"{place}: {problem}"}
        con.execute(query("raw/keep_problem"), told)
    _note_columns(con, sheet, plan)


def _kind(plan: SheetPlan) -> Kind:
    return next(kind for kind in KINDS if kind == plan.kind)


def _note_columns(con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan) -> None:
    rows: list[tuple[int, str, str | None, float | None, float | None]] = [
        (column.index, column.heading, column.name, column.to_canonical.factor, column.to_canonical.offset)
        for column in plan.columns
    ]
    rows += [(place, heading, None, None, None) for place, heading in plan.unused]
    if not rows:
        return
    schema = {
        "position": pl.Int32, "heading": pl.String, "column": pl.String, "factor": pl.Float64,
        "shift": pl.Float64,
    }  # fmt: skip
    frame = pl.DataFrame(rows, schema=schema, orient="row")
    con.register("headed_columns", frame.with_columns(file=pl.lit(sheet.file), sheet=pl.lit(sheet.sheet)))
    con.execute(query("raw/keep_columns"))
    con.unregister("headed_columns")


def _keep_answers(con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan, sheet_no: int) -> None:
    frame = sheet.cells.pl().filter(pl.col("row") > plan.heading_row)
    at = {column.name: column.index for column in plan.columns}
    fields = [
        (pl.col(f"c{at[name]}") if name in at else pl.lit(None, pl.String)).alias(name)
        for name in ANSWER_FIELDS
    ]
    order = (pl.lit(sheet_no, pl.Int64) * 100_000_000 + pl.col("row")).alias("entry_order")
    answers = frame.select(order, *fields).with_columns(pl.col("row").cast(pl.Int32, strict=False))
    con.register("sheet_answers", answers)
    con.execute(query("raw/keep_answers"))
    con.unregister("sheet_answers")


def _read_odd_cells(con: duckdb.DuckDBPyConnection, plans: dict[int, SheetPlan], garage: Garage) -> None:
    """Set aside what is no data, read the odd cells with care, and note what stays unreadable."""
    run_for_each_kind(con, "raw/set_aside")
    con.execute(query("raw/odd_cells"))
    con.register("careful_readings", careful_readings(con, plans, garage))
    con.execute(query("raw/mended_cells"))
    run_for_each_kind(con, "raw/mend", "raw/set_aside_empty")
    run_queries(con, ["raw/set_aside_planned", "raw/undated_rows", "raw/carried_days"])
    run_for_each_kind(con, "raw/mend")
    run_queries(con, ["raw/bad_cells", "raw/missing_dates"])
    con.unregister("careful_readings")


def _report(con: duckdb.DuckDBPyConnection) -> IngestReport:
    counts = con.execute(query("clean/report_counts")).fetchall()
    unused = con.execute(query("clean/report_unused")).fetchall()
    problems = con.execute(query("clean/report_problems")).fetchall()
    found = first_row(con.execute(query("clean/report_questions")))
    return IngestReport(
        sheets=tuple(SheetCount(*row) for row in counts),
        unused=tuple((file, sheet, heading) for file, sheet, heading in unused),
        problems=tuple(problem for _, _, problem in problems),
        open_questions=int(found[0]) if found else 0,
    )
