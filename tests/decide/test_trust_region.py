"""The trust region: what was tried is inside, what was not is outside, also out of a line."""

from functools import cache

import numpy as np

from pipeline.decide.trust_region import SHARE, trust_region
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, season


@cache
def fitted(locked=False):
    return fit_response(season(4, locked=locked), FACTS)


def test_nineteen_in_twenty_runs_and_the_present_setting_are_inside():
    fit = fitted()
    centre = fit.state.mean(0)
    region = trust_region(fit, centre)
    assert abs(region.holds(fit.state).mean() - SHARE) < 0.02
    far = centre.copy()
    far[fit.spec.index("preload")] += 9
    assert not region.holds(far[None])[0]
    assert trust_region(fit, far).holds(far[None])[0]


def test_conditions_do_not_count():
    fit = fitted()
    hot = fit.state.mean(0)
    hot[fit.spec.index("track_temp")] += 50
    assert trust_region(fit, fit.state.mean(0)).holds(hot[None])[0]


def test_a_locked_pair_may_move_along_its_line_and_not_across_it():
    fit = fitted(locked=True)
    here = fit.state.mean(0)
    preload, weight = fit.spec.index("preload"), fit.spec.index("counterweight")
    along, across = here.copy(), here.copy()
    along[[preload, weight]] += (0.5, 0.75)
    across[[preload, weight]] += (0.5, -0.75)
    assert trust_region(fit, here).holds(np.stack([along, across])).tolist() == [True, False]
    # A plan is there to part them.
    assert trust_region(fit, here, joint=False).holds(np.stack([along, across])).tolist() == [True, True]
