"""What is written down beside settings and air: read, fitted, and shown only where it says something."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from pipeline.garage.factors import BY_NAME, CONDITIONS, Factor
from pipeline.season.effects import effects
from pipeline.season.nights import heat_left
from pipeline.season.recorded import REFINED_FROM, as_in_runs, raw_values
from pipeline.season.response_fit import fit_response
from pipeline.season.season_change import OTHERS, first_and_last_third
from pipeline.season.shares import spread
from tests.season.worlds_study import tally
from tests.simulation.worlds.making import world

TOLD = [factor for factor in CONDITIONS if factor.is_told]


def named(*names: str) -> list[Factor]:
    return [BY_NAME[name] for name in names]


def test_of_two_drivers_the_second_is_set_against_the_first() -> None:
    runs = pl.DataFrame({"driver": ["Ann", "Bo", " Bo", "ann", "bo", "Ann", None, ""]})
    (bo,) = as_in_runs(runs, named("driver"))
    assert (bo.label, bo.part_name) == ("driver Bo (against Ann)", "driver")
    assert raw_values(runs, bo).tolist()[:6] == [0, 1, 1, 0, 1, 0]


def test_three_styles_have_an_effect_each_and_one_run_of_a_fourth_has_none() -> None:
    runs = pl.DataFrame({"launch_style": [*("slip", "dump", "feather") * 3, "hop"]})
    assert [f.category for f in as_in_runs(runs, named("launch_style"))] == ["dump", "feather", "slip"]


@pytest.mark.parametrize("drivers", [["Ann"] * 9, [f"guest {i // 3}" for i in range(60)], [None] * 9])
def test_one_driver_or_a_crowd_is_no_matter_of_a_few(drivers: list[str | None]) -> None:
    assert as_in_runs(pl.DataFrame({"driver": pl.Series(drivers, dtype=pl.String)}), named("driver")) == ()


def test_a_lane_at_a_strip_counts_there_only_and_with_runs_enough() -> None:
    runs = pl.DataFrame({"venue": ["A", "A", "B", "B"] * 10, "lane": ["left", "right"] * 20})
    assert as_in_runs(runs.head(REFINED_FROM - 1), named("lane_by_strip")) == ()
    at_a, _ = as_in_runs(runs, named("lane_by_strip"))
    assert raw_values(runs, at_a).tolist()[:4] == [-0.5, 0.5, 0.0, 0.0]


def test_right_is_above_left_however_often_either_was_run() -> None:
    runs = pl.DataFrame({"lane": ["Right", "right", "left", None]})
    assert raw_values(runs, BY_NAME["lane"]).tolist() == [0.5, 0.5, -0.5, 0.0]


def test_bedding_begins_at_a_service_and_not_with_the_logbook() -> None:
    runs = pl.DataFrame({"service_no": [0, 0, 1, 1, 1], "runs_since_service": [0, 1, 0, 1, 30]})
    new = raw_values(runs, BY_NAME["bedding"])
    assert new[:3].tolist() == [0.0, 0.0, 1.0]
    assert new[2] > new[3] > new[4]
    assert new[4] < 1e-3


def test_heat_is_one_after_half_an_hour_and_nil_where_the_day_begins() -> None:
    begin = dt.datetime(2026, 5, 2, 10, 0)
    moments = [begin, begin + dt.timedelta(minutes=30), begin + dt.timedelta(minutes=90)]
    runs = pl.DataFrame({"run_at": [*moments, begin + dt.timedelta(days=1)], "event": ["one"] * 4})
    assert heat_left(runs, 15.0) == pytest.approx([0.0, 1.0, np.exp(-2.0), 0.0])


@pytest.fixture(scope="module")
def two_drivers():
    season = world("two_drivers", 1)
    return season, fit_response(season.runs, season.facts, "t60")


def test_a_planted_driver_has_a_row_a_part_and_a_spread(two_drivers) -> None:
    season, fit = two_drivers
    (row,) = [effect for effect in effects(fit) if effect.adjustment.startswith("driver")]
    assert row.low_s < season.truth.others.driver_s < row.high_s
    assert row.verdict == "moved"
    assert not row.is_setting
    assert row.sentence.startswith(
        "Driver Bo (against Ann) moved the 60 ft time: a run by this one adds about"
    )
    change = first_and_last_third(fit)
    assert change is not None
    assert "driver" in {part.factor for part in change.parts}
    assert "driver" in {one.adjustment for one in spread(fit)}


def test_what_says_nothing_is_one_part_and_the_sum_holds(two_drivers) -> None:
    _, fit = two_drivers
    change = first_and_last_third(fit)
    assert change is not None
    names = [part.factor for part in change.parts]
    assert {"heat", "bedding", "tire_runs"} <= set(fit.spec.parts)
    assert {"heat", "bedding", "tire_runs"}.isdisjoint(names)
    assert names[-2:] == [OTHERS, "track"]
    total = sum(part.seconds for part in change.parts) + change.unexplained_s
    assert total == pytest.approx(change.total_s, abs=1e-12)


def test_a_headwind_is_asked_of_the_late_times_only(two_drivers) -> None:
    season, fit = two_drivers
    assert "headwind" not in fit.spec.names
    assert "headwind" in fit_response(season.runs, season.facts, "t330").spec.names


def test_the_disc_counts_only_where_wear_is_not_known(two_drivers) -> None:
    season, _ = two_drivers
    runs = season.runs.with_columns(runs_on_disc=pl.col("runs_since_service"))
    assert "disc_runs" not in fit_response(runs, season.facts).spec.names
    unread = runs.with_columns(wear_in=pl.lit(None, pl.Float64))
    assert "disc_runs" in fit_response(unread, season.facts).spec.names


def test_nothing_of_it_is_ever_suggested() -> None:
    assert not any(factor.is_setting or factor.reach or factor.limits_key for factor in TOLD)
    assert all(factor.written_as for factor in CONDITIONS)


@pytest.mark.parametrize(
    ("name", "part"), [("heat", "heat"), ("lane_by_strip", "lane"), ("two_drivers", "driver")]
)
def test_what_was_planted_is_mostly_said_and_held(name: str, part: str) -> None:
    found = tally(name, range(6))
    assert np.mean(found.told[part]) >= 0.5
    assert np.mean(found.told_covered[part]) >= 0.6


def test_where_nothing_of_it_matters_hardly_anything_is_said() -> None:
    found = tally("written_down", range(6))
    said = [one for shown in found.told.values() for one in shown]
    assert np.mean(said) <= 0.1
    assert not any(found.null_moved)
