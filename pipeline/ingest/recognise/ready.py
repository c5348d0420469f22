"""Rows of a table as text by column, ready to be stored, with what each column is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import duckdb
import polars as pl

from pipeline.garage.columns import Kind
from pipeline.garage.dictionary import SHEET_TABLES, WORD_COLUMNS
from pipeline.garage.units import Conversion
from pipeline.ingest.headings import HeadedColumn, SheetPlan
from pipeline.ingest.recognise.assign import ANY_SPLIT, CLEAR, Choice
from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.layout import SAYS_IT
from pipeline.ingest.recognise.number_fit import HINT
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.units import SAME
from pipeline.ingest.recognise.vocabulary import AIR, CLUTCH, SETTINGS, SPEEDS, SPLITS, base_of
from pipeline.ingest.sheets import TextSheet

KEYS: dict[Kind, tuple[str, ...]] = {
    "timeslips": (*SPLITS, *SPEEDS, "reaction_s"),
    "weather": (*AIR, "wind_speed_mph"),
    "track": ("track_temp_degf",),
    "setups": SETTINGS,
    "checks": CLUTCH,
}
"""Columns of which one must be filled for a row to be of that kind."""


@dataclass(frozen=True, slots=True)
class ReadTable:
    """A table to be stored.

    Attributes
    ----------
    sheet
        Text by column, ready to be read.
    typed
        The same cells as they stand in the file.
    plan
        What each column is.
    """

    sheet: TextSheet
    typed: TextSheet
    plan: SheetPlan


def table_of(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, draft: Draft, rows: Sequence[Row], kind: Kind,
    label: str,
    *, is_first: bool,
) -> ReadTable:  # fmt: skip
    """Make the rows of one kind ready to be stored.

    Parameters
    ----------
    con
        Where the relations live.
    sheet
        The sheet they stand on.
    draft
        Their table, for its headings.
    rows
        Of the table, lines of words among them.
    kind
        What the rows are.
    label
        Put behind the name of the sheet; empty for its first table.
    is_first
        Whether the table's other cells (notes, unused columns, headings) are told with this kind.
    """
    chosen = {own.name: own for own in draft.choices if own.is_read}
    possible = {"date", "time", *(column.name for column in SHEET_TABLES[kind].columns if column.heading)}
    names = [
        name
        for name in dict.fromkeys([*chosen, *(name for row in rows for name in row.cells)])
        if base_of(name) in possible or (name.startswith("extra:") and kind in {"timeslips", "setups"})
    ]
    if not is_first:
        rows = _with_days(rows)
        keys = [name for name in names if base_of(name) in KEYS[kind] or name.startswith("extra:")]
        rows = [row for row in rows if not row.is_heading and any(row.cells.get(name) for name in keys)]
        names = [name for name in names if name != "notes"]
    spill = max((len(row.spill) for row in rows if not row.is_words), default=0) if is_first else 0
    is_asked_here = {name for name in names if is_first or (base_of(name) in KEYS[kind] and kind != "setups")}
    columns = tuple(
        HeadedColumn(
            name, at, _heading(chosen.get(name), name), _conversion(chosen.get(name)),
            _why(chosen.get(name), name), _place(chosen.get(name), draft),
            doubt_of(chosen.get(name), draft) if name in is_asked_here else "", draft.part.heading_row,
        )
        for at, name in enumerate(names)
    )  # fmt: skip
    unused = unused_columns(draft, [own for own in draft.choices if not own.is_read]) if is_first else ()
    plan = SheetPlan(kind, draft.part.heading_row if is_first else 0, columns, unused, (), len(names))
    named = replace(sheet, sheet=", ".join(filter(None, (sheet.sheet, label))))
    return ReadTable(
        _as_sheet(con, named, rows, names, spill, is_typed=False),
        _as_sheet(con, named, rows, names, spill, is_typed=True),
        plan,
    )


def _with_days(rows: Sequence[Row]) -> list[Row]:
    """Give what stands on slips' rows the day above where theirs is left blank; the slips tell of it."""
    day, found = "", []
    for row in rows:
        day = day if row.is_heading else row.cells.get("date", "") or day
        is_blank = bool(row.cells) and not row.cells.get("date") and bool(day)
        found.append(replace(row, cells=row.cells | {"date": day}) if is_blank else row)
    return found


def unused_columns(draft: Draft, choices: Sequence[Choice]) -> tuple[tuple[int, str], ...]:
    """Give place and heading of columns that nothing is read from, those of another's run among them."""
    own = ((draft.part.place(each.candidate.index), each.candidate.heading.text) for each in choices)
    return (*own, *draft.left_out)


def headed_columns(draft: Draft) -> tuple[HeadedColumn, ...]:
    """Give the columns of a table that is read where it stands."""
    return tuple(
        HeadedColumn(
            own.name, own.candidate.index, own.candidate.heading.text, _conversion(own),
            _why(own, own.name), _place(own, draft), doubt_of(own, draft), draft.part.heading_row,
        )
        for own in draft.choices
    )  # fmt: skip


def doubt_of(own: Choice | None, draft: Draft) -> str:
    """Ask about a column that may as well be something else, or whose unit is written nowhere.

    An answer given before keeps its question, so that it goes on counting.
    """
    if own is None:
        return ""
    heading = f"Column “{own.candidate.heading.text}”"
    if own.candidate.index in draft.answered:
        return f"{heading} is read as {spoken_name(own.name) if own.is_read else 'nothing'}, as you answered."
    if not own.is_read:
        return ""
    if own.fit.unit and own.fit.is_by_times:
        return (
            f"{heading} names another unit; beside the times its numbers read as {own.fit.unit}. Accept, or "
            "mend the heading."
        )
    if own.fit.unit:
        return (
            f"{heading} names no unit; its numbers read as {own.fit.unit}. Accept, or write the unit into "
            'the heading. If all your sheets are so, put units = "metric" at the top of garage.toml.'
        )
    if rival := own.candidate.heading.rival:
        return (
            f"{heading} is read as {spoken_name(own.name)}; it may be {spoken_name(rival)} instead. "
            "Accept, or answer with what it holds."
        )
    is_beside_its_time = (
        own.name in {*SPLITS, *SPEEDS} and set(tokens(own.candidate.heading.own)) <= ANY_SPLIT
    )
    is_told_either_way = {own.name, own.runner_up} == {"outcome", "notes"}
    is_hinted = own.fit.said >= HINT and own.fit.said > own.rival_said  # a word for this, less for the other
    is_asked = not is_beside_its_time and not is_told_either_way and not is_hinted
    if own.lead < CLEAR and own.runner_up and own.fit.said < SAYS_IT and is_asked:
        return (
            f"{heading} is read as {spoken_name(own.name)}; it may be {spoken_name(own.runner_up)} instead. "
            "Accept, or answer with what it holds."
        )
    return ""


def spoken_name(name: str) -> str:
    """Give the words for a column that a person would write above it."""
    base = base_of(name).removeprefix("extra:")
    columns = (column for table in SHEET_TABLES.values() for column in table.columns)
    return next((column.heading for column in columns if column.name == base and column.heading), base)


def _heading(own: Choice | None, name: str) -> str:
    return own.candidate.heading.text if own else name


def _conversion(own: Choice | None) -> Conversion:
    return own.fit.to_canonical if own and own.name not in WORD_COLUMNS else SAME


def _place(own: Choice | None, draft: Draft) -> int | None:
    return draft.part.place(own.candidate.index) if own else None


def _why(own: Choice | None, name: str) -> str:
    """Say how a column was known, where its heading does not say it outright."""
    if own is None:
        return (
            "from the lines above it or the name of the sheet"
            if name in {"date", "venue", "event", "car"}
            else ""
        )
    if own.fit.is_no_point:
        return "its heading, and its numbers with their point left out"
    if own.fit.is_by_times:
        return "its numbers in the unit in which they fit the times"
    if own.fit.unit:
        return f"its numbers read as {own.fit.unit}"
    if own.candidate.heading.meant == own.name:
        return "its place in the cell and its values"
    if own.fit.said >= 0.95:
        return ""
    return "its heading and its values" if own.fit.said >= 0.3 else "its values beside the other columns"


def _as_sheet(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, rows: Sequence[Row], names: Sequence[str], spill: int,
    *, is_typed: bool,
) -> TextSheet:  # fmt: skip
    columns: dict[str, list[str | None]] = {f"c{at}": [] for at in range(max(len(names) + spill, 1))}
    for row in rows:
        cells = row.typed if is_typed else row.cells
        texts = [cells.get(name) for name in names]
        if row.is_words:
            texts = [row.spill[0] if row.spill and name == "date" else None for name in names]
            beyond: list[str] = []
        else:
            beyond = row.spill[:spill]
        texts += [*beyond, *[None] * (spill - len(beyond))]
        for at, text in enumerate(texts):
            columns[f"c{at}"].append(text or None)
    return sheet_of(con, sheet, [row.number for row in rows], columns)


def sheet_of(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, rows: list[int], texts: Mapping[str, list[str | None]]
) -> TextSheet:
    """Put texts by column and the numbers of their rows in place of a sheet's own."""
    schema = {"row": pl.Int32, **dict.fromkeys(texts, pl.String)}
    frame = pl.DataFrame({"row": rows, **texts}, schema=schema)
    head = tuple((int(row[0]), tuple(row[1:])) for row in frame.head(40).rows())
    cells = con.from_arrow(frame.to_arrow())
    return replace(sheet, cells=cells, width=len(texts), head=head, rows=frame.height, texts=frame)


def nothing_read(sheet: TextSheet, draft: Draft, label: str, *, lacks_date: bool) -> ReadTable:
    """Give a table of which nothing is read, with its headings and why."""
    named = replace(sheet, sheet=", ".join(filter(None, (sheet.sheet, label))), rows=len(draft.part.lines))
    unused = tuple(
        (draft.part.place(own.candidate.index), own.candidate.heading.text) for own in draft.choices
    )
    problems: tuple[str, ...] = ()
    if lacks_date:
        problems = (
            "No date stands in it: neither in a column, nor above the table, nor in the name of the sheet. "
            "Write one in any of these.",
        )
    return ReadTable(named, named, SheetPlan("unrecognised", draft.part.heading_row, (), unused, problems))
