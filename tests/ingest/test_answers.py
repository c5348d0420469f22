"""An answer becomes the value of its cell, and the sheets stay as they were."""

import csv
import datetime as dt
import io
from pathlib import Path
from typing import Any

import pytest

from pipeline.ingest.questions import idle_answers
from tests.ingest.logbooks import GARAGE, HEADING, column, ingested, write

SHEET = HEADING + "2031-05-14,10:00,abc,4.05,6.21,\n"


def answered(root: Path, sheet: str, answer: str, name: str = "slips.csv") -> tuple[Any, Any]:
    """Ingest, answer the only question, ingest again."""
    con, _ = ingested(write(root, {"garage.toml": GARAGE, name: sheet}))
    (question,) = column(con, "questions", "question_id", "file", "sheet", "row", "column", "value")
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["question_id", "file", "sheet", "row", "column", "value", "answer"])
    writer.writerow([*question, answer])
    return ingested(write(root, {"questions.csv": text.getvalue()}), con)


@pytest.mark.parametrize(
    ("answer", "t60_s"),
    [("1.482", 1.482), ("1482 ms", 1.482), ("1,482", 1.482), ("empty", None), ("keep", None)],
)
def test_a_new_value_is_read_like_a_cell(tmp_path: Path, answer: str, t60_s: float | None) -> None:
    con, report = answered(tmp_path, SHEET, answer)
    assert column(con, "timeslips", "t60_s", "questioned") == [(t60_s, [])]
    assert report.open_questions == 0
    assert report.total.questioned == 0


def test_leave_out_does_without_the_one_entry(tmp_path: Path) -> None:
    con, report = answered(tmp_path, SHEET, "Leave out")
    assert column(con, "timeslips", "t60_s", "t330_s", "questioned") == [(None, 4.05, [])]
    assert (report.open_questions, report.total.questioned) == (0, 0)


SET_ASIDE = {
    "asked for": (SHEET, "leave out row"),
    "without its date": (HEADING + "sometime,10:00,1.482,4.05,6.21,\n", "leave out"),
    "without its time": (HEADING + "2031-05-14,late,1.482,4.05,6.21,\n", "leave out"),
    "rejected": ("date,time,60 ft\n2031-05-14,10:00,1.482,4.05\n", "leave out"),
}


@pytest.mark.parametrize(("sheet", "answer"), SET_ASIDE.values(), ids=SET_ASIDE.keys())
def test_leaving_out_sets_the_row_aside_where_it_must(tmp_path: Path, sheet: str, answer: str) -> None:
    con, report = answered(tmp_path, sheet, answer)
    assert column(con, "timeslips", "slip_id") == []
    slips = next(sheet for sheet in report.sheets if sheet.file == "slips.csv")
    assert (slips.read, slips.kept, slips.set_aside) == (2, 0, 2)


def test_one_number_for_six_screws_leaves_no_screws_behind(tmp_path: Path) -> None:
    sheet = "date,turns,psi\n2031-05-01,3 3 4 3 3 3,11\n"
    con, _ = answered(tmp_path, sheet, "3", "setups.csv")
    assert column(con, "setups", "preload_turns", "preload_screws") == [(3.0, None)]


def test_accept_takes_the_suggestion(tmp_path: Path) -> None:
    sheet = "date,time,venue,60 ft,330 ft\n2031-05-14,10:00,Cindr Flats,1.482,4.05\n"
    con, report = answered(tmp_path, sheet, "accept")
    assert column(con, "timeslips", "venue", "questioned") == [("Cinder Flats", [])]
    assert report.open_questions == 0


def test_an_ambiguous_date_is_settled_by_accepting(tmp_path: Path) -> None:
    sheet = HEADING + "4/5/2031,10:00,1.482,4.05,6.21,\n"
    con, _ = answered(tmp_path, sheet, "2031-05-04")
    assert column(con, "timeslips", "run_at", "questioned") == [(dt.datetime(2031, 5, 4, 10, 0), [])]


def test_a_time_can_be_answered(tmp_path: Path) -> None:
    con, _ = answered(tmp_path, HEADING + "2031-05-14,late,1.482,4.05,6.21,\n", "9:40 pm")
    assert column(con, "timeslips", "run_at", "has_time") == [(dt.datetime(2031, 5, 14, 21, 40), True)]


def test_an_answer_that_can_not_be_read_leaves_the_question_open(tmp_path: Path) -> None:
    con, report = answered(tmp_path, SHEET, "no idea")
    assert report.open_questions == 1
    assert "'no idea'" in column(con, "questions", "problem")[0]


def test_a_number_for_each_screw_can_be_answered(tmp_path: Path) -> None:
    sheet = "date,turns,psi\n2031-05-01,three,11\n"
    con, _ = answered(tmp_path, sheet, "3 3 3 3", "setups.csv")
    assert column(con, "setups", "preload_turns", "preload_screws") == [(3.0, [3.0] * 4)]


@pytest.mark.parametrize(
    ("entry", "answer", "reason"),
    [
        ("abc", "keep", "the entry cannot be read, so the cell stays empty"),
        ("14.82", "14.82", "it is what stands there already"),
        ("14.82", "keep", None),
        ("abc", "1.482", None),
        ("1,482", "keep", None),
    ],
)
def test_an_answer_that_changes_nothing_is_known(
    tmp_path: Path, entry: str, answer: str, reason: str | None
) -> None:
    row = f'2031-05-14,10:00,"{entry}",4.05,6.21,\n'
    con, _ = answered(tmp_path, HEADING + "2031-05-14,11:00,1.481,4.04,6.20,\n" + row, answer)
    assert [idle.reason for idle in idle_answers(con)] == ([reason] if reason else [])
