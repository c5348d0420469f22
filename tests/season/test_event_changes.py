"""From one event to the next: the parts add up, and what was changed is what the settings are given."""

from itertools import pairwise

import numpy as np
import pytest

from pipeline.season.event_changes import event_changes
from pipeline.season.response_fit import fit_response
from pipeline.season.season_change import season_change
from tests.season.seasons import FACTS_WITHOUT_GEOMETRY, season

ADDS_UP = 1e-12


@pytest.fixture(scope="module")
def fit():
    return fit_response(season(5, runs=60, events=5), FACTS_WITHOUT_GEOMETRY)


def test_each_event_is_compared_with_the_one_before_and_the_parts_add_up(fit) -> None:
    found = event_changes(fit)
    assert [(one.event_before, one.event) for one in found] == list(
        zip(fit.events[:-1], fit.events[1:], strict=True)
    )
    for one in found:
        parts = sum(part.seconds for part in one.change.parts)
        assert abs(one.change.total_s - parts - one.change.unexplained_s) < ADDS_UP


def test_the_settings_together_are_the_sum_of_their_parts(fit) -> None:
    names = {factor.name for factor in fit.spec.factors if factor.is_setting}
    assert event_changes(fit)
    for one in event_changes(fit):
        parts = [part.seconds for part in one.change.parts if part.factor in names]
        assert one.settings is not None
        assert one.settings.seconds == pytest.approx(np.sum(parts), abs=1e-9)
        assert one.settings.low_s < one.settings.seconds < one.settings.high_s


def test_taken_all_at_once_each_change_is_what_it_is_alone(fit) -> None:
    for one, (before, event) in zip(event_changes(fit), pairwise(range(len(fit.events))), strict=True):
        alone = season_change(fit, fit.event == before, fit.event == event, one.change.title)
        assert [part.factor for part in one.change.parts] == [part.factor for part in alone.parts]
        ours, theirs = ([part.seconds for part in each.parts] for each in (one.change, alone))
        assert ours == pytest.approx(theirs, abs=1e-12)
