"""The whole ingest stage: sheets as they are typed in, facts with their doubts out.

sheets -> raw (bytes, append-only) -> rows_* (every row, as read) -> typed_* (data rows) -> bad_cells and
questions -> answers -> timeslips, weather, track, setups, checks.

All of it is one transaction: a stage that is killed leaves the store as it was.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

import duckdb

from pipeline.garage.logbook import Garage, Logbook
from pipeline.ingest.answers import settle_answers
from pipeline.ingest.doubts import find_doubts
from pipeline.ingest.garage_tables import write_garage
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.read_sheets import read_all
from pipeline.ingest.readings import careful_readings
from pipeline.ingest.words import settle_words
from pipeline.store.database import first_row, lend, query, run_for_each_kind, run_queries, transaction
from pipeline.store.remembered import forget

Progress = Callable[[str, float], None]
SMALL_BYTES = 4_000_000
"""Sheets below this hold less than the 122,880 rows that DuckDB gives to one thread at a time."""
TABLES = (
    "tables/raw_versions", "tables/raw_parts", "tables/current_sheets", "tables/sheet_columns",
    "tables/sheet_problems", "tables/bad_cells", "tables/questions", "tables/answers",
    "tables/sheet_counts", "tables/entries", "tables/doubles", "raw/macros", "clean/macros",
)  # fmt: skip


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
    *,
    fresh: bool = False,
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
    fresh
        Look at every sheet again, also at those that have not changed.

    Returns
    -------
    IngestReport
    """
    tell = progress or (lambda _what, _share: None)
    if small := is_small(logbook):
        con.execute(query("tables/small_logbook"))
    with transaction(con):
        forget(con, "runs", mark)
        run_queries(con, TABLES)
        run_for_each_kind(con, "tables/rows")
        write_garage(con, logbook.garage)
        plans = read_all(con, logbook, tell, fresh=fresh)
        tell("reading odd cells", 0.6)
        _read_odd_cells(con, plans, logbook.garage)
        settle_words(con, logbook.garage)
        run_for_each_kind(con, "raw/strip_by_day", kinds=_kinds_of(plans))
        run_for_each_kind(con, "raw/typed", *(["raw/typed_at_hand"] if small else []))
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


def is_small(logbook: Logbook) -> bool:
    """Say whether one thread and small blocks are enough.

    DuckDB shares out no less, threads that wait cost as well, and hardly a column fills an ordinary block.
    """
    with suppress(OSError):
        return sum(path.stat().st_size for path in logbook.sheets) < SMALL_BYTES
    return False


def _kinds_of(plans: dict[int, SheetPlan]) -> set[str]:
    return {plan.kind for plan in plans.values()}


def _read_odd_cells(con: duckdb.DuckDBPyConnection, plans: dict[int, SheetPlan], garage: Garage) -> None:
    """Set aside what is no data, read the odd cells with care, and note what stays unreadable."""
    kinds = _kinds_of(plans)
    run_for_each_kind(con, "raw/set_aside", kinds=kinds)
    con.execute(query("raw/odd_cells"))
    lend(con, "careful_readings", careful_readings(con, plans, garage))
    con.execute(query("raw/mended_cells"))
    _mend(con, plans)
    run_for_each_kind(con, "raw/set_aside_empty", kinds=kinds)
    run_queries(
        con, ["raw/forget_odd_cells", "raw/set_aside_planned", "raw/undated_rows", "raw/carried_days"]
    )
    _mend(con, plans)
    early = con.execute(query("raw/early_sheets")).fetchall()
    run_for_each_kind(con, "raw/afternoon", kinds={plans[sheet_no].kind for (sheet_no,) in early})
    run_queries(con, ["raw/bad_cells", "raw/missing_dates"])
    con.unregister("careful_readings")


def _mend(con: duckdb.DuckDBPyConnection, plans: dict[int, SheetPlan]) -> None:
    found = con.execute(query("raw/mended_sheets")).fetchall()
    run_for_each_kind(con, "raw/mend", kinds={plans[sheet_no].kind for (sheet_no,) in found})


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
