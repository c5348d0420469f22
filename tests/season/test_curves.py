"""Curves, pairs and the best launch rpm: consistent with the fit they are drawn from."""

import numpy as np
import pytest

from pipeline.season.curves import before_after, curves, edge_sentences, partial_residuals, rpm_by_track_temp
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, Truth, season

SAME = 1e-9


@pytest.fixture(scope="module")
def fitted():
    return fit_response(season(41, runs=120, events=10), FACTS)


def test_a_run_stands_off_its_curve_by_its_residual(fitted):
    points = [p for p in partial_residuals(fitted) if p.adjustment == "preload"]
    at = fitted.state[:, fitted.spec.index("preload")]
    states = np.zeros_like(fitted.state)
    states[:, fitted.spec.index("preload")] = at
    curve = fitted.difference(np.zeros((1, states.shape[1])), states).mean
    off = np.array([p.seconds for p in points]) - curve
    assert off == pytest.approx(fitted.posterior.residuals, abs=SAME)


def test_curve_reaches_past_what_was_tried_on_both_sides_and_says_so(fitted):
    points = [p for p in curves(fitted) if p.adjustment == "counterweight"]
    tried = fitted.runs["counterweight_g"]
    assert points[0].value < tried.min() < tried.max() < points[-1].value
    assert [p.supported for p in points] == [tried.min() <= p.value <= tried.max() for p in points]
    assert all(p.low_s <= p.seconds <= p.high_s for p in points)
    inside = [p.value for p in points if p.supported]
    assert (inside[0], inside[-1]) == pytest.approx((tried.min(), tried.max()), abs=SAME)


def test_a_pair_with_one_change_is_adjusted_for_weather_alone(fitted):
    pairs = {(p.run_before, p.adjustment): p for p in before_after(fitted)}
    runs = {row["run_id"]: row for row in fitted.runs.iter_rows(named=True)}
    assert pairs
    for pair in pairs.values():
        before, after = runs[pair.run_before], runs[pair.run_after]
        assert before["event"] == after["event"] == pair.event
        assert pair.difference_s == pytest.approx(after["t60_s"] - before["t60_s"], abs=SAME)


def test_expected_change_of_a_pair_is_its_part_of_the_path(fitted):
    pair = next(p for p in before_after(fitted) if p.adjustment == "preload")
    row = fitted.runs["run_id"].to_list().index(pair.run_after)
    steps = fitted.state[row] - fitted.state[row - 1]
    middle = (fitted.state[row] + fitted.state[row - 1]) / 2
    slope = (fitted.slope("preload", over=middle[None]) @ fitted.posterior.mean)[0]
    moved = steps[fitted.spec.index("preload")]
    assert pair.expected_s == pytest.approx(slope * moved, abs=5e-4)  # midpoint rule, curved basis


def test_best_rpm_band_holds_its_point_and_draws_are_repeated(fitted):
    points = rpm_by_track_temp(fitted)
    assert points == rpm_by_track_temp(fitted)
    assert all(p.low_rpm <= p.launch_rpm <= p.high_rpm for p in points)
    heat = fitted.runs["track_temp_degf"]
    for point in points:
        if point.supported:
            assert ((heat - point.track_temp_f).abs() <= 6).sum() >= 3


@pytest.mark.parametrize(("per_step_s", "edge", "end"), [(-0.008, "highest", 6670), (0.012, "lowest", 5300)])
def test_a_best_at_an_end_of_what_was_tried_is_a_state_of_its_own(per_step_s, edge, end):
    # An end must gain more than the likelier spin or bog it brings costs, or the best lies inside.
    straight = Truth(rpm_curve=0.0, rpm_by_temp=0.0, rpm=per_step_s)
    points = rpm_by_track_temp(fit_response(season(41, runs=120, events=10, truth=straight), FACTS))
    assert {(p.launch_rpm, p.edge, p.supported) for p in points} == {(end, edge, False)}
    beyond = {"highest": "higher", "lowest": "lower"}[edge]
    assert edge_sentences(points) == (
        "On a track at 70 to 120 degF the best launch rpm is the "
        f"{edge} tried; try {beyond}, inside your limits.",
    )


def test_no_track_temperature_no_sheet(fitted):
    fit = fit_response(season(41, runs=40, events=4).drop("track_temp_degf"), FACTS)
    assert rpm_by_track_temp(fit) == ()


def test_a_band_of_every_rpm_there_was_is_not_settled(fitted):
    index = fitted.spec.index("launch_rpm")
    few = rpm_by_track_temp(fitted, rpm_steps=np.array([-0.01, 0.0, 0.01]))
    assert any(not point.settled for point in few)
    tried = fitted.state[:, index]
    wide = rpm_by_track_temp(fitted, rpm_steps=np.linspace(tried.min(), tried.max(), 41))
    for points, grid in ((few, (-0.01, 0.01)), (wide, (tried.min(), tried.max()))):
        factor = fitted.spec.factor("launch_rpm")
        ends = [factor.reference + factor.step * end for end in grid]
        for point in points:
            assert point.settled is not (
                np.isclose(point.low_rpm, ends[0]) and np.isclose(point.high_rpm, ends[1])
            )
    assert any(point.settled for point in wide)
