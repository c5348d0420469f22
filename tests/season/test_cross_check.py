"""The plain regression: equal to the reference library's, silent where it cannot see, and set beside ours."""

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from scipy.stats import t as student
from statsmodels.regression.linear_model import OLS

from pipeline.season.cross_check import cross_check, line_names
from pipeline.season.effects import effects
from pipeline.season.least_squares import ordinary_least_squares, variance_inflation
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, season

SAME = 1e-9  # two exact solutions of one regression


@pytest.fixture(scope="module")
def fitted():
    fit = fit_response(season(21, runs=120, events=10), FACTS)
    return fit, effects(fit)


def rows(fit, found):
    return {row.adjustment: row for row in cross_check(fit, found)}


def reference_regression(fit):
    """The same by the reference library: event dummies, straight lines, rpm squared, rpm x heat."""
    names = line_names(fit)
    lines = fit.state[:, [fit.spec.index(n) for n in names]]
    lines = lines - lines.mean(0)
    rpm, heat = lines[:, names.index("launch_rpm")], lines[:, names.index("track_temp")]
    dummies = (fit.event[:, None] == np.arange(len(fit.events))).astype(float)
    plain = OLS(fit.observed_s, np.column_stack([lines, rpm**2, rpm * heat, dummies])).fit()
    return names, plain, lines


def test_the_estimate_is_that_of_an_independent_core(fitted):
    fit, found = fitted
    names, plain, _ = reference_regression(fit)
    for name, row in rows(fit, found).items():
        assert row.plain_s == pytest.approx(plain.params[names.index(name)], abs=SAME)


@pytest.mark.parametrize("clusters", [4, 11])
def test_estimates_and_limits_are_those_of_statsmodels(clusters):
    rng = np.random.default_rng(clusters)
    cluster = np.arange(90) % clusters
    lines = rng.normal(size=(90, 3)) @ rng.normal(size=(3, 3)) + rng.normal(size=clusters)[cluster][:, None]
    columns = np.column_stack([lines, cluster[:, None] == np.arange(clusters)])
    observed = lines @ [0.02, -0.01, 0.0] + rng.normal(size=clusters)[cluster] + rng.normal(0, 0.1, 90)
    found, theirs = ordinary_least_squares(columns, observed, cluster), OLS(observed, columns).fit()
    half = student(theirs.df_resid).ppf(0.975) * theirs.bse[:3]
    if clusters == 11:
        robust = theirs.get_robustcov_results("cluster", groups=cluster)
        half = np.maximum(half, student(clusters - 1).ppf(0.975) * robust.bse[:3])
    assert found.coefficients == pytest.approx(theirs.params, abs=SAME)
    assert found.half_widths[:3] == pytest.approx(half, abs=SAME)


def test_limits_are_never_narrower_than_the_classical_ones(fitted):
    fit, found = fitted
    names, plain, _ = reference_regression(fit)
    for name, row in rows(fit, found).items():
        half = student(plain.df_resid).ppf(0.975) * plain.bse[names.index(name)]
        assert row.plain_high_s - row.plain_s >= half - SAME


def test_inflation_is_that_of_the_columns_centred_by_event(fitted):
    fit, found = fitted
    names, _, lines = reference_regression(fit)
    means = np.array([lines[fit.event == e].mean(0) for e in range(len(fit.events))])
    within = variance_inflation(lines - means[fit.event])
    row = rows(fit, found)["preload"]
    assert row.variance_inflation == pytest.approx(within[names.index("preload")], rel=1e-9)


def test_agreement_and_its_sentence(fitted):
    fit, found = fitted
    assert all(row.agrees for row in cross_check(fit, found))
    assert "agrees on preload" in rows(fit, found)["preload"].sentence


def test_a_real_difference_is_said_in_plain_words(fitted):
    fit, found = fitted
    far = tuple(replace(e, per_step_s=0.5, low_s=0.49, high_s=0.51) for e in found)
    row = rows(fit, far)["counterweight"]
    assert not row.agrees
    assert "disagrees on counterweight" in row.sentence


def test_what_changes_only_between_events_is_not_seen():
    runs = season(21, runs=120, events=10)
    by_night = runs.with_columns(air_density_kg_per_m3=pl.col("air_density_kg_per_m3").mean().over("event"))
    fit = fit_response(by_night, FACTS)
    row = rows(fit, effects(fit))["air_density"]
    assert row.plain_s is None
    assert "only between events" in row.sentence


def test_a_locked_pair_has_no_plain_number():
    fit = fit_response(season(21, runs=120, events=10, locked=True), FACTS)
    row = rows(fit, effects(fit))["counterweight"]
    assert row.plain_s is None
    assert row.variance_inflation > 50


def test_too_few_runs_for_it_are_told():
    fit = fit_response(season(21, runs=9, events=3), FACTS)
    assert "Too few runs" in rows(fit, effects(fit))["preload"].sentence
