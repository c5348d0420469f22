"""What became of the slips of the pen in a stranger's logbook: found, suggested right, worse if accepted."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import Any

from pipeline.ingest.dates import read_dates
from pipeline.ingest.ditto import is_ditto
from tests.corpus.strangers_read import Reading
from tests.corpus.truth import COLUMNS, SUGGESTED, Book, Record, same

ALSO = {
    "copied_slip_of_run_before": ("copied_slip", "doubles_differ"),
    "altimeter_for_station": ("altimeter_or_station",),
    "station_for_altimeter": ("altimeter_or_station",),
    "leap_in_pressure": ("altimeter_or_station",),
    "leap_pressure": ("altimeter_or_station",),
    "pressure_leap": ("altimeter_or_station",),
}
"""Questions that are about an error though they stand in another column of its row."""
UNITLESS = ("launch_rpm", "preload_turns", "counterweight_g", "humidity_pct")
"""Fields in which what was meant is the number as typed, where no row of the truth has it."""
Cells = set[tuple[Any, ...]]


class Tally(Counter[str]):
    """Counts of one kind, with what was not as it should be."""

    def __init__(self) -> None:
        super().__init__()
        self.notes: list[str] = []


def judge_errors(book: Book, reading: Reading, errors: dict[str, Tally], kind: Tally, name: str) -> Cells:
    """Count every slip of the pen; give the cells where a question is no false alarm (None: the row)."""
    groups: dict[int, list[Record]] = defaultdict(list)
    for error in book.truth["errors"]:
        groups[error["group"]].append(error)
    excused: Cells = set()
    for group in groups.values():
        tallies = (errors[group[0]["type"]], kind)
        judge = _judge_double if group[0]["type"] == "row_typed_twice" else _judge_cells
        excused |= judge(book, reading, group, tallies, name)
    return excused


def _judge_double(
    _book: Book, reading: Reading, group: list[Record], tallies: tuple[Tally, Tally], name: str
) -> Cells:
    file, row = group[0]["file"], group[0]["row"]
    is_found = any((place[0], place[2]) in {(file, row), (file, row - 1)} for place in reading.merged)
    for counts in tallies:
        counts["knowable"] += 1
        counts["found"] += is_found
    if not is_found:
        tallies[0].notes.append(f"MISSED {name} row {row} typed twice")
    rows = {(file, row), (file, row - 1)}
    return {
        (q["file"], q["sheet"], q["row"], None) for q in reading.questions if (q["file"], q["row"]) in rows
    }


def _judge_cells(
    book: Book, reading: Reading, group: list[Record], tallies: tuple[Tally, Tally], name: str
) -> Cells:
    """Count one slip of the pen; all cells of a copied slip, or of two exchanged ones, are one."""
    kind = group[0]["type"]
    truths = {COLUMNS[error["field"]]: error for error in group}
    places = {place for error in group for place in _places(book, reading, error)}
    asked = [
        q
        for q in reading.questions
        if (q["file"], q["sheet"], q["row"]) in places
        and (q["column"] in truths or q["rule"] in ALSO.get(kind, ()))
    ]
    is_quiet = not asked and all(_is_read_right(book, reading, error) for error in group)
    if group[0]["knowable"]:
        cells = ", ".join(f"{e['field']} {e['typed']!r} for {e['true']!r}" for e in group[:3])
        told = f"{name} {kind} row {group[0]['row']} {cells}"
        for counts in tallies:
            counts["knowable"] += 1
            counts["found"] += bool(asked) or is_quiet
        if asked or is_quiet:
            _judge_suggestions(book, truths, asked, tallies, told)
        else:
            tallies[0].notes.append(f"MISSED {told}")
    is_of_row = kind in ALSO or len(group) > 2
    return {(*place, column) for place in places for column in [*truths, *[None] * is_of_row]}


def _judge_suggestions(
    book: Book, truths: dict[str, Record], asked: list[Record], tallies: tuple[Tally, Tally], told: str
) -> None:
    can_be_had = all(error["recoverable"] for error in truths.values())
    is_right = all(
        _is_truth(book, truths[q["column"]], q["suggestion"])
        if q["column"] in truths
        else q["column"] == "pressure_kind" and f" {q['suggestion']}_for_" in told
        for q in asked
    )
    cells = [q for q in asked if q["column"] in truths]
    is_worse = not is_right and any(_is_worse(book, truths[q["column"]], q) for q in cells)
    for counts in tallies:
        counts["judged"] += can_be_had
        counts["right"] += is_right and can_be_had
        counts["suggested"] += any(q["suggestion"] is not None for q in asked)
        counts["worse"] += is_worse
    if not is_right and (can_be_had or is_worse):
        said = "; ".join(f"{q['column']} {q['value']!r} -> {q['suggestion']!r} {q['rule']}" for q in asked)
        tallies[0].notes.append(f"{'WORSE' if is_worse else 'WRONG'} {told}: {said}")


def _places(book: Book, reading: Reading, error: Record) -> Cells:
    """Give the rows of the store at which an entry may stand."""
    slip = book.homes.get(error["run"]) if error.get("run") is not None else None
    rows = reading.rows_at(error["file"], error["tab"], error["row"])
    if not rows and "moment" in error:
        rows = reading.rows_of(error["file"], *error["moment"])
    rows += [slip, *reading.beside(slip)] if slip is not None else []
    rows += _rows_below(book, reading, error)
    if slip is None:
        rows += [
            q
            for q in reading.questions
            if (q["file"], q["row"]) == (error["file"], error["row"])
            and q["sheet"].startswith(error["tab"] or "")
        ]
    return {(each["file"], each["sheet"], each["row"]) for each in rows}


def _day(book: Book, text: str) -> str:
    """Give a date as ISO text, in the year of the book where it has none; the text where it is no date.

    Of the two orders of day and month that which is a day of the book, where one is.
    """
    read = read_dates([text, f"{text}/{book.truth['runs'][0]['date'][:4]}"])
    days = [each.day for each in read.values() if each.day is not None]
    days += [day.replace(month=day.day, day=day.month) for day in days if day.day <= 12]
    known = {run["date"] for run in book.truth["runs"]}
    found = sorted((day.isoformat() for day in days), key=lambda day: day not in known)
    return found[0] if found else text


def _rows_below(book: Book, reading: Reading, error: Record) -> list[Record]:
    """Give the questions about rows below that take an entry over: under its date, or by a ditto mark."""
    column, is_date = COLUMNS[error["field"]], error["field"] == "date"
    below = [
        q
        for q in reading.questions
        if (q["file"], q["column"]) == (error["file"], column) and q["row"] > error["row"]
    ]
    if column in ("date", "time"):  # both runs of a row have it
        here = [q for q in reading.questions if (q["file"], q["row"]) == (error["file"], error["row"])]
        below += [q for q in here if q["column"] == column and q["sheet"].startswith(error["tab"] or "")]
    if is_date:
        typed, true = _day(book, error["typed"]), str(_true_value(book, error))
        return [q for q in below if q["reading"] == typed or q["suggestion"] == true]
    if column == "time":
        return [q for q in below if q["row"] == error["row"]]
    if reading.is_pointed_to(error["tab"] or error["file"]):
        return [q for q in reading.questions if (q["column"], q["value"]) == (column, error["typed"])]
    marks = [q for q in reading.questions if q["column"] == column and is_ditto(q["value"] or "")]
    own = {q["group_id"] for q in reading.questions if (q["column"], q["value"]) == (column, error["typed"])}
    return [
        q for q in marks if q["group_id"] in own or (q in below and _is_truth(book, error, q["suggestion"]))
    ]


def _true_value(book: Book, error: Record) -> object:
    known = book.value_at(error["file"], error["tab"] or "", error["row"], error["field"])
    if error["field"] == "date" and error.get("run") is None and known is None:
        return _day(book, error["true"])
    if error.get("run") is not None and error["field"] in book.truth["runs"][error["run"]]:
        return book.truth["runs"][error["run"]][error["field"]]
    return error["true"].replace(",", ".") if known is None and error["field"] in UNITLESS else known


def _is_truth(book: Book, error: Record, suggestion: str | None) -> bool:
    truth = _true_value(book, error)
    if suggestion is not None and error["field"] == "time":
        return str(truth)[:5] == suggestion.strip()[:5].rjust(5, "0")
    return suggestion is not None and same(suggestion, truth, COLUMNS[error["field"]], SUGGESTED)


def _is_worse(book: Book, error: Record, question: Record) -> bool:
    """Whether accepting takes the value further from the truth than what was read of the entry."""
    suggestion, reading = question["suggestion"], question["reading"]
    if error["field"] in ("date", "time"):
        return reading is not None and suggestion is not None and _is_truth(book, error, reading)
    try:
        offered, true = float(suggestion), float(str(_true_value(book, error)))
        typed = float(reading if reading is not None else error["typed"].replace(",", "."))
    except (ValueError, TypeError):
        return False
    return abs(offered - true) > abs(typed - true) + 1e-6


def _is_read_right(book: Book, reading: Reading, error: Record) -> bool:
    truth, column = _true_value(book, error), COLUMNS[error["field"]]
    slip = book.homes.get(error["run"]) if error.get("run") is not None else None
    rows = (
        [slip, *reading.beside(slip)] if slip else reading.rows_at(error["file"], error["tab"], error["row"])
    )
    if column in ("date", "time"):
        moments = [each.get("run_at") or each.get("at") for each in rows]
        return any(at is not None and truth in (at.date().isoformat(), f"{at:%H:%M}") for at in moments)
    return any(each.get(column) is not None and same(each[column], truth, column, SUGGESTED) for each in rows)
