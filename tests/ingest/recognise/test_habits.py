"""Habits of people who keep their own book: arrows for the same again, logs of was and now, odd columns."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from pipeline.ingest.recognise.row_dates import in_order
from tests.ingest.logbooks import column, ingested, write

GARAGE = (
    '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n\n'
    '[[venue]]\nname = "Pelt Lake 1320"\nelevation_ft = 500\n'
)


def read(root: Path, **sheets: str) -> tuple[Any, Any]:
    """Read sheets whose rows are lines of cells parted by ``|``; a text stays as it is."""
    files = {
        f"{name}.csv" if "|" in text else f"{name}.txt": text.replace("|", ";") + "\n"
        for name, text in sheets.items()
    }
    return ingested(write(root, {"garage.toml": GARAGE, **files}))


def test_an_arrow_says_the_same_as_to_the_left(tmp_path: Path) -> None:
    grid = (
        "Run|1|2|3\nDate|2031-05-16|→|→\nTime|10:05|11:10|12:20\nLane|L|R|L\n60 ft|1.451|1.452|1.453\n"
        "330 ft|3.981|3.982|3.983\n1/8|6.141|6.142|6.143\nLaunch rpm|6200|→|6300\nPreload turns|2|→|→"
    )
    con, report = read(tmp_path, grid=grid)
    assert column(con, "timeslips", "launch_rpm", "preload_turns") == [(6200, 2), (6200, 2), (6300, 2)]
    assert report.open_questions == 0


def test_a_log_of_what_was_and_is_now(tmp_path: Path) -> None:
    log = "Date|Local|Item|Was|Now|Reason\n" + "\n".join(
        f"2031-05-{day:02}|{clock}|{item}|{was}|{now}|trial"
        for day, clock, item, was, now in (
            (3, "0835", "Launch rpm", "-", 6000), (3, "0835", "Preload turns", "-", 4),
            (3, "0835", "Counterweight g", "-", 2.8), (3, "1141", "Counterweight g", 2.8, 2.4),
            (4, "1001", "Launch rpm", 6000, 6100), (4, "1225", "Preload turns", 4, 4.25),
            (5, "1001", "Launch rpm", 6100, 6000), (5, "1400", "Counterweight g", 2.4, 2.6),
        )
    )  # fmt: skip
    con, _ = read(tmp_path, changes=log)
    kept = column(con, "setups", "set_at", "launch_rpm", "preload_turns", "counterweight_g")
    assert kept[0] == (dt.datetime(2031, 5, 3, 8, 35), 6000, 4, 2.8)
    assert kept[1] == (dt.datetime(2031, 5, 3, 11, 41), None, None, 2.4)
    assert len(kept) == 6


def test_a_key_of_single_letters_below_the_runs(tmp_path: Path) -> None:
    rows = [
        f"310531|09{10 + 7 * n}|QRD|{60 + n}|145{n}|398{n}|614{n}|110.{n}|62|17|4.{n}|{n % 2 + 1}"
        for n in range(6)
    ]
    key = [
        "D date ddmmyy, T time 24h, P place (QRD = Quarry Road Dragway)",
        "V mph at 660, M launch rpm in hundreds",
        "R reaction, A 60 ft, B 330, C 660: all thousandths of a second",
        "N preload in QUARTER turns, G grams per lever", "K: 1 clean 2 spun 3 bogged",
    ]  # fmt: skip
    con, report = read(tmp_path, runs="\n".join(["D|T|P|R|A|B|C|V|M|N|G|K", *rows, "", *key]))
    first = column(con, "timeslips", "run_at", "venue", "reaction_s", "t60_s", "launch_rpm", "preload_turns")[
        0
    ]
    assert first == (dt.datetime(2031, 5, 31, 9, 10), "Quarry Road Dragway", 0.06, 1.45, 6200, 4.25)
    assert column(con, "timeslips", "outcome")[:2] == ["clean", "spun"]
    assert report.open_questions == 0


ODD = {
    "a gear": ("Gear", ["4.30", "4.56"]),
    "another's time": ("Opp ET", ["9.8", "11.2"]),
    "jets like dates": ("Jets", ["4/6", "5/6"]),
    "a word nobody knows": ("Zorb", ["8.8", "11.9", "9.4"]),
}


@pytest.mark.parametrize(("heading", "values"), ODD.values(), ids=ODD.keys())
def test_what_else_stands_beside_a_slip_is_none_of_its_numbers(
    heading: str, values: list[str], tmp_path: Path
) -> None:
    rows = [
        f"2031-05-16|{9 + n}:10|L|{values[n % len(values)]}|1.45{n}|6.14{n}|11{n}.2|6{n % 3}00|2.5"
        for n in range(9)
    ]
    con, _ = read(tmp_path, runs="\n".join([f"Date|Time|Lane|{heading}|60 ft|1/8|mph|RPM|Turns", *rows]))
    kept = column(con, "timeslips", "t60_s", "t330_s", "t660_s", "t1000_s", "t1320_s", "tire_pressure_psi")
    assert kept[0] == (1.45, None, 6.14, None, None, None)


def test_lists_by_name_above_and_bare_degrees(tmp_path: Path) -> None:
    rows = [
        f"2031-05-16 1{n}:09|L|1.45{n} / 3.98{n} / 6.14{n} / 8.02{n}|18{n}.3|62{n}0 / 2½ / 4.{n}|"
        f"2{n}° 4{n}% 1003 hPa asphalt 3{n}°"
        for n in range(5)
    ]
    told = ["Setup = revs / turns of preload / grams", "times = 60 ft / 330 ft / 1/8 mile / 1000 ft"]
    con, report = read(tmp_path, runs="\n".join([*told, "When|Lane|Times|1/8 km/h|Setup|Weather", *rows]))
    first = column(con, "timeslips", "t60_s", "t660_s", "launch_rpm", "preload_turns", "counterweight_g")[1]
    assert first == (1.451, 6.141, 6210, 2.5, 4.1)
    assert column(con, "weather", "humidity_pct", "air_temp_degf")[1] == (41, pytest.approx(69.8))
    assert report.open_questions == 0


def test_what_was_set_before_stands_in_brackets(tmp_path: Path) -> None:
    rows = [f"1{n}:09|L|1.45{n}|3.98{n}|6.14{n}" for n in range(4)]
    rows[2:2] = ["launch 6400 rpm (was 6200)||||", "preload 2.25 turns (was 2)||||"]
    told = "launch 6200 rpm, preload 2 turns, weights 4.3 g||||"
    con, report = read(
        tmp_path, runs="\n".join(["2031-05-16||||", "Time|Lane|60 ft|330 ft|1/8", told, *rows])
    )
    assert column(con, "setups", "launch_rpm", "preload_turns") == [(6200, 2), (6400, 2.25)]
    assert report.open_questions == 0


def test_sentences_parted_by_commas_are_no_headings(tmp_path: Path) -> None:
    lines = [
        f"{n}:36pm left lane: reaction .03{n}, sixty feet in 1.4{n}, eighth in 6.2{n} at 107 mph, "
        f"left at 6{n}00 turns of the engine, spring 3/4 turns, weights 2.{n} grams. Very good."
        for n in range(3, 8)
    ]
    con, _ = read(tmp_path, book="\n".join(["== 16 May 2031, Quarry Road Dragway", *lines]))
    first = column(
        con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph", "launch_rpm", "counterweight_g"
    )[0]
    assert first == (dt.datetime(2031, 5, 16, 15, 36), 1.43, 6.23, 107, 6300, 2.3)


def test_a_strip_in_brackets_cut_short_or_between_rules(tmp_path: Path) -> None:
    rows = [
        f"2031-05-1{n}|1{n}:09|{('Pelt Lk', 'ペルト(Pelt Lake)')[n % 2]}|1.45{n}|3.98{n}|6.14{n}"
        for n in range(4)
    ]
    messages = "".join(
        f"[{day}/05/31, 1{n}:04] left clean\nR 0.09{n} / 60 1.53{n} / 330 4.26{n} / 1/8 6.57{n} at 107 mph\n"
        f"launch 6{n}00 rpm, 5 turns, 4.{n} g. air 7{n}º hum 58%\n"
        + "--- Pelt Lake / Open night ---\n"
        * (n == 2)
        for day, n in ((20, 0), (20, 1), (20, 2), (27, 3), (27, 4), (27, 5))
    )
    con, _ = read(tmp_path, runs="\n".join(["Date|Time|Track|60 ft|330 ft|1/8", *rows]))
    assert set(column(con, "timeslips", "venue")) == {"Pelt Lake 1320"}
    con, _ = read(tmp_path / "messages", book=f"--- Quarry Road Dragway / Opener ---\n{messages}")
    assert column(con, "timeslips", "venue") == ["Quarry Road Dragway"] * 3 + ["Pelt Lake 1320"] * 3
    assert column(con, "timeslips", "reaction_s", "lane")[0] == (0.09, "left")


def test_a_meet_and_its_strip_above_the_headings(tmp_path: Path) -> None:
    rows = [f"2031-05-16|1{n}:09|L|1.45{n}|3.98{n}|6.14{n}|clean" for n in range(4)]
    sheet = ["Spring Points 1|||Quarry Road Dragway", "Date|Time|Ln|60 ft|330|1/8 ET|Comments", *rows]
    con, _ = read(tmp_path, runs="\n".join(sheet))
    assert column(con, "timeslips", "venue") == ["Quarry Road Dragway"] * 4


def test_no_day_is_the_nought_of_a_month_nor_of_no_year() -> None:
    for text in ("0.5.2031", "5.0.2031", "5.6.0000"):
        assert in_order([text, "6.7.2031", "7.7.2031"], "date") == {}
