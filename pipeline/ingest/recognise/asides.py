"""Entries told in lines of words among the rows, each put at the run or reading that follows it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pipeline.garage.columns import Kind
from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.spoken import Book
from pipeline.ingest.recognise.vocabulary import AIR, MEASURED, SETTINGS, SPLITS

TOLD_IN: tuple[tuple[Kind, tuple[str, ...]], ...] = (
    ("setups", SETTINGS),
    ("weather", (*AIR, "pressure_kind", "wind_speed_mph")),
    ("track", ("track_temp_degf",)),
)
LEAST_BELOW, MOSTLY = 3, 0.7
"""So many runs, and so large a share of them, have a line below that tells of them."""
LEAST_NAME = 8
"""A name so long stands in no other word."""
LAST_MOMENT = "23:59"
"""When a change below the last run of a timed day is put."""


def join_below(rows: Sequence[Row]) -> set[str]:
    """Take what is told in a line right below each run for that run's own, its words for its notes.

    So it is where the first such line stands below the first run, the last below the last, and nearly every
    run has one. Changes the rows in place; gives the columns that were told so.
    """
    runs = [at for at, row in enumerate(rows) if any(row.cells.get(name) for name in SPLITS)]
    told = [at for at, row in enumerate(rows) if row.told]
    below = [at for at in runs if at + 1 in told and rows[at + 1].number == rows[at].number + 1]
    if len(below) < max(LEAST_BELOW, MOSTLY * len(runs)) or len(told) > len(runs):
        return set()
    if told[0] < runs[0] or told[-1] < runs[-1]:
        return set()
    joined: set[str] = set()
    for at in below:
        run, line = rows[at], rows[at + 1]
        if "time" in line.told or "date" in line.told:
            continue
        words = {"notes": " ".join(line.spill)} if line.spill else {}
        more = {name: text for name, text in (line.told | words).items() if not run.cells.get(name)}
        run.cells |= more
        run.typed |= more
        joined |= set(line.told)
        line.told = {}
    return joined


def asides(rows: Iterable[Row]) -> dict[Kind, list[Row]]:
    """Gather what lines of words tell.

    Parameters
    ----------
    rows
        Of every table of a sheet, from the top, dates with their years.

    Returns
    -------
    dict
        Kind of sheet -> its rows, at the date of the next row below with one, else of the last above; a line
        with a time of its own that stands among the rows of a day named once is of that day.
    """
    found: dict[Kind, list[Row]] = {kind: [] for kind, _ in TOLD_IN}
    waiting: dict[int, Row] = {}
    seen: set[int] = set()
    last: Row | None = None
    for row in rows:
        if row.told and row.number not in seen:
            seen.add(row.number)
            if row.is_within_day and "time" in row.told and last is not None:
                _place(row, last, found, time="")
            else:
                waiting[row.number] = row
        elif row.cells.get("date") and not row.is_heading:
            for aside in waiting.values():
                _place(aside, row, found, time=row.cells.get("time", ""))
            waiting, last = {}, row
    if last is not None:
        for aside in waiting.values():
            _place(aside, last, found, time=LAST_MOMENT if last.cells.get("time") else "")
    return {kind: own for kind, own in found.items() if own}


def _place(aside: Row, beside: Row, found: dict[Kind, list[Row]], *, time: str) -> None:
    is_run = any(beside.cells.get(name) for name in SPLITS)
    for kind, names in TOLD_IN:
        told = {name: aside.told[name] for name in names if name in aside.told}
        if not told:
            continue
        cells = {name: beside.cells[name] for name in ("date", "venue", "car") if beside.cells.get(name)}
        own_time = aside.told.get("time") or (time if is_run and kind == "setups" else "")
        cells |= {"date": aside.told.get("date") or cells["date"]} | ({"time": own_time} if own_time else {})
        found[kind].append(Row(aside.number, cells | told, {**told, "date": aside.spill[0]}, []))


def take_strips_from_notes(rows: Sequence[Row], book: Book) -> None:
    """Give rows the strip that their notes name by its whole name, where the table names none and most do."""
    runs = [row for row in rows if row.cells and not row.is_words]
    if any(row.cells.get("venue") for row in runs):
        return
    found: dict[int, str] = {}
    for row in runs:
        words = folded(" ".join(filter(None, (row.cells.get("notes"), row.cells.get("outcome")))))
        named = {
            name
            for spelling, name in book.venues.items()
            if len(spelling) >= LEAST_NAME and spelling in words
        }
        if len(named) == 1:
            found[row.number] = named.pop()
    if 2 * len(found) >= len(runs):
        for row in runs:
            row.cells |= {"venue": found[row.number]} if row.number in found else {}
        return
    days: dict[str, set[str]] = {}
    for row in runs:  # a line of the day that is no run: what was paid, where it went
        if row.number in found and MEASURED.isdisjoint(row.cells):
            days.setdefault(row.cells.get("date", ""), set()).add(found[row.number])
    strips = {date: named.pop() for date, named in days.items() if len(named) == 1}
    dated = [row for row in runs if row.cells.get("date")]
    if all(row.cells["date"] in strips for row in dated):
        for row in dated:
            row.cells["venue"] = strips[row.cells["date"]]
