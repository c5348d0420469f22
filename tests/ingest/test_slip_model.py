"""The cloud of one car's slips, against numbers drawn from a known one."""

import numpy as np
import pytest

from pipeline.ingest.slip_model import fit_cloud, usual_cloud
from pipeline.ingest.slip_stories import stories_of

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


MISSED, QUICKER = np.array([0.0, 0.3, 0.3, 0.0, 0.3, 0.3, 0.0]), np.array([-0.3, 0, 0, 0, 0, 0, 0])


@pytest.mark.parametrize(
    ("added_s", "is_explained"), [(MISSED, True), (-MISSED, False), (QUICKER, False)],
    ids=["time lost between two splits", "time won between two splits", "a start too quick"],
)  # fmt: skip
def test_lost_time_is_a_story_and_won_time_is_none(added_s: np.ndarray, is_explained: bool) -> None:
    cloud = fit_cloud(drawn(60), ALL)
    logs = np.log(np.exp(cloud.middle) + added_s)[None, :]
    surprise = stories_of(cloud, ALL, is_noted=False).surprise(logs)[0] - cloud.log_size()
    assert (surprise < 16) == is_explained
    assert cloud.distance(logs)[0] > 60
