"""A season under a given prior: the same arithmetic as the plain fit, and the fleet's word carried over."""

from dataclasses import replace
from unittest.mock import patch

import numpy as np
import polars as pl
import pytest

from pipeline.fleet import basis as fb
from pipeline.fleet.prior import FleetPrior, with_odd_cars
from pipeline.fleet.season import fleet_rows, pooled_prior_for
from pipeline.season.expected import held_out
from pipeline.season.fit import fit_season
from pipeline.season.informed_fit import CoefficientPrior, fit_informed
from pipeline.season.response_fit import fit_response
from pipeline.season.spec import Spec
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, season

EXACT_S = 1e-9
"""Seconds: two ways of the same linear algebra, priors of 100 ms against data of 1 ms."""

MS = 1e-3


def some_prior(scale: float = 1.0) -> FleetPrior:
    mean = np.array([-4.0, -3.0, 0.5, 3.0, 2.0, 1.2, -0.8, 0.0, 0.0, 0.3]) * MS
    root = np.diag([3.0, 2.0, 2.5, 2.0, 2.0, 0.5, 0.5, 1.0, 1.0, 0.5]) * MS * scale
    root[1, 0] = 0.5 * MS * scale
    cov = root @ root.T
    return FleetPrior(mean, cov, cov, np.zeros_like(cov), 0.1, 300, 50)


def usual(_response, spec, _events) -> CoefficientPrior:
    sd = spec.prior_sd
    return CoefficientPrior(np.zeros(sd.size), np.diag(sd**2))


def leaning(fleet: FleetPrior):
    """Prior of the 60 ft time from the fleet; other responses keep their own."""

    def prior(response, spec, events):
        return pooled_prior_for(fleet, spec, events=events) if response == "t60" else None

    return prior


def plain_and_whitened():
    """Fits under the usual prior, its scales left as they are: a prior given in full has none to learn."""
    with patch.object(Spec, "groups", ()):
        return tuple(fit_response(season(3), FACTS, prior=prior).posterior for prior in (None, usual))


def test_the_usual_prior_given_in_full_changes_nothing() -> None:
    plain, again = plain_and_whitened()
    assert again.mean == pytest.approx(plain.mean, abs=EXACT_S)
    assert again.cov == pytest.approx(plain.cov, abs=EXACT_S)
    assert again.fitted == pytest.approx(plain.fitted, abs=EXACT_S)
    assert again.event_effects == pytest.approx(plain.event_effects, abs=EXACT_S)
    assert again.run_weights == pytest.approx(plain.run_weights, abs=1e-6)


def test_a_prior_without_doubt_is_what_comes_out() -> None:
    fit = fit_response(season(4), FACTS_WITHOUT_GEOMETRY)
    sd = fit.spec.prior_sd
    sure = CoefficientPrior(np.linspace(-0.004, 0.003, sd.size), np.diag((sd * 1e-5) ** 2))
    found = fit_informed(fit.design, fit.observed_s - fit.centre_s, fit.random, fit.event, sure)
    assert found.mean == pytest.approx(sure.mean, abs=1e-6)


@pytest.mark.parametrize("facts", [FACTS, FACTS_WITHOUT_GEOMETRY], ids=["plate load", "raw settings"])
def test_the_season_prior_says_what_the_fleet_says(facts) -> None:
    fit = fit_response(season(5), facts)
    fleet = some_prior()
    found = pooled_prior_for(fleet, fit.spec, events=10)
    known, rows = fleet_rows(fit.spec)
    assert len(known) == fb.SIZE
    assert rows @ found.mean == pytest.approx(fleet.mean, abs=EXACT_S)
    assert rows @ found.cov @ rows.T == pytest.approx(with_odd_cars(fleet), abs=1e-11)
    assert np.linalg.eigvalsh(found.cov).min() > 0


def test_what_the_fleet_does_not_know_keeps_the_usual_prior() -> None:
    fit = fit_response(season(5), FACTS_WITHOUT_GEOMETRY)
    found = pooled_prior_for(some_prior(), fit.spec, events=10)
    shock = fit.spec.column_names.index("shock_clicks")
    assert found.mean[shock] == pytest.approx(0.0, abs=EXACT_S)
    assert found.cov[shock, shock] == pytest.approx(fit.spec.prior_sd[shock] ** 2, rel=1e-6)


def test_ten_runs_lean_on_the_fleet() -> None:
    runs = season(6, runs=12, events=4)
    prior = leaning(some_prior(0.05))
    alone = fit_season(runs, FACTS_WITHOUT_GEOMETRY).season
    pooled = fit_season(runs, FACTS_WITHOUT_GEOMETRY, prior=prior).season

    def preload(fit):
        return next(e for e in fit.effects if e.response == "t60" and e.adjustment == "preload")

    def width(effect):
        return effect.high_s - effect.low_s

    assert width(preload(pooled)) < 0.6 * width(preload(alone))
    others = [e for e in pooled.effects if e.response != "t60"]
    assert others == [e for e in alone.effects if e.response != "t60"]


def test_held_out_events_are_predicted_from_the_fleet_and_the_other_events() -> None:
    fleet = some_prior(0.05)
    full = fit_response(season(6, runs=12, events=4), FACTS_WITHOUT_GEOMETRY, prior=leaning(fleet))
    known = pooled_prior_for(fleet, full.spec, events=4)
    y, misses = full.observed_s - full.centre_s, []
    for e in range(4):
        rest = full.event != e
        numbers = np.unique(full.event[rest], return_inverse=True)[1]
        again = fit_informed(full.design[rest], y[rest], full.random[rest], numbers, known)
        columns = full.design[~rest].copy()
        columns[:, len(full.spec.columns) :] = 0.0
        misses.append(y[~rest] - columns @ again.mean)
    brute = np.sqrt(np.mean(np.concatenate(misses) ** 2))
    assert held_out(full).rmse_s == pytest.approx(brute, rel=0.03)  # a refit weighs spreads and runs anew


def test_a_fleet_that_knows_the_car_predicts_unseen_events_better() -> None:
    # One season of four events says little: the fleet's errors and the nights' are of one size. So several.
    mean = np.array([-4.0, -3.0, 0.0, 3.0, 0.0, 1.2, 1.92, 0.0, 0.0, 0.0]) * MS  # as in Truth
    knowing = leaning(replace(some_prior(0.05), mean=mean))
    squares = []
    for seed in range(6, 12):
        runs = season(seed, runs=12, events=4)
        fits = (fit_response(runs, FACTS_WITHOUT_GEOMETRY, prior=prior) for prior in (None, knowing))
        squares.append([held_out(fit).rmse_s ** 2 for fit in fits])
    alone, pooled = np.mean(squares, axis=0)
    assert pooled < alone


def test_a_basis_without_fleet_factors_keeps_its_prior() -> None:
    runs = season(7).with_columns(
        preload_turns=pl.lit(3.0),
        counterweight_g=pl.lit(4.0),
        launch_rpm=pl.lit(6000.0),
        track_temp_degf=pl.lit(90.0),
        air_density_kg_per_m3=pl.lit(1.2),
    )
    fit = fit_response(runs, FACTS_WITHOUT_GEOMETRY)
    found = pooled_prior_for(some_prior(), fit.spec, events=10)
    assert found.mean == pytest.approx(np.zeros(found.mean.size))
    assert np.sqrt(np.diag(found.cov)) == pytest.approx(fit.spec.prior_sd)
