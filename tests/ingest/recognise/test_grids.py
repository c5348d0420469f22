"""Sheets that hold one quantity of many runs in a block, or several runs on a row."""

from pathlib import Path
from typing import Any

import pytest

from pipeline.ingest.recognise.passes import Which, which_of
from tests.ingest.logbooks import GARAGE, column, ingested, write

T60 = {"5/14/2031": (1.482, 1.49, 1.477), "5/15/2031": (1.466, 1.471, 1.503)}
HOURS = ("10:00", "11:00", "12:30")
WANTED = [
    (f"2031-05-{day} {hour}", t60, round(2.75 * t60, 3))
    for day, values in ((14, T60["5/14/2031"]), (15, T60["5/15/2031"]))
    for hour, t60 in zip(HOURS, values, strict=True)
]


def read(root: Path, files: dict[str, str]) -> list[Any]:
    con, _ = ingested(write(root, {"garage.toml": GARAGE, **files}))
    rows = column(con, "typed_timeslips", "run_at", "t60_s", "t330_s")
    return sorted((f"{at:%Y-%m-%d %H:%M}", t60, t330) for at, t60, t330 in rows)


def block(what: str, head: str) -> str:
    rows = []
    for day, values in T60.items():
        texts = {"60": [f"{t60:.3f}" for t60 in values], "330": [f"{2.75 * t60:.3f}" for t60 in values]}
        rows.append(",".join([day, *texts.get(what, list(HOURS))]))
    return f"{head}\n" + "\n".join(rows) + "\n"


@pytest.mark.parametrize("head", ["Day,1,2,3", "Date,Pass 1,Pass 2,Pass 3", "date,1st,2nd,3rd"])
def test_a_sheet_a_quantity_with_passes_across(tmp_path: Path, head: str) -> None:
    files = {
        f"{name}.csv": block(what, head) for name, what in (("60 ft", "60"), ("330 ft", "330"), ("time", ""))
    }
    assert read(tmp_path, files) == WANTED


@pytest.mark.parametrize("odd", ["³", "①", "3" * 5000])
def test_digits_that_are_no_numbers_head_no_block(tmp_path: Path, odd: str) -> None:
    _, report = ingested(
        write(tmp_path, {"garage.toml": GARAGE, "60 ft.csv": f"Day,1,2,{odd}\n14,1.482,1.49,1.477\n"})
    )
    assert [sheet.file for sheet in report.sheets] == ["60 ft.csv"]


def test_a_title_a_quantity_on_one_sheet(tmp_path: Path) -> None:
    parts = [
        f"{name},,,\n{block(what, 'Date,1,2,3')}"
        for name, what in (("60 ft", "60"), ("330 ft", "330"), ("Time of day", ""))
    ]
    assert read(tmp_path, {"book.csv": "\n".join(parts)}) == WANTED


def test_a_label_a_row_with_passes_across(tmp_path: Path) -> None:
    rows = ["date,what,#1,#2,#3"]
    for day, values in T60.items():
        rows += [
            ",".join([day, "time", *HOURS]),
            ",".join([day, "60'", *(f"{t60:.3f}" for t60 in values)]),
            ",".join([day, "330'", *(f"{2.75 * t60:.3f}" for t60 in values)]),
        ]
    assert read(tmp_path, {"book.csv": "\n".join(rows)}) == WANTED


def test_a_sheet_a_quantity_with_days_across(tmp_path: Path) -> None:
    cells = {
        "60 ft": [[f"{t60:.3f}" for t60 in values] for values in T60.values()],
        "330 ft": [[f"{2.75 * t60:.3f}" for t60 in values] for values in T60.values()],
        "Time of day": [list(HOURS), list(HOURS)],
    }
    files = {
        f"{name}.csv": f"Run,{','.join(T60)}\n"
        + "".join(f"{run + 1},{first[run]},{second[run]}\n" for run in range(3))
        for name, (first, second) in cells.items()
    }
    assert read(tmp_path, files) == WANTED


def test_several_runs_on_a_row_under_counted_headings(tmp_path: Path) -> None:
    heads = ",".join(f"Run {run} {what}" for run in (1, 2, 3) for what in ("time", "60ft", "330ft"))
    rows = [
        ",".join(
            [day, *(f"{hour},{t60:.3f},{2.75 * t60:.3f}" for hour, t60 in zip(HOURS, values, strict=True))]
        )
        for day, values in T60.items()
    ]
    assert read(tmp_path, {"book.csv": f"date,{heads}\n" + "\n".join(rows)}) == WANTED


@pytest.mark.parametrize(
    ("text", "which"),
    [
        ("Pass 2 60 ft", Which(2, "", "60 ft")),
        ("#3", Which(3, "", "")),
        ("5/14/2031 60 ft", Which(0, "5/14/2031", "60 ft")),
        ("60 ft", None),
        ("1/8 ET", None),
        ("Run", None),
    ],
)
def test_which_run_a_heading_names(text: str, which: Which | None) -> None:
    assert which_of(text) == which


def test_two_pages_side_by_side_under_one_line_for_the_day(tmp_path: Path) -> None:
    rows = []
    for day, values in T60.items():
        rows += [f"{day} Cinder Flats,,,,,", "Time,60',330',Time,60',330'"]
        cells = [f"{hour},{t60:.3f},{2.75 * t60:.3f}" for hour, t60 in zip(HOURS, values, strict=True)]
        rows += [f"{cells[0]},{cells[2]}", f"{cells[1]},,,"]
    assert read(tmp_path, {"book.csv": "\n".join(rows)}) == WANTED


def test_both_lanes_by_number_and_ours_by_the_number_beside(tmp_path: Path) -> None:
    rows = ["date,time,our lane,L1 60,L1 330,L1 660,L2 60,L2 330,L2 660"]
    for at, (day, values) in enumerate(T60.items()):
        for hour, t60 in zip(HOURS, values, strict=True):
            own = f"{t60:.3f},{2.75 * t60:.3f},{4.25 * t60:.3f}"
            rows.append(
                f"{day},{hour},{at + 1}," + (f"{own},1.7,4.7,7.2" if at == 0 else f"1.7,4.7,7.2,{own}")
            )
    assert read(tmp_path, {"book.csv": "\n".join(rows)}) == WANTED
