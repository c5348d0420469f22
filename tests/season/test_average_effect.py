"""The effect on the mean time: the clean one, and what going wrong adds to it."""

from dataclasses import replace

import numpy as np
import pytest

from pipeline.season import regimes
from pipeline.season.average_effect import on_average
from pipeline.season.effects import effects
from pipeline.season.response_fit import fit_response
from tests.simulation.worlds.making import world

STRAIGHT = 0.02  # of an effect: half a step of a curve against its slope


@pytest.fixture(scope="module")
def wrong():
    season = world("cliff", 13)  # past some rpm the tires let go
    return fit_response(season.runs, season.facts, "t60")


def test_more_of_what_spins_costs_more_on_average_than_in_a_clean_launch(wrong):
    clean = wrong.posterior.contrast(wrong.slope("launch_rpm"))
    mean, low, high = on_average(wrong, "launch_rpm", clean)
    assert mean > float(clean.mean[0]) + 0.003
    assert high - low > float(clean.high[0] - clean.low[0])


def test_what_is_added_is_the_change_of_the_time_lost_and_its_spread_that_of_draws(wrong):
    still = replace(wrong.posterior.contrast(wrong.slope("launch_rpm")), mean=np.zeros(1), sd=np.zeros(1))
    mean, low, high = on_average(wrong, "launch_rpm", still)
    found, i = wrong.regimes, wrong.spec.index("launch_rpm")
    ends = []
    for way in (0.1, -0.1):
        state = wrong.state.copy()
        state[:, i] += way
        ends.append(regimes.features(wrong.spec, state))
    lost = [found.expected_loss(end)[0].mean() for end in ends]
    assert mean == pytest.approx((lost[0] - lost[1]) / 0.2, rel=STRAIGHT)
    rng = np.random.default_rng(1)
    drawn = []
    for _ in range(400):
        odds = [rng.multivariate_normal(w, c) for w, c in zip(found.weights, found.covs, strict=True)]
        loss = found.loss_s * np.exp(found.loss_log_sd * rng.standard_normal(2))
        other = replace(found, weights=np.array(odds), loss_s=loss)
        drawn.append(np.subtract(*(other.expected_loss(end)[0].mean() for end in ends)) / 0.2)
    assert (high - low) / 3.92 == pytest.approx(np.std(drawn), rel=0.35)


def test_without_launches_that_go_wrong_there_is_none(wrong):
    clean = wrong.posterior.contrast(wrong.slope("launch_rpm"))
    assert on_average(replace(wrong, regimes=None), "launch_rpm", clean) is None


def test_the_row_says_it_where_it_is_of_note(wrong):
    rows = {effect.adjustment: effect for effect in effects(wrong)}
    assert "Launches that go wrong counted in, 100 rpm more comes to" in rows["launch_rpm"].sentence
    assert "counted in" not in rows["shock_clicks"].sentence
