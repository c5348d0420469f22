"""The waterfall: it adds up, it is Shapley's on a second-order basis, and it finds what was planted."""

import datetime as dt
from itertools import combinations
from math import factorial

import numpy as np
import polars as pl
import pytest

from pipeline.season import basis
from pipeline.season import season_change as season_change_module
from pipeline.season.build_spec import build_spec
from pipeline.season.response_fit import fit_response
from pipeline.season.season_change import (
    before_and_after_services,
    first_and_last_third,
    paired_parts,
    pairs,
    path_parts,
    season_change,
)
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, season

ADDS_UP = 1e-12  # the bar: parts and the unexplained sum to the change
SHAPLEY = 1e-12


def test_a_third_of_seventy_runs_is_twenty_three_at_either_end():
    change = first_and_last_third(fit_response(season(1, runs=70, events=7), FACTS))
    assert (change.from_period.runs, change.to_period.runs) == (23, 23)


@pytest.mark.parametrize("facts", [FACTS, FACTS_WITHOUT_GEOMETRY], ids=["load", "raw"])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_parts_and_the_unexplained_sum_to_the_change(facts, seed):
    fit = fit_response(season(seed, runs=70, events=7, ruined=0.06), facts)
    change = first_and_last_third(fit)
    parts = sum(part.seconds for part in change.parts)
    assert abs(change.total_s - parts - change.unexplained_s) < ADDS_UP


def shapley(spec, states_from, states_to):
    """Brute force over all subsets of factors that are set to the later value. Shape (F, p)."""
    count = states_from.shape[1]
    out = np.zeros((count, len(spec.columns)))
    pairs = [(a, b) for a in states_from for b in states_to]
    for a, b in pairs:
        value = {}
        for size in range(count + 1):
            for subset in combinations(range(count), size):
                state = a.copy()
                state[list(subset)] = b[list(subset)]
                value[subset] = basis.design(spec, state)[0]
        for subset, before in value.items():
            for f in set(range(count)) - set(subset):
                share = factorial(len(subset)) * factorial(count - len(subset) - 1) / factorial(count)
                out[f] += share * (value[tuple(sorted({*subset, f}))] - before)
    return out / len(pairs)


def test_path_integral_is_shapley_on_a_second_order_basis():
    runs = season(4, runs=40, events=4).drop("wear_in", "lane", "tire_pressure_psi")
    spec = build_spec(runs, FACTS_WITHOUT_GEOMETRY)
    state = basis.to_steps(spec, runs)
    ours = path_parts(spec, state[:2], state[-3:])
    assert ours == pytest.approx(shapley(spec, state[:2], state[-3:]), abs=SHAPLEY)


def test_path_parts_of_all_factors_sum_to_the_change_of_every_column_with_load():
    runs = season(4, runs=60, events=4)
    spec = build_spec(runs, FACTS)
    state = basis.to_steps(spec, runs)
    change = basis.design(spec, state[30:]).mean(0) - basis.design(spec, state[:30]).mean(0)
    assert path_parts(spec, state[:30], state[30:]).sum(0) == pytest.approx(change, abs=1e-10)


@pytest.mark.parametrize(("first", "second"), [(3, 5), (250, 250), (301, 420), (1000, 7), (900, 333)])
def test_every_run_of_a_side_has_the_same_share(first, second):
    a, b, share = pairs(first, second)
    assert np.bincount(a, share, first) == pytest.approx(np.full(first, 1 / first), rel=1e-9)
    assert np.bincount(b, share, second) == pytest.approx(np.full(second, 1 / second), rel=1e-9)


def test_a_balanced_choice_of_pairs_stands_for_all(monkeypatch):
    runs = season(4, runs=200, events=10)
    spec = build_spec(runs, FACTS)
    state = basis.to_steps(spec, runs)
    whole = path_parts(spec, state[:90], state[90:])
    monkeypatch.setattr(season_change_module, "ALL_PAIRS", 100)
    chosen = path_parts(spec, state[:90], state[90:])
    change = basis.design(spec, state[90:]).mean(0) - basis.design(spec, state[:90]).mean(0)
    assert chosen.sum(0) == pytest.approx(change, abs=1e-10)
    assert chosen @ spec.prior_sd[: len(spec.columns)] == pytest.approx(
        whole @ spec.prior_sd[: len(spec.columns)], abs=5e-4
    )


def test_chunks_of_pairs_change_nothing():
    runs = season(4, runs=200, events=10)
    spec = build_spec(runs, FACTS)
    state = basis.to_steps(spec, runs)
    whole = path_parts(spec, state[:100], state[100:])
    halves = (path_parts(spec, state[:50], state[100:]) + path_parts(spec, state[50:100], state[100:])) / 2
    assert whole == pytest.approx(halves, abs=1e-10)


def test_a_single_change_has_the_parts_of_the_path_between_its_two_runs():
    runs = season(4, runs=60, events=4)
    spec = build_spec(runs, FACTS)
    state = basis.to_steps(spec, runs)
    single = paired_parts(spec, state[:3], state[-3:])
    for at in range(3):
        begin, end = state[at : at + 1], state[57 + at : 58 + at]
        assert single[at] == pytest.approx(path_parts(spec, begin, end), abs=1e-10)


def test_the_track_takes_a_night_that_was_slow_for_no_reason():
    runs = season(5, runs=120, events=10, event_sd=0.0)
    slow = runs["event"].is_in(["Event 09", "Event 10"]).to_numpy()
    runs = runs.with_columns(t60_s=runs["t60_s"] + 0.02 * slow)
    fit = fit_response(runs, FACTS)
    change = season_change(fit, ~slow, slow, "as planted")
    track = next(part for part in change.parts if part.factor == "track")
    assert track.low_s <= 0.02 <= track.high_s
    assert track.seconds > 0.005


def test_nights_that_went_their_own_way_are_the_nights_part_and_not_the_tracks():
    runs = season(5, runs=160, events=10, event_sd=0.0, noise=0.003)
    begun = runs.select(pl.col("run_at").min().over("event")).to_series()
    hours = (runs["run_at"] - begun).dt.total_seconds().to_numpy() / 3600
    four = runs["event"].is_in([f"Event {e:02d}" for e in (1, 2, 9, 10)]).to_numpy()
    drift = np.where(four, 0.003 * hours, 0.0)
    fit = fit_response(runs.with_columns(t60_s=runs["t60_s"] + drift), FACTS)
    early, late = four & (hours <= np.median(hours)), four & (hours > np.median(hours))
    parts = {part.factor: part for part in season_change(fit, early, late, "as planted").parts}
    planted = drift[late].mean() - drift[early].mean()
    assert parts["night"].low_s <= planted <= parts["night"].high_s
    assert abs(parts["track"].seconds) < 0.2 * planted


def test_services_part_the_runs():
    runs = season(6, runs=80, events=8)
    late = (runs["run_date"] >= dt.date(2031, 6, 1)).cast(int)
    fit = fit_response(runs.with_columns(service_no=late), FACTS)
    (by_service,) = before_and_after_services(fit)
    assert by_service.from_period.runs + by_service.to_period.runs == 80
    assert by_service.from_period.last_date < "2031-06-01" <= by_service.to_period.first_date


def test_a_side_with_too_few_runs_gives_nothing():
    fit = fit_response(season(6, runs=80, events=8), FACTS)
    assert before_and_after_services(fit_response(fit.runs.with_columns(service_no=0), FACTS)) == ()
    assert first_and_last_third(fit_response(season(6, runs=8, events=2), FACTS)) is None
