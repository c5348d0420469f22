"""Runs, nights and unseen events against expectation, by brute force where one exists."""

import numpy as np
import polars as pl
import pytest

from pipeline.season import grid
from pipeline.season.expected import held_out, night_checks, run_checks
from pipeline.season.response_fit import fit_response
from pipeline.season.spreads import Settings
from tests.season.seasons import FACTS, season

ONE_NODE = Settings(
    tau_s=(0.006,), omega_s=(0.001,), night_s=(0.001,), night_prior=(1.0,),
    follows=(0.0,), follows_prior=(1.0,), sigma_points=1, nu=np.inf,
)  # fmt: skip
SAME = 1e-6  # a refit at the scale of the full fit; the algebra is exact


def test_leave_one_event_out_equals_refitting_without_it():
    full = fit_response(season(31, runs=60, events=6), FACTS, settings=ONE_NODE)
    y = full.observed_s - full.centre_s
    misses = []
    for e in range(len(full.events)):
        rest = full.event != e
        numbers = np.unique(full.event[rest], return_inverse=True)[1]
        again = grid.fit(
            full.design[rest], y[rest], full.random[rest], numbers, full.posterior.prior, ONE_NODE
        )
        scale = full.posterior.sigma[0] / again.sigma[0]
        assert 0.7 < scale < 1.4  # a refit has its own noise scale; the check below is loose for that
        columns = full.design[~rest].copy()
        columns[:, len(full.spec.columns) :] = 0.0
        misses.append(y[~rest] - columns @ again.mean)
    brute = np.sqrt(np.mean(np.concatenate(misses) ** 2))
    assert held_out(full).rmse_s == pytest.approx(brute, rel=0.03)


def test_two_events_are_too_few_to_leave_one_out():
    assert held_out(fit_response(season(31, runs=30, events=2), FACTS)) is None


def test_expectation_without_the_run_is_that_of_a_fit_without_it():
    full = fit_response(season(32, runs=60, events=6), FACTS, settings=ONE_NODE)
    check = run_checks(full)[10]
    y = full.observed_s - full.centre_s
    weights = full.posterior.run_weights.copy()  # a run counts by its chance of having been clean
    weights[10] *= 1e-12
    from_rest = _expected_without(full, y, weights)
    assert check.expected_s == pytest.approx(full.centre_s + from_rest, abs=SAME)


def _expected_without(full, y, weights):
    """Fitted value of run 10 when it carries no weight, at the full fit's own noise."""
    count, q = len(full.events), full.random.shape[1]
    big = np.zeros((60, count * q))
    for row, e in enumerate(full.event):
        big[row, e * q : (e + 1) * q] = full.random[row]
    both = np.column_stack([full.design, big])
    prior = np.r_[full.posterior.prior, np.tile([0.006] + [0.001] * (q - 1), count)]
    noise = full.posterior.sigma[0]
    precision = (both * weights[:, None]).T @ both / noise**2 + np.diag(prior**-2)
    return both[10] @ np.linalg.solve(precision, both.T @ (weights * y)) / noise**2


def test_good_runs_are_hardly_ever_flagged():
    checks = [
        c for seed in range(8) for c in run_checks(fit_response(season(seed, runs=120, events=10), FACTS))
    ]
    assert np.mean([c.flagged for c in checks]) < 0.01
    assert np.std([c.z for c in checks]) == pytest.approx(1.0, abs=0.1)


def test_most_sixty_thousandths_slips_are_found():
    found = []
    for seed in range(10):
        runs = season(seed, runs=120, events=10)
        slow = pl.when(pl.col("run_id") == 40 + seed).then(0.06).otherwise(0.0)
        checks = run_checks(fit_response(runs.with_columns(t60_s=pl.col("t60_s") + slow), FACTS))
        found.append(next(c.flagged for c in checks if c.run_id == 40 + seed))
    assert np.mean(found) >= 0.8


def test_nights_of_a_quiet_season_are_usual_and_their_sum_is_near_nil():
    nights = night_checks(fit_response(season(33, runs=120, events=10, event_sd=0.0), FACTS))
    assert sum("within the car's usual" in night.sentence for night in nights) >= 8
    assert abs(np.mean([night.night_s for night in nights])) < 0.003
    assert all(night.best_s <= night.typical_s for night in nights)
    assert [night.date for night in nights] == sorted(night.date for night in nights)


def test_an_outcome_noted_is_the_reason_given():
    runs = season(34, runs=80, events=8)
    hit = pl.col("run_id") == 33
    runs = runs.with_columns(
        t60_s=pl.col("t60_s") + pl.when(hit).then(0.15).otherwise(0.0),
        outcome=pl.when(hit).then(pl.lit("bogged")).otherwise(pl.col("outcome")),
    )
    check = next(c for c in run_checks(fit_response(runs, FACTS)) if c.run_id == 33)
    assert check.reason == "Noted as bogged."


def test_a_run_too_quick_asks_for_its_entry_to_be_checked():
    runs = season(34, runs=80, events=8)
    quick = pl.when(pl.col("run_id") == 33).then(-0.12).otherwise(0.0)
    checks = run_checks(fit_response(runs.with_columns(t60_s=pl.col("t60_s") + quick), FACTS))
    check = next(c for c in checks if c.run_id == 33)
    assert "quicker" in check.reason
