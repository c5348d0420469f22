"""The mixed model of the reference library: near the truth of straight lines, silent where it cannot see."""

import pytest

from pipeline.season.effects import effects
from pipeline.season.mixed_check import mixed_check
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, season


def test_it_agrees_where_our_form_is_true():
    fit = fit_response(season(21, runs=120, events=10), FACTS)
    found = {row.adjustment: row for row in mixed_check(fit, effects(fit))}
    assert {"preload", "counterweight", "launch_rpm", "track_temp"} <= set(found)
    assert sum(row.agrees for row in found.values()) >= len(found) - 1
    assert all(row.low_s < row.effect_s < row.high_s for row in found.values())


def test_a_difference_is_said_with_both_numbers():
    fit = fit_response(season(21, runs=120, events=10), FACTS)
    row = {one.adjustment: one for one in mixed_check(fit, effects(fit))}["preload"]
    moved = next(e for e in effects(fit) if e.adjustment == "preload")
    assert row.sentence.startswith("Preload, 60 ft time: ")
    assert f"thousandths per {moved.step}" in row.sentence


@pytest.mark.parametrize(("runs", "events"), [(24, 2), (14, 4)])
def test_it_is_silent_where_it_cannot_see(runs, events):
    fit = fit_response(season(21, runs=runs, events=events), FACTS)
    assert mixed_check(fit, effects(fit)) == ()


def test_of_a_locked_pair_no_number_is_given():
    fit = fit_response(season(21, runs=120, events=10, locked=True), FACTS)
    assert "counterweight" not in {row.adjustment for row in mixed_check(fit, effects(fit))}
