"""A long sheet known by a sample of its rows, so that its size does not matter."""

from __future__ import annotations

from dataclasses import replace

from pipeline.garage.columns import KINDS
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.logbook import Garage
from pipeline.ingest.headings import SheetPlan, plan_sheet
from pipeline.ingest.recognise.drafts import SAMPLE_ROWS, Draft, Reader
from pipeline.ingest.recognise.layout import Line
from pipeline.ingest.recognise.ready import headed_columns, unused_columns
from pipeline.ingest.recognise.tables import is_sure
from pipeline.ingest.recognise.vocabulary import base_of, kinds_of
from pipeline.ingest.sheets import TextSheet


def plan_of_long(sheet: TextSheet, reader: Reader, garage: Garage) -> SheetPlan:
    """Plan how to read a long sheet: by its headings where they say all, else by a sample of its rows too.

    Parameters
    ----------
    sheet
        One table under one row of headings; any other layout is read by exact headings alone.
    reader
        Knows columns by heading, unit and values.
    garage
        For the person's own headings.
    """
    plan = plan_sheet(sheet.head, garage)
    if plan.kind == "answers" or (plan.kind in KINDS and not plan.unused):
        return plan
    found = _by_sample(sheet, reader)
    if found is None or (plan.kind in KINDS and len(found.columns) <= len(plan.columns)):
        return plan
    return found


def _by_sample(sheet: TextSheet, reader: Reader) -> SheetPlan | None:
    rows = sheet.cells.limit(SAMPLE_ROWS).fetchall()
    lines: list[Line] = [
        (at if row[0] is None else int(row[0]), [(text or "").strip() for text in row[1:]])
        for at, row in enumerate(rows, start=1)
    ]
    drafts = reader.drafts(sheet.file, lines)
    if len(drafts) != 1 or not _is_plain(drafts[0], lines):
        return None
    draft = drafts[0]
    kinds = [kind for kind in kinds_of(draft.names()) if is_sure(kind, draft)]
    if not kinds or "date" not in draft.names():
        return None
    table = SHEET_TABLES[kinds[0]]
    possible = {"date", "time", *(column.name for column in table.columns if column.heading)}
    read = [own for own in draft.choices if own.is_read]
    kept = [own for own in read if base_of(own.name) in possible or own.name.startswith("extra:")]
    columns = headed_columns(replace(draft, choices=kept))
    unused = unused_columns(draft, [own for own in draft.choices if own not in kept])
    return SheetPlan(kinds[0], draft.part.heading_row, columns, unused, ())


def _is_plain(draft: Draft, lines: list[Line]) -> bool:
    """Tell whether a table stands as typed: one row a run, nothing moved, split or ticked."""
    return (
        bool(draft.part.at)
        and not (draft.lane or draft.ticks or draft.part.places or draft.part.first)
        and draft.part.lines == lines
    )
