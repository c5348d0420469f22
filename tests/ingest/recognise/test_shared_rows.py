"""Rows that stand for several runs or cars: ranges of slips, two cars on a row, a unit that changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

ONE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'
TWO = '[[car]]\nname = "Old Gus"\n\n' + ONE


def test_settings_and_air_count_from_the_first_slip_of_a_range(tmp_path: Path) -> None:
    slips = "Slip,Date,Time,60ft,330ft,660ft\n" + "".join(
        f"{number},2031-05-0{day},1{number - 154}:15,1.44{day},3.93{day},6.12{day}\n"
        for number, day in ((155, 3), (156, 3), (157, 4), (158, 4))
    )
    workings = "Slips,RPM,Turns,Grams,Air F,Hum %\n155-156,5800,2.75,4,68,49\n157,5600,2.5,4,70,43\n"
    workings += "158-,5500,2.5,3.9,71,41\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": ONE, "slips.csv": slips, "workings.csv": workings}))
    assert [f"{at:%d %H:%M}" for at in column(con, "weather", "read_at")] == [
        "03 11:15",
        "04 13:15",
        "04 14:15",
    ]
    assert column(con, "setups", "launch_rpm") == [5800, 5600, 5500]


@pytest.mark.parametrize(
    "title",
    [
        "Old Gus (Dad) on the left half and Marigold (Becca) on the right half. One weather for both.",
        "Becca drives Marigold; Dad drives Old Gus",
        "Right half Marigold; left half Old Gus",
    ],
)
def test_a_title_tells_whose_the_halves_are(title: str, tmp_path: Path) -> None:
    head = ",,DAD,,,,BECCA,,,\nDate,Time,60,330,660,rpm,60,330,660,rpm\n"
    rows = "".join(
        f"5/{n}/2031,2:3{n}p,1.75{n},4.51{n},6.93{n},5300,1.49{n},4.11{n},6.35{n},6600\n" for n in range(1, 6)
    )
    con, _ = ingested(write(tmp_path, {"garage.toml": TWO, "both.csv": f'"{title}"{"," * 9}\n{head}{rows}'}))
    pairs = {(car, round(t60, 1)) for car, t60 in column(con, "timeslips", "car", "t60_s")}
    assert pairs == {("Old Gus", 1.8), ("Marigold", 1.5)}


@pytest.mark.parametrize("heading", ["speed", "mph", "km/h"])
def test_speeds_that_change_their_unit_at_a_row(heading: str, tmp_path: Path) -> None:
    rows = [f"2031-05-{n:02},10:15,1.44{n % 10},6.1{n:02},{178.0 + n / 10:.1f}" for n in range(1, 11)]
    rows += ["miles an hour from here,,,,"]
    rows += [f"2031-06-{n:02},10:15,1.44{n},6.1{n:02},{111.0 + n / 10:.1f}" for n in range(1, 7)]
    rows[3] = rows[3].replace("178.4", "118.4")
    sheet = "\n".join([f"Date,Time,60ft,660ft,{heading}", *rows]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": ONE, "slips.csv": sheet}))
    speeds = column(con, "timeslips", "v660_mph")
    assert speeds[0] == pytest.approx(178.1 / 1.609344)
    assert speeds[-1] == pytest.approx(111.6)
    assert speeds[3] is None or speeds[3] < 80  # a block of one row is an entry gone wrong
