"""The parts of a gain: they add up, one move has it all, and a move that does nothing has nothing."""

import numpy as np
import pytest

from pipeline.decide.gain_parts import gain_parts
from pipeline.season.expected_time import ExpectedTime
from tests.decide.test_next_setting import fitted

ADDS_UP_S = 1e-12


@pytest.fixture(scope="module")
def expected() -> ExpectedTime:
    return ExpectedTime.of(fitted())


def moved_to(expected: ExpectedTime, **steps: float) -> tuple[np.ndarray, np.ndarray]:
    here = np.zeros(len(expected.fit.spec.factors))
    there = here.copy()
    for name, step in steps.items():
        there[expected.fit.spec.index(name)] = step
    return here, there


def test_the_parts_of_several_moves_add_up_to_the_whole_gain(expected: ExpectedTime) -> None:
    here, there = moved_to(expected, preload=0.5, counterweight=1.0, launch_rpm=-2.0)
    parts = gain_parts(expected, here, there)
    assert {part.factor for part in parts} == {"preload", "counterweight", "launch_rpm"}
    whole = float(expected.difference(here, there).mean[0])
    assert sum(part.seconds for part in parts) == pytest.approx(whole, abs=ADDS_UP_S)
    assert [part.seconds for part in parts] == sorted(part.seconds for part in parts)


def test_one_move_has_the_whole_gain_with_its_interval(expected: ExpectedTime) -> None:
    here, there = moved_to(expected, preload=1.0)
    (part,) = gain_parts(expected, here, there)
    whole = expected.difference(here, there)
    found = (part.seconds, part.low_s, part.high_s)
    assert found == pytest.approx((whole.mean[0], whole.low[0], whole.high[0]), abs=ADDS_UP_S)


def test_staying_has_no_parts(expected: ExpectedTime) -> None:
    here, _ = moved_to(expected)
    assert gain_parts(expected, here, here) == ()
