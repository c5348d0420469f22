"""How well logbooks of strangers are read: ``python -m tests.corpus.strangers FOLDER``.

``FOLDER`` holds ``kind/NN`` with a ``logbook`` and its ``truth.json`` (``tests/corpus/truth.py``), made by
somebody who has not seen the rules. Each book is read as it is, and again with at most five answers of a
person who knows the truth, those first that settle most. ``--garage`` gives every book a least
``garage.toml``, ``--kinds a,b`` takes these kinds only, ``--listing FILE`` says line by line what was not as
it should be. Counted are

- right: runs with the true car, date, time, strip, splits and speeds, after the answers;
- wrong: cells read otherwise than they are that no question is about, before the answers;
- asked: questions a book besides true errors, and clean cells under one; answers: given, a book;
- lost: rows unaccounted for;
- of the knowable errors: found (asked about, or read as what was meant), suggested right (of those whose
  truth can be had from the book), worse (of all suggestions: further off than what was typed).
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections import Counter, defaultdict
from pathlib import Path

from tests.corpus.strangers_errors import Cells, Tally, judge_errors
from tests.corpus.strangers_read import Reading, answer
from tests.corpus.truth import COLUMNS, NUMBERS, SLIP_FIELDS, Book, Record, same

FEW = 2
"""Cells of one column that are listed one by one."""


class Judge:
    """Reads books and counts."""

    def __init__(self, *, garage: bool) -> None:
        self.garage = garage
        self.kinds: dict[str, Tally] = defaultdict(Tally)
        self.errors: dict[str, Tally] = defaultdict(Tally)
        self.everyday: dict[str, bool] = {}

    def read(self, folder: Path, work: Path) -> None:
        """Read the book in ``folder`` in a copy at ``work``."""
        book = Book.open(folder)
        self.everyday[book.kind] = book.everyday
        tally, name = self.kinds[book.kind], f"{book.kind}/{folder.name}"
        tally["books"] += 1
        shutil.copytree(book.root, work)
        if self.garage:
            (work / "garage.toml").write_text(book.garage(), encoding="utf-8")
        try:
            reading = Reading(work)
        except Exception as wrong:
            tally["tracebacks"] += 1
            tally.notes.append(f"{name} TRACEBACK {wrong!r}")
            return
        tally.notes += [f"{name} said {problem}" for problem in reading.problems]
        tally["lost"] += reading.lost
        book.find_homes(reading.typed)
        excused = judge_errors(book, reading, self.errors, tally, name)
        _count_cells(book, reading, tally, name)
        _count_readings(book, reading, tally, name)
        _count_questions(reading, tally, excused, name)
        if given := answer(book, reading, work):
            tally["answers"] += given
            (work / "store.duckdb").unlink()
            reading = Reading(work)
            book.find_homes(reading.typed)
        _count_runs(book, reading, tally, name)


def _spoiled(book: Book) -> Cells:
    return {(each["file"], each["tab"], each["row"], each.get("col")) for each in book.truth["errors"]}


def _count_cells(book: Book, reading: Reading, tally: Tally, name: str) -> None:
    """Count the clean cells of runs, and those read otherwise than they are with no question about them."""
    spoiled, seen = _spoiled(book), Counter[str]()
    for number, home in book.homes.items():
        run = book.truth["runs"][number]
        slip = reading.final.get((home["file"], home["sheet"], home["row"]), home)
        rows = [slip, *reading.beside(home)]
        for field, column in NUMBERS.items():
            where = run["where"].get(field)
            if where is None or tuple(where) in spoiled or field in run["taken_from_elsewhere"]:
                continue
            _count_cell(rows, column, run[field], reading, tally, seen, f"{name} CELL row {run['row']}")


def _count_readings(book: Book, reading: Reading, tally: Tally, name: str) -> None:
    """Count the same on sheets of the weather and of settings."""
    spoiled, seen = {place[:3] for place in _spoiled(book)}, Counter[str]()
    for true in (*book.truth["weather"], *book.truth["setups"]):
        place = (true["file"], true["tab"], true["row"])
        rows = [
            each
            for each in reading.rows_at(*place)
            or reading.rows_of(true["file"], true["date"], true.get("time"))
            if each["at"] is None or each["at"].date().isoformat() == true["date"]
        ] or (
            [*reading.typed, *reading.rows_on(true["date"])]
            if reading.is_pointed_to(true["tab"] or true["file"])
            else []
        )
        for field in set(true) & set(NUMBERS):
            if place not in spoiled:
                _count_cell(rows, COLUMNS[field], true[field], reading, tally, seen, f"{name} CELL {place}")


def _count_cell(
    rows: list[Record],
    column: str,
    truth: object,
    reading: Reading,
    tally: Tally,
    seen: Counter[str],
    told: str,
) -> None:
    tally["cells"] += 1
    is_right = any(each.get(column) is not None and same(each[column], truth, column) for each in rows)
    if is_right or reading.asks_about(rows, column):
        return
    tally["wrong"] += 1
    seen[column] += 1
    if seen[column] <= FEW:
        got = [each[column] for each in rows if column in each]
        tally.notes.append(f"{told} {column} is {truth}, read as {got}")


def _count_questions(reading: Reading, tally: Tally, excused: Cells, name: str) -> None:
    causes: dict[str, list[Record]] = defaultdict(list)
    for q in reading.questions:
        place = (q["file"], q["sheet"], q["row"])
        if not {(*place, q["column"]), (*place, None)} & excused:
            causes[q["group_id"]].append(q)
    for group in causes.values():
        q = group[0]
        has_number = q["column"] in NUMBERS.values() and q["suggestion"] not in (None, "empty")
        tally["asked"] += 1
        tally["cells_asked"] += len(group) * (q["column"] != "heading")
        tally["suggested"] += has_number
        tally["worse"] += has_number and q["reading"] is not None
        said = f"{q['column']} {q['value']!r} -> {q['suggestion']!r} {q['rule']} {q['problem']}"
        tally.notes.append(f"{name} ASKED x{len(group)} {q['sheet']}:{q['row']} {said}")


def _count_runs(book: Book, reading: Reading, tally: Tally, name: str) -> None:
    wrong: dict[str, list[int]] = defaultdict(list)
    for number, run in enumerate(book.truth["runs"]):
        home = book.homes.get(number)
        place = (home["file"], home["sheet"], home["row"]) if home else None
        slip = reading.final.get(place) if place else None
        if slip is None or place in reading.merged:
            wrong["no run" if home is None else "not kept"].append(run["row"])
        elif what := _what_is_wrong(run, slip):
            wrong[what].append(run["row"])
    tally["runs"] += len(book.truth["runs"])
    tally["runs_right"] += len(book.truth["runs"]) - sum(map(len, wrong.values()))
    for what, rows in wrong.items():
        tally.notes.append(f"{name} RUNS {len(rows)} of {len(book.truth['runs'])}: {what}, rows {rows[:4]}")


def _what_is_wrong(run: Record, slip: Record) -> str:
    at = slip["run_at"]
    if at is None or at.date().isoformat() != run["date"]:
        return f"date {at} for {run['date']}"
    if run["time"] is not None and (f"{at:%H:%M}" != run["time"] or not slip["has_time"]):
        return f"time {at:%H:%M} for {run['time']}"
    if run["car"] is not None and slip["car"] != run["car"]:
        return f"car {slip['car']!r}"
    if run["strip"] is not None and not _is_strip(run["strip"], slip["venue"]):
        return f"strip {slip['venue']!r} for {run['strip']!r}"
    wrong = (c for name, c in SLIP_FIELDS.items() if not same(slip[c], run[name], c))
    return next((f"{column} {slip[column]}" for column in wrong), "")


def _is_strip(true: str, read: str | None) -> bool:
    """Whether a strip is the true one, or its whole name where the sheet has but the first word."""
    return read is not None and true.casefold() in (read.casefold(), read.casefold().split()[0])


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.1%}" if whole else "-"


def _line(name: str, n: Tally) -> str:
    books, cells = max(n["books"], 1), max(n["cells"], 1)
    shown = [
        str(n["books"]), str(n["runs"]), _share(n["runs_right"], n["runs"]), f"{n['wrong'] / cells:.2%}",
        f"{n['asked'] / books:.1f}", f"{n['cells_asked'] / cells:.2%}", f"{n['answers'] / books:.1f}",
        str(n["lost"]), str(n["tracebacks"]), *_of_errors(n),
    ]  # fmt: skip
    return f"{name:20}" + "".join(f"{text:>8}" for text in shown)


def _of_errors(n: Tally) -> list[str]:
    return [
        str(n["knowable"]), _share(n["found"], n["knowable"]), _share(n["right"], n["judged"]),
        _share(n["worse"], n["suggested"]),
    ]  # fmt: skip


def tables(judge: Judge) -> str:
    """A line a kind of person and a line a kind of error; ``*`` marks the kinds that stretch the tool."""
    heads = [
        "books", "runs", "right", "wrong", "asked", "cells", "answers", "lost", "broke",
        "errors", "found", "right", "worse",
    ]  # fmt: skip
    lines = [f"{'kind':20}" + "".join(f"{head:>8}" for head in heads)]
    sums = {"everyday": Tally(), "stretched *": Tally(), "all": Tally()}
    for kind, tally in judge.kinds.items():
        is_everyday = judge.everyday[kind]
        lines.append(_line(kind if is_everyday else f"{kind} *", tally))
        for name in ("everyday" if is_everyday else "stretched *", "all"):
            sums[name].update(tally)
    lines += [_line(name, tally) for name, tally in sums.items()]
    lines += ["", f"{'error':36}" + "".join(f"{head:>8}" for head in heads[-4:])]
    lines += [
        f"{kind:36}" + "".join(f"{text:>8}" for text in _of_errors(n))
        for kind, n in sorted(judge.errors.items())
        if n["knowable"]
    ]
    return "\n".join(lines) + "\n"


def main(arguments: list[str]) -> None:
    """Judge every book of a folder and print the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--garage", action="store_true")
    parser.add_argument("--kinds", default="")
    parser.add_argument("--listing", type=Path)
    asked = parser.parse_args(arguments)
    judge, wanted = Judge(garage=asked.garage), set(filter(None, asked.kinds.split(",")))
    with tempfile.TemporaryDirectory() as scratch:
        for truth in sorted(asked.folder.glob("*/*/truth.json")):
            kind, number = truth.parent.parent.name, truth.parent.name
            if not wanted or kind in wanted:
                judge.read(truth.parent, Path(scratch) / kind / number / "book")
    sys.stdout.write(tables(judge))
    if asked.listing:
        notes = [note for tally in (*judge.kinds.values(), *judge.errors.values()) for note in tally.notes]
        asked.listing.write_text("\n".join(notes) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
