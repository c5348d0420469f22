"""What ingest made of a stranger's logbook, and the answers of a person who knows the truth."""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.ingest.questions import write_questions
from pipeline.ingest.read_sheets import POINTED_TO
from pipeline.ingest.recognise.ready import spoken_name
from pipeline.store.database import open_store
from tests.corpus.truth import COLUMNS, Book, Record, same

MOST_ANSWERS = 5
WHOLE_ROW = frozenset({"date", "time", "car", "venue"})


class Reading:
    """What ingest made of one book."""

    def __init__(self, root: Path) -> None:
        with open_store(root / "store.duckdb") as con:

            def ask(text: str) -> list[Record]:
                found = con.execute(text)
                names = [each[0] for each in found.description]
                return [dict(zip(names, row, strict=True)) for row in found.fetchall()]

            report = ingest_logbook(con, Logbook.open(root))
            total = report.total
            self.lost = abs(total.read - total.kept - total.questioned - total.rejected - total.set_aside)
            self.problems = report.problems
            self.typed = ask("select * from typed_timeslips")
            self.final = {_place(each): each for each in ask("select * from timeslips")}
            self.others = [
                *ask("select *, read_at as at from weather"), *ask("select *, read_at as at from track"),
                *ask("select *, set_at as at from setups"),
            ]  # fmt: skip
            self.questions = ask("select * from questions where severity <> 'doubt'")
            self.columns = ask("select * from sheet_columns")
            self.merged = {_place(each) for each in ask("select * from row_marks where fate = 'merged'")}
            write_questions(con, root / "questions.csv")

    def beside(self, slip: Record) -> list[Record]:
        """Give the readings and setups of a slip's own row, or of its moment."""
        sheet = slip["sheet"].split(", table")[0]
        return [
            each
            for each in self.others
            if each["file"] == slip["file"]
            and (
                (each["row"] == slip["row"] and each["sheet"].startswith(sheet))
                or (each["at"] is not None and each["at"] == slip["run_at"])
            )
        ]

    def rows_at(self, file: str, tab: str | None, row: int) -> list[Record]:
        """Give the readings and setups of one row of a file."""
        return [
            each
            for each in self.others
            if (each["file"], each["row"]) == (file, row) and each["sheet"].startswith(tab or "")
        ]

    def rows_of(self, file: str, date: str, time: str | None) -> list[Record]:
        """Give the readings and setups of one moment in a file, for what stands on several lines."""
        return [
            each
            for each in self.others
            if each["file"] == file
            and each["at"] is not None
            and f"{each['at']:%Y-%m-%d %H:%M}" == f"{date} {time}"
        ]

    def rows_on(self, date: str) -> list[Record]:
        """Give the readings and setups of one day."""
        return [each for each in self.others if each["at"] is not None and f"{each['at']:%Y-%m-%d}" == date]

    def is_pointed_to(self, name: str) -> bool:
        """Whether the rows of a tab or file are read with those of others that point to them."""
        return any(f"{name}: {POINTED_TO.problems[0]}" in problem for problem in self.problems)

    def asks_about(self, rows: list[Record], column: str) -> bool:
        """Whether a question is about that column of one of some rows."""
        places = {(*_place(each), column) for each in rows}
        return any((*_place(q), q["column"]) in places for q in self.questions)


def _place(each: Record) -> tuple[Any, ...]:
    return each["file"], each["sheet"], each["row"]


def answer(book: Book, reading: Reading, work: Path) -> int:
    """Answer the questions that settle most, at most five; give how many were answered."""
    path = work / "questions.csv"
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    asked: dict[str, list[Record]] = defaultdict(list)
    for q in reading.questions:
        asked[q["group_id"]].append(q)
        asked[q["question_id"]].append(q)
    said = [
        (-_weight(row), at, text) for at, row in enumerate(rows) if (text := _say(book, reading, row, asked))
    ]
    for _, at, text in sorted(said)[:MOST_ANSWERS]:
        rows[at]["answer"] = text
    if not said:
        path.unlink()
        return 0
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return min(len(said), MOST_ANSWERS)


def _weight(row: Record) -> int:
    if row["column"] == "heading":
        return 1000
    return int(row["entries"] or 1) + 100 * (row["severity"] == "rejected" or row["column"] in WHOLE_ROW)


def _say(book: Book, reading: Reading, row: Record, asked: dict[str, list[Record]]) -> str:
    if row["column"] == "heading":
        column = _column_at(book, reading, row)
        if column is None:
            return "leave out" if row["suggestion"] else ""
        return "accept" if row["suggestion"] == spoken_name(column) else spoken_name(column)
    group = asked.get(row["question_id"], [])
    name = {column: name for name, column in COLUMNS.items()}.get(row["column"], row["column"])
    truths = [book.value_at(q["file"], q["sheet"], q["row"], name.replace("venue", "strip")) for q in group]
    if not group or None in truths:
        return ""
    pairs = list(zip(group, truths, strict=True))
    if all(q["suggestion"] is not None and same(q["suggestion"], truth, q["column"]) for q, truth in pairs):
        return "accept"
    if all(_may_be_kept(q, truth) for q, truth in pairs):
        return "keep"
    return str(truths[0]) if len(group) == 1 else ""


def _may_be_kept(q: Record, truth: object) -> bool:
    if q["column"] in ("time", "car"):
        return bool((q["value"] or "").strip())
    return same(q["reading"] if q["reading"] is not None else q["value"], truth, q["column"])


def _column_at(book: Book, reading: Reading, row: Record) -> str | None:
    """Give what the column truly holds that a question about a heading asks of."""
    sheet = row["sheet"] or ""
    spots = [
        each["position"] + 1
        for each in reading.columns
        if (each["file"], each["sheet"], each["heading"]) == (row["file"], sheet, row["value"])
    ]
    votes: Counter[str] = Counter()
    for run in book.truth["runs"]:
        for name, (file, tab, _, col) in run["where"].items():
            if file == row["file"] and sheet.startswith(tab or "") and col in spots:
                votes[COLUMNS.get(name, name.replace("strip", "venue"))] += 1
    return votes.most_common(1)[0][0] if votes else None
