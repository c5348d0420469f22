"""A whole slip in one cell of several lines."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'


def _box(hour: int, change: str = "") -> str:
    times = f"R 0.1{hour}\n60 1.4{hour}\n8th 5.9{hour}@188\n4th 9.3{hour}@235"
    return "\n".join(filter(None, [f"{hour}:12 L", change, times, "spun" if hour == 14 else "clean"]))


FIRST = ["2031-05-02", "Quarry Road Dragway", "23 C, asphalt 28 C, 985 hPa, 55 %", "5700", "3.25", "3"]
SECOND = ["2031-05-16", "Quarry Road Dragway", "29 C, asphalt 35 C, 981 hPa, 35 %", "5700", "2.75", "3"]
DAYS_DOWN = [
    ["Day", "Strip", "Sky", "Revs", "Turns", "Grams", "Run 1", "Run 2", "Run 3"],
    [*FIRST, _box(10), _box(12), _box(14, "new: 2.75 turns")],
    [*SECOND, _box(11), _box(13), ""],
]
DAYS_ACROSS = [["", "2031-05-02", "2031-05-16"], ["1", _box(10), _box(11)], ["2", _box(12), _box(13)]]


@pytest.mark.parametrize(
    ("sheet", "runs"), [(DAYS_DOWN, [10, 12, 14, 11, 13]), (DAYS_ACROSS, [10, 12, 11, 13])]
)
def test_every_box_is_a_run(sheet: list[list[str]], runs: list[int], tmp_path: Path) -> None:
    text = io.StringIO()
    csv.writer(text).writerows(sheet)
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "boxes.csv": text.getvalue()}))
    read = sorted(column(con, "timeslips", "run_at", "reaction_s", "t60_s", "t660_s", "t1320_s", "lane"))
    assert [row[0].hour for row in read] == runs
    assert read[0][1:] == (0.110, 1.410, 5.910, 9.310, "left")
    if sheet is DAYS_DOWN:
        assert column(con, "setups", "preload_turns")[:2] == [3.25, 2.75]
        assert column(con, "weather", "humidity_pct") == [55, 35]
