from __future__ import annotations

import numpy as np
import pytest

from sample_timeslips import season_plan
from sample_timeslips.planted_truth import best_launch_rpm, step_effects
from sample_timeslips.season_plan import conditions_of, settings_of


@pytest.fixture(scope="module")
def effects():
    """Mean step effects over every fifth run: enough to rank them, a fifth of the time."""
    runs = season_plan.make().runs[::5]
    return {name: each.mean() for name, each in step_effects(settings_of(runs), conditions_of(runs)).items()}


def test_preload_matters_most(effects):
    assert max(effects, key=lambda name: abs(effects[name])) == "preload_turns"
    assert effects["preload_turns"] < -0.005


def test_tire_pressure_is_exactly_nothing(effects):
    assert effects["tire_pressure_psi"] == 0.0


def test_the_locked_pair_pulls_the_same_way(effects):
    # More counterweight always came with fewer clicks: both quicken the launch.
    assert effects["counterweight_g"] < -0.002
    assert effects["shock_clicks"] > 0.0004


def test_best_launch_rpm_moves_down_with_heat():
    best = [best_launch_rpm(temp)[0] for temp in (80.0, 100.0, 120.0)]
    assert (np.diff(best) < -200).all()
