"""What ``next`` promises comes true, in small; the whole table: ``python -m tests.simulation.gains 40``."""

import numpy as np
import pytest

from tests.simulation import gains
from tests.simulation.gains import FIRST, WORLDS, Promise, better_when_sure, came_of, line, promise, promises

QUICK = "few_events"
"""A world whose seasons are short, and without the table of motions, which takes minutes to make."""
LEAST_CAME, MOST_CAME, MOST_WORSE = 0.85, 1.2, 0.03
SAMPLING = 0.25
"""Of the ratio, with two hundred seasons of a world."""


def test_what_came_is_held_to_what_was_said():
    found = [
        Promise(0.010, 0.008, 0.02, 0.97, useless=False),
        Promise(0.010, -0.002, 0.02, 0.85, useless=True),
        Promise(0.0, 0.0, 0.02, None, useless=False),
    ]
    assert came_of(found) == pytest.approx(0.3)
    assert gains.worse(found) == pytest.approx(1 / 3)
    assert better_when_sure(found, 0.95, 0.99) == (1, 0.97, 1.0)
    assert better_when_sure(found, 0.8, 0.9) == (1, 0.85, 0.0)
    assert better_when_sure(found, 0.9, 0.95)[0] == 0
    assert line("any", found).count("|") == gains.HEADING.splitlines()[0].count("|")


def test_a_promise_is_looked_up_in_the_night_to_come():
    found = promise(QUICK, FIRST)
    assert found == promise(QUICK, FIRST)
    assert found.feasible_s > 0
    assert (found.p_better is None) == (found.said_s == 0.0)
    assert found.said_s > 0 or found.came_s == 0.0
    assert np.isfinite(found.came_s)


@pytest.mark.long
@pytest.mark.parametrize("name", WORLDS)
def test_gains_come_true(name):
    found = promises(name, range(FIRST, FIRST + 200))
    assert LEAST_CAME - SAMPLING <= came_of(found) <= MOST_CAME + SAMPLING
    assert gains.worse(found) <= MOST_WORSE + 0.02
