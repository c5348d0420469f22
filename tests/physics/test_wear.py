from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics.wear import Slope, growth_per_run, runs_to_limit, shim_stack, theil_sen

THOU = 0.0254e-3


def test_no_pair_crosses_a_service() -> None:
    runs = [0, 10, 20, 20, 30, 40]
    height = [2.150, 2.155, 2.160, 2.150, 2.155, 2.160]
    service = [0, 0, 0, 1, 1, 1]
    found = growth_per_run(runs, height, service)
    assert found.slope == pytest.approx(0.0005)
    assert found.pairs == 6
    assert theil_sen(runs, height).slope < 0.0005


def test_the_growth_is_known_no_better_than_a_caliper_tells() -> None:
    # Heights on a line bound Sen's slope to nothing; a thousandth at each end of 40 runs is 0.00005 in a run.
    runs = np.arange(0.0, 41.0, 5.0)
    found = growth_per_run(runs, (2.150 + 0.0004 * runs) * 0.0254, [0] * runs.size)
    assert (found.low, found.slope, found.high) == pytest.approx((0.35 * THOU, 0.40 * THOU, 0.45 * THOU))


def test_a_ring_does_not_shrink() -> None:
    runs = np.arange(0.0, 41.0, 5.0)
    assert growth_per_run(runs, 2.150 - 0.0004 * runs, [0] * runs.size).slope == 0.0
    assert math.isnan(growth_per_run([5.0, 9.0], [2.150, 2.151], [0, 1]).slope)


def test_one_wild_height_hardly_moves_the_growth() -> None:
    runs = np.arange(0.0, 50.0, 5.0)
    height = 2.150 + 0.0004 * runs
    height[4] += 0.030
    assert theil_sen(runs, height).slope == pytest.approx(0.0004, rel=0.05)


def test_the_interval_covers_the_true_growth_as_often_as_it_says() -> None:
    rng = np.random.default_rng(7)
    runs = np.array([0, 6, 13, 19, 27, 0, 8, 15, 22, 30], dtype=float)
    service = np.repeat([0, 1], 5)
    hits = 0
    for _ in range(400):
        height = 2.15 + 0.0005 * runs + rng.normal(0, 0.0015, runs.size)
        found = growth_per_run(runs, height, service)
        hits += found.low <= 0.0005 <= found.high
    # 95 % within three standard errors of 400 tries; Sen's rank limits are a little wide at this size.
    assert 0.92 <= hits / 400 <= 1.0


@pytest.mark.parametrize(
    ("x", "y"), [([], []), ([1.0], [2.0]), ([3.0, 3.0], [1.0, 2.0]), ([1.0, 2.0], [1.0, math.nan])]
)
def test_too_little_says_nothing(x: list[float], y: list[float]) -> None:
    found = theil_sen(x, y)
    assert math.isnan(found.slope)
    assert found.pairs == 0


def test_two_points_have_a_slope_but_no_interval() -> None:
    found = theil_sen([0.0, 10.0], [2.150, 2.155])
    assert found.slope == pytest.approx(0.0005)
    assert math.isnan(found.low)
    assert math.isnan(found.high)


def test_five_points_are_the_fewest_that_bound_the_growth() -> None:
    # Sen: of ten pair slopes C = 1.96 sqrt(5 x 4 x 15 / 18) = 8.0, so the ranks are the first and the last.
    five = theil_sen([0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 1.0, 3.0, 6.0, 10.0])
    assert (five.low, five.high) == (1.0, 4.0)
    four = theil_sen([0.0, 1.0, 2.0, 3.0], [0.0, 1.0, 3.0, 6.0])
    assert math.isnan(four.low)
    assert math.isnan(four.high)


FORECASTS = [
    (5 * THOU, Slope(0.5 * THOU, 0.25 * THOU, 1.0 * THOU, 9), (30.0, 15.0, 60.0)),
    (21 * THOU, Slope(0.5 * THOU, 0.25 * THOU, 1.0 * THOU, 9), (0.0, 0.0, 0.0)),
    (20 * THOU, Slope(0.5 * THOU, 0.25 * THOU, 1.0 * THOU, 9), (0.0, 0.0, 0.0)),
    (5 * THOU, Slope(0.0, -0.1 * THOU, 1.0 * THOU, 9), (math.inf, 15.0, math.inf)),
    (5 * THOU, Slope(math.nan, math.nan, math.nan, 0), (math.nan, math.nan, math.nan)),
]


@pytest.mark.parametrize(("grown", "growth", "expected"), FORECASTS)
def test_runs_to_the_service_limit(grown: float, growth: Slope, expected: tuple[float, ...]) -> None:
    found = runs_to_limit(grown, 20 * THOU, growth)
    assert (found.runs, found.sooner, found.later) == pytest.approx(expected, nan_ok=True)


STACKS = [
    # wanted, may exceed, pieces in thousandths
    (12, False, (10,)),
    (15, False, (15,)),
    (17, False, (15,)),
    (20, False, (15, 5)),
    (14, True, (15,)),
    (12, True, (10,)),
    (4, False, ()),
    (4, True, (5,)),
    (0, False, ()),
    (-3, False, ()),
]


@pytest.mark.parametrize(("wanted", "may_exceed", "pieces"), STACKS)
def test_shims_nearest_to_the_growth(wanted: int, may_exceed: bool, pieces: tuple[int, ...]) -> None:
    found = shim_stack([5 * THOU, 10 * THOU, 15 * THOU], wanted * THOU, may_exceed=may_exceed)
    assert [round(piece / THOU, 6) for piece in found.pieces_m] == list(pieces)
    assert found.total_m == pytest.approx(sum(pieces) * THOU)


@given(st.lists(st.integers(2, 30), min_size=1, max_size=4, unique=True), st.integers(0, 90), st.booleans())
def test_no_stack_is_nearer(kinds: list[int], wanted: int, may_exceed: bool) -> None:
    found = shim_stack([kind * THOU for kind in kinds], wanted * THOU, may_exceed=may_exceed, most_pieces=3)
    sums = [0] + [
        sum(pieces) for count in (1, 2, 3) for pieces in itertools.combinations_with_replacement(kinds, count)
    ]
    best = min(abs(wanted - total) for total in sums if may_exceed or total <= wanted)
    assert abs(found.left_m) / THOU == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: runs_to_limit(0.0, 0.0, Slope(1e-6, 1e-6, 1e-6, 3)),
        lambda: shim_stack([0.0], 1e-3),
        lambda: shim_stack([1e-4], 1e-3, most_pieces=50),
        lambda: theil_sen([1, 2], [1, 2], level=1.5),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]


def test_no_shims_on_hand_is_no_stack() -> None:
    assert shim_stack([], 1e-3).pieces_m == ()
