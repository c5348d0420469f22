"""Spark for tests: a cluster of two workers on this machine, each a process of its own."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import polars as pl
from pyspark.sql import SparkSession

from pipeline.fleet import spark_session as sessions

LIGHT = "-XX:TieredStopAtLevel=1 -XX:+UseSerialGC"
"""Processes that live for seconds gain nothing from a compiler that takes its time."""

SETTINGS = {
    "spark.driver.host": "127.0.0.1",
    "spark.driver.bindAddress": "127.0.0.1",
    "spark.driver.extraJavaOptions": LIGHT,
    "spark.executor.extraJavaOptions": LIGHT,
    "spark.executor.memory": "1024m",
    "spark.default.parallelism": "2",
    "spark.sql.codegen.wholeStage": "false",
    "spark.sql.codegen.factoryMode": "NO_CODEGEN",
}


@contextmanager
def two_workers(folder: Path, **settings: str) -> Iterator[SparkSession]:
    """Start a cluster with two workers of one core each."""
    before = dict(sessions.AT_START)
    os.environ["SPARK_WORKER_DIR"], os.environ["PYSPARK_PYTHON"] = str(folder), sys.executable
    sessions.AT_START.update(SETTINGS)
    try:
        with sessions.spark_session("local-cluster[2,1,1024]") as session:
            yield session
    finally:
        sessions.AT_START.clear()
        sessions.AT_START.update(before)
        del os.environ["SPARK_WORKER_DIR"], os.environ["PYSPARK_PYTHON"]


def workers() -> list[int]:
    """Process numbers of the workers that this process's Spark started."""
    context = SparkSession.getActiveSession().sparkContext  # type: ignore[union-attr]
    mine = f"--app-id\0{context.applicationId}\0".encode()
    found = []
    for place in Path("/proc").iterdir():
        if place.name.isdigit():
            try:
                line = (place / "cmdline").read_bytes()
            except OSError:
                continue
            if mine in line:
                found.append(int(place.name))
    return sorted(found)


def kill_a_worker() -> int:
    """End one worker at once, as a machine that fails does."""
    pid = workers()[0]
    os.kill(pid, signal.SIGKILL)
    return pid


def write_shards(folder: Path, runs: pl.DataFrame, shards: int) -> Path:
    """Write runs as so many files, cut through the cars."""
    folder.mkdir(parents=True, exist_ok=True)
    part = pl.int_range(pl.len()) % shards
    for number, rows in enumerate(runs.with_columns(part=part).partition_by("part", maintain_order=True)):
        rows.drop("part").write_parquet(folder / f"shard-{number}.parquet")
    return folder
