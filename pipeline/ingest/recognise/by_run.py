"""Readings and changes written by the number of a run: they get that run's date, time, strip and car."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.garage.spelling import folded
from pipeline.ingest.dates import read_dates
from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.passed_on import PassedOn
from pipeline.ingest.recognise.vocabulary import SPLITS
from pipeline.ingest.values import is_nothing

OF_A_RUN = ("before run", "run number", "round", "date")
"""Columns that may name a run, the surest first; ``date`` where a person wrote ``run 12`` in its place."""
LEAST_NAMED = 0.6
TAKEN_OVER = ("date", "time", "venue", "event", "car")
_RUN = re.compile(
    r"(?i)^\W*(?:before|after|from|as of|since|vor|antes(?: de)?|nach|ab)?\W*"
    r"(?:run|runs|pass|passes|lauf|slip|ticket|#|no\.?|nr\.?)?\W*(?P<no>\d{1,4})"
    r"(?:\s*(?:-|–|to|thru|through|\+|on|onward?s?)\s*\d{0,4})?\W*$"
)


def note_runs(draft: Draft, rows: Sequence[Row], passed_on: PassedOn) -> None:
    """Note the date, time, strip and car of every run that has a number or a name of its own."""
    if not draft.names() & {*SPLITS}:
        return
    for name in ("run number", "round"):
        if (at := draft.column(name)) is None:
            continue
        texts = {number: cells[at] for number, cells in draft.part.lines}
        for row in rows:
            label = _label(texts.get(row.number, ""))
            if label and row.cells.get("date"):
                own = {key: row.cells[key] for key in TAKEN_OVER if row.cells.get(key)}
                passed_on.note_run(label, own)


def settle_runs_named(draft: Draft, rows: Sequence[Row], passed_on: PassedOn) -> None:
    """Give rows that name a run the date, time, strip and car of that run.

    Where several runs bear the name, as where counting starts again at every event, what the row or the lines
    above it say of date, strip and event decides; where that does not tell, the row is left as it is.
    """
    if draft.names() & {*SPLITS}:
        return
    data = [row for row in rows if row.cells]
    for name in OF_A_RUN:
        at = draft.column(name)
        if at is None or (name != "date" and {"date", "time"} <= draft.names()):
            continue
        texts = {number: cells[at] for number, cells in draft.part.lines}
        named = {row.number: _label(texts.get(row.number, "")) for row in data}
        known = [number for number, label in named.items() if passed_on.runs_named(label)]
        if len(known) < LEAST_NAMED * len(data):
            continue
        for row in data:
            if found := _run_of(row, named[row.number], passed_on, is_date=name == "date"):
                row.cells.update(found | {key: row.cells[key] for key in ("car",) if row.cells.get(key)})
        return


def _run_of(row: Row, label: str, passed_on: PassedOn, *, is_date: bool) -> dict[str, str]:
    """Give the one run that a row names; empty where none or several would fit."""
    compared = [key for key in TAKEN_OVER if key != "time" and not (is_date and key == "date")]
    own = {key: row.cells[key] for key in compared if row.cells.get(key)}
    fitting = [
        run
        for run in passed_on.runs_named(label)
        if all(_alike(run.get(key, text), text, is_date=key == "date") for key, text in own.items())
    ]
    return fitting[0] if len(fitting) == 1 else {}


def _alike(one: str, other: str, *, is_date: bool) -> bool:
    if folded(one) == folded(other) or not is_date:
        return folded(one) == folded(other)
    read = read_dates([one, other])
    days = [read[text].day if text in read else None for text in (one, other)]
    return days[0] is not None and days[0] == days[1]


def _label(text: str) -> str:
    """Give a run's number out of what was written for it, else the text, folded; empty for nothing."""
    if is_nothing(text):
        return ""
    found = _RUN.match(text)
    return str(int(found["no"])) if found else folded(text)
