from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import ranges, vapor, wet_bulb

psychrolib.SetUnitSystem(psychrolib.SI)

# The library's own whole range on liquid water, as far as ours goes: it turns to ice below 0.01 degC.
DEGC = st.floats(0.02, 60.0)
HUMIDITY = st.floats(0.01, 1.0)
PRESSURE = st.floats(ranges.LEAST_PRESSURE_PA, ranges.MOST_PRESSURE_PA)
SATURATION = 7e-4  # Buck 1996 against the library's form of IAPWS-IF97
DEW_POINT_K = 0.02
WET_BULB_K = 0.012
ZERO = 273.15


@given(DEGC)
def test_saturation_agrees_with_the_library(degc: float) -> None:
    ours = vapor.saturation_vapor_pressure(degc + ZERO)
    assert ours == pytest.approx(psychrolib.GetSatVapPres(degc), rel=SATURATION)


@given(DEGC, HUMIDITY, PRESSURE)
def test_grains_agree_with_the_library(degc: float, humidity: float, pressure: float) -> None:
    ours = vapor.grains(vapor.vapor_pressure_from_humidity(degc + ZERO, humidity), pressure)
    theirs = 7000 * psychrolib.GetHumRatioFromRelHum(degc, humidity, pressure)
    assert ours == pytest.approx(theirs, rel=1.3 * SATURATION)  # p - e in the denominator adds to the misfit


@given(DEGC, HUMIDITY)
def test_dew_point_agrees_with_the_library(degc: float, humidity: float) -> None:
    vapor_pa = vapor.vapor_pressure_from_humidity(degc + ZERO, humidity)
    assume(vapor_pa > 615.0)  # a dew point above freezing
    theirs = psychrolib.GetTDewPointFromVapPres(degc, vapor_pa)
    assert vapor.dew_point(vapor_pa) - ZERO == pytest.approx(theirs, abs=DEW_POINT_K)


@given(DEGC, HUMIDITY, PRESSURE)
def test_wet_bulb_agrees_with_the_library(degc: float, humidity: float, pressure: float) -> None:
    theirs = psychrolib.GetTWetBulbFromRelHum(degc, humidity, pressure)
    assume(theirs > 0.05)
    ours = wet_bulb.wet_bulb(degc + ZERO, vapor.vapor_pressure_from_humidity(degc + ZERO, humidity), pressure)
    assert ours - ZERO == pytest.approx(theirs, abs=WET_BULB_K)


@given(DEGC, HUMIDITY, PRESSURE)
def test_wet_bulb_round_trip(degc: float, humidity: float, pressure: float) -> None:
    vapor_pa = vapor.vapor_pressure_from_humidity(degc + ZERO, humidity)
    wet = wet_bulb.wet_bulb(degc + ZERO, vapor_pa, pressure)
    back = wet_bulb.vapor_pressure_from_wet_bulb(degc + ZERO, wet, pressure)
    assert back == pytest.approx(vapor_pa, rel=1e-9, abs=1e-7)


@given(st.floats(ranges.COLDEST_K, ranges.HOTTEST_K))
def test_dew_point_round_trip(temp_k: float) -> None:
    assert vapor.dew_point(vapor.vapor_pressure_from_dew_point(temp_k)) == pytest.approx(temp_k, abs=1e-9)


@given(st.floats(0.0, 250.0), PRESSURE)
def test_grains_round_trip(grains: float, pressure: float) -> None:
    vapor_pa = vapor.vapor_pressure_from_grains(grains, pressure)
    assert vapor.grains(vapor_pa, pressure) == pytest.approx(grains, abs=1e-9)


@given(DEGC, st.floats(0.0, 1.0))
def test_humidity_round_trip(degc: float, humidity: float) -> None:
    vapor_pa = vapor.vapor_pressure_from_humidity(degc + ZERO, humidity)
    assert vapor.relative_humidity(degc + ZERO, vapor_pa) == pytest.approx(humidity, abs=1e-12)


def test_arrays_keep_their_shape_and_missing_values() -> None:
    temps = np.array([[290.0, np.nan], [300.0, 310.0]])
    found = vapor.saturation_vapor_pressure(temps)
    assert found.shape == (2, 2)
    assert np.isnan(found[0, 1])
    assert found[1, 0] == vapor.saturation_vapor_pressure(300.0)


REFUSED = [
    (
        lambda: vapor.saturation_vapor_pressure(400.0),
        "air temperature of 400 K is outside 233.15 to 333.15 K",
    ),
    (
        lambda: vapor.vapor_pressure_from_humidity(300.0, 55.0),
        "relative humidity of 55 (fraction) is outside",
    ),
    (lambda: vapor.dew_point(1.0), "vapor pressure of 1 Pa"),
    (
        lambda: wet_bulb.vapor_pressure_from_wet_bulb(290.0, 295.0, 1e5),
        "wet bulb less air temperature of 5 K",
    ),
    (
        lambda: wet_bulb.vapor_pressure_from_wet_bulb(310.0, 280.0, 1e5),
        "vapor pressure from the wet bulb of -",
    ),
    (lambda: vapor.humidity_ratio(2000.0, 29.9), "air pressure of 29.9 Pa"),
    (lambda: wet_bulb.wet_bulb(300.0, 5000.0, 1e5), "relative humidity of 1.41"),
    (lambda: vapor.vapor_pressure_from_grains(-1.0, 1e5), "humidity ratio of -"),
]


@pytest.mark.parametrize(("call", "sentence"), REFUSED)
def test_what_can_not_be_is_refused_with_a_sentence(call: object, sentence: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert str(refused.value).startswith(sentence)


def test_infinity_is_refused_too() -> None:
    with pytest.raises(OutOfRange, match="inf"):
        vapor.saturation_vapor_pressure(float("inf"))
