"""The fleet's speed as ratios within one run: to a statsmodels loop, to reading the same CSV, by size.

The long forms (20,000 cars; ten million runs) take minutes and about 1.5 GB of disk.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
import warnings
from pathlib import Path
from typing import Any

import duckdb
import numpy as np
import polars as pl
import pytest
import statsmodels.api as sm

from pipeline.fleet.engine import KnownCars, OneMachine
from pipeline.fleet.model import sum_fleet
from pipeline.fleet.read import load_table
from tests.fleet.fleets import fleet

LOOP_SHARE = 1 / 20
"""Robust sums of all cars, at most this share of fitting them one by one with statsmodels' RLM."""

SMALL_LOOP_SHARE = 1 / 8
"""The same for two thousand cars, where planning the queries weighs more than the runs."""

MOST_SCANS = 12.0
"""Rows read by all queries of the sums, over the fleet's rows: scans of its columns."""

MOST_READS = 8.0
"""CSV to pooled estimates of ten million runs, in reads of that CSV into a typed table in memory."""

MOST_MB = 1500.0
MOST_EXPONENT = 1.10
LOOPED_CARS = 200
ONE_SCAN = """
select car_no, event_key, sum(seconds), sum(preload_turns), sum(counterweight_g), sum(launch_rpm),
    sum(track_temp_degf), sum(air_density_kg_per_m3)
from fleet_runs group by car_no, event_key
"""
ONE_READ = """
create table typed as
select * from read_csv($path, header = true, columns = {
    'car': 'varchar', 'clutch_type': 'varchar', 'run_at': 'timestamp', 'event': 'varchar', 'lane': 'varchar',
    'reaction_s': 'double', 't60_s': 'double', 't330_s': 'double', 't660_s': 'double', 'v660_mph': 'double',
    't1000_s': 'double', 't1320_s': 'double', 'v1320_mph': 'double', 'launch_rpm': 'double',
    'preload_turns': 'double', 'counterweight_g': 'double', 'tire_pressure_psi': 'double',
    'track_temp_degf': 'double', 'air_temp_degf': 'double', 'station_pressure_inhg': 'double',
    'humidity_pct': 'double', 'air_density_kg_per_m3': 'double'})
"""
SCRIPT = Path(__file__).with_name("fleet_end_to_end.py")


def robust_loop_s(runs: pl.DataFrame, cars: int) -> float:
    """Processor seconds a car for a robust regression with event dummies, one car after another."""
    parts = runs.head(cars * 100).partition_by("car", maintain_order=True)
    columns = ["preload_turns", "counterweight_g", "launch_rpm", "track_temp_degf", "air_density_kg_per_m3"]
    start = time.process_time()
    for part in parts:
        x = part.select(columns).to_numpy()
        x = (x - x.mean(0)) / np.array([1.0, 1.0, 100.0, 10.0, 0.012])
        event = part["event"].cast(pl.Int64).to_numpy()
        dummies = (event[:, None] == np.unique(event)).astype(float)
        design = np.column_stack([x, x[:, 2] ** 2, x[:, 2] * x[:, 3], dummies])
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            sm.RLM(part["t60_s"].to_numpy(), design, M=sm.robust.norms.TukeyBiweight()).fit()
    return (time.process_time() - start) / len(parts)


class Counted:
    """A connection that adds up the rows its queries read from tables, by DuckDB's own profile."""

    def __init__(self, con: duckdb.DuckDBPyConnection, profile: Path) -> None:
        self._con, self._profile = con, profile
        self.rows = 0
        con.execute("set enable_profiling = 'json'")
        con.execute(f"set profiling_output = '{profile}'")

    def execute(self, *arguments: Any) -> duckdb.DuckDBPyConnection:
        self.count()
        return self._con.execute(*arguments)

    def count(self) -> None:
        """Add what the query before has read, now that it is done."""
        if self._profile.is_file():
            profile = json.loads(self._profile.read_text())
            self.rows += int(profile.get("cumulative_rows_scanned", 0))
            self._profile.unlink()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._con, name)


def robust_sums(tmp_path: Path, cars: int, rate_of: int) -> dict[str, float]:
    """Load a fleet of so many cars with a hundred runs each; time its sums and count what they read.

    Times are of the processor, all threads counted, so that other work on the machine does not decide.
    """
    runs = fleet(61, cars).runs
    path = tmp_path / "runs.parquet"
    runs.write_parquet(path)
    with duckdb.connect() as con:
        load_table(con, path)
        trials = []
        for _ in range(2):
            start = time.process_time()
            (sums,) = sum_fleet(OneMachine(con), KnownCars.of(OneMachine(con))).values()
            trials.append(time.process_time() - start)
        seconds = min(trials)
        counted = Counted(con, tmp_path / "profile.json")
        engine = OneMachine(counted)  # type: ignore[arg-type]
        sum_fleet(engine, KnownCars.of(engine))
        counted.count()
        start = time.process_time()
        con.execute(ONE_SCAN).fetchnumpy()
        scan = time.process_time() - start
    assert sums.runs.sum() == runs.height
    loop = robust_loop_s(runs, rate_of) * cars
    return {
        "sums_s": seconds,
        "loop_s": loop,
        "share": seconds / loop,
        "scans": counted.rows / runs.height,
        "time_of_scans": seconds / scan,
    }


def test_robust_sums_of_two_thousand_cars_beat_a_loop(tmp_path: Path) -> None:
    found = robust_sums(tmp_path, 2_000, 40)
    assert found["share"] <= SMALL_LOOP_SHARE, found
    assert found["scans"] <= MOST_SCANS, found


@pytest.mark.long
def test_robust_sums_of_twenty_thousand_cars_beat_a_loop(tmp_path: Path) -> None:
    found = robust_sums(tmp_path, 20_000, LOOPED_CARS)
    assert found["share"] <= LOOP_SHARE, found
    assert found["scans"] <= MOST_SCANS, found


def whole_slips(runs: pl.DataFrame) -> pl.DataFrame:
    """Add what else stands on a timeslip and in the weather log: a fleet's table is made of whole runs."""
    number = pl.int_range(pl.len())
    t60 = pl.col("t60_s")
    return runs.select(
        "car",
        pl.lit("ten-spring single disc").alias("clutch_type"),
        (pl.datetime(2031, 4, 5, 10) + pl.duration(minutes=number % 500_000)).alias("run_at"),
        "event",
        pl.when(number % 2 == 0).then(pl.lit("left")).otherwise(pl.lit("right")).alias("lane"),
        (0.02 + (number % 97) / 1000).round(3).alias("reaction_s"),
        "t60_s",
        (t60 * 2.8).round(3).alias("t330_s"),
        (t60 * 4.3).round(3).alias("t660_s"),
        (160 - t60 * 20).round(2).alias("v660_mph"),
        (t60 * 5.6).round(3).alias("t1000_s"),
        (t60 * 6.7).round(3).alias("t1320_s"),
        (200 - t60 * 25).round(2).alias("v1320_mph"),
        "launch_rpm",
        "preload_turns",
        "counterweight_g",
        (10 + (number % 9) / 4).alias("tire_pressure_psi"),
        "track_temp_degf",
        (60 + (number % 350) / 10).round(1).alias("air_temp_degf"),
        (29 + (number % 130) / 100).round(2).alias("station_pressure_inhg"),
        (30 + number % 61).alias("humidity_pct"),
        "air_density_kg_per_m3",
    )


def write_csv(path: Path, runs: int) -> Path:
    """A fleet with a hundred runs a car, written five thousand cars at a time."""
    with path.open("wb") as file:
        for number, start in enumerate(range(0, runs // 100, 5_000)):
            cars = min(5_000, runs // 100 - start)
            part = whole_slips(fleet(70 + number, cars, prefix=f"car {number}").runs)
            part.write_csv(file, include_header=number == 0, datetime_format="%Y-%m-%d %H:%M")
    return path


def typed_read_s(path: Path) -> float:
    """Seconds to read the CSV into a typed table in memory."""
    with duckdb.connect() as con:
        start = time.perf_counter()
        con.execute(ONE_READ, {"path": str(path)})
        return time.perf_counter() - start


def end_to_end(path: Path) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, str(SCRIPT), str(path)], check=True, capture_output=True, text=True
    )
    found: dict[str, float] = json.loads(done.stdout)
    return found


def test_time_grows_with_the_runs_and_no_faster(tmp_path: Path) -> None:
    """Bounded: 30,000 to 240,000 runs, so that fixed costs do not hide a worse law than they could."""
    small, large = (end_to_end(write_csv(tmp_path / f"{runs}.csv", runs)) for runs in (30_000, 240_000))
    assert (small["runs"], large["runs"]) == (30_000, 240_000)
    exponent = np.log(large["seconds"] / small["seconds"]) / np.log(8)
    assert exponent <= MOST_EXPONENT, (small, large)
    assert large["peak_mb"] <= MOST_MB


@pytest.mark.long
def test_ten_million_runs_end_to_end(tmp_path: Path) -> None:
    found = {}
    for runs in (100_000, 10_000_000):
        path = write_csv(tmp_path / f"{runs}.csv", runs)
        found[runs] = {"typed_read_s": typed_read_s(path), **end_to_end(path)}
        path.unlink()
    small, large = found[100_000], found[10_000_000]
    assert large["runs"] == 10_000_000
    assert large["seconds"] <= MOST_READS * large["typed_read_s"], found
    assert large["peak_mb"] <= MOST_MB, found
    assert np.log(large["seconds"] / small["seconds"]) / np.log(100) <= MOST_EXPONENT, found
