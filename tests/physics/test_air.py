from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import air
from pipeline.physics.vapor import vapor_pressure_from_humidity

psychrolib.SetUnitSystem(psychrolib.SI)

DEGC = st.floats(0.02, 54.9)
HUMIDITY = st.floats(0.0, 1.0)
PRESSURE = st.floats(70_000.0, 110_000.0)
ZERO = 273.15


def simple(degc: float, pressure: float, humidity: float) -> float:
    return air.density_simple(degc + ZERO, pressure, vapor_pressure_from_humidity(degc + ZERO, humidity))


@given(DEGC, PRESSURE, HUMIDITY)
def test_simple_mix_agrees_with_the_library(degc: float, pressure: float, humidity: float) -> None:
    ratio = psychrolib.GetHumRatioFromRelHum(degc, humidity, pressure)
    theirs = psychrolib.GetMoistAirDensity(degc, ratio, pressure)
    # Both are ideal mixes: the gas constants differ by 3.5e-5 and e_s by up to 7e-4 of the vapor's part.
    assert simple(degc, pressure, humidity) == pytest.approx(theirs, rel=1.2e-4)


@given(st.floats(0.0, 45.0), st.floats(80_000.0, 105_000.0), HUMIDITY)
def test_simple_mix_is_low_but_never_by_more_than_it_says(
    degc: float, pressure: float, humidity: float
) -> None:
    error = simple(degc, pressure, humidity) / air.density_cipm(degc + ZERO, pressure, humidity) - 1.0
    assert air.SIMPLE_MIX_ERROR[0] <= error <= air.SIMPLE_MIX_ERROR[1]


@given(DEGC, PRESSURE, HUMIDITY)
def test_hotter_wetter_or_thinner_air_is_lighter(degc: float, pressure: float, humidity: float) -> None:
    here = air.density_cipm(degc + ZERO, pressure, humidity)
    assert air.density_cipm(degc + ZERO - 1.0, pressure, humidity) > here
    assert air.density_cipm(degc + ZERO, pressure - 500.0, humidity) < here
    assert air.density_cipm(degc + ZERO, pressure, humidity / 2) >= here


def test_arrays_and_missing_values() -> None:
    found = air.density_cipm(np.array([290.0, np.nan]), np.array([1e5, 1e5]), np.array([0.5, 0.5]))
    assert found[0] == air.density_cipm(290.0, 1e5, 0.5)
    assert np.isnan(found[1])


@pytest.mark.parametrize(
    ("temp_k", "pressure", "humidity"), [(200.0, 1e5, 0.5), (290.0, 2e4, 0.5), (290.0, 1e5, 1.5)]
)
def test_cipm_refuses_what_is_out_of_range(temp_k: float, pressure: float, humidity: float) -> None:
    with pytest.raises(OutOfRange):
        air.density_cipm(temp_k, pressure, humidity)


def test_simple_mix_refuses_what_is_out_of_range() -> None:
    with pytest.raises(OutOfRange, match="vapor pressure of -1 Pa"):
        air.density_simple(290.0, 1e5, -1.0)
