from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import power

MASS, POWER, WAY = st.floats(500.0, 3000.0), st.floats(5e4, 3e6), st.floats(10.0, 500.0)


@given(MASS, POWER, WAY)
def test_speed_times_time_is_one_and_a_half_ways(mass: float, watts: float, way: float) -> None:
    product = power.time_at_constant_power(mass, watts, way) * power.speed_at_constant_power(mass, watts, way)
    assert product == pytest.approx(1.5 * way, rel=1e-12)


@given(MASS, POWER, WAY, st.floats(0.01, 1.0))
def test_split_fraction_is_the_share_of_the_time(mass: float, watts: float, way: float, share: float) -> None:
    part = power.time_at_constant_power(mass, watts, max(way * share, 0.1))
    whole = power.time_at_constant_power(mass, watts, way)
    assert power.split_fraction(max(way * share, 0.1), way) == pytest.approx(part / whole, rel=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: power.time_at_constant_power(0.0, 1e5, 400.0),
        lambda: power.speed_at_constant_power(1e3, 0.0, 400.0),
        lambda: power.split_fraction(1320.0, 660.0),
        lambda: power.trap_share(60.0, 66.0),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
