"""What people add to a table without changing what it says: remarks at its side, headings written again."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'
HEADINGS = "date,time,rt,60,660,mph,rpm,turns,remarks"
RUNS = [f"2031-05-{14 + n // 3},1{n}:05,.0{n}7,1.4{n}2,6.1{n},112.{n},6000,3," for n in range(6)]
MARKS = [",", ";", "\t"]


def _runs(folder: Path, name: str, lines: list[str]) -> list[tuple[object, ...]]:
    con, _ = ingested(write(folder, {"garage.toml": GARAGE, name: "\n".join(lines) + "\n"}))
    return sorted(column(con, "timeslips", "run_at", "t60_s", "t660_s", "notes"))


@pytest.mark.parametrize("mark", MARKS)
def test_words_past_the_last_heading_are_remarks(mark: str, tmp_path: Path) -> None:
    said = [f"{run},lucky" if n in {1, 3} else run for n, run in enumerate(RUNS)]
    said[2] += "spun,new oil"
    runs = _runs(tmp_path, "log.csv", [line.replace(",", mark) for line in [HEADINGS, *said]])
    assert [run[1] for run in runs] == [1.402, 1.412, 1.422, 1.432, 1.442, 1.452]
    assert [run[3] for run in runs] == [None, "lucky", "spun; new oil", "lucky", None, None]


def test_a_row_moved_to_the_side_is_asked_about(tmp_path: Path) -> None:
    moved = RUNS[2].replace("1.422", "1,422") + "lucky"
    sheet = "\n".join([HEADINGS, *RUNS[:2], moved, *RUNS[3:]]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": sheet}))
    assert 4 in column(con, "questions", "row")


def test_headings_again_on_each_day_are_no_values(tmp_path: Path) -> None:
    ditto = [run.replace(",6000,3,", ',",",') if n else run for n, run in enumerate(RUNS)]
    sheet = "\n".join([HEADINGS, *ditto[:3], HEADINGS, *ditto[3:]]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": sheet}))
    assert [text for text in column(con, "questions", "value") if "rpm" in str(text)] == []
    assert set(column(con, "timeslips", "launch_rpm")) <= {6000}


def test_marks_and_words_beside_a_few_numbers_are_remarks(tmp_path: Path) -> None:
    said = {1: "1.412*", 3: "1.432 PB"}
    runs = [run.replace(f"1.4{n}2", said.get(n, f"1.4{n}2")) for n, run in enumerate(RUNS)]
    read = _runs(tmp_path, "log.csv", [HEADINGS, *runs])
    assert [run[1] for run in read] == [1.402, 1.412, 1.422, 1.432, 1.442, 1.452]
    assert [run[3] for run in read] == [None, "*", None, "PB", None, None]


def test_rpm_with_commas_between_thousands_is_no_question(tmp_path: Path) -> None:
    tabs = [run.replace(",", "\t").replace("6000", "6,000") for run in RUNS]
    con, _ = ingested(
        write(tmp_path, {"garage.toml": GARAGE, "a.csv": "\n".join([HEADINGS.replace(",", "\t"), *tabs])})
    )
    assert column(con, "questions", "value") == []
    assert set(column(con, "timeslips", "launch_rpm")) == {6000}


def test_remarks_between_the_rows_of_a_text_with_tabs(tmp_path: Path) -> None:
    lines = ["Typed up off the slips, all of them. Quarry Road Dragway.", "", HEADINGS]
    for run in RUNS:
        lines += [run, "* clutch face skimmed, at last", "* hot, waited"][: 3 if "14" in run else 1]
    tabs = [line.replace(",", "\t") if "," in line and line[0] not in "*T" else line for line in lines]
    assert [run[2] for run in _runs(tmp_path, "slips.txt", tabs)] == [6.1, 6.11, 6.12, 6.13, 6.14, 6.15]


def test_the_air_in_a_corner_beside_the_title(tmp_path: Path) -> None:
    gap = "," * 9
    lines = [
        f"Opening Day{gap}WX,when,air C,station hPa,hum,track C",
        f"Quarry Road Dragway{gap}A,09:19,21,1002,37,34",
        f"Wed 14 May 2031{gap}B,11:51,23,1001,28,43",
        f"{gap},,,,,",
        f"time,lane,rt,60,660,mph,wx,how,{',' * 6}",
    ]
    lines += [f"1{n}:05,left,.0{n}7,1.4{n}2,6.1{n},112.{n},A,good,{',' * 6}" for n in range(4)]
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": "\n".join(lines) + "\n"}))
    assert column(con, "questions", "value") == []
    assert [f"{at:%d %H:%M}" for at in column(con, "timeslips", "run_at")] == [
        f"14 1{n}:05" for n in range(4)
    ]
    assert column(con, "weather", "humidity_pct") == [37, 28]
    assert set(column(con, "timeslips", "venue")) == {"Quarry Road Dragway"}


def test_cars_beside_each_other_under_one_line_a_day(tmp_path: Path) -> None:
    heads = "time,lane,rt,60,660,km/h"
    day = "14/5/2031,Quarry Road Dragway,,Round 1,,,,,,,,,"
    lines = ["MARIGOLD (mine),,,,,,,SWIFT (his),,,,,", f"{heads},,{heads}", "," * 12, day]
    lines += [
        f"1{n}:05,R,.0{n}7,1.4{n}2,6.1{n},180.{n},,1{n}:25,L,.1{n}7,1.3{n}2,5.9{n},190.{n}" for n in range(4)
    ]
    garage = GARAGE + '\n[[car]]\nname = "Swift"\n'
    con, _ = ingested(write(tmp_path, {"garage.toml": garage, "log.csv": "\n".join(lines) + "\n"}))
    runs = column(con, "timeslips", "car", "t60_s", "run_at", "venue")
    assert {(car, t60) for car, t60, *_ in runs} >= {("Marigold", 1.402), ("Swift", 1.332)}
    assert {(f"{at:%Y-%m-%d}", venue) for *_, at, venue in runs} == {("2031-05-14", "Quarry Road Dragway")}


def test_a_page_with_lists_above_a_table_drawn_with_upright_lines(tmp_path: Path) -> None:
    table = [f"| {run[:-1].replace(',', ' | ')} |" for run in RUNS]
    heads = f"| {HEADINGS[:-8].replace(',', ' | ')} |"
    lines = ["# Log", "", *(f"- S{n}: 6{n}00 / 3.25 / 3.9" for n in range(1, 6)), "", heads]
    text = "\n".join([*lines, "| --- " * 8 + "|", *table]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.md": text}))
    assert column(con, "timeslips", "t60_s", "t660_s")[:2] == [(1.402, 6.1), (1.412, 6.11)]


def test_a_setup_written_once_and_then_the_same(tmp_path: Path) -> None:
    runs = [run.replace(",6000,3,", ",6000/3.25/2," if n == 0 else ",same,") for n, run in enumerate(RUNS)]
    sheet = "\n".join([HEADINGS.replace("rpm,turns", "rpm/turns/grams"), *runs]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": sheet}))
    assert column(con, "questions", "value") == []
    assert column(con, "timeslips", "launch_rpm")[0] == 6000


def test_quarters_said_above_and_in_the_heading_count_once(tmp_path: Path) -> None:
    runs = [run.replace(",6000,3,", ",6000,13,") for run in RUNS]
    sheet = "\n".join(["Preload in quarters of a turn", HEADINGS.replace("turns", "quarters"), *runs]) + "\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": sheet}))
    assert set(column(con, "timeslips", "preload_turns")) == {3.25}
