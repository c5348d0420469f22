"""The fleet command end to end: folders of sheets in; a pooled page, one car's season, shared sums out."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from pipeline import stages
from pipeline.errors import RequestError, SlipledgerError
from pipeline.store.database import read_store
from pipeline.workspace import Outcome
from tests.ingest.logbooks import GARAGE, write

CARS = ("Marigold", "Thistle", "Quillon", "Harebell", "Sorrel", "Bramble")
PER_TURN_S = -0.008


def logbook(folder: Path, car: str, seed: int, runs: int = 45) -> None:
    """One car's season, with an effect of preload that all cars have and a level of its own."""
    rng = np.random.default_rng(seed)
    level = 1.40 + 0.02 * seed
    lines = ["date,time,car,venue,event,round,lane,60 ft,330 ft,660 ft,launch rpm,preload,track temp"]
    for run in range(runs):
        turns, rpm, track = rng.choice([3.0, 3.5, 4.0, 4.5]), rng.choice([6200, 6400, 6600]), 80 + run % 9
        short = level + PER_TURN_S * (turns - 3.75) + rng.normal(0, 0.006)
        long, half = 2.59 + short + rng.normal(0, 0.008), 4.79 + short + rng.normal(0, 0.01)
        lines.append(
            f"2031-{4 + run // 15:02}-12,{9 + run % 15 // 2:02}:{run % 2 * 30:02},{car},Cinder Flats,"
            f"Meet {run // 15},T{run % 15 + 1},left,{short:.3f},{long:.3f},{half:.3f},{rpm},{turns},{track}"
        )
    garage = GARAGE.replace("Marigold", car).replace("the yellow car", f"{car} again")
    write(folder / car.lower(), {"garage.toml": garage, "slips.csv": "\n".join(lines) + "\n"})


def pooled(folder: Path, out: Path, **asked: object) -> Outcome:
    choices: dict[str, object] = {"car": None, "share_out": None, "share_in": (), **asked}
    return stages.fleet(folder, store=out / "fleet.duckdb", out=out, progress=None, **choices)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("fleet") / "customers"
    for seed, car in enumerate(CARS):
        logbook(folder, car, seed)
    write(
        folder / "unreadable", {"garage.toml": "[[car]\nname = ", "slips.csv": "date,60 ft\n2031-04-12,1.4\n"}
    )
    write(folder / "photographs", {"notes.txt": "no sheets here"})
    return folder


def test_cars_are_pooled_and_what_is_unreadable_is_named(folder: Path, tmp_path: Path) -> None:
    found = pooled(folder, tmp_path)
    fleet = found.document["fleet"]
    assert sum(group["cars"] for group in fleet["groups"]) == len(CARS)
    assert any(text.startswith("unreadable is left out: ") for text in fleet["sentences"])
    assert not any("photographs" in text for text in fleet["sentences"])
    (preload,) = (one for one in fleet["effects"] if one["adjustment"] == "preload")
    assert preload["low_s"] < PER_TURN_S < preload["high_s"] < 0
    assert [path.name for path in found.files] == ["fleet.html", "fleet.json"]
    with read_store(tmp_path / "fleet.duckdb") as con:
        assert con.execute("select count(*) from fleet_effects").fetchall()[0] == (len(fleet["effects"]),)


def test_one_car_borrows_from_the_others_but_not_from_itself(folder: Path, tmp_path: Path) -> None:
    with_newcomer = Path(shutil.copytree(folder, tmp_path / "customers"))
    logbook(with_newcomer, "Newcomer", 9, runs=18)
    found = pooled(with_newcomer, tmp_path, car="newcomer")
    (preload,) = (one for one in found.document["car_effects"] if one["adjustment"] == "preload")
    assert abs(preload["pooled_s"] - PER_TURN_S) < 0.004
    assert preload["pooled_high_s"] - preload["pooled_low_s"] < preload["own_high_s"] - preload["own_low_s"]
    page = next(path for path in found.files if path.name.startswith("pooled-newcomer"))
    assert "borrow strength from" in page.read_text(encoding="utf-8")


def test_a_car_that_is_not_there_is_answered_with_those_that_are(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(RequestError, match=r"no car 'Nettle' in this fleet.*Marigold"):
        pooled(folder, tmp_path, car="Nettle")


def test_sums_of_one_shop_are_pooled_by_another(folder: Path, tmp_path: Path) -> None:
    share = tmp_path / "sums.json"
    told = pooled(folder, tmp_path, share_out=share)
    assert f"{share}: sums of" in told.text
    assert not any(car in share.read_text(encoding="utf-8") for car in CARS)
    other = tmp_path / "other"
    for seed, car in enumerate(("Yarrow", "Teasel", "Comfrey"), start=20):
        logbook(other, car, seed)
    alone, together = pooled(other, tmp_path / "a"), pooled(other, tmp_path / "b", share_in=(share,))
    cars = [sum(group["cars"] for group in one.document["fleet"]["groups"]) for one in (alone, together)]
    assert cars[0] == 3
    assert cars[1] >= 3 + len(CARS)
    assert "pooled in." in together.text


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda root: root / "nowhere", "no folder of logbooks, nor a table"),
        (lambda root: write(root / "empty", {"a/notes.txt": "nothing"}), "is a logbook"),
        (lambda root: write(root / "one", {"garage.toml": "", "reports/a.csv": "x"}), "is one logbook"),
    ],
)
def test_nothing_to_pool_is_a_sentence(make, said: str, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(SlipledgerError, match=said):
        pooled(make(tmp_path), tmp_path / "out")


def test_a_share_of_another_time_is_refused(folder: Path, tmp_path: Path) -> None:
    share = tmp_path / "sums.json"
    pooled(folder, tmp_path, share_out=share)
    share.write_text(share.read_text(encoding="utf-8").replace('"t60"', '"t330"'), encoding="utf-8")
    with pytest.raises(SlipledgerError, match="t330"):
        pooled(folder, tmp_path, share_in=(share,))
