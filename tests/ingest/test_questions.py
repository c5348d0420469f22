"""Questions and answers: names that last, answers that follow their entry, stale ones that are shown."""

import csv
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipeline.errors import StoreError
from pipeline.ingest.questions import HEADINGS, GivenAnswer, apply_answers, stale_answers, write_questions
from tests.ingest.doubt_cases import empty_store

QUESTION = {
    "file": "timeslips.csv", "sheet": "", "row": 7, "column": "t60_s", "value": "1.842", "reading": "1.842",
    "problem": "Two digits look swapped.", "suggestion": "1.482", "severity": "questioned",
    "rule": "swapped_digits",
}  # fmt: skip


def add(con: duckdb.DuckDBPyConnection, table: str, row: dict[str, Any]) -> None:
    columns = ", ".join(f'"{name}"' for name in row)
    marks = ", ".join("?" for _ in row)
    con.execute(f"insert into {table} ({columns}) values ({marks})", list(row.values()))


def store_with(*questions: dict[str, Any]) -> duckdb.DuckDBPyConnection:
    con = empty_store()
    for question in questions:
        add(con, "questions", QUESTION | question)
    apply_answers(con)
    return con


def ids(con: duckdb.DuckDBPyConnection) -> list[str]:
    return [row[0] for row in con.execute("select question_id from questions order by row").fetchall()]


def answer(con: duckdb.DuckDBPyConnection, word: str, **where: Any) -> None:
    place = {name: QUESTION[name] for name in ("file", "sheet", "row", "column", "value")} | where
    count = con.execute("select count(*) from answers").fetchall()[0]
    assert count is not None
    add(con, "answers", {**place, "answer": word, "entry_order": count[0] + 1})
    apply_answers(con)


def answers(con: duckdb.DuckDBPyConnection) -> list[str | None]:
    return [row[0] for row in con.execute("select answer from questions order by row").fetchall()]


def test_a_question_keeps_its_name_whatever_rule_asks_it() -> None:
    assert ids(store_with({})) == ids(store_with({"rule": "wrong_digit", "suggestion": "1.442"}))


@pytest.mark.parametrize("change", [{"row": 8}, {"value": "1.824"}, {"column": "t330_s"}, {"file": "b.csv"}])
def test_another_place_or_entry_is_another_question(change: dict[str, Any]) -> None:
    assert ids(store_with({})) != ids(store_with(change))


WORDS = {
    "accept": "accept", "Yes": "accept", " ok ": "accept", "y": "accept", "keep": "keep", "as typed": "keep",
    "leave out": "leave out", "skip": "leave out", "Leave out the row": "leave out row",
    "skip run": "leave out row", "leave row out": "leave out row", "empty": "empty", "1.483": "1.483",
    "": None, "  ": None,
}  # fmt: skip


@pytest.mark.parametrize(("written", "meant"), WORDS.items())
def test_answer_words(written: str, meant: str | None) -> None:
    con = store_with({})
    answer(con, written)
    assert answers(con) == [meant]


def test_an_answer_by_name_needs_no_place() -> None:
    con = store_with({})
    answer(con, "keep", question_id=ids(con)[0], file=None, row=None, column=None, value=None)
    assert answers(con) == ["keep"]


def test_the_last_answer_counts() -> None:
    con = store_with({})
    answer(con, "keep")
    answer(con, "accept")
    assert answers(con) == ["accept"]


def test_accepting_to_empty_a_cell_empties_it() -> None:
    con = store_with({"suggestion": "empty"})
    answer(con, "accept")
    assert answers(con) == ["empty"]


def test_accepting_where_nothing_is_suggested_is_no_answer() -> None:
    con = store_with({"suggestion": None})
    answer(con, "accept")
    assert answers(con) == [None]
    assert [stale.reason for stale in stale_answers(con)] == [
        "there is no suggestion to accept; write the value"
    ]


def test_an_answer_follows_its_row_when_rows_are_put_in_above() -> None:
    con = store_with({"row": 9})
    answer(con, "accept", row=7)
    assert answers(con) == ["accept"]
    assert stale_answers(con) == ()


def test_a_moved_answer_with_two_places_to_go_is_stale() -> None:
    con = store_with({"row": 9}, {"row": 12})
    answer(con, "accept", row=7)
    assert answers(con) == [None, None]
    assert len(stale_answers(con)) == 1


def test_an_answer_to_an_entry_that_has_changed_is_stale() -> None:
    con = store_with({"value": "1.824"})
    answer(con, "accept")
    assert answers(con) == [None]
    assert stale_answers(con) == (
        GivenAnswer(
            "timeslips.csv", "", 7, "t60_s", "1.842", "accept",
            "the entry has changed or is no longer in doubt",
        ),
    )  # fmt: skip


def test_the_written_file_can_be_answered_and_read_back(tmp_path: Path) -> None:
    con = store_with({}, {"row": 8, "severity": "doubt"}, {"row": 9})
    path = tmp_path / "questions.csv"
    assert write_questions(con, path) == 2
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert tuple(rows[0]) == HEADINGS
    assert [row["question_id"] for row in rows] == ids(con)
    for row in rows:
        answer(
            con, "keep" if row["row"] == "9" else "", **{name: row[name] for name in ("question_id", "row")}
        )
    assert answers(con) == [None, None, "keep"]


def test_a_second_writing_keeps_answers_and_shows_stale_ones(tmp_path: Path) -> None:
    con = store_with({})
    answer(con, "accept")
    answer(con, "1.9", row=30, column="t330_s")
    assert write_questions(con, tmp_path / "questions.csv") == 0
    with (tmp_path / "questions.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["answer"], row["severity"]) for row in rows] == [("accept", "questioned"), ("1.9", "stale")]


def test_a_place_that_can_not_be_written_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "questions.csv").mkdir()
    with pytest.raises(StoreError, match=r"questions\.csv cannot be written"):
        write_questions(store_with({}), tmp_path / "questions.csv")
    assert list(tmp_path.iterdir()) == [tmp_path / "questions.csv"]
