import numpy as np
import pytest

from pipeline.season import shape

STEPS = np.array([-2.0, -1.0, -1.0, 0.0, 0.5, 1.0, 2.5, 4.0])


@pytest.mark.parametrize("powers", shape.bends(STEPS))
def test_slope_is_that_of_the_value(powers):
    numeric = (shape.value(powers, STEPS + 1e-5) - shape.value(powers, STEPS - 1e-5)) / 2e-5
    assert shape.slope(powers, STEPS) == pytest.approx(numeric, abs=1e-8)


@pytest.mark.parametrize("powers", shape.bends(STEPS))
def test_no_parabola_can_stand_in_for_a_bend_and_it_grows_beyond_what_was_tried(powers):
    even = np.linspace(-4, 4, 41)
    at = np.r_[np.tile(STEPS, 41), np.tile(even, STEPS.size)]  # both with equal weight
    parabola = np.vander(at, 3)
    assert parabola.T @ shape.value(powers, at) == pytest.approx(0.0, abs=1e-9)
    assert abs(shape.value(powers, np.array(6.0))) > 3 * np.abs(shape.value(powers, STEPS)).max()


def test_a_setting_hardly_moved_gets_no_steeper_bend():
    (cubic, _) = shape.bends(np.array([-0.1, 0.0, 0.1]))
    assert abs(shape.value(cubic, np.array(shape.LEAST_REACH))) < 1.0
