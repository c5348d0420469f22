from __future__ import annotations

import numpy as np
import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import atmosphere as isa
from pipeline.physics.constants import FOOT_M, INHG_PA

HEIGHT = st.floats(-5000.0, 10_990.0)  # the library's range below the tropopause, as far as ours goes
ONE_FOOT_M = 0.3048


def geometric(height_m: float) -> float:
    return 6356766 * height_m / (6356766 - height_m)


@given(HEIGHT)
def test_the_library_agrees_over_the_whole_range(height_m: float) -> None:
    there = Atmosphere(geometric(height_m))
    assert isa.standard_temp(height_m) == pytest.approx(there.temperature[0], rel=1e-6)
    assert isa.standard_pressure(height_m) == pytest.approx(there.pressure[0], rel=1e-6)
    assert isa.standard_density(height_m) == pytest.approx(there.density[0], rel=1e-6)


@given(HEIGHT)
def test_density_altitude_of_the_librarys_air_is_within_a_foot(height_m: float) -> None:
    found = isa.density_altitude(float(Atmosphere(geometric(height_m)).density[0]))
    assert found == pytest.approx(height_m, abs=ONE_FOOT_M)


@given(HEIGHT)
def test_density_altitude_round_trip(height_m: float) -> None:
    assert isa.density_altitude(isa.standard_density(height_m)) == pytest.approx(height_m, abs=1e-6)


@given(st.floats(27.0, 32.0), st.floats(-300.0, 10_000.0))
def test_altimeter_round_trip(inhg: float, ft: float) -> None:
    station = isa.station_from_altimeter(inhg * INHG_PA, ft * FOOT_M)
    assert isa.altimeter_from_station(station, ft * FOOT_M) == pytest.approx(inhg * INHG_PA, rel=1e-12)
    assert (station < inhg * INHG_PA) == (ft > 0.0) or ft == pytest.approx(0.0, abs=1e-6)


def test_arrays_and_missing_values() -> None:
    found = isa.density_altitude(np.array([1.225, np.nan]))
    assert found[0] == 0.0
    assert np.isnan(found[1])


@pytest.mark.parametrize(
    "call",
    [
        lambda: isa.standard_temp(20_000.0),
        lambda: isa.density_altitude(0.1),
        lambda: isa.station_from_altimeter(29.92, 100.0),
        lambda: isa.station_from_altimeter(101_325.0, 9000.0),
        lambda: isa.altimeter_from_station(101_325.0, -9000.0),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
