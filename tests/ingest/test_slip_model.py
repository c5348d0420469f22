"""The cloud of one car's slips, against numbers drawn from a known one."""

import numpy as np
import pytest

from pipeline.ingest.slip_model import fit_cloud, usual_cloud

ALL = np.ones(7, dtype=bool)


def drawn(runs: int) -> np.ndarray:
    usual = usual_cloud(within=True)
    return np.random.default_rng(1).multivariate_normal(usual.middle, usual.spread, runs)


def test_a_number_left_out_is_expected_near_where_it_was() -> None:
    runs = drawn(80)
    expected, _ = fit_cloud(runs[:60], ALL).each_from_others(runs[60:])
    assert np.abs(np.exp(expected - runs[60:]) - 1)[:, 1:].mean() < 0.005


def test_a_few_wild_runs_do_not_widen_the_cloud() -> None:
    runs = drawn(60)
    wild = runs.copy()
    wild[:5, 3] += 0.5
    clean, spoiled = fit_cloud(runs, ALL), fit_cloud(wild, ALL)
    assert np.diag(spoiled.spread) == pytest.approx(np.diag(clean.spread), rel=0.6)
    assert spoiled.distance(wild[:1])[0] > 1000


@pytest.mark.parametrize("runs", [0, 3, 40])
def test_some_numbers_alone_have_a_cloud_of_their_own(runs: int) -> None:
    has = np.array([True, True, False, True, False, False, False])
    cloud = fit_cloud(drawn(runs), has)
    assert cloud.middle.shape == (3,)
    assert (np.linalg.eigvalsh(cloud.spread) > 0).all()
