from __future__ import annotations

import numpy as np
import pytest

from sample_timeslips.launch_simulation import Conditions, Settings, expected_times
from tests.simulation.launch_table import AXES, launch_table, points

RMS_S = 0.001
"""A tenth of a run's noise: the table is then the simulation for every purpose here."""
SLOPE_REL = 1e-3
"""Central differences of the table against its own derivative."""


def states(count=60, seed=1):
    rng = np.random.default_rng(seed)
    settings = Settings(
        rng.uniform(1, 4, count),
        rng.uniform(2, 8, count),
        rng.uniform(5400, 7500, count),
        np.full(count, 10.0),
        rng.uniform(3, 9, count),
    )
    conditions = Conditions(
        rng.uniform(72, 118, count),
        rng.uniform(1.04, 1.19, count),
        rng.uniform(0, 0.015, count),
        1 + 0.006 * rng.normal(size=count),
    )
    return settings, conditions


@pytest.mark.parametrize(("row", "response"), [(0, "t60_s"), (1, "t330_s")])
def test_table_is_the_simulation(row, response):
    settings, conditions = states()
    read = launch_table().times(points(settings, conditions))[row]
    assert np.sqrt(np.mean((read - expected_times(settings, conditions, response)) ** 2)) < RMS_S


@pytest.mark.parametrize("axis", range(len(AXES)))
def test_slopes_are_those_of_the_times(axis):
    at = points(*states(seed=2))
    step = np.zeros(len(AXES))
    step[axis] = (0.01, 0.01, 1.0, 0.01, 0.001, 0.001)[axis]
    central = (launch_table().times(at + step) - launch_table().times(at - step)) / (2 * step[axis])
    exact = launch_table().slopes(at)[:, :, axis]
    assert np.abs(central - exact).max() < SLOPE_REL * np.abs(exact).max()
