"""Two cars in one logbook: the pages of one never stand where those of the other stood."""

import shutil
from pathlib import Path

import pytest

from pipeline import stages
from pipeline.workspace import Outcome, Workspace

DEMO = Path(__file__).parents[1] / "sample_timeslips" / "logbook"
CARS = ("Marigold/One", "../Marigold <Two>")
SECOND = "".join(f'\n[[car]]\nname = "{car}"\nclutch = "six-screw"\n' for car in CARS)


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
