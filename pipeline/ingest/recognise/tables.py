"""A sheet of any layout into tables that the rest of ingest reads: one run or reading a row."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePosixPath

import duckdb

from pipeline.garage.columns import Kind
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.pressure_words import KINDS, kind_of_pressure
from pipeline.ingest.recognise.asides import asides, join_below, take_strips_from_notes
from pipeline.ingest.recognise.assign import CLEAR, Choice
from pipeline.ingest.recognise.boxes import out_of_boxes
from pipeline.ingest.recognise.by_run import note_runs, settle_runs_named
from pipeline.ingest.recognise.calendars import in_our_years
from pipeline.ingest.recognise.changes import settle_changes
from pipeline.ingest.recognise.clock_columns import plain_clocks
from pipeline.ingest.recognise.cut_short import tongue_of, written_out
from pipeline.ingest.recognise.drafts import Draft, Reader, SheetDrafts
from pipeline.ingest.recognise.fill import Row, add_sections, dated, plain_texts, rows_of
from pipeline.ingest.recognise.grids import with_grids_joined
from pipeline.ingest.recognise.headed import Names
from pipeline.ingest.recognise.lanes import cars_by_label
from pipeline.ingest.recognise.layout import Line, Part
from pipeline.ingest.recognise.own_key import keys_read
from pipeline.ingest.recognise.own_lane import leave_other_lanes
from pipeline.ingest.recognise.past_midnight import days_after_midnight
from pipeline.ingest.recognise.profile import unpacked
from pipeline.ingest.recognise.ready import KEYS, ReadTable, nothing_read, table_of
from pipeline.ingest.recognise.row_dates import has_year, in_order, with_year, years_in
from pipeline.ingest.recognise.speed_blocks import settle_units_of_speeds
from pipeline.ingest.recognise.spoken import Book, Said, banners_joined, said_by
from pipeline.ingest.recognise.text_lines import cells_of_text, is_text, level
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.units import SAME, as_unit, named_unit
from pipeline.ingest.recognise.vocabulary import MEASURED, SETTINGS, UNITS, base_of, kinds_of
from pipeline.ingest.sheets import TextSheet
from pipeline.ingest.values import half_width

MOSTLY = 0.9
MOST_NAMED = 6
SURELY_SLIPS = 3
"""So many columns that slips print make a table one of runs."""
LONG_WORDS, FREELY, LEAST_FREE = 12, 1 / 3, 3
"""Longer texts than these are no words for an outcome; so many of them make a column of remarks, and more
than so many."""
_RULE = re.compile(r":?[-=_+~*.–—]{2,}:?")
_WITH_KIND = re.compile(
    r"(?i)^([\d.,]+\s*(?:in\s?hg|hpa|mbar|mb|kpa|\")?)[\s,(]*(?:(?P<station>station|stn|sta|abs\w*|uncorr\w*)"
    r"|altimeter|altim|alt|qnh|sea level|corr\w*)\W*$"
)


def look_at(sheet: TextSheet, reader: Reader) -> SheetDrafts:
    """Find the tables of a sheet; nothing is settled yet that other sheets could tell."""
    lines = out_of_boxes(in_our_years(lines_of(sheet)))
    if is_text(lines):
        rows = sheet.cells.fetchall()
        raw = [(int(row[0]), [(text or "").rstrip() for text in row[1:]]) for row in rows]
        lines = level(cells_of_text(in_our_years(out_of_boxes(raw)), reader.meaning))
    lines = keys_read(plain_clocks(banners_joined(lines)), reader.meaning)
    lines = written_out(lines, reader.meaning)
    lines = reader.beside.widened(sheet.place, reader.legend.spelled_out(lines))
    lines = with_grids_joined(lines, reader.meaning, sheet.sheet or PurePosixPath(sheet.file).stem)
    return SheetDrafts(sheet, reader.drafts(sheet.file, lines))


def lines_of(sheet: TextSheet) -> list[Line]:
    """Give every row of a sheet as text."""
    return [(int(row[0]), _without_rule([_tidy(text) for text in row[1:]])) for row in sheet.cells.fetchall()]


def _tidy(text: str | None) -> str:
    own = half_width((text or "").strip())
    return "" if own and not own.strip("|¦│┃") else own  # a line drawn down a sheet


def _without_rule(cells: list[str]) -> list[str]:
    """Take a line that is ruled across its cells for a blank one: ``---``, ``---``."""
    is_rule = cells.count("") < len(cells) - 1 and all(_RULE.fullmatch(text) for text in cells if text)
    return [""] * len(cells) if is_rule else cells


def book_of(garage: Garage) -> Book:
    """Begin with what garage.toml knows."""
    book = Book(is_metric=garage.units == "metric")
    for parts, known in ((garage.cars, book.cars), (garage.venues, book.venues)):
        for part in parts:
            known.update({folded(text): part.name for text in (part.name, *part.also)})
    return book


def names_of(book: Book) -> Names:
    """Give the names known so far, to know columns by."""
    return Names(frozenset(book.cars), frozenset(book.venues), book.is_metric)


def tables_of(
    con: duckdb.DuckDBPyConnection, found: SheetDrafts, book: Book, garage: Garage
) -> list[ReadTable]:
    """Make the tables of a sheet ready to be stored.

    Parameters
    ----------
    con
        Where the relations live.
    found
        The sheet's drafts.
    book
        What all sheets together know.
    garage
        For the cars that are listed.

    Returns
    -------
    list of ReadTable
        The first of the sheet's own name; others behind it named by number or by what they are.
    """
    sheet, path = found.sheet, PurePosixPath(found.sheet.file)
    said = Said()
    for name in (*path.parent.parts, path.stem, sheet.sheet):  # the nearest to the rows has the last word
        said = replace(said, rest="").then(said_by(name, book, is_name=True))
    tables: list[ReadTable] = []
    seen: list[Row] = []
    below: list[int] = []
    labels = dict.fromkeys(draft.car for draft in found.drafts if draft.car)
    whose = cars_by_label([*labels], found.drafts[0].title if labels else "", book.cars)
    for number, draft in enumerate(found.drafts, start=1):
        rows, said = rows_of(draft, said.then(Said(car=whose.get(draft.car, ""))), book)
        is_below = bool(tables) and draft.part.at and draft.part.first == 0 and not draft.lane
        book.passed_on.note_title(said.rest)
        seen += rows
        if len(draft.choices) == 1 and len(found.drafts) > 1 and not any(row.cells for row in rows):
            continue  # lines of words left of a table in the corner
        made = _finished(con, sheet, draft, rows, said, book, garage, f"table {number}" if tables else "")
        if is_below:
            below.append(len(tables))
        tables += made
    if below:
        first, problem = tables[below[0]], headings_below([tables[at].plan.heading_row for at in below])
        tables[below[0]] = replace(first, plan=replace(first.plan, problems=(problem, *first.plan.problems)))
    nothing = Draft(Part([], frozenset(), []), [])
    for kind, entries in asides(seen).items():
        tables.append(table_of(con, sheet, nothing, entries, kind, f"lines, {kind}", is_first=False))
    return tables


def headings_below(places: Sequence[int]) -> str:
    """Say that tables stand under each other on a sheet."""
    if len(places) == 1:
        return f"Row {places[0]} has headings of its own; the rows below it are read by them."
    shown = ", ".join(map(str, places[:MOST_NAMED])) + (", ..." if len(places) > MOST_NAMED else "")
    return f"Rows {shown} have headings of their own; the rows below each are read by them."


def _finished(
    con: duckdb.DuckDBPyConnection, sheet: TextSheet, draft: Draft, rows: list[Row], said: Said, book: Book,
    garage: Garage, label: str,
) -> list[ReadTable]:  # fmt: skip
    told = join_below(rows)
    draft, rows = _with_notes(draft, rows)
    take_strips_from_notes(rows, book)
    _settle_kind_of_pressure(draft, rows)
    _settle_years(draft, rows, said, book)
    days_after_midnight(rows)
    settle_runs_named(draft, rows, book.passed_on)
    settle_changes(rows, book.passed_on)
    settle_units_of_speeds(draft, rows)
    others = leave_other_lanes(draft, rows, garage)
    if any(own.name.startswith("section ") for own in draft.choices):
        add_sections(rows)
    units = {
        own.name: own_unit(own.name)
        for own in draft.choices
        if own.is_read and own_unit(own.name) and own.fit.to_canonical == SAME
    }
    plain_texts(rows, units)
    present = {name for row in rows for name in row.cells}
    is_blank = not present
    present = present or draft.names()
    possible = kinds_of(present)
    sure = [kind for kind in possible if is_sure(kind, draft) or not told.isdisjoint(KEYS[kind])]
    # what else is clear is not lost for standing alone
    kinds = [kind for kind in possible if sure and (kind in sure or _goes_along(kind, draft))]
    if not kinds or not (any(row.cells.get("date") for row in rows) or (is_blank and "date" in present)):
        return [nothing_read(sheet, draft, label, lacks_date=bool(kinds))]
    note_runs(draft, rows, book.passed_on)
    if "timeslips" in kinds and (_changes_only(rows) or (not draft.part.at and _has_lone_setup(rows))):
        kinds.append("setups")
    if "timeslips" in kinds and any(_is_track_reading(row) for row in rows):
        kinds.append("track")
    made = []
    for at, kind in enumerate(kinds):
        suffix = ", ".join(filter(None, (label, "" if at == 0 else kind)))
        own = rows
        if at == 0 and len(kinds) > 1:
            own = [row for row in rows if not _is_of_another(row, kind, kinds)]
        elif at and kind == "track" and "timeslips" in kinds:
            own = [row for row in rows if _is_track_reading(row)]
        made.append(table_of(con, sheet, draft, own, kind, suffix, is_first=at == 0))
    if others:
        made[0] = replace(made[0], plan=replace(made[0].plan, problems=(others, *made[0].plan.problems)))
    return made


def _is_track_reading(row: Row) -> bool:
    """Tell whether a line of a table of runs holds a track temperature and no run."""
    return bool(row.cells.get("track_temp_degf")) and not any(
        row.cells.get(name) for name in (*KEYS["timeslips"], "outcome", "round", "lane")
    )


def _is_of_another(row: Row, kind: Kind, kinds: Sequence[Kind]) -> bool:
    """Tell whether a line holds a reading, a setup or a check, and nothing of the table's main kind."""
    if not row.cells or any(row.cells.get(name) for name in (*KEYS[kind], "outcome", "round", "lane")):
        return False
    return any(row.cells.get(name) for other in kinds if other != kind for name in KEYS[other])


def own_unit(name: str) -> str:
    """Give the canonical unit of a column of any sheet; empty for words."""
    return UNITS.get(base_of(name), "")


def is_sure(kind: Kind, draft: Draft) -> bool:
    """Tell whether enough speaks for a kind, so that a sheet about something else is left alone."""
    own = [choice for choice in draft.choices if base_of(choice.name) in KEYS[kind]
           or (kind == "timeslips" and choice.name.startswith("section "))
           or (kind == "setups" and choice.name.startswith("extra:"))]  # fmt: skip
    said = [
        choice
        for choice in own
        if choice.fit.said >= 0.5 or choice.candidate.heading.meant or choice.name != base_of(choice.name)
    ]
    if kind == "timeslips":
        return bool(said) or sum(each.lead >= CLEAR for each in own) > SURELY_SLIPS
    printed = [each for each in draft.choices if each.name in MEASURED and each.fit.said >= 0.5]
    if len(printed) >= SURELY_SLIPS and any(
        each.lead >= CLEAR and (each.fit.said > 0 or _says_its_unit(each)) for each in own
    ):
        return True
    read = sum(choice.is_read for choice in draft.choices)
    share = read / max(len(draft.choices), 1)
    if len(said) >= 2:
        return share >= 0.3
    return bool(said) and max(choice.fit.said for choice in own) >= 0.8 and share >= 0.5


def _goes_along(kind: Kind, draft: Draft) -> bool:
    """Tell whether a column of a kind is clear on a sheet that is surely one of another kind."""
    own = [choice for choice in draft.choices if base_of(choice.name) in KEYS[kind]]
    return any(choice.is_read and choice.fit.said >= 0.5 and choice.lead >= CLEAR for choice in own)


def _says_its_unit(choice: Choice) -> bool:
    heading = choice.candidate.heading
    return bool(
        as_unit(heading.unit, own_unit(choice.name)) or named_unit(heading.text, own_unit(choice.name))
    )


def _changes_only(rows: Sequence[Row]) -> bool:
    """Tell whether settings stand on the slips only where they changed."""
    data = [row for row in rows if row.cells and not row.is_words]
    filled = {name: sum(1 for row in data if row.cells.get(name)) for name in SETTINGS}
    return len(data) >= 5 and any(0 < count < 0.7 * len(data) for count in filled.values())


def _has_lone_setup(rows: Sequence[Row]) -> bool:
    """Tell whether a line of notes holds settings and nothing of a run."""
    slip = (*KEYS["timeslips"], "outcome", "round", "lane")
    return any(
        any(row.cells.get(name) for name in SETTINGS) and not any(row.cells.get(name) for name in slip)
        for row in rows
    )


# --- words


def _with_notes(draft: Draft, rows: list[Row]) -> tuple[Draft, list[Row]]:
    """Take remarks for notes, also those under a heading for outcomes; several columns of them become one."""
    outcome = next((own for own in draft.choices if own.name == "outcome"), None)
    if outcome is None:
        return draft, rows
    texts = [row.typed["outcome"] for row in rows if row.typed.get("outcome")]
    unread = [text for text in texts if read_outcome(text, None) is None]
    long = {text for text in texts if len(text) > LONG_WORDS}
    are_free = len(long) > max(LEAST_FREE, FREELY * len(set(texts)))
    are_remarks = sum(map(len, unread)) > LONG_WORDS * len(unread) or are_free
    is_mixed = len(unread) <= (1.0 - MOSTLY) * len(texts)
    if not unread or not are_remarks or (is_mixed and not are_free):
        return draft, rows
    for row in rows:
        if is_mixed and row.typed.get("outcome") not in unread:
            continue  # the others say how the run went
        parts = [cells.pop("outcome", "") for cells in (row.cells, row.typed)]
        for cells, text in zip((row.cells, row.typed), parts, strict=True):
            joined = "; ".join(filter(None, (text, cells.get("notes", ""))))
            if joined:
                cells["notes"] = joined
    if is_mixed:
        return draft, rows
    has_notes = any(own.name == "notes" for own in draft.choices)
    choices = [
        replace(own, name="" if has_notes else "notes") if own is outcome else own for own in draft.choices
    ]
    if has_notes:
        choices = [replace(own, name="notes") if own.name == "notes" else own for own in choices]
    return replace(draft, choices=choices), rows


def _settle_kind_of_pressure(draft: Draft, rows: list[Row]) -> None:
    """Take from a heading whether the barometer shows the air at the strip or an altimeter setting."""
    for row in rows:
        if found := _WITH_KIND.match(row.cells.get("pressure_inhg", "")):
            row.cells["pressure_inhg"] = found[1].strip()
            row.cells["pressure_kind"] = "station" if found["station"] else "altimeter"
    own = next((own for own in draft.choices if own.name == "pressure_inhg"), None)
    if own is None or any(name == "pressure_kind" for name in draft.names()):
        return
    titles = " ".join([draft.title, *(" ".join(row.spill) for row in rows if row.is_words)])
    for text in (own.candidate.heading.text, titles):
        words = tokens(text)
        if kind := kind_of_pressure(text) or next((kind for kind in KINDS if kind in words), ""):
            for row in rows:
                if row.cells.get("pressure_inhg"):
                    row.cells["pressure_kind"] = row.typed["pressure_kind"] = kind
            return


# --- dates


def _settle_years(draft: Draft, rows: list[Row], said: Said, book: Book) -> None:
    year = said.year or (_year_of(said.date) if said.date else None)
    own = years_in(dated(rows))
    usual = own.most_common(1)[0][0] if own else book.year
    _unpack_dates(rows)
    whole = with_year(dated(rows), year, usual)
    for row in rows:
        text = row.cells.get("date", "")
        if text in whole:
            row.cells["date"] = whole[text]
    heading = next((own.candidate.heading.text for own in draft.choices if own.name == "date"), "")
    tongue = tongue_of(own.candidate.heading.text for own in draft.choices)
    settled = in_order(list(dated(rows)), heading, tongue)
    for row in rows:
        text = row.cells.get("date", "")
        if text in settled:
            row.cells["date"] = settled[text]


def _unpack_dates(rows: Sequence[Row]) -> None:
    """Write dates of six figures out, where nearly all of them are such: ``310503``."""
    texts = [text for text in dated(rows) if re.fullmatch(r"\d{6}", text)]
    whole = unpacked(texts) if texts else {}
    for row in rows:
        if (text := row.cells.get("date", "")) in whole:
            row.cells["date"] = whole[text]


def _year_of(text: str) -> int | None:
    found = years_in([text]) if has_year(text) else None
    return next(iter(found), None) if found else None


__all__ = [
    "CLEAR",
    "ReadTable",
    "SheetDrafts",
    "book_of",
    "is_sure",
    "lines_of",
    "look_at",
    "names_of",
    "tables_of",
]
