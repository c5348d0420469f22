"""What the store remembers of sheets, so that one that has not changed is not looked at again.

Of a sheet three things are kept, each with a digest of all it was made of: what it tells the others, made of
its bytes, garage.toml, the answers about columns and slipledger itself; its tables, made of what all sheets
together know besides, and of what those before it answered; and the rows that SQL read of a table, made of
this and of the only car and strip. A sheet that cannot be kept whole is looked at each time.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import duckdb

from pipeline.garage.columns import KINDS
from pipeline.garage.logbook import Garage
from pipeline.garage.units import Conversion
from pipeline.ingest.headings import HeadedColumn, SheetPlan
from pipeline.ingest.recognise.agreed import Headed
from pipeline.ingest.recognise.learned import Lessons
from pipeline.ingest.recognise.ready import ReadTable, sheet_of
from pipeline.ingest.recognise.spoken import Book
from pipeline.ingest.rows import Only
from pipeline.ingest.sheets import TextSheet
from pipeline.store.database import query, run_for_each_kind, run_queries
from pipeline.store.remembered import program_mark


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept of one sheet.

    Attributes
    ----------
    version, sheet
        Number of its file's content, and its tab.
    mark, answers, book
        Digests of what else it was made of.
    lessons, tables
        In JSON, the tables packed.
    """

    version: int
    sheet: str
    mark: str
    answers: str
    lessons: str
    book: str
    tables: bytes


class SheetMemory:
    """The sheets that a store remembers, and those to remember from now on.

    Parameters
    ----------
    con
        A writable store, inside ingest's transaction.
    garage
        What garage.toml says.
    fresh
        Take nothing as remembered.
    """

    def __init__(self, con: duckdb.DuckDBPyConnection, garage: Garage, *, fresh: bool) -> None:
        run_queries(con, ["tables/kept_sheets"])
        self._con = con
        self._mark = _digest(program_mark(), garage)
        rows = () if fresh else con.execute(query("remember/sheets"), {"mark": self._mark}).fetchall()
        self._known = {(row[0], row[1]): Kept(*row) for row in rows}
        if not self._known:
            run_for_each_kind(con, "tables/kept_rows")
        self._answers = ""
        self._now: list[Kept] = []
        self._rows: list[str] = []

    def knows(self, version: int, sheet: str) -> bool:
        """Say whether a sheet was looked at, whatever has been answered about columns since."""
        return (version, sheet) in self._known

    def hold_to(
        self,
        answers: Mapping[tuple[str, str], str],
        explained: Sequence[Mapping[str, str]],
        beside: Mapping[str, object],
    ) -> None:
        """Take what was answered, short words and what sheets say of each other; all else is void."""
        words = [sorted(each.items()) for each in explained]
        self._answers = _digest(sorted(answers.items()), words, sorted(beside.items()))

    def lessons(self, version: int, sheet: str) -> Lessons | None:
        """Return what a sheet tells the others; None when it must be looked at."""
        kept = self._known.get((version, sheet))
        return None if kept is None or kept.answers != self._answers else _lessons(json.loads(kept.lessons))

    def tables(self, version: int, sheet: TextSheet, book: Book) -> list[ReadTable] | None:
        """Return a sheet's tables, and tell the book what they told it; None when they must be made."""
        kept = self._known.get((version, sheet.sheet))
        if kept is None or (kept.answers, kept.book) != (self._answers, _digest(book.shared)):
            return None
        document = json.loads(zlib.decompress(kept.tables))
        if not book.passed_on.repeat(document["passed_on"]):
            return None
        self._now.append(kept)
        return [_table(self._con, sheet, each) for each in document["tables"]]

    def keep(self, version: int, lessons: Lessons, tables: list[ReadTable], book: Book) -> None:
        """Remember a sheet that was read, when all of it can be.

        Parameters
        ----------
        version
            Of its file.
        lessons, tables
            What it told and what was read.
        book
            What all sheets know, with what this one asked and told.
        """
        if not tables or any(table.plan.kind not in KINDS for table in tables):
            return
        document = {
            "passed_on": book.passed_on.of_sheet(),
            "tables": [_document(table) for table in tables],
        }
        made = zlib.compress(_json(document).encode(), level=1)
        told, shared = _json(asdict(lessons)), _digest(book.shared)
        self._now.append(Kept(version, lessons.sheet, self._mark, self._answers, told, shared, made))

    def rows_mark(self, version: int, sheet: str, number: int, only: Only) -> str | None:
        """Return the digest of all that the rows of one of a sheet's tables are made of.

        Parameters
        ----------
        version, sheet
            Of its file, and its tab.
        number
            Of the table on the sheet.
        only
            The only car and strip.

        Returns
        -------
        str or None
            None for a sheet that is not kept.
        """
        kept = next((each for each in self._now if (each.version, each.sheet) == (version, sheet)), None)
        if kept is None:
            return None
        self._rows.append(_digest(kept.mark, version, sheet, kept.tables, number, only))
        return self._rows[-1]

    def write(self) -> None:
        """Write what is new into the store, and forget what is no sheet of the logbook any more."""
        stay = [each for each in self._now if self._known.get((each.version, each.sheet)) is each]
        if len(stay) == len(self._known) == len(self._now):
            return
        versions, sheets = [each.version for each in stay], [each.sheet for each in stay]
        self._con.execute(query("remember/forget_sheets"), {"versions": versions, "sheets": sheets})
        for kind in KINDS:
            self._con.execute(query("remember/forget_rows", kind), {"marks": self._rows})
        if new := [asdict(each) for each in self._now if each not in stay]:
            self._con.executemany(query("remember/keep_sheet"), new)


def _digest(*parts: object) -> str:
    return hashlib.sha256(repr(parts).encode(errors="backslashreplace")).hexdigest()


def _json(document: object) -> str:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def _lessons(found: dict[str, Any]) -> Lessons:
    columns = tuple(tuple(names) for names in found["columns"])
    years = tuple((year, times) for year, times in found["years"])
    cars, venues = tuple(found["cars"]), tuple(found["venues"])
    headed = tuple(
        Headed(*(tuple(each[name]) for name in ("headings", "names", "leads"))) for each in found["headed"]
    )
    return Lessons(found["file"], found["sheet"], columns, cars, venues, years, headed)


def _document(table: ReadTable) -> dict[str, Any]:
    """Write a table down; of the cells as typed only the columns that are not as read."""
    assert table.sheet.texts is not None  # put together here, as all tables of a kind are
    assert table.typed.texts is not None
    texts, typed = table.sheet.texts.to_dict(as_series=False), table.typed.texts.to_dict(as_series=False)
    return {
        "sheet": table.sheet.sheet,
        "rows": texts.pop("row"),
        "texts": texts,
        "typed": {name: own for name, own in typed.items() if name != "row" and own != texts[name]},
        "plan": asdict(table.plan),
    }


def _table(con: duckdb.DuckDBPyConnection, sheet: TextSheet, found: dict[str, Any]) -> ReadTable:
    named, rows, texts = replace(sheet, sheet=found["sheet"]), found["rows"], found["texts"]
    return ReadTable(
        sheet_of(con, named, rows, texts),
        sheet_of(con, named, rows, texts | found["typed"]),
        _plan(found["plan"]),
    )


def _plan(found: dict[str, Any]) -> SheetPlan:
    columns = tuple(
        HeadedColumn(**{**each, "to_canonical": Conversion(**each["to_canonical"])})
        for each in found["columns"]
    )
    unused = tuple((place, heading) for place, heading in found["unused"])
    return SheetPlan(**{**found, "columns": columns, "unused": unused, "problems": tuple(found["problems"])})
