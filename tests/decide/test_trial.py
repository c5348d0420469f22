"""Worth a try: the one trial where no change is sure enough, and what to make of its result."""

from functools import cache

import numpy as np
import pytest
from scipy.stats import norm

from pipeline.decide.dials import dials_of, known_limits, never_changed
from pipeline.decide.limits import car_limits
from pipeline.decide.next_setting import present_state
from pipeline.decide.prospects import MOST_MOVES, Prospects
from pipeline.decide.trial import (
    AGAIN_SURE,
    BORNE_OUT,
    KEEP_SURE,
    RUNS_EACH,
    _is_guess,
    best_trial,
    trial_for,
)
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, Truth, season

NOTHING = Truth(preload=0.0, counterweight=0.0, rpm_curve=0.0, rpm_by_temp=0.0)


@cache
def case(*, still: bool = False):
    runs = season(4, runs=60, events=6, truth=NOTHING)
    if still:
        last = runs.tail(1)
        fixed = ("preload_turns", "counterweight_g", "launch_rpm", "tire_pressure_psi", "extras")
        runs = runs.with_columns(last[name].extend(last[name][[0] * (runs.height - 1)]) for name in fixed)
    fit = fit_response(runs, FACTS)
    present = present_settings(fit.runs, None, ["shock_clicks"])
    return fit, car_limits(GARAGE, "Marigold", fit.runs), present, present_state(fit, present)


def all_allowed(states):
    return np.ones(len(states), dtype=bool)


def test_a_trial_is_named_with_its_rule_and_never_for_eliminations():
    fit, limits, present, here = case()
    found = trial_for(fit, limits, present, here, None)
    assert found is not None
    moved = [name for name, value in found.settings.items() if value != present[name]]
    assert 1 <= len(moved) <= MOST_MOVES
    assert found.runs == RUNS_EACH
    assert found.expected_gain_s < 0
    assert found.keep_s < 0
    assert f"their mean is {1000 * -found.again_s:.1f} thousandths quicker" in found.keep_if
    assert f"mean of all 4 is {1000 * -found.keep_s:.1f} quicker; else undo it" in found.keep_if
    assert "never in eliminations" in found.sentence
    assert found.keep_if in found.sentence


def test_where_nothing_was_ever_changed_it_explores_by_itself():
    fit, limits, present, here = case(still=True)
    assert not any(f.varies for f in fit.spec.factors if f.is_setting)
    found = trial_for(fit, limits, present, here, None)
    assert found is not None
    assert found.change_s == pytest.approx(0.0, abs=0.02)


def test_between_rounds_only_what_is_quick_is_tried():
    fit, limits, present, here = case(still=True)
    found = trial_for(fit, limits, present, here, None, quick_only=True)
    assert found is not None
    for name, value in found.settings.items():
        assert value == present[name] or limits.by_name[name].is_quick


def test_past_a_limit_nothing_is_tried():
    fit, limits, present, here = case()
    assert trial_for(fit, limits, present | {"preload": 6.5}, here, None) is None


@pytest.mark.parametrize(("times", "sure"), [(1, AGAIN_SURE), (2, KEEP_SURE)])
def test_at_the_result_named_it_is_just_sure_enough(times, sure):
    fit, limits, present, here = case(still=True)
    movable = known_limits(fit, limits)
    expected = ExpectedTime.of(fit, never_changed(fit, movable))
    best = best_trial(expected, here, dials_of(fit, movable, present), all_allowed, 1)
    looked = Prospects.of(expected, np.vstack([here, best.state]))
    # Conditioning of two normals, written out: the true change, and the mean difference of the runs.
    clean, wrong = looked.clean_gram[1, 1], looked.joint[1, 1] - looked.clean_gram[1, 1]
    seen = clean + looked.slope_gram[1, 1] + looked.noise_s2.sum() / (times * RUNS_EACH)
    result = (best.again_s, best.keep_s)[times - 1]
    mean = best.change_s + clean / seen * (result - best.change_s)
    sd = np.sqrt(clean - clean**2 / seen + wrong)
    after_trouble = mean + looked.trouble_s[1]  # every move must gain a little besides
    assert norm.cdf(-after_trouble / sd) == pytest.approx(sure, abs=0.02)


def test_what_a_trial_brings_is_what_drawn_cars_gain_by_its_rule():
    fit, limits, present, here = case(still=True)
    movable = known_limits(fit, limits)
    expected = ExpectedTime.of(fit, never_changed(fit, movable))
    best = best_trial(expected, here, dials_of(fit, movable, present), all_allowed, 1)
    looked = Prospects.of(expected, np.vstack([here, best.state]))
    rng = np.random.default_rng(0)
    cars = 400_000
    change = rng.normal(best.change_s, np.sqrt(looked.clean_gram[1, 1]), cars)
    night = rng.normal(0, np.sqrt(looked.slope_gram[1, 1]), cars)
    luck = rng.normal(0, np.sqrt(looked.noise_s2.sum() / RUNS_EACH), (2, cars))
    first, both = change + night + luck[0], change + night + luck.mean(0)
    kept = (first <= best.again_s) & (both <= best.keep_s)
    assert best.worth_s == pytest.approx(-BORNE_OUT * (change * kept).mean(), rel=0.05)


def test_nothing_is_tried_that_cannot_pay():
    fit, limits, present, here = case()
    movable = known_limits(fit, limits)
    p = len(fit.spec.columns)
    flat = ExpectedTime(fit, np.zeros(p), np.eye(p) * 1e-12, np.full(len(fit.spec.factors), 1e3), None)
    assert best_trial(flat, here, dials_of(fit, movable, present), all_allowed, 1) is None


def test_what_lies_farther_out_than_was_run_is_called_a_guess():
    fit, limits, present, here = case()
    found = trial_for(fit, limits, present, here, None)
    assert found is not None
    assert found.is_guess == ("a guess" in found.sentence)
    far = here.copy()
    far[fit.spec.index("preload")] += 9
    assert not _is_guess(fit, here, here)
    assert _is_guess(fit, here, far)
