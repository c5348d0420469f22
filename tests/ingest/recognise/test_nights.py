"""Evenings under a line that names their day: nights past midnight, and lines that name two days."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import GARAGE, column, ingested, write

HEADING = "time,60 ft,330 ft,660 ft,1320 ft,launch rpm"
NIGHT = ["21:40,1.482,4.061,6.303,9.790,6200", "23:30,1.490,4.075,6.320,9.811,6200"]


def night(tmp_path: Path, line: str, *rows: str) -> list[tuple[str, object]]:
    text = "\n".join([line, HEADING, *NIGHT, *rows])
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "nights.csv": text + "\n"}))
    return [(str(at), venue) for at, venue in column(con, "timeslips", "run_at", "venue")]


@pytest.mark.parametrize(
    "line",
    ["Cinder Flats: Sat 17 May 2031 into Sun", "Cinder Flats, 17.05.2031 bis So",
     "Cinder Flats, Sat 17 May 2031"],
)  # fmt: skip
def test_a_night_goes_on_past_midnight(tmp_path: Path, line: str) -> None:
    rows = ["00:20,1.488,4.070,6.311,9.801,6200", "01:05,1.480,4.058,6.300,9.786,6100"]
    found = night(tmp_path, line, *rows)
    assert [at for at, _ in found] == [
        "2031-05-17 21:40:00", "2031-05-17 23:30:00", "2031-05-18 00:20:00", "2031-05-18 01:05:00",
    ]  # fmt: skip
    assert {venue for _, venue in found} == {"Cinder Flats"}


@pytest.mark.parametrize(
    ("between", "link"), [("to", "Sun"), ("auf", "Sonntag"), ("à", "dimanche"), ("-", "Sun")]
)
def test_the_day_up_to_which_a_meet_goes_on_is_no_strip(tmp_path: Path, between: str, link: str) -> None:
    title = "Cinder Flats. Two cars\n"
    found = night(tmp_path, f"{title}Night 1: Sat 17 May 2031 {between} {link}")
    assert {venue for _, venue in found} == {"Cinder Flats"}


def test_a_time_of_day_wrong_in_the_middle_stays(tmp_path: Path) -> None:
    text = "\n".join(["Sat 17 May 2031", HEADING, NIGHT[0], "02:20,1.488,4.070,6.311,9.801,6200", NIGHT[1]])
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "nights.csv": text + "\n"}))
    assert {str(day)[:10] for day in column(con, "typed_timeslips", "run_at")} == {"2031-05-17"}


def test_each_row_may_have_the_date_of_its_evening(tmp_path: Path) -> None:
    rows = ["21:10,1.481,4.060,6.301,9.788,6200", *NIGHT, "00:20,1.488,4.070,6.311,9.801,6200"]
    text = "\n".join([f"date,{HEADING}", *(f"17.05.2031,{row}" for row in rows)])
    con, report = ingested(write(tmp_path, {"garage.toml": GARAGE, "nights.csv": text + "\n"}))
    assert [str(at)[8:] for at in column(con, "timeslips", "run_at")] == [
        "17 21:10:00", "17 21:40:00", "17 23:30:00", "18 00:20:00",
    ]  # fmt: skip
    assert report.open_questions == 0
