"""Conditions not read: filled in from what goes with them, with an honest word on how far off that may be."""

import numpy as np
import polars as pl
import pytest

from pipeline.season.build_spec import factors_of
from pipeline.season.filling import filled_in
from pipeline.season.response_fit import fit_response
from pipeline.season.season_change import first_and_last_third
from tests.season.seasons import FACTS, season

FACTORS = factors_of(FACTS, "t60")


def without_air(runs: pl.DataFrame, events: tuple[str, ...]) -> pl.DataFrame:
    gone = pl.when(pl.col("event").is_in(events)).then(None).otherwise(pl.col("air_density_kg_per_m3"))
    return runs.with_columns(air_density_kg_per_m3=gone)


def test_what_is_known_stays_and_the_miss_is_as_large_as_said():
    scores = []
    for seed in range(12):
        runs = season(seed, runs=60, events=6)
        after, (air,) = filled_in(without_air(runs, ("Event 02", "Event 05")), FACTORS)
        gone = runs["event"].is_in(["Event 02", "Event 05"]).to_numpy()
        miss = (after["air_density_kg_per_m3"] - runs["air_density_kg_per_m3"]).to_numpy()
        assert air.count == gone.sum()
        assert not miss[~gone].any()
        assert not air.shared[~gone].any()
        scores.append((miss / np.hypot(air.shared, air.own).clip(1e-9))[gone][0])
    assert 0.3 < np.std(scores) < 1.6


def test_complete_runs_are_given_back_as_they_were():
    runs = season(1, runs=40, events=4)
    after, filled = filled_in(runs, FACTORS)
    assert filled == ()
    assert after.equals(runs)


@pytest.mark.parametrize("name", ["air_density_kg_per_m3", "track_temp_degf"])
def test_too_few_readings_are_no_ground_to_fill_from(name):
    runs = season(1, runs=40, events=4)
    few = runs.with_columns(pl.when(pl.col("run_id") <= 3).then(pl.col(name)).otherwise(None).alias(name))
    assert filled_in(few, FACTORS)[1] == ()


def test_a_part_of_the_season_counts_what_was_filled_in():
    runs = season(3, runs=120, events=10)
    parts = []
    for events in ((), tuple(f"Event {e:02d}" for e in (1, 2, 3, 8, 9, 10))):
        fit = fit_response(without_air(runs, events), FACTS)
        change = first_and_last_third(fit)
        found = {part.factor: part for part in change.parts}
        total = sum(part.seconds for part in change.parts) + change.unexplained_s
        assert change.total_s == pytest.approx(total, abs=1e-12)
        parts.append(found["air_density"].high_s - found["air_density"].low_s)
    assert parts[1] > parts[0]
