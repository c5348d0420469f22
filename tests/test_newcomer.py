"""A newcomer's first hour, by the README's five steps and nothing else."""

import csv
import datetime as dt
import random
import re
from pathlib import Path

import duckdb
import pytest

from pipeline import stages
from pipeline.garage.logbook import Logbook
from pipeline.garage.new_logbook import SHEETS
from pipeline.ingest.load import ingest_logbook
from pipeline.stages.entering import NOTHING_YET
from pipeline.workspace import Workspace

RUNS, EVENTS = 40, 5
FIRST_DAY = dt.date(2031, 4, 5)
MENDED_GARAGE = (
    ("# launch_rpm_limits = [4500, 7000]", "launch_rpm_limits = [4500, 7000]"),
    ("# elevation =", "elevation ="),
    ('# base_load = "240 lb"', 'base_load = "240 lb"'),
    ("# safe_turns = 4", "safe_turns = 4"),
)


def headings_of(folder: Path, sheet: str) -> list[str]:
    with (folder / f"{sheet}.csv").open(newline="", encoding="utf-8") as file:
        return next(csv.reader(file))


def append(folder: Path, sheet: str, rows: list[dict[str, object]]) -> None:
    with (folder / f"{sheet}.csv").open("a", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, headings_of(folder, sheet), restval="")
        writer.writerows(rows)


def fill(folder: Path) -> None:
    """Type forty runs, with one slip of the pen, in the columns that `new` wrote."""
    luck = random.Random(7)
    turns = 2.0
    for event in range(EVENTS):
        day = FIRST_DAY + dt.timedelta(days=21 * event)
        shared = {"date": day, "venue": "Home strip"}
        append(
            folder,
            "checks",
            [{"date": day, "time": "8:00 am", "car": "My car", "ring height (in)": 2.15 + event / 1000}],
        )
        for run in range(RUNS // EVENTS):
            clock = f"{9 + run}:30"
            turns = luck.choice((1.5, 2.0, 2.5, 3.0))
            rpm, track = luck.choice((5600, 5800, 6000, 6200)), luck.randint(80, 115)
            t60 = 1.43 - 0.008 * turns + luck.gauss(0, 0.008)
            typed = f"{t60:.3f}" if (event, run) != (2, 3) else f"{t60:.3f}".replace(".", "")
            append(
                folder,
                "setups",
                [{"date": day, "time": f"{9 + run}:10", "car": "My car", "preload turns": turns}],
            )
            at = {**shared, "time": clock}
            air = {
                "air temp (F)": 70,
                "pressure (inHg)": 29.1,
                "pressure kind": "station",
                "humidity (%)": 50,
            }
            times = {"60 ft (s)": typed, "330 ft (s)": f"{2.75 * t60:.3f}", "660 ft (s)": f"{4.24 * t60:.3f}"}
            slip = {"car": "My car", "event": f"Meet {event + 1}", "launch rpm": rpm, "outcome": "clean"}
            append(folder, "weather", [at | air])
            append(folder, "track", [at | {"track temp (F)": track}])
            append(folder, "timeslips", [at | slip | times])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("first-hour") / "my-season"
    stages.new(place)
    garage = (place / "garage.toml").read_text(encoding="utf-8")
    for commented, taken in MENDED_GARAGE:
        assert commented in garage
        garage = garage.replace(commented, taken)
    (place / "garage.toml").write_text(garage, encoding="utf-8")
    fill(place)
    return place


def test_the_blank_sheets_and_the_workbook_are_understood_whole(tmp_path: Path) -> None:
    stages.new(tmp_path / "blank")
    with duckdb.connect() as con:
        ingest_logbook(con, Logbook.open(tmp_path / "blank"))
        unused = con.execute('select * from sheet_columns where "column" is null').fetchall()
        kinds = {row[0] for row in con.execute("select kind from sheet_counts").fetchall()}
    assert unused == []
    assert kinds == {sheet.name for sheet in SHEETS}


def test_the_slip_of_the_pen_is_found_and_answered(folder: Path) -> None:
    space = Workspace.of(folder, store=None, out=None)
    listed = stages.questions(space)
    assert listed.needs_answer == 1
    with (folder / "questions.csv").open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert [row["column"] for row in rows] == ["t60_s"]
    with (folder / "questions.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows({**row, "answer": "accept"} for row in rows)
    assert stages.questions(space).needs_answer == 0


def test_the_season_review_follows(folder: Path) -> None:
    outcome = stages.season(Workspace.of(folder, store=None, out=None), car=None)
    assert outcome.files[0].is_file()
    assert outcome.document["runs"]["used"]["t60"] >= RUNS - 1


def test_readme_tells_every_step() -> None:
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    steps = re.findall(r"^\d\. .*?(?=^\d\. |^## )", readme, re.MULTILINE | re.DOTALL)
    assert len(steps) == 5
    for word, step in zip(("new", "garage.toml", "Type", "questions", "season"), steps, strict=True):
        assert word in step


def test_an_empty_folder_and_blank_sheets_are_told_what_to_do_next(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    stages.new(tmp_path / "blank")
    for name in ("empty", "blank"):
        told = stages.ingest(Workspace.of(tmp_path / name, store=None, out=None))
        assert told.text.endswith(NOTHING_YET)
