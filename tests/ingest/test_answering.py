"""A question asked, answered in its file and read back: what the clean tables then say."""

import csv
import datetime as dt
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipeline import stages
from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.ingest.questions import stale_answers, write_questions
from pipeline.store.build_runs import build_runs
from pipeline.workspace import Workspace

HEADINGS = "date,time,car,60 ft,330 ft,660 ft,660 mph,1000 ft,1320 ft,1320 mph"
BAD = "1.842"


def slips() -> list[str]:
    """Eight runs of one car; the fourth has two digits swapped at 60 ft."""
    lines = []
    for at in range(8):
        late = (at * 5 % 9 - 4) / 1000
        splits = [1.482 + late, 3.952 + 1.5 * late, 6.061 + 2 * late, 7.887 + 2 * late, 9.444 + 2 * late]
        t60, t330, t660, t1000, t1320 = (f"{split:.3f}" for split in splits)
        early = f"{BAD if at == 3 else t60},{t330},{t660},116.32"
        lines.append(f"2025-06-14,{11 + at}:05,Marigold,{early},{t1000},{t1320},145.04")
    return lines


def write(folder: Path, lines: list[str]) -> None:
    (folder / "timeslips.csv").write_text("\n".join([HEADINGS, *lines]) + "\n", encoding="utf-8")


def ingest(con: duckdb.DuckDBPyConnection, folder: Path) -> None:
    ingest_logbook(con, Logbook.open(folder))
    write_questions(con, folder / "questions.csv")


def fill_in(folder: Path, word: str) -> None:
    path = folder / "questions.csv"
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(row | {"answer": word} for row in rows)


def fourth(con: duckdb.DuckDBPyConnection, clock: str = "14:05") -> list[tuple[Any, ...]]:
    return con.execute(
        "select t60_s, questioned from timeslips where strftime(run_at, '%H:%M') = ?", [clock]
    ).fetchall()


ANSWERS: dict[str, tuple[str, list[tuple[Any, ...]]]] = {
    "not answered": ("", [(None, ["t60_s"])]),
    "accepted": ("accept", [(1.482, [])]),
    "accepted with a full stop": ("Accept.", [(1.482, [])]),
    "kept as typed": ("keep", [(1.842, [])]),
    "another value": ("1.481", [(1.481, [])]),
    "emptied": ("empty", [(None, [])]),
    "left out": ("leave out", [(None, [])]),
    "its row left out": ("Leave out row", []),
    "no answer that can be read": ("perhaps", [(None, ["t60_s"])]),
}


@pytest.mark.parametrize(("word", "expected"), ANSWERS.values(), ids=ANSWERS.keys())
def test_an_answer_decides_the_cell(word: str, expected: list[tuple[Any, ...]], tmp_path: Path) -> None:
    write(tmp_path, slips())
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        fill_in(tmp_path, word)
        ingest(con, tmp_path)
        assert fourth(con) == expected
        assert con.execute("select count(*) from questions").fetchall()[0] == (1,)


def test_an_answer_outlasts_rows_put_in_above(tmp_path: Path) -> None:
    write(tmp_path, slips())
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        fill_in(tmp_path, "accept")
        write(tmp_path, ["2025-06-14,10:20,Marigold,1.483,3.953,6.062,116.3,7.888,9.445,145.03", *slips()])
        ingest(con, tmp_path)
        assert fourth(con) == [(1.482, [])]
        assert stale_answers(con) == ()


def test_an_answer_to_a_mended_entry_is_told_and_kept(tmp_path: Path) -> None:
    write(tmp_path, slips())
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        fill_in(tmp_path, "keep")
        write(tmp_path, [line.replace(BAD, "1.484") for line in slips()])
        for _ in range(2):  # told again each time, until the person deletes it
            ingest(con, tmp_path)
            assert fourth(con) == [(1.484, [])]
            assert [stale.answer for stale in stale_answers(con)] == ["keep"]


def test_an_entry_a_spreadsheet_would_run_is_asked_about_as_text_and_its_answer_lasts(tmp_path: Path) -> None:
    lines = slips()
    lines[3] = lines[3].replace(BAD, "=cmd()|x")
    name = "=slips.csv"
    (tmp_path / name).write_text("\n".join([HEADINGS, *lines]) + "\n", encoding="utf-8")
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        with (tmp_path / "questions.csv").open(encoding="utf-8-sig", newline="") as file:
            asked = list(csv.DictReader(file))
        assert [(row["file"], row["value"]) for row in asked] == [("'=slips.csv", "'=cmd()|x")]
        fill_in(tmp_path, "1.483")
        moved = lines[0].replace(",11:", ",10:").replace("116.32", "116.31")
        lines.insert(0, moved)  # the row moves, so the entry itself must be known
        (tmp_path / name).write_text("\n".join([HEADINGS, *lines]) + "\n", encoding="utf-8")
        ingest(con, tmp_path)
        assert con.execute("select t60_s from timeslips where row = 6").fetchall() == [(1.483,)]
        assert stale_answers(con) == ()


def test_the_command_lists_answers_that_do_nothing(tmp_path: Path) -> None:
    write(tmp_path, slips())
    space = Workspace.of(tmp_path, store=None, out=None)
    stages.questions(space)
    fill_in(tmp_path, BAD)
    told = stages.questions(space)
    assert "Answers that change nothing (1):" in told.text
    assert [answer["answer"] for answer in told.document["idle_answers"]] == [BAD]
    write(tmp_path, [line.replace(BAD, "1.484") for line in slips()])
    told = stages.questions(space)
    assert "Answers that do not count (1):" in told.text
    assert [answer["value"] for answer in told.document["stale_answers"]] == [BAD]


def test_a_run_whose_afternoon_is_not_answered_keeps_its_day_and_counts(tmp_path: Path) -> None:
    lines = slips()
    lines[3] = lines[3].replace(BAD, "1.484")
    lines[5] = lines[5].replace("16:05", "4:05")
    write(tmp_path, lines)
    setup = "date,time,car,preload turns\n2025-06-14,8:00,Marigold,3\n2025-06-14,15:30,Marigold,4\n"
    (tmp_path / "setups.csv").write_text(setup, encoding="utf-8")
    con = duckdb.connect()
    ingest(con, tmp_path)
    build_runs(con)
    assert con.execute(
        "select runs.run_at::date, has_time, runs.preload_turns, left_out_reason from runs "
        "inner join timeslips using (file, sheet, \"row\") where list_contains(timeslips.questioned, 'time')"
    ).fetchall() == [(dt.date(2025, 6, 14), False, 4.0, None)]


def test_pm_is_an_answer_to_a_time(tmp_path: Path) -> None:
    lines = slips()
    lines[3] = lines[3].replace(BAD, "1.484")
    lines[5] = lines[5].replace("16:05", "4:05")
    write(tmp_path, lines)
    con = duckdb.connect()
    ingest(con, tmp_path)
    fill_in(tmp_path, "p.m.")
    ingest(con, tmp_path)
    assert fourth(con, "16:05") == [(1.485, [])]
