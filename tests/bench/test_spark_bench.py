"""Two workers against one, and what the asking process holds while ten million runs are summed up.

Takes about an hour on two busy cores, 2 GB of disk and 7 GB of memory.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.fleet.fleets import fleet

pytestmark = [pytest.mark.bench, pytest.mark.spark, pytest.mark.long]

LEAST_GAIN = 1.6
"""Throughput of two workers over one, of one core each."""

FLAT = 1.10
"""Most that this process and its Java may grow from one to ten million runs of the same number of cars."""

SHARDS = 40


def write_fleet(folder: Path, *, cars: int, runs: int) -> Path:
    """Shards of so many cars, so many runs each."""
    folder.mkdir()
    for number in range(SHARDS):
        part = fleet(170 + number, cars // SHARDS, runs=runs, prefix=f"car {number}").runs
        part.write_parquet(folder / f"shard-{number:02}.parquet")
    return folder


def summed(folder: Path, warming: Path, workers: int) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.spark_sums", str(folder), str(warming), str(workers)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    found: dict[str, float] = json.loads(done.stdout)
    return found


def test_two_workers_sum_up_ten_million_runs_faster_and_memory_is_flat(tmp_path: Path) -> None:
    one_million = write_fleet(tmp_path / "one", cars=10_000, runs=100)
    ten_million = write_fleet(tmp_path / "ten", cars=10_000, runs=1_000)
    alone, both = (summed(ten_million, one_million, workers) for workers in (1, 2))
    small = summed(one_million, one_million, 2)
    assert (small["runs"], both["runs"]) == (1_000_000, 10_000_000)
    assert alone["seconds"] / both["seconds"] >= LEAST_GAIN, (alone, both)
    for held in ("python_mb", "java_mb"):
        assert both[held] <= FLAT * small[held], (small, both)
