"""What made the spread between runs: the planted cause leads, shares add up, ties are mutual."""

import numpy as np
import pytest

from pipeline.season.response_fit import fit_response
from pipeline.season.shares import spread
from tests.season.seasons import FACTS, Truth, season


@pytest.fixture(scope="module")
def planted():
    return fit_response(
        season(5, truth=Truth(preload=-0.015, counterweight=0.0, rpm_curve=0.0, rpm_by_temp=0.0)), FACTS
    )


def test_the_planted_cause_leads_or_ties_and_its_size_is_in_its_interval(planted):
    found = {one.adjustment: one for one in spread(planted)}
    first = min(found.values(), key=lambda one: one.rank)
    true = 0.015 * float(planted.runs["preload_turns"].std(ddof=0))
    assert "preload" in {first.adjustment, *first.tied_with}
    assert found["preload"].low_s <= true <= found["preload"].high_s
    assert found["shock_clicks"].low_s < 0.001


def test_ranks_follow_sizes_and_ties_are_mutual(planted):
    found = {one.adjustment: one for one in spread(planted)}
    assert [one.rank for one in found.values()] == list(range(1, len(found) + 1))
    assert np.all(np.diff([one.seconds for one in found.values()]) <= 0)
    for name, one in found.items():
        assert one.low_s <= one.seconds <= one.high_s
        assert all(name in found[other].tied_with for other in one.tied_with)


def test_asked_twice_it_says_the_same(planted):
    assert spread(planted) == spread(planted)
