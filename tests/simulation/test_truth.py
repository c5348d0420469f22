from __future__ import annotations

import numpy as np
import pytest

from sample_timeslips.launch_simulation import changed
from tests.simulation.seasons import simulated_season
from tests.simulation.truth import SETTING_NAMES, STEPS

SUM_S = 2e-5
"""Three Gauss nodes on a curved path: the rest is a fiftieth of a thousandth."""
RUNS = np.arange(120)


@pytest.fixture(scope="module")
def truth():
    return simulated_season(4, "follows_track").truth


@pytest.mark.parametrize("name", SETTING_NAMES)
@pytest.mark.parametrize("response", ["t60", "t60_330", "t330"])
def test_step_effect_is_the_mean_slope_times_the_step(truth, name, response):
    column = SETTING_NAMES[name]
    value, h = getattr(truth.settings, column), 0.01 * STEPS[name]
    more, less = (
        truth._times(changed(truth.settings, **{column: value + s * h}), truth.conditions, response)
        for s in (1, -1)
    )
    assert truth.step_effects(response)[name] == pytest.approx((more - less).mean() / 0.02, abs=1e-7)


def test_step_effect_of_some_runs_only(truth):
    some = truth.step_effects("t60", RUNS < 30)["preload"]
    assert some != truth.step_effects("t60")["preload"]


@pytest.mark.parametrize("response", ["t60", "t60_330", "t330"])
def test_parts_of_a_change_add_up(truth, response):
    first, second = RUNS < 40, RUNS >= 80
    mean = truth._times(truth.settings, truth.conditions, response)
    if response != "t60_330":
        mean = mean + truth.event_effect_s
    parts = truth.change_parts(first, second, response)
    assert sum(parts.values()) == pytest.approx(mean[second].mean() - mean[first].mean(), abs=SUM_S)
    assert parts["tire_pressure"] == 0.0


def test_difference_is_of_expected_times(truth):
    place = {"track_temp_degf": 100.0}
    stay, change = {"preload": 2.0, "launch_rpm": 6000.0}, {"preload": 3.0, "launch_rpm": 6500.0}
    worth = truth.difference_s(change, stay, place)
    assert worth == truth.expected_s(change, place) - truth.expected_s(stay, place)
    assert worth < 0


def test_best_in_box_beats_every_corner_and_the_middle(truth):
    box = {"preload": (2.0, 3.5), "counterweight": (3.0, 6.0), "launch_rpm": (5800.0, 7200.0)}
    place = {"track_temp_degf": 105.0}
    best, time = truth.best_in_box(box, {}, place)
    assert all(box[name][0] <= best[name] <= box[name][1] for name in box)
    for corner in np.array(np.meshgrid(*box.values())).reshape(3, -1).T:
        assert time <= truth.expected_s(dict(zip(box, corner, strict=True)), place) + 1e-9
    assert time < truth.expected_s({name: np.mean(ends) for name, ends in box.items()}, place)


def test_an_unknown_response_is_refused(truth):
    with pytest.raises(ValueError, match="t1320"):
        truth.step_effects("t1320")
