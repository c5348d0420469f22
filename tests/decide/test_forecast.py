"""Forecasts: any unit in, missing parts from the last reading, and every such part said."""

import re
from datetime import datetime

import polars as pl
import pytest

from pipeline.decide.forecast import read_forecast
from pipeline.errors import RequestError
from pipeline.garage.logbook import Garage
from pipeline.workspace import ForecastAsked

GARAGE = Garage.model_validate(
    {
        "venue": [
            {"name": "Cinder Flats", "also": ["Cinder"], "elevation": "1250 ft"},
            {"name": "High Mesa", "elevation": "4900 ft"},
            {"name": "Nowhere"},
        ]
    }
)
RUNS = pl.DataFrame(
    {
        "run_id": [1, 2],
        "run_at": [datetime(2031, 5, 1, 12), datetime(2031, 6, 1, 12)],
        "venue": ["Cinder Flats", "High Mesa"],
        "track_temp_degf": [101.0, 118.0],
        "air_temp_degf": [80.0, 90.0],
        "station_pressure_inhg": [28.5, 25.1],
        "vapor_pressure_inhg": [0.5, 0.3],
    }
)
WEATHER = pl.DataFrame(
    {
        "read_at": [datetime(2031, 5, 1, 11), datetime(2031, 5, 1, 15)],
        "venue": ["Cinder Flats", "Cinder Flats"],
        "air_temp_degf": [78.0, 84.0],
        "pressure_inhg": [28.60, 29.92],
        "pressure_kind": ["station", "altimeter"],
        "humidity_pct": [50.0, None],
        "dew_point_degf": [None, 60.0],
        "wet_bulb_degf": [None, None],
        "grains": [None, None],
    },
    schema_overrides={"wet_bulb_degf": pl.Float64, "grains": pl.Float64},
)
TRACK = pl.DataFrame(
    {"read_at": [datetime(2031, 5, 1, 16)], "venue": ["Cinder Flats"], "track_temp_degf": [97.0]}
)
STANDARD_AT_1250_FT_INHG = 28.592  # US Standard Atmosphere 1976: 29.92126 (1 - 6.8756e-6 x 1250)^5.2559


def read(garage=GARAGE, runs=RUNS, weather=WEATHER, track=TRACK, **asked):
    return read_forecast(ForecastAsked(**asked), runs=runs, weather=weather, track=track, garage=garage)


def test_everything_typed_is_used_and_nothing_filled():
    found = read(
        venue="cinder flats", track_temp="35C", air_temp="84F", pressure="28.60 inHg", humidity="55%"
    )
    assert found.track_temp_degf == pytest.approx(95.0)
    assert found.station_pressure_inhg == pytest.approx(28.60)
    assert found.humidity_pct == pytest.approx(55.0)
    assert found.filled_from == ()
    assert found.venue == "Cinder Flats"


@pytest.mark.parametrize("pressure", ["28.60", "726.44 mmHg", "968.5 hPa", "96.85 kPa station", "14.047 psi"])
def test_pressure_in_any_unit(pressure):
    found = read(venue="Cinder", track_temp="95", air_temp="84", pressure=pressure, humidity="55")
    assert found.station_pressure_inhg == pytest.approx(28.60, abs=0.005)


@pytest.mark.parametrize("pressure", ["29.92 inHg altimeter", "1013.2 hPa alt"])
def test_altimeter_setting_is_brought_to_the_strip(pressure):
    found = read(venue="Cinder", track_temp="95", air_temp="84", pressure=pressure, humidity="55")
    assert found.station_pressure_inhg == pytest.approx(STANDARD_AT_1250_FT_INHG, abs=0.01)


def test_a_pressure_that_can_not_be_the_stations_is_read_as_altimeter_and_said():
    found = read(venue="High Mesa", track_temp="95", air_temp="84", pressure="29.92", humidity="55")
    assert found.station_pressure_inhg == pytest.approx(24.98, abs=0.02)
    assert "altimeter" in found.filled_from[0]


def test_air_matches_the_density_of_a_published_example():
    # ISO 2533 sea-level dry air: 15 degC, 1013.25 hPa -> 1.225 kg/m3, density altitude 0 ft.
    found = read(venue="Nowhere", track_temp="95", air_temp="15C", pressure="1013.25 hPa", humidity="0%")
    assert found.air_density_kg_per_m3 == pytest.approx(1.225, rel=1e-4)
    assert found.density_altitude_ft == pytest.approx(0.0, abs=5)


def test_humidity_may_be_a_dew_point_grains_or_a_fraction():
    def humidity(text):
        return read(
            venue="Cinder", track_temp="95", air_temp="85F", pressure="29.92 inHg station", humidity=text
        )

    # 85 degF, 50 %: dew point 64.29 degF and 90.2 grains at 14.696 psi (ASHRAE through a public library).
    assert humidity("64.29F dew point").humidity_pct == pytest.approx(50, abs=0.1)
    assert humidity("90.18 gr/lb").humidity_pct == pytest.approx(50, abs=0.3)
    fraction = humidity("0.5")
    assert fraction.humidity_pct == pytest.approx(50)
    assert fraction.filled_from[0].startswith("the humidity, 0.5, is read as a share, 50 %")
    assert humidity("0.5%").humidity_pct == pytest.approx(0.5)


def test_missing_parts_come_from_the_last_reading_at_the_venue_and_are_said():
    found = read(venue="Cinder")
    assert found.track_temp_degf == 97.0
    assert found.air_temp_degf == 84.0
    assert found.station_pressure_inhg == pytest.approx(STANDARD_AT_1250_FT_INHG, abs=0.01)
    assert found.humidity_pct == pytest.approx(44.4, abs=0.5)  # dew point 60 degF in air of 84 degF
    assert len(found.filled_from) == 2
    assert all("2031-05-01" in said and "Cinder Flats" in said for said in found.filled_from)
    assert all(said.startswith("not given: ") for said in found.filled_from)


@pytest.mark.parametrize(
    ("column", "value"),
    # 85 degF and 50 % at 14.696 psi: wet bulb 70.78 degF, 90.18 grains (ASHRAE through a public library).
    [("humidity_pct", 50.0), ("dew_point_degf", 64.29), ("wet_bulb_degf", 70.78), ("grains", 90.18)],
)
def test_humidity_of_a_reading_in_whichever_form_it_was_written(column, value):
    dry = {
        name: pl.lit(None, pl.Float64)
        for name in ("humidity_pct", "dew_point_degf", "wet_bulb_degf", "grains")
    }
    last = WEATHER.tail(1).with_columns(
        air_temp_degf=pl.lit(85.0), pressure_inhg=pl.lit(29.921), pressure_kind=pl.lit("station"),
        **(dry | {column: pl.lit(value)}),
    )  # fmt: skip
    assert read(venue="Cinder", weather=last).humidity_pct == pytest.approx(50, abs=0.3)


def test_a_reading_without_humidity_leaves_the_air_unknown():
    none = WEATHER.tail(1).with_columns(dew_point_degf=pl.lit(None, pl.Float64))
    found = read(venue="Cinder", weather=none)
    assert found.humidity_pct is None
    assert found.air_density_kg_per_m3 is None


def test_typed_air_keeps_the_water_of_the_last_reading_not_its_humidity():
    warm, cool = (read(venue="Cinder", air_temp=temp).humidity_pct for temp in ("95F", "40F"))
    assert warm < 44
    assert cool == pytest.approx(100)


def test_without_a_venue_the_last_run_says_where_and_runs_stand_in_for_readings():
    found = read()
    assert found.venue == "High Mesa"
    assert found.track_temp_degf == 118.0
    assert found.air_temp_degf == 84.0  # no weather at High Mesa: the last reading anywhere,
    assert found.station_pressure_inhg == pytest.approx(24.98, abs=0.02)  # brought to its height
    assert "for want of any at High Mesa" in found.filled_from[1]
    alone = read(weather=WEATHER.clear(), track=TRACK.clear())
    assert alone.air_temp_degf == 90.0
    assert alone.station_pressure_inhg == pytest.approx(25.1)


def test_pressure_of_a_strip_of_unknown_height_is_not_carried_elsewhere():
    found = read(venue="Nowhere")
    assert found.air_temp_degf == 84.0
    assert found.station_pressure_inhg is None
    assert found.air_density_kg_per_m3 is None


def test_an_empty_logbook_gives_an_empty_forecast_that_says_so():
    found = read(runs=RUNS.clear(), weather=WEATHER.clear(), track=TRACK.clear())
    assert found.track_temp_degf is None
    assert found.air_density_kg_per_m3 is None
    assert "no track temperature" in found.filled_from[0]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"venue": "Cindr Flats"}, "Did you mean 'Cinder Flats'"),
        ({"venue": "Xyzzy"}, "Strips here: Cinder Flats, High Mesa, Nowhere"),
        ({"track_temp": "95 psi"}, "--track-temp '95 psi'"),
        ({"track_temp": "hot"}, "--track-temp 'hot'"),
        ({"track_temp": "300F"}, "outside 25 to 190"),
        ({"air_temp": "84 in"}, "--air-temp"),
        ({"humidity": "130%"}, "outside 0 to 100"),
        ({"pressure": "3 inHg"}, "outside 20 to 32"),
        ({"venue": "Nowhere", "pressure": "29.92 altimeter"}, "elevation is not known"),
        ({"humidity": "90 gr/lb"}, "needs the pressure"),
    ],
)
def test_what_can_not_be_a_forecast_is_refused_with_a_remedy(asked, words):
    with pytest.raises(RequestError, match=re.escape(words)):
        read(**({"venue": "Cinder"} | asked))
