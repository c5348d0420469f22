"""The fleet summed up by Spark, for real: two worker processes, shards that fail, workers that die."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
import pyarrow as pa
import pytest
from pyspark import TaskContext
from pyspark.sql.classic.dataframe import DataFrame

from pipeline.cli import main
from pipeline.errors import RequestError, SheetError, SlipledgerError, ThinData
from pipeline.fleet import shard_pooling, spark_engine
from pipeline.fleet.pooling import Fleet, pool_fleet
from pipeline.fleet.shard_pooling import pool_shards
from pipeline.fleet.shards import Shards
from tests.fleet.fleets import fleet
from tests.fleet.spark_cluster import kill_a_worker, two_workers, workers, write_shards

pytestmark = pytest.mark.spark

SAME = 1e-9
"""Relative, with a ten-millionth of a thousandth of a second for estimates next to nothing."""

NEXT_TO_NOTHING_S = 1e-10


@pytest.fixture(scope="module", autouse=True)
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with two_workers(tmp_path_factory.mktemp("workers")):
        yield


def told(_what: str, _share: float) -> None:
    """Nobody listens."""


def on_spark(source: Path | str, **asked: Any) -> Fleet:
    choices = {"master": None, "share_out": None, "share_in": (), "progress": told, **asked}
    return pool_shards(str(source), **choices)


def on_one_machine(runs: pl.DataFrame, folder: Path) -> Fleet:
    path = folder / "whole.parquet"
    runs.write_parquet(path)
    return pool_fleet(path, share_out=None, share_in=(), progress=told)


def assert_same(ours: Fleet, theirs: Fleet) -> None:
    assert len(ours.models) == len(theirs.models)
    for one, other in zip(ours.models, theirs.models, strict=True):
        assert one.clutch_type == other.clutch_type
        assert one.sums.car.tolist() == other.sums.car.tolist()
        assert one.sums.lam.tolist() == other.sums.lam.tolist()
        for name in ("mean", "low", "high"):
            found, expected = getattr(other.pooled, name), getattr(one.pooled, name)
            assert found == pytest.approx(expected, rel=SAME, abs=NEXT_TO_NOTHING_S), name
        assert other.prior.mean == pytest.approx(one.prior.mean, rel=SAME, abs=NEXT_TO_NOTHING_S)
    assert ours.fit.typing_trouble == theirs.fit.typing_trouble
    assert ours.fit.service_due == theirs.fit.service_due


def test_two_thousand_cars_are_pooled_as_on_one_machine(tmp_path: Path) -> None:
    """Two kinds of clutch, bad cells, a clutch due, and one car with a fifth of all the runs."""
    runs = fleet(81, 2_000, runs=12, events=3, ruined=0.03).runs
    skewed = fleet(82, 1, runs=6_000, events=300, prefix="busy").runs
    number = pl.int_range(pl.len())
    runs = pl.concat([runs, skewed]).with_columns(
        clutch_type=pl.when(pl.col("car").str.ends_with("7"))
        .then(pl.lit("twin"))
        .otherwise(pl.lit("single")),
        run_date=pl.lit("2031-05-01"),
        use_t60=number % 17 != 3,
        wear_in=pl.when(pl.col("car") == "car 000002").then(0.018).otherwise(0.004),
        service_growth_in=pl.lit(0.020),
        launch_rpm=pl.when(number % 19 != 5).then(pl.col("launch_rpm")),
        t60_s=pl.when((pl.col("car") == "car 000003") & (number % 2 == 0)).then(1482.0).otherwise("t60_s"),
    )
    ours = on_one_machine(runs, tmp_path)
    theirs = on_spark(write_shards(tmp_path / "shards", runs, 5))
    assert [model.clutch_type for model in ours.models] == ["single", "twin"]
    assert len(ours.fit.typing_trouble) == len(ours.fit.service_due) == 1
    assert_same(ours, theirs)
    assert theirs.left_out == ()


def test_a_worker_killed_in_the_middle_changes_no_number(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shards = write_shards(tmp_path / "shards", fleet(83, 12, runs=30).runs, 3)
    calm = on_spark(shards)
    killed: list[int] = []
    answer = spark_engine.SparkEngine.columns

    def columns(self: spark_engine.SparkEngine, name: str, **values: float | None) -> Any:
        found = answer(self, name, **values)
        if name == "car_sums" and not killed:
            killed.append(kill_a_worker())
        return found

    monkeypatch.setattr(spark_engine.SparkEngine, "columns", columns)
    after = on_spark(shards)
    assert len(killed) == 1
    assert killed[0] not in workers()
    for one, other in zip(calm.models, after.models, strict=True):
        for name in ("mean", "low", "high", "odd"):
            assert getattr(one.pooled, name).tolist() == getattr(other.pooled, name).tolist(), name


@pytest.mark.filterwarnings("ignore:PySpark does not yet fully support pandas:FutureWarning")
def test_a_task_that_fails_is_done_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    runs = fleet(84, 6, runs=20).runs
    read = shard_pooling.read_shards

    def failing_once(batches: Iterator[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
        context = TaskContext.get()
        if context is not None and context.attemptNumber() == 0 and context.partitionId() == 0:
            raise OSError("the disk of this worker is gone")
        yield from batches

    def reading(*asked: Any) -> Shards:
        found = read(*asked)
        frame: DataFrame = found.frame.mapInArrow(failing_once, found.frame.schema)
        return Shards(frame, found.runs, found.files, found.left_out, found.copies)

    monkeypatch.setattr(shard_pooling, "read_shards", reading)
    assert_same(on_one_machine(runs, tmp_path), on_spark(write_shards(tmp_path / "shards", runs, 2)))


def spoiled(folder: Path) -> None:
    """Spoil a folder of shards in every way: cut short, bits turned, empty, another's headings, copied."""
    whole = (folder / "shard-0.parquet").read_bytes()
    (folder / "cut short.parquet").write_bytes(whole[: len(whole) // 2])
    turned = bytes(byte ^ 90 if 100 < at < len(whole) // 2 else byte for at, byte in enumerate(whole))
    (folder / "turned.parquet").write_bytes(turned)
    (folder / "nothing.parquet").write_bytes(b"")
    pl.read_parquet(folder / "shard-1.parquet").drop("event").write_parquet(folder / "no event [1].parquet")
    shutil.copy(folder / "shard-1.parquet", folder / "shard-1 copy.parquet")


def test_what_cannot_be_used_is_named_and_the_rest_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    runs = fleet(85, 6, runs=20).runs
    shards = write_shards(tmp_path / "shards", runs, 2)
    ours = on_one_machine(runs, tmp_path)
    spoiled(shards)
    whole = pl.read_parquet(shards / "shard-0.parquet").with_columns(pl.col("launch_rpm").cast(pl.Int64))
    whole.write_parquet(shards / "shard-0.parquet")
    with pytest.raises(SystemExit) as end:
        main(["fleet", str(shards), "--engine", "spark", "--json", "--out", str(tmp_path / "out")])
    shown = capsys.readouterr()
    assert end.value.code == 1, shown.err
    found = json.loads(shown.out)["fleet"]
    said = " ".join(found["sentences"])
    for name in ("cut short", "turned", "nothing"):
        assert f"{name}.parquet cannot be read (it is empty, cut short, damaged or no Parquet file)" in said
    assert "no event [1].parquet has no column event; it is left out." in said
    assert "shard-1.parquet holds the same runs as shard-1 copy.parquet; they count once." in said
    (group,) = found["groups"]
    assert group["runs"] == ours.fit.groups[0].runs
    page = (tmp_path / "out" / "fleet.html").read_text(encoding="utf-8")
    assert "no event [1].parquet has no column event" in page
    means = [effect["mean_s"] for effect in found["effects"]]
    assert means == pytest.approx([effect.mean_s for effect in ours.fit.effects], rel=SAME)


def test_no_more_than_sums_comes_to_this_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows: list[int] = []
    arrow = DataFrame.toArrow

    def counted(self: DataFrame) -> pa.Table:
        found = arrow(self)
        rows.append(found.num_rows)
        return found

    monkeypatch.setattr(DataFrame, "toArrow", counted)
    for way in ("collect", "toPandas", "toLocalIterator", "take"):
        monkeypatch.delattr(DataFrame, way)
    cars = 4
    on_spark(write_shards(tmp_path / "shards", fleet(86, cars, runs=60).runs, 2))
    assert rows
    assert max(rows) <= cars * 4


def headings_alone(folder: Path) -> Path:
    return write_shards(folder, fleet(87, 3, runs=8).runs.drop("t60_s", "launch_rpm"), 2)


def no_shard(folder: Path) -> Path:
    folder.mkdir()
    (folder / "notes.txt").write_text("nothing here", encoding="utf-8")
    return folder


def no_parquet(folder: Path) -> Path:
    folder.mkdir()
    (folder / "photo.parquet").write_bytes(b"no parquet at all")
    return folder


def no_usable_time(folder: Path) -> Path:
    return write_shards(folder, fleet(88, 3, runs=8).runs.with_columns(t60_s=pl.lit(1482.0)), 1)


@pytest.mark.parametrize(
    ("make", "kind", "said"),
    [
        (headings_alone, RequestError, r"has no column t60_s, launch_rpm, nor any other of the 2 there\."),
        (no_shard, RequestError, r"no Parquet file of runs"),
        (no_parquet, SheetError, r"photo\.parquet cannot be read"),
        (no_usable_time, ThinData, r"No run of .* can be used"),
        (lambda folder: folder / "nowhere", RequestError, r"cannot be looked through"),
        (lambda _: "nohow://bucket/runs", RequestError, r"nohow://bucket/runs cannot be looked through"),
    ],
)
def test_what_cannot_be_pooled_is_a_sentence(
    make: Any, kind: type[SlipledgerError], said: str, tmp_path: Path
) -> None:
    with pytest.raises(kind, match=said) as failed:
        on_spark(make(tmp_path / "shards"))
    assert "\n" not in str(failed.value)
    assert "Exception" not in str(failed.value)


def test_beside_the_runs_of_an_export_its_other_tables_are_passed_over(tmp_path: Path) -> None:
    runs = fleet(89, 6, runs=20).runs
    for number, part in enumerate(runs.partition_by("event", maintain_order=True)):
        folder = tmp_path / "customers" / f"export {number}"
        folder.mkdir(parents=True)
        part.write_parquet(folder / "runs.parquet")
        part.write_parquet(folder / "timeslips.parquet")
        pl.DataFrame({"question_id": ["a"]}).write_parquet(folder / "questions.parquet")
    found = on_spark(tmp_path / "customers")
    assert found.fit.sentences == ()
    assert_same(on_one_machine(runs, tmp_path), found)


def test_sums_made_by_spark_are_shared_and_pooled_in(tmp_path: Path) -> None:
    runs, others = fleet(90, 5, runs=40).runs, fleet(91, 5, runs=40).runs
    share = tmp_path / "sums.json"
    on_spark(write_shards(tmp_path / "shards", runs, 2), share_out=share)
    path = tmp_path / "others.parquet"
    others.write_parquet(path)
    together = pool_fleet(path, share_out=None, share_in=(share,), progress=told)
    assert [group.cars for group in together.fit.groups] == [10]
    assert np.isfinite(together.models[0].pooled.mean).all()
