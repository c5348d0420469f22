"""One cause, one question: many entries wrong in the same way are asked about and answered once."""

import csv
from pathlib import Path

import duckdb
import pytest

from pipeline.store.tables import read_table
from pipeline.terminal import questions_text
from tests.ingest.test_answering import HEADINGS, fill_in, ingest, slips, write

AIR = "date,time,venue,air temp,pressure,humidity"


def air(folder: Path, humidity: list[str]) -> None:
    rows = [
        f"2025-06-14,{10 + at}:00,Cinder Flats,{76 + at},{28.62 - at / 100:.2f},{wet}"
        for at, wet in enumerate(humidity)
    ]
    (folder / "weather.csv").write_text("\n".join([AIR, *rows]) + "\n", encoding="utf-8")


def asked(folder: Path) -> list[dict[str, str]]:
    with (folder / "questions.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def humidities(con: duckdb.DuckDBPyConnection) -> list[float | None]:
    return [found for (found,) in con.execute("select humidity_pct from weather order by row").fetchall()]


def test_many_entries_of_one_cause_are_one_question_and_one_answer(tmp_path: Path) -> None:
    air(tmp_path, ["0.55", "0.53", "52", "0.51"])
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        (row,) = asked(tmp_path)
        assert row["entries"] == "3"
        assert row["places"] == "2: 0.55 -> 55; 3: 0.53 -> 53; 5: 0.51 -> 51"
        assert questions_text(read_table(con, "questions")).count("3 entries here are like this") == 1
        fill_in(tmp_path, "accept")
        ingest(con, tmp_path)
        assert humidities(con) == [55, 53, 52, 51]
        air(tmp_path, ["50", "0.55", "0.53", "52", "0.51"])  # a row more: the answer is to the cause
        ingest(con, tmp_path)
        assert humidities(con) == [50, 55, 53, 52, 51]
        assert [found["answer"] for found in asked(tmp_path)] == ["accept"]


def test_an_answer_to_one_entry_stands_beside_that_to_its_cause(tmp_path: Path) -> None:
    air(tmp_path, ["0.55", "0.53", "52", "0.51"])
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        (name,) = con.execute("select question_id from questions where row = 3").fetchall()[0] or ()
        own = f"question_id,file,sheet,row,column,value,answer\n{name},weather.csv,,3,humidity_pct,0.53,54\n"
        (tmp_path / "older answers.csv").write_text(own, encoding="utf-8")
        ingest(con, tmp_path)
        assert humidities(con) == [None, 54, 52, None]
        assert sorted((row["answer"], row["entries"]) for row in asked(tmp_path)) == [("", "2"), ("54", "1")]


def test_a_value_cannot_answer_for_entries_that_differ(tmp_path: Path) -> None:
    air(tmp_path, ["0.55", "0.53"])
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        fill_in(tmp_path, "55")
        ingest(con, tmp_path)
        assert humidities(con) == [None, None]
        assert "must be accept, keep or leave out" in asked(tmp_path)[-1]["problem"]


def test_what_cannot_be_is_not_kept_and_says_why(tmp_path: Path) -> None:
    write(tmp_path, [line.replace("1.842", "1482") for line in slips()])
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        fill_in(tmp_path, "keep")
        ingest(con, tmp_path)
        (row,) = asked(tmp_path)
        assert (row["answer"], "It cannot be kept: 1482 lies outside 0.7 to 6" in row["problem"]) == (
            "",
            True,
        )


ORDERS = {"accept": "2025-04-05", "day first": "2025-04-05", "month first": "2025-05-04"}


@pytest.mark.parametrize(("answer", "day"), ORDERS.items())
def test_dates_that_could_be_either_are_one_question(answer: str, day: str, tmp_path: Path) -> None:
    rows = [
        line.replace("2025-06-14", f"{5 + 2 * (at // 4)}/4/2025").replace("1.842", "1.481")
        for at, line in enumerate(slips())
    ]
    (tmp_path / "timeslips.csv").write_text("\n".join([HEADINGS, *rows]) + "\n", encoding="utf-8")
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        (row,) = asked(tmp_path)
        assert row["entries"] == "8"
        fill_in(tmp_path, answer)
        ingest(con, tmp_path)
        first = con.execute("select min(run_at)::date::varchar from timeslips").fetchall()[0]
        assert first == (day,)


def test_a_wrong_day_above_several_tables_is_one_question(tmp_path: Path) -> None:
    days = [
        f"Quarry Road,{date},,\nAir F,{70 + at},,\nHumidity %,5{at},,\n"
        + "".join(f"{hour}:{at}0,1.4{hour},4.0{hour},6.2{hour}\n" for hour in range(10, 14))
        for at, date in enumerate(("2031-05-17", "2031-05-71", "2031-06-28"))
    ]
    (tmp_path / "a.csv").write_text("time,60 ft,330 ft,660 ft\n" + "".join(days), encoding="utf-8")
    with duckdb.connect() as con:
        ingest(con, tmp_path)
        assert {row["suggestion"] for row in asked(tmp_path)} == {"2031-05-17"}
        assert [int(row["entries"]) > 4 for row in asked(tmp_path)] == [True]
        fill_in(tmp_path, "accept")
        ingest(con, tmp_path)
        assert con.execute("select count(*) from questions where answer is null").fetchall() == [(0,)]
