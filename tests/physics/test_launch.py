from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import launch

INERTIA = st.floats(0.01, 10.0)
SPEED = st.floats(10.0, 1000.0)


@given(INERTIA, INERTIA, SPEED, st.floats(0.0, 1000.0))
def test_heat_is_the_energy_that_is_gone(i1: float, i2: float, w1: float, w2: float) -> None:
    common = launch.speed_after_locking(i1, i2, w1, w2)
    gone = 0.5 * i1 * w1**2 + 0.5 * i2 * w2**2 - 0.5 * (i1 + i2) * common**2
    assert launch.heat_free(i1, i2, w1, w2) == pytest.approx(gone, rel=1e-6, abs=1e-4)


@given(INERTIA, INERTIA, SPEED, st.floats(50.0, 2000.0))
def test_heat_is_torque_times_slip_over_the_time_to_lock(
    i1: float, i2: float, w: float, torque: float
) -> None:
    lock = launch.time_to_lock(i1, i2, w, 0.0, torque)
    if lock < 60.0:
        assert launch.heat_falling_slip(torque, w, lock) == pytest.approx(launch.heat_free(i1, i2, w, 0.0))


def test_a_launch_lies_between_its_limits() -> None:
    heat = launch.heat_of_launch(1200.0, 0.03, 0.25, 650.0)
    assert heat.load_inertia == pytest.approx(1.08)
    assert heat.engine_free_j == pytest.approx(launch.heat_free(0.25, 1.08, 650.0, 0.0))
    assert heat.engine_held_j == pytest.approx(0.5 * 1.08 * 650.0**2)
    assert heat.engine_free_j < heat.engine_held_j


@pytest.mark.parametrize(
    "call",
    [
        lambda: launch.heat_free(0.0, 1.0, 600.0, 0.0),
        lambda: launch.time_to_lock(1.0, 1.0, 600.0, 0.0, 0.0),
        lambda: launch.heat_falling_slip(500.0, 600.0, -1.0),
        lambda: launch.temp_rise(1e5, 0.0),
        lambda: launch.heat_of_launch(1200.0, 30.0, 0.25, 650.0),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
