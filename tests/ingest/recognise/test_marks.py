"""Runs written as so much over or under a mark."""

from pathlib import Path

import pytest

from tests.ingest.logbooks import GARAGE, column, ingested, write

DIFFERENCES = [(0.015, 0.041, 0.06), (-0.012, -0.03, -0.055), (0.004, 0.01, 0.02), (0.021, 0.06, 0.08)]
WANTED = [(round(1.44 + a, 3), round(3.96 + b, 3), round(6.12 + c, 3)) for a, b, c in DIFFERENCES]


def sheet(head: str, scale: int = 1) -> str:
    rows = [
        f"5/14/2031,{10 + at}:00," + ",".join(f"{scale * each:+.{0 if scale > 1 else 3}f}" for each in own)
        for at, own in enumerate(DIFFERENCES)
    ]
    return "\n".join([head, *rows]) + "\n"


@pytest.mark.parametrize(
    "text",
    [
        sheet("Marks: 60ft 1.440 / 330ft 3.960 / 660ft 6.120,,,,\nDate,Time,60ft ET,330ft ET,660ft ET"),
        sheet("Date,Time,60ft,330ft,660ft\nmy mark,,1.440,3.960,6.120"),
        sheet(
            "Date,Time,60ft off the mark,330ft off the mark,660ft off the mark\nmark,,1.440,3.960,6.120", 1000
        ),
    ],
    ids=["told above", "a row of its own", "in thousandths"],
)
def test_differences_to_a_mark_are_written_out(tmp_path: Path, text: str) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "runs.csv": text}))
    assert column(con, "timeslips", "t60_s", "t330_s", "t660_s") == WANTED


def test_a_question_about_one_shows_what_was_typed(tmp_path: Path) -> None:
    text = sheet("Date,Time,60ft,330ft,660ft\nmark,,1.440,3.960,6.120").replace("+0.020", "+x.020")
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "runs.csv": text}))
    assert con.execute('select "column", "value" from questions').fetchall() == [("t660_s", "+x.020")]
