"""Every sheet of a logbook into its rows table: looked at one by one, settled by what all of them tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import duckdb
import polars as pl

from pipeline.errors import SheetError
from pipeline.garage.columns import KINDS
from pipeline.garage.dictionary import TIMESLIPS
from pipeline.garage.logbook import Logbook
from pipeline.garage.spelling import folded
from pipeline.ingest.answers import HEADING
from pipeline.ingest.archive import archive_file
from pipeline.ingest.ditto import with_dittos_read
from pipeline.ingest.entries import keep_entries
from pipeline.ingest.headings import SheetPlan, plan_sheet
from pipeline.ingest.recognise.agreed import agreement
from pipeline.ingest.recognise.beside import Beside, Listed, listed, may_point, point_to_each_other
from pipeline.ingest.recognise.drafts import Reader
from pipeline.ingest.recognise.grids import grids_in, over_tabs
from pipeline.ingest.recognise.layout import Line
from pipeline.ingest.recognise.learned import Lessons, learn, learn_strips, lessons_of
from pipeline.ingest.recognise.legend import MOST_LINES, Legend
from pipeline.ingest.recognise.long_sheets import plan_of_long
from pipeline.ingest.recognise.ready import ReadTable
from pipeline.ingest.recognise.spoken import Book
from pipeline.ingest.recognise.tables import (
    SheetDrafts,
    book_of,
    lines_of,
    look_at,
    names_of,
    tables_of,
)
from pipeline.ingest.rows import Only, insert_rows
from pipeline.ingest.sheet_memory import SheetMemory
from pipeline.ingest.sheet_notes import note_columns, note_sheet, note_unreadable
from pipeline.ingest.sheets import TextSheet, read_file
from pipeline.ingest.stacked import has_later_headings
from pipeline.ingest.stacked import tables_of as stacked_tables_of
from pipeline.ingest.values import half_width
from pipeline.store.database import lend, query

Progress = Callable[[str, float], None]
ANSWER_FIELDS = ("question_id", "file", "sheet", "row", "column", "value", "answer")
ABOUT_COLUMNS = ("file", "column", "value", "answer")
MOST_ROWS_LOOKED_AT = 6000
"""A longer sheet is known by a sample of its rows, so that time does not grow with it."""

LEAST_BLOCKS = 2
KEY = SheetPlan("unrecognised", 0, (), (), ("it is read as the key to the short words of other sheets.",))
"""What is made of a legend."""
POINTED_TO = SheetPlan(
    "unrecognised", 0, (), (), ("its rows are read with the rows of other sheets that name them.",)
)
"""What is made of a sheet that others point to."""


@dataclass(frozen=True, slots=True)
class _Found:
    """A sheet as it came out of its file."""

    sheet: TextSheet
    path: Path
    version: int


@dataclass(slots=True)
class _Looked:
    """A sheet that was looked at, now or at a time that the store remembers."""

    found: _Found
    lessons: Lessons
    drafts: SheetDrafts | None = None


def read_all(
    con: duckdb.DuckDBPyConnection, logbook: Logbook, tell: Progress, *, fresh: bool = False
) -> dict[int, SheetPlan]:
    """Archive every file, read its sheets into the rows tables, and give each sheet's plan.

    Parameters
    ----------
    con
        A writable store inside ingest's transaction.
    logbook
        The folder, opened.
    tell
        Told what is being read, and the share done.
    fresh
        Look at every sheet again, also at those that have not changed.

    Returns
    -------
    dict
        Number of the sheet -> its plan.
    """
    found = list(_files(con, logbook, tell))
    memory = SheetMemory(con, logbook.garage, fresh=fresh)
    headed = {
        at: plan_sheet(each.sheet.head[:5], logbook.garage)
        for at, each in enumerate(found)
        if not memory.knows(each.version, each.sheet.sheet)
    }
    book = book_of(logbook.garage)
    reader = Reader(logbook.garage, names_of(book), _legend_of(found, book))
    reader.take_answers(_answers_about_columns([(found[at].sheet, plan) for at, plan in headed.items()]))
    reader.beside = _beside(found, reader)
    memory.hold_to(reader.answers, reader.legend.explained, reader.beside.sheets)
    looked: dict[int, _Looked] = {}
    for at, each in enumerate(found):
        if each.sheet.place in reader.legend.places or each.sheet.place in reader.beside.used_up:
            continue
        if at not in headed or _is_looked_at(each.sheet, headed[at]):
            looked[at] = _look(each, reader, memory)
            learn(book, looked[at].lessons)
    book.agreed = agreement([table for each in looked.values() for table in each.lessons.headed])
    learn_strips(book, [each.lessons for each in looked.values()])
    plans = _Loading(con, logbook, book, reader, memory).load(found, looked)
    memory.write()
    return plans


def _look(found: _Found, reader: Reader, memory: SheetMemory) -> _Looked:
    known = memory.lessons(found.version, found.sheet.sheet)
    if known is not None:
        return _Looked(found, known)
    drafts = look_at(found.sheet, reader)
    return _Looked(found, lessons_of(drafts), drafts)


def _files(con: duckdb.DuckDBPyConnection, logbook: Logbook, tell: Progress) -> Iterator[_Found]:
    for done, path in enumerate(logbook.sheets):
        name = path.relative_to(logbook.root).as_posix()
        tell(f"reading {name}", 0.6 * done / len(logbook.sheets))
        try:
            version = archive_file(con, path, name)
            sheets = read_file(con, path, name)
            for sheet in sheets:
                yield _Found(sheet, path, version)
            if not sheets:
                note_unreadable(con, name, SheetError(f"{name} is empty.", "Fill it in, or take it out."))
        except SheetError as wrong:
            note_unreadable(con, name, wrong)
    for name, why in logbook.passed_over:
        note_unreadable(con, name, why)


def _lines(rows: Iterable[tuple[int, Sequence[str | None]]]) -> list[Line]:
    return [(number, [half_width((text or "").strip()) for text in cells]) for number, cells in rows]


def _legend_of(found: Sequence[_Found], book: Book) -> Legend:
    """Gather what the sheets say of the person's own short words."""
    legend = Legend(listed={folded(name): name for name in (*book.cars, *book.venues)})
    for each in found:
        legend.learn(each.sheet.place, _lines(each.sheet.head), is_whole=each.sheet.rows <= MOST_LINES)
    return legend


def _beside(found: Sequence[_Found], reader: Reader) -> Beside:
    """Let sheets that point to each other take what the others say of their rows."""
    heads = {
        at: _lines(each.sheet.head)
        for at, each in enumerate(found)
        if each.sheet.is_numbered and each.sheet.rows <= MOST_ROWS_LOOKED_AT
    }
    headed = _listed(heads, reader)
    if blocks := _blocks_over_tabs(found, heads, reader):
        return blocks
    if not any({"date", "venue"} - set(own.means) for own in headed.values()):
        return Beside()
    if reader.legend.words:
        headed = _listed({at: reader.legend.spelled_out(heads[at]) for at in headed}, reader)
    whole = {at: reader.legend.spelled_out(lines_of(found[at].sheet)) for at in may_point(headed)}
    return point_to_each_other({found[at].sheet.place: own for at, own in _listed(whole, reader).items()})


def _blocks_over_tabs(
    found: Sequence[_Found], heads: Mapping[int, Sequence[Line]], reader: Reader
) -> Beside | None:
    """Join sheets that hold one quantity of the same runs each: a tab for 60 ft, one for 330 ft."""
    many = [at for at, lines in heads.items() if grids_in(lines, reader.meaning, _name_of(found[at].sheet))]
    if len(many) < LEAST_BLOCKS:
        return None
    whole = {found[at].sheet.place: lines_of(found[at].sheet) for at in many}
    names = {found[at].sheet.place: _name_of(found[at].sheet) for at in many}
    joined = over_tabs(whole, names, reader.meaning)
    beside = Beside(used_up={place for place, lines in joined.items() if not lines})
    for place, lines in joined.items():
        if lines:
            beside.sheets[place] = Listed(lines[0][1], [], dict(lines[1:]), lines[0][0])
    return beside if joined else None


def _name_of(sheet: TextSheet) -> str:
    return sheet.sheet or Path(sheet.file).stem


def _listed(sheets: Mapping[int, Sequence[Line]], reader: Reader) -> dict[int, Listed]:
    return {at: own for at, lines in sheets.items() if (own := listed(lines, reader.meaning)) is not None}


def _is_looked_at(sheet: TextSheet, plan: SheetPlan) -> bool:
    if not sheet.is_numbered or sheet.rows > MOST_ROWS_LOOKED_AT:
        return False
    return plan.kind != "answers" and not _is_only_planned(sheet, plan)


def _is_only_planned(sheet: TextSheet, plan: SheetPlan) -> bool:
    """Whether it holds slips to come alone, as 'plan' writes them: settings, no date, no time, no result.

    Its headings are all there is to know it by.
    """
    if plan.kind != "timeslips" or plan.index_of("date") is None or sheet.rows > len(sheet.head):
        return False
    results = {column.name for column in TIMESLIPS.of_role("ticket", "result")} | {"date", "time", "outcome"}
    open_at = {column.index for column in plan.columns if column.name in results}
    planned = [
        {at for at, cell in enumerate(cells) if cell and cell.strip()}
        for number, cells in sheet.head
        if number > plan.heading_row
    ]
    return any(planned) and not any(filled & open_at for filled in planned)


def _answers_about_columns(sheets: Sequence[tuple[TextSheet, SheetPlan]]) -> dict[tuple[str, str], str]:
    """Gather what was answered about columns: (file, heading) -> answer; the last one counts."""
    answered: dict[tuple[str, str], str] = {}
    for sheet, plan in sheets:
        if plan.kind != "answers" or not sheet.is_numbered:
            continue
        at = {column.name: column.index + 1 for column in plan.columns}
        if not set(ABOUT_COLUMNS) <= set(at):
            continue
        for row in sheet.cells.fetchall():
            file, column, value, answer = ((row[at[name]] or "").strip() for name in ABOUT_COLUMNS)
            if column == HEADING and answer:
                answered[file, value] = answer
    return answered


class _Loading:
    """Puts sheets into the store one after the other."""

    def __init__(
        self,
        con: duckdb.DuckDBPyConnection,
        logbook: Logbook,
        book: Book,
        reader: Reader,
        memory: SheetMemory,
    ) -> None:
        self.con = con
        self.memory = memory
        self.garage = logbook.garage
        self.folder = logbook.root.resolve().name
        self.book = book
        self.reader = reader
        self.plans: dict[int, SheetPlan] = {}
        self.noted: list[tuple[TextSheet, SheetPlan]] = []
        self.only = Only(
            self.garage.cars[0].name if len(self.garage.cars) == 1 else None,
            self.garage.venues[0].name if len(self.garage.venues) == 1 else None,
        )

    def load(self, found: list[_Found], looked: Mapping[int, _Looked]) -> dict[int, SheetPlan]:
        """Load every sheet; slips are settled first, since other sheets may point to them."""
        order = sorted(looked, key=lambda at: (not looked[at].lessons.has_slips, at))
        tables = {at: self._tables_of(looked[at]) for at in order}
        told = [each.lessons for each in looked.values()]
        self._settle_only_car(has_slips=any(each.has_slips for each in told))
        if any(each.names_strip for each in told):
            self.only = replace(self.only, venue=None)  # the slips of the day come first
        typed: list[tuple[TextSheet, SheetPlan]] = []
        for at, each in enumerate(found):
            if each.sheet.place in self.reader.legend.places:
                self._note(each.sheet, self._next(KEY), each.version)
                continue
            if each.sheet.place in self.reader.beside.used_up:
                self._note(each.sheet, self._next(POINTED_TO), each.version)
                continue
            if at not in looked:
                try:
                    self._load_long(each)
                except SheetError as wrong:  # found only now that it is read with care
                    note_unreadable(self.con, each.sheet.file, wrong)
                continue
            if not tables[at]:
                self._note(each.sheet, self._next(_nothing_found(each.sheet)), each.version)
            for number, table in enumerate(tables[at]):
                sheet_no = self._next(table.plan)
                if table.plan.kind in KINDS:
                    mark = self.memory.rows_mark(each.version, each.sheet.sheet, number, self.only)
                    insert_rows(self.con, table.sheet, table.plan, sheet_no, self.only, mark)
                    typed.append((table.typed, table.plan))
                self._note(table.sheet, sheet_no, each.version)
        keep_entries(self.con, typed)
        note_columns(self.con, self.noted)
        return self.plans

    def _tables_of(self, looked: _Looked) -> list[ReadTable]:
        """Make a sheet's tables, or take them as remembered when all sheets know what they knew."""
        found = looked.found
        self.book.passed_on.begin()
        known = self.memory.tables(found.version, found.sheet, self.book)
        if known is not None:
            return known
        before, drafts = self.book.shared, looked.drafts or look_at(found.sheet, self.reader)
        read = [self.reader.agreeing(draft, self.book.agreed) for draft in drafts.drafts]
        drafts = SheetDrafts(drafts.sheet, read)
        made = tables_of(self.con, drafts, self.book, self.garage)
        if self.book.shared == before:
            self.memory.keep(found.version, looked.lessons, made, self.book)
        return made

    def _settle_only_car(self, *, has_slips: bool) -> None:
        """Take one car for granted where none is listed and no column names one."""
        if self.garage.cars:
            return
        named = set(self.book.cars.values())
        if len(named) <= 1:
            car = next(iter(named), "") or self.book.passed_on.title or self.folder
            self.only = replace(self.only, car=car)
            if not named and has_slips:
                told = (
                    f"No sheet names a car, and garage.toml lists none: every run is taken for one car's, "
                    f"called {car!r} here. Name it under [[car]] in garage.toml, and its clutch with it."
                )
                self.con.execute(query("raw/keep_problem"), {"file": "", "sheet": "", "problem": told})

    def _next(self, plan: SheetPlan) -> int:
        number = len(self.plans) + 1
        self.plans[number] = plan
        return number

    def _load_long(self, found: _Found) -> None:
        """Read a long sheet or one of answers by its headings, one table or several."""
        con, sheet, garage = self.con, found.sheet, self.garage
        if not sheet.is_numbered:
            plan, sheet_no = plan_of_long(sheet, self.reader, garage), len(self.plans) + 1
            if plan.kind in KINDS and insert_rows(con, sheet, plan, sheet_no, self.only):
                if not has_later_headings(con, sheet_no, garage):
                    self.plans[sheet_no] = plan
                    self._note(sheet, sheet_no, found.version)
                    return
                con.execute(query("raw/forget", plan.kind), {"sheet_no": sheet_no})
            (sheet,) = read_file(con, found.path, sheet.file, careful=True)
        for table in stacked_tables_of(con, sheet, garage):
            plan = plan_of_long(table, self.reader, garage)
            if table.sheet != sheet.sheet:
                told = f"Row {plan.heading_row} has headings of its own; the rows below it are read by them."
                plan = replace(plan, problems=(*plan.problems, told))
            sheet_no = self._next(plan)
            if plan.kind in KINDS:
                insert_rows(con, with_dittos_read(con, table, plan), plan, sheet_no, self.only)
                keep_entries(con, [(table, plan)])
            elif plan.kind == "answers":
                _keep_answers(con, table, plan, sheet_no)
            self._note(table, sheet_no, found.version)

    def _note(self, sheet: TextSheet, sheet_no: int, version: int) -> None:
        plan = self.plans[sheet_no]
        note_sheet(self.con, sheet, plan, sheet_no, version)
        self.noted.append((sheet, plan))


def _nothing_found(sheet: TextSheet) -> SheetPlan:
    first = next(((number, cells) for number, cells in sheet.head if any(cells)), (1, ()))
    named = tuple((at, text.strip()) for at, text in enumerate(first[1]) if text and text.strip())
    return SheetPlan("unrecognised", first[0], (), named, ())


def _keep_answers(con: duckdb.DuckDBPyConnection, sheet: TextSheet, plan: SheetPlan, sheet_no: int) -> None:
    frame = sheet.cells.pl().filter(pl.col("row") > plan.heading_row)
    at = {column.name: column.index for column in plan.columns}
    fields = [
        (pl.col(f"c{at[name]}") if name in at else pl.lit(None, pl.String)).alias(name)
        for name in ANSWER_FIELDS
    ]
    order = (pl.lit(sheet_no, pl.Int64) * 100_000_000 + pl.col("row")).alias("entry_order")
    answers = frame.select(order, *fields).with_columns(pl.col("row").cast(pl.Int32, strict=False))
    lend(con, "sheet_answers", answers)
    con.execute(query("raw/keep_answers"))
    con.unregister("sheet_answers")
