"""The scale of what bends and twists, learnt from the runs."""

import numpy as np
import pytest

from pipeline.season.grid import fit
from pipeline.season.prior_scale import Group, likeliest_scales
from pipeline.season.response_fit import fit_response
from pipeline.season.season_change import first_and_last_third
from pipeline.season.spec import SCALES
from tests.simulation.worlds.making import world

PRIOR = np.array([100.0, 10.0, 1.0, 1.0])
TWO = (Group(np.array([2]), (0.5, 1.0, 4.0)), Group(np.array([3]), (0.5, 1.0)))


def test_each_group_takes_the_scale_under_which_the_runs_are_likeliest():
    wanted = np.array([100.0, 10.0, 4.0, 0.5])
    found = likeliest_scales(PRIOR, TWO, lambda prior: -float(np.abs(prior - wanted).sum()))
    assert found.tolist() == wanted.tolist()
    assert PRIOR.tolist() == [100.0, 10.0, 1.0, 1.0]


def runs_of(bend, seed=3, count=120):
    """Runs over a straight line and a bend of so many times its prior sd, noise 1. x, y, z, event."""
    rng = np.random.default_rng(seed)
    u = rng.uniform(-2, 2, count)
    x = np.column_stack([np.ones(count), u, u**2, rng.normal(size=count)])
    event = np.repeat(np.arange(10), count // 10)
    y = 2 * u + bend * u**2 + rng.normal(size=10)[event] + rng.normal(size=count)
    return x, y, np.ones((count, 1)), event


@pytest.mark.parametrize(("bend", "scale"), [(0.0, 0.5), (4.0, 4.0)])
def test_a_fit_learns_how_far_a_season_bends(bend, scale):
    found = fit(*runs_of(bend), PRIOR, groups=TWO)
    assert found.prior[2] == scale * PRIOR[2]
    assert found.prior[:2].tolist() == PRIOR[:2].tolist()


def test_without_groups_priors_stay_as_they_are():
    assert fit(*runs_of(4.0), PRIOR).prior.tolist() == PRIOR.tolist()


def test_in_a_season_only_small_products_and_services_are_scaled():
    season = world("new_disc", 4)
    found = fit_response(season.runs, season.facts)
    columns = found.spec.columns
    ratio = (found.posterior.prior / found.spec.prior_sd)[: len(columns)]
    shared = np.array([c.scaled for c in columns])
    assert ratio[shared == ""] == pytest.approx(1.0)
    for name, scales in SCALES.items():
        assert set(ratio[shared == name].round(9)) <= set(scales)
        assert (shared == name).any()
    chosen = [c for c in columns if c.name in {"strain x air_density", "launch_rpm x track_temp"}]
    assert [c.scaled for c in chosen] == ["", ""]


def test_a_disc_that_is_soon_finished_is_seen():
    """A straight line and a parabola of 7 and 4 ms made half of what such a disc cost."""
    season = world("nonlinear_wear", 9002)
    found = fit_response(season.runs, season.facts)
    part = {one.factor: one for one in first_and_last_third(found).parts}["wear"]
    assert part.low_s <= 0.0486 <= part.high_s  # true part; the world's own figure
    assert part.high_s - part.low_s < 0.03


def test_a_disc_that_bites_otherwise_after_a_service_is_seen():
    """Wider scales are taken more often where services alter something than where they do not."""

    def wide(name):
        fits = [fit_response(one.runs, one.facts) for one in (world(name, seed) for seed in range(6))]
        return sum(2.5 in np.round(one.posterior.prior / one.spec.prior_sd, 9) for one in fits)

    assert wide("new_disc") > wide("own_form")
