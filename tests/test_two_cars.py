"""Two cars in one logbook: the pages of one never stand where those of the other stood."""

import shutil
from pathlib import Path

import polars as pl
import pytest

from pipeline import stages
from pipeline.store.database import read_store
from pipeline.workspace import Outcome, Workspace

DEMO = Path(__file__).parents[1] / "sample_timeslips" / "logbook"
CARS = ("Marigold/One", "../Marigold <Two>")
SECOND = "".join(
    f'\n[[car]]\nname = "{car}"\nalso = ["car {at}"]\nclutch = "eight-screw"\n'
    for at, car in enumerate(CARS, 1)
)


@pytest.fixture(scope="module")
def space(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    logbook = tmp_path_factory.mktemp("two") / "logbook"
    shutil.copytree(
        DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*", "questions.csv", "*.xlsx")
    )
    garage = logbook / "garage.toml"
    garage.write_text(garage.read_text(encoding="utf-8") + SECOND, encoding="utf-8")
    for path, car in zip(sorted(logbook.glob("slips*.csv")), CARS, strict=True):
        path.write_text(path.read_text(encoding="utf-8").replace("Marigold", car), encoding="utf-8")
    return Workspace.of(logbook, store=None, out=None)


def pages(space: Workspace, car: str) -> list[Outcome]:
    return [
        stages.season(space, car=car),
        stages.clutch(space, turns="3", counterweight="6", rpm="6200", car=car),
    ]


def test_every_page_of_both_cars_is_kept(space: Workspace) -> None:
    first, second = ([path for outcome in pages(space, car) for path in outcome.files] for car in CARS)
    assert set(first) & set(second) == set()
    assert {path.name for path in first} >= {
        "season_marigold-one.html",
        "season_marigold-one.json",
        "clutch_marigold-one.json",
    }
    assert {path.name for path in second} >= {"season_marigold-two.html", "clutch_marigold-two.json"}
    for car, files in zip(CARS, (first, second), strict=True):
        for path in files:
            assert path.parent == space.out
            assert car.partition("<")[0] in path.read_text(encoding="utf-8")


def test_the_slips_of_each_car_are_counted_apart(space: Workspace) -> None:
    counts = [stages.ingest(space, car=car).document["slips"] for car in CARS]
    for car, found in zip(CARS, counts, strict=True):
        spelled = f"Car {CARS.index(car) + 1}"  # as garage.toml has it under also
        assert f"Slips of {car}: {found['read']} read" in stages.ingest(space, car=spelled).text
        assert found["read"] == sum(count for fate, count in found.items() if fate != "read") > 50
    assert counts[0] != counts[1]
    with read_store(space.store) as con:
        slips = con.execute("select count(*) from typed_timeslips").fetchall()[0]
        rest = con.execute(
            "select count(*) from typed_timeslips where car not in ?", [list(CARS)]
        ).fetchall()[0]
    assert slips is not None
    assert rest is not None
    assert sum(found["read"] for found in counts) == slips[0] - rest[0]


def test_questions_are_listed_for_one_car_and_kept_for_both(space: Workspace, tmp_path: Path) -> None:
    every = stages.questions(space)
    answers = every.files[0].read_text(encoding="utf-8")
    for car, other in (CARS, CARS[::-1]):
        own = stages.questions(space, car=car, list_in=tmp_path / car[-4:-1])
        assert 0 < own.needs_answer < every.needs_answer
        asked = {(row["file"], row["row"]) for row in own.document["questions"]}
        with read_store(space.store) as con:
            slips = con.execute('select file, "row" from typed_timeslips where car = ?', [other]).fetchall()
        assert not asked & set(slips)
        assert "weather.csv" in {file for file, _ in asked}
        assert own.files[0].read_text(encoding="utf-8") == answers
        assert own.files[1].read_text(encoding="utf-8").strip() in own.text


def test_an_export_of_one_car_stands_in_its_own_folder(space: Workspace) -> None:
    for car, folder in zip(CARS, ("marigold-one", "marigold-two"), strict=True):
        files = {path.name: path for path in stages.export(space, "parquet", car=car).files}
        assert files["runs.parquet"].parent == space.out / "exports" / folder
        assert set(pl.read_parquet(files["runs.parquet"])["car"]) == {car}
        assert set(pl.read_parquet(files["effects.parquet"])["car"]) == {car}
        assert pl.read_parquet(files["weather.parquet"]).height > 0
