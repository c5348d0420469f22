"""Times on equal air: a planted effect of air is found, taken off, and foretold with an honest interval."""

from itertools import pairwise

import numpy as np
import polars as pl
import pytest

from pipeline.physics.correction import corrected_time
from pipeline.season.equal_air import LEAST_EVENTS, EqualAir, equal_air, section_slope
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS_WITHOUT_GEOMETRY, season

PLANTED = -0.030  # s of the section past 330 ft per 1 % more air
NEAR_S = 0.006


@pytest.fixture(scope="module")
def runs() -> pl.DataFrame:
    made = season(11, runs=80, events=8)
    rng = np.random.default_rng(2)
    level = made["event"].rank("dense").cast(pl.Float64).to_numpy() * 1.3 % 5 - 2.5  # spread airs widely
    density = 1.15 * np.exp((level + rng.normal(0, 0.1, made.height)) / 100)
    middle = float(np.median(density))
    air = 100 * np.log(density / middle)
    late = 3.0 + PLANTED * air + rng.normal(0, 0.01, made.height)
    return made.with_columns(
        air_density_kg_per_m3=pl.Series(density),
        density_altitude_ft=pl.Series(3000.0 - 300 * air),
        j1349_factor=pl.Series(1.02 - 0.011 * air),
        t660_s=made["t330_s"] + pl.Series(late),
    )


@pytest.fixture(scope="module")
def found(runs: pl.DataFrame) -> EqualAir:
    return equal_air(
        runs, {name: fit_response(runs, FACTS_WITHOUT_GEOMETRY, name) for name in ("t60", "t330")}
    )


def test_what_air_did_past_330_ft_is_found_and_lies_in_its_interval(found: EqualAir) -> None:
    by_split = {one.split: one for one in found.effects}
    assert set(by_split) == {"t60", "t330", "t660"}
    late, early = by_split["t660"], by_split["t330"]
    assert late.own_s - early.own_s == pytest.approx(PLANTED, abs=NEAR_S)
    assert late.low_s < late.own_s < late.high_s


def test_on_equal_air_events_differ_less_than_as_run(found: EqualAir) -> None:
    mine = [one for one in found.times if one.split == "t660"]
    assert np.std([one.own_s for one in mine]) < 0.5 * np.std([one.as_run_s for one in mine])


def test_the_published_correction_is_the_cube_root_of_the_factor(found: EqualAir, runs: pl.DataFrame) -> None:
    one = next(one for one in found.times if one.split == "t660")
    some = runs.filter((pl.col("event") == one.event) & (pl.col("outcome") == "clean"))
    middle = float(np.median(runs["j1349_factor"].to_numpy()))
    by_hand = np.median(corrected_time(some["t660_s"].to_numpy(), some["j1349_factor"].to_numpy() / middle))
    assert one.published_s == pytest.approx(by_hand, abs=1e-9)


def test_denser_air_is_foretold_quicker_and_most_passes_fall_inside(
    found: EqualAir, runs: pl.DataFrame
) -> None:
    told = found.dial_in
    assert [one.split for one in told] == ["t660"] * 5
    assert all(a.expected_s > b.expected_s for a, b in pairwise(told))
    air = 100 * np.log(runs["air_density_kg_per_m3"].to_numpy() / np.median(runs["air_density_kg_per_m3"]))
    low, high = (np.interp(air, [t.air_pct for t in told], [getattr(t, end) for t in told])
                 for end in ("low_s", "high_s"))  # fmt: skip
    inside = (runs["t660_s"].to_numpy() >= low) & (runs["t660_s"].to_numpy() <= high)
    assert inside.mean() > 0.9


def test_the_slope_between_events_is_right_and_too_few_events_give_none() -> None:
    event = np.repeat(np.arange(6.0), 5)
    air = np.repeat([-4.0, -2.0, -1.0, 1.0, 2.0, 4.0], 5)
    slope = section_slope(6.0 - 0.02 * air, air, event)
    assert slope is not None
    assert slope.seconds == pytest.approx(-0.02)
    assert slope.ends() == pytest.approx((-0.02, -0.02))
    few = event < LEAST_EVENTS - 1
    assert section_slope(air[few], air[few], event[few]) is None
    assert section_slope(air, 0.01 * air, event) is None


def test_without_readings_nothing_is_put_on_equal_air(runs: pl.DataFrame) -> None:
    assert equal_air(runs.drop("air_density_kg_per_m3"), {}) == EqualAir()
