"""Launches gone wrong: found without a note, by chance and not by a threshold, and never made up."""

from dataclasses import replace
from functools import cache

import numpy as np
import polars as pl
import pytest
from scipy.special import expit

from pipeline.season import regimes
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.regime_effects import launch_chances, regime_effects, regime_sentences
from pipeline.season.regimes import Sorter
from pipeline.season.response_fit import fit_response
from pipeline.season.spec import LOAD
from tests.season.seasons import FACTS, season

WIDTH = 0.05
"""What a fit may gain or lose in width where nothing ever goes wrong."""


SEEDS = (3, 4, 5)
"""In one season of twenty spins luck can hide a third of them."""


@cache
def cliff(noted=False, seed=3):
    """A season whose tires let go above some rpm, and which runs they were."""
    runs = season(seed, runs=150, events=10)
    rng = np.random.default_rng(seed)
    rpm, temp = runs["launch_rpm"].to_numpy(), runs["track_temp_degf"].to_numpy()
    edge = np.percentile(rpm, 85) - 6.0 * (temp - temp.mean())
    spun = rng.random(runs.height) < 1 / (1 + np.exp(-(rpm - edge) / 60))
    slow = runs["t60_s"].to_numpy() + spun * rng.uniform(0.1, 0.2, runs.height)
    said = np.where(spun, "spun", "clean") if noted else np.full(runs.height, "clean")
    return runs.with_columns(t60_s=slow, outcome=pl.Series(said.tolist())), spun


@cache
def fitted(noted=False, seed=3):
    return fit_response(cliff(noted, seed)[0], FACTS)


def test_runs_that_spun_are_found_without_a_note():
    found, left = [], []
    for seed in SEEDS:
        runs, spun = cliff(seed=seed)
        assert 5 < spun.sum() < 60
        fit = fitted(seed=seed)
        ids = fit.runs["run_id"].to_numpy()
        clean = dict(zip(ids.tolist(), fit.regimes.shares[:, 0].tolist(), strict=True))
        order = runs["run_id"].to_list()
        found += [clean[i] < 0.1 for i, s in zip(order, spun, strict=True) if s]
        left += [clean[i] > 0.9 for i, s in zip(order, spun, strict=True) if not s]
        assert 0.08 < fit.regimes.loss_s[0] < 0.2
    assert np.mean(found) > 0.8
    assert np.mean(left) > 0.95


def test_the_chance_rises_with_rpm_and_heat():
    found = []
    for seed in SEEDS:
        fit = fitted(seed=seed)
        states = np.zeros((3, len(fit.spec.factors)))
        rpm, temp = fit.spec.index("launch_rpm"), fit.spec.index("track_temp")
        states[1, rpm], states[2, rpm], states[2, temp] = 5.0, 5.0, 1.5
        found.append(ExpectedTime.of(fit).chances(states))
    spin, bog = np.mean(found, axis=0)
    assert spin[0] < spin[1] < spin[2]
    assert bog[0] < 0.05


def test_the_runs_spin_as_often_as_is_said_of_them():
    """Beside what is usual of any car, 1 run in 20."""
    quiet = fit_response(season(0, runs=120, events=10), FACTS)
    for fit in (quiet, *(fitted(seed=seed) for seed in SEEDS)):
        said = ExpectedTime.of(fit).chances(fit.state)[0].mean()
        found, runs = fit.regimes.shares[:, 1].sum(), fit.event.size
        often = (found + regimes.OFTEN_RUNS / 20) / (runs + regimes.OFTEN_RUNS)
        assert said == pytest.approx(often, abs=0.001)
    assert ExpectedTime.of(quiet).chances(quiet.state)[0].mean() < 0.015


def test_launches_gone_wrong_tilt_the_clean_time_by_less_than_half(monkeypatch):
    seeds = (*SEEDS, *range(20, 26))  # how one season is sorted hangs on little
    ours = [fitted(seed=seed) for seed in seeds]
    true = [fit_response(season(seed, runs=150, events=10), FACTS) for seed in seeds]
    monkeypatch.setattr(Sorter, "sort", _all_clean)
    tilted = [fit_response(cliff(seed=seed)[0], FACTS) for seed in seeds]
    slopes = [
        [one.posterior.contrast(one.slope("launch_rpm")) for one in ones] for ones in (ours, tilted, true)
    ]
    mean, sd = (
        np.array([[getattr(one, part)[0] for one in ones] for ones in slopes]) for part in ("mean", "sd")
    )
    assert np.abs(mean[0] - mean[2]).sum() < 0.5 * np.abs(mean[1] - mean[2]).sum()
    assert sd[0].sum() < 0.8 * sd[1].sum()


def test_the_runs_can_overrule_the_direction_thought_beforehand():
    # The tires let go below some rpm: nobody thinks so, but the runs say it.
    runs = season(3, runs=150, events=10)
    rpm = runs["launch_rpm"].to_numpy()
    wrong = rpm < np.percentile(rpm, 15)
    said = pl.Series(np.where(wrong, "spun", "clean").tolist())
    slow = runs["t60_s"].to_numpy() + 0.1 * wrong
    found = fit_response(runs.with_columns(t60_s=slow, outcome=said), FACTS).regimes
    assert found.weights[0, found.names.index("launch_rpm")] < 0


def test_how_steeply_load_and_air_spin_the_tires_is_told_by_the_runs():
    found = []
    for seed in SEEDS:
        runs = season(seed, runs=150, events=10)
        plain = fit_response(runs, FACTS)
        columns = regimes.features(plain.spec, plain.state)
        names = regimes.feature_names(plain.spec)
        load, air = (columns[:, names.index(name)] for name in (LOAD, "air_density"))
        chance = expit(2.0 * load + 0.6 * air - 3.0)
        spun = np.random.default_rng(seed).random(chance.size) < chance
        said = pl.DataFrame({"run_id": plain.runs["run_id"], "outcome": np.where(spun, "spun", "clean")})
        noted = runs.drop("outcome", strict=False).join(said, on="run_id", how="left")
        slow = {row["run_id"]: 0.1 * (row["outcome"] == "spun") for row in said.to_dicts()}
        noted = noted.with_columns(t60_s=pl.col("t60_s") + pl.col("run_id").replace_strict(slow, default=0.0))
        weights = fit_response(noted, FACTS).regimes
        found.append([weights.weights[0, weights.names.index(name)] for name in (LOAD, "air_density")])
    steep_load, steep_air = np.mean(found, axis=0)
    assert steep_load > 1.2
    assert steep_air > 0.3


@pytest.mark.parametrize("seed", [0, 3, 5, 6])
def test_where_nothing_goes_wrong_the_fit_is_as_without(seed, monkeypatch):
    runs = season(seed, runs=120, events=10)
    fit = fit_response(runs, FACTS)
    assert fit.regimes.shares[:, 0].min() > 0.2
    assert fit.regimes.shares[:, 0].mean() > 0.99
    monkeypatch.setattr(Sorter, "sort", _all_clean)
    without = fit_response(runs, FACTS)
    for name in ("preload", "counterweight", "launch_rpm", "track_temp"):
        ours, plain = (one.posterior.contrast(one.slope(name)).sd[0] for one in (fit, without))
        assert ours == pytest.approx(plain, rel=WIDTH), name


def _all_clean(self, residual, _scale, _nu):
    self.shares = np.column_stack([np.ones(residual.size), np.zeros((residual.size, 2))])
    return np.ones(residual.size)


def test_a_slow_run_counts_less_by_and_by_and_a_quick_one_in_full():
    fit = fit_response(season(0, runs=60, events=6), FACTS)
    sorter = Sorter.of(fit.spec, fit.state, fit.runs)
    clean = []
    for late in np.linspace(-0.1, 0.1, 41):
        residual = np.zeros(fit.runs.height)
        residual[0] = late
        fresh = Sorter.of(fit.spec, fit.state, fit.runs)
        clean.append(fresh.sort(residual, 0.009, 8.0)[0])
    assert np.abs(np.diff(clean)).max() < 0.5
    assert min(clean[:20]) > 0.95
    assert clean[-1] < 0.1
    assert sorter.noted.sum() == 0


def test_noted_launches_are_believed_and_tell_how_many_are_noted():
    found = fitted(noted=True).regimes
    assert (found.shares[found.noted, 1] == 1.0).all()
    assert found.noted_share > 0.8
    assert found.shares[~found.noted, 1].max() < 0.5


def test_loss_and_its_slopes_agree_with_finite_differences():
    found = fitted().regimes
    columns = regimes.features(fitted().spec, fitted().state[:20])
    loss, slopes = found.expected_loss(columns)
    sure = replace(found, covs=np.zeros_like(found.covs))
    loss, slopes = sure.expected_loss(columns)
    for j in range(len(found.names)):
        nudge = np.zeros_like(found.weights)
        nudge[0, j] = 1e-6
        up = replace(sure, weights=found.weights + nudge).expected_loss(columns)[0]
        assert slopes[:, j] == pytest.approx((up - loss) / 1e-6, abs=1e-6)


def test_effects_on_the_chance_and_their_words():
    by_name = {(e.regime, e.adjustment): e for e in regime_effects(fitted(noted=True))}
    rpm = by_name["spin", "launch_rpm"]
    assert rpm.verdict == "moved"
    assert 0 < rpm.low < rpm.chance_per_step < rpm.high
    assert "raises the chance of spinning" in rpm.sentence
    assert by_name["bog", "launch_rpm"].verdict == "no_sign"
    quiet = fit_response(season(0, runs=120, events=10), FACTS)
    assert all(e.verdict == "no_sign" and e.chance_per_step is None for e in regime_effects(quiet))
    assert regime_sentences(quiet) == ()
    assert "noted as spun or bogged" in regime_sentences(fitted(noted=True))[0]


def test_chances_over_rpm_and_track_rise_to_one_corner():
    points = launch_chances(fitted())
    temps, rpms = ({getattr(p, name) for p in points} for name in ("track_temp_f", "launch_rpm"))
    assert len(points) == len(temps) * len(rpms)
    hot = max(points, key=lambda p: (p.track_temp_f, p.launch_rpm))
    cool = min(points, key=lambda p: (p.track_temp_f, p.launch_rpm))
    assert hot.p_spin > 0.5 > cool.p_spin
