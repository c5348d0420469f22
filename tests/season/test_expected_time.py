from functools import cache

import numpy as np
import pytest

from pipeline.season import room
from pipeline.season.expected_time import ExpectedTime, one_run_loss
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, Truth, season


@cache
def expected():
    return ExpectedTime.of(fit_response(season(1, runs=100, events=8), FACTS))


def states(*rpm_steps):
    out = np.zeros((len(rpm_steps), len(expected().fit.spec.factors)))
    out[:, expected().fit.spec.index("launch_rpm")] = rpm_steps
    return out


def test_draws_have_the_mean_and_covariance_said():
    at = states(-2.0, 0.0, 1.0)
    mean, cov = expected().mean_and_cov(at)
    drawn = expected().possible(20_000, seed=1).at(np.atleast_2d(at))
    change = np.array([[1.0, -1.0, 0.0], [0.0, -1.0, 1.0]])  # event and intercept cancel
    assert change @ drawn.mean(0) == pytest.approx(change @ mean, abs=1e-3)
    said = np.sqrt(np.diag(change @ cov @ change.T))
    assert np.sqrt(np.diag(np.cov(change @ drawn.T))) == pytest.approx(said, rel=0.1)


def test_change_is_that_of_mean_and_covariance():
    at = states(0.0, 2.0)
    mean, cov = expected().mean_and_cov(at)
    change, sd = expected().change(at[0], at[1:])
    assert change[0] == pytest.approx(mean[1] - mean[0], abs=1e-12)
    assert sd[0] ** 2 == pytest.approx(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1], rel=1e-6)
    found = expected().difference(at[0], at[1])
    assert found.low[0] < found.mean[0] < found.high[0]


def test_a_step_is_worth_less_the_farther_from_what_was_tried():
    far = float(expected().fit.state[:, expected().fit.spec.index("launch_rpm")].max())
    _, inside = expected().change(states(0.0)[0], states(1.0))
    _, edge = expected().change(states(far)[0], states(far + 1.0))
    _, beyond = expected().change(states(far + 2.0)[0], states(far + 3.0))
    assert inside[0] < edge[0] < beyond[0]


def test_effects_of_nothing_are_drawn_in():
    null = Truth(preload=0.0, counterweight=0.0, rpm_curve=0.0, rpm_by_temp=0.0)
    fit = fit_response(season(2, truth=null, runs=60, events=6), FACTS)
    sized = ExpectedTime.of(fit)
    columns = [
        j for j, name in enumerate(fit.spec.column_names[1 : len(fit.spec.columns)], 1) if "rpm" in name
    ]
    drawn_in, plain = (np.abs(m[columns]).sum() for m in (sized.mean, fit.posterior.mean))
    assert drawn_in < plain


def test_a_launch_that_may_go_wrong_has_a_longer_slow_end():
    lost, more = one_run_loss(expected().fit, 0.3, 0.0)
    assert more > lost > 0
    assert one_run_loss(expected().fit, 0.0, 0.0) == (0.0, 0.0)


def test_a_setting_never_changed_is_known_as_beforehand_and_may_spin():
    runs = season(1, runs=100, events=8)
    still = runs.with_columns(launch_rpm=runs["launch_rpm"].median())
    fit = fit_response(still, FACTS)
    i, fresh = fit.spec.index("launch_rpm"), ExpectedTime.of(fit, ["launch_rpm"])
    assert not fit.spec.factors[i].varies
    at = np.zeros((3, len(fit.spec.factors)))
    at[:, i] = [0.0, 1.0, 3.0]
    _, known = ExpectedTime.of(fit).change(at[0], at[1:])
    mean, sd = fresh.change(at[0], at[1:])
    assert (sd > known).all()
    assert 0.001 < sd[0] < fit.spec.factors[i].prior_s * np.sqrt(fit.posterior.inflation) * 1.1
    spin, _ = fresh.chances(at)
    assert spin[2] > spin[1] > spin[0]
    drawn = fresh.possible(4000, seed=2).at(np.atleast_2d(at))
    assert np.std(drawn[:, 1] - drawn[:, 0]) == pytest.approx(sd[0], rel=0.15)
    assert np.mean(drawn[:, 1] - drawn[:, 0]) == pytest.approx(mean[0], abs=1.5e-3)


def test_cars_it_may_be_are_asked_alike_one_by_one_and_all_at_once():
    at = states(-1.0, 0.0, 2.0)
    cars = expected().possible(7, seed=3)
    own = cars.own(np.repeat(at[None], 7, axis=0))
    assert own == pytest.approx(cars.at(at), abs=1e-12)


def test_where_little_was_tried_bends_and_products_keep_their_usual_size():
    runs = season(1, runs=100, events=8)
    turns = runs["preload_turns"]
    timid = runs.with_columns(preload_turns=turns.median() + (turns - turns.median()) * 0.1)
    fit = fit_response(timid, FACTS)
    at = np.zeros((2, len(fit.spec.factors)))
    at[1, fit.spec.index("preload")] = 2.0
    wide = fit.difference(at[0], at[1]).sd[0]
    _, sd = ExpectedTime.of(fit).change(at[0], at[1:])
    assert sd[0] < 0.7 * wide


def test_what_was_hardly_moved_is_unknown_and_the_first_runs_farther_out_tell():
    runs = season(4, runs=100, events=8)
    turns = runs["preload_turns"]
    near = turns.median() + (turns - turns.median()) * 0.05
    far = near.to_numpy().copy()
    far[[-7, -6, -5, -3, -2]] += 1.5
    at = np.zeros((2, len(expected().fit.spec.factors)))
    at[1, expected().fit.spec.index("preload")] = 1.5
    sds = []
    for values in (near, far):
        fit = fit_response(runs.with_columns(preload_turns=np.asarray(values)), FACTS)
        sds.append(float(ExpectedTime.of(fit).change(at[0], at[1:])[1][0]))
    assert sds[0] > 0.015
    assert sds[1] < 0.5 * sds[0]


def test_far_from_a_narrow_season_bends_are_as_unsure_as_the_room_there_was(monkeypatch):
    runs = season(4, runs=100, events=8)
    turns = runs["preload_turns"]
    fit = fit_response(
        runs.with_columns(preload_turns=turns.median() + (turns - turns.median()) * 0.05), FACTS
    )
    at = np.zeros((2, len(fit.spec.factors)))
    at[1, fit.spec.index("preload")] = 1.5
    learnable = ExpectedTime.of(fit).change(at[0], at[1:])[1][0]
    monkeypatch.setattr(room, "USUAL", 1.0)
    left_open = ExpectedTime.of(fit).change(at[0], at[1:])[1][0]
    assert learnable == pytest.approx(left_open, rel=0.1)
