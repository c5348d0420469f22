from __future__ import annotations

import pytest

from pipeline.store.build_runs import Reach
from tests.queries.given import at, runs_of, store

DRY = {"humidity_pct": 0.0}


def weather(clock: str, temp: float, pressure: float = 29.0, **more: object) -> dict[str, object]:
    return {"read_at": at(clock), "air_temp_degf": temp, "pressure_inhg": pressure, **DRY, **more}


def test_weather_is_straight_between_the_two_readings_round_a_run() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00")}, {"run_at": at("12:00")}, {"run_at": at("10:00")}],
        weather=[weather("10:00", 70.0, 29.0), weather("14:00", 90.0, 28.8)],
    )
    rows = runs_of(con, "air_temp_degf, station_pressure_inhg, weather_gap_h")
    assert [value for row in rows for value in row] == pytest.approx(
        [70.0, 29.0, 0.0, 75.0, 28.95, 1.0, 80.0, 28.9, 2.0]
    )


def test_one_sided_weather_counts_within_its_reach_only() -> None:
    slips = [{"run_at": at(clock)} for clock in ("06:59", "07:00", "13:00", "13:01")]
    con = store(timeslips=slips, weather=[weather("10:00", 70.0)])
    assert runs_of(con, "air_temp_degf, weather_gap_h") == [
        (None, None),
        (70.0, 3.0),
        (70.0, 3.0),
        (None, None),
    ]
    wider = runs_of(con, "weather_gap_h", Reach(weather_reach_h=4.0))
    assert [row[0] for row in wider] == pytest.approx([3 + 1 / 60, 3.0, 3.0, 3 + 1 / 60])


def test_readings_of_two_meetings_are_not_joined_by_a_line() -> None:
    con = store(
        timeslips=[{"run_at": at("03 12:00")}, {"run_at": at("04 09:00")}],
        weather=[weather("02 18:00", 70.0), weather("04 10:00", 90.0)],
    )
    assert runs_of(con, "air_temp_degf") == [(None,), (90.0,)]


def test_another_venues_weather_is_not_used() -> None:
    con = store(timeslips=[{"run_at": at("10:00")}], weather=[weather("10:00", 70.0, venue="Elsewhere")])
    assert runs_of(con, "air_temp_degf") == [(None,)]


def test_each_quantity_comes_from_the_readings_that_have_it() -> None:
    con = store(
        timeslips=[{"run_at": at("12:00")}],
        weather=[
            {"read_at": at("11:00"), "pressure_inhg": 29.0},
            {"read_at": at("11:30"), "air_temp_degf": 80.0, "humidity_pct": 0.0},
            {"read_at": at("12:30"), "air_temp_degf": 90.0, "humidity_pct": 0.0},
        ],
    )
    row = runs_of(con, "air_temp_degf, station_pressure_inhg, vapor_pressure_inhg, weather_gap_h")[0]
    assert row == (85.0, 29.0, 0.0, 1.0)


def test_two_readings_at_one_time_are_averaged() -> None:
    con = store(timeslips=[{"run_at": at("10:00")}], weather=[weather("10:00", 70.0), weather("10:00", 72.0)])
    assert runs_of(con, "air_temp_degf") == [(71.0,)]


def test_a_run_without_a_time_gets_the_days_mean_and_no_gap() -> None:
    con = store(
        timeslips=[{"run_at": at("00:00"), "has_time": False}],
        weather=[weather("10:00", 70.0), weather("14:00", 90.0), weather("03 10:00", 50.0)],
    )
    assert runs_of(con, "air_temp_degf, weather_gap_h") == [(80.0, None)]


def test_a_reading_without_a_time_stands_for_its_day() -> None:
    noon = [
        weather("12:00", 70.0),
        weather("12:00", 72.0),
        weather("03 12:00", 50.0),
        weather("03 10:00", 60.0),
    ]
    con = store(timeslips=[{"run_at": at("18:00")}, {"run_at": at("03 18:00")}], weather=noon)
    assert runs_of(con, "air_temp_degf, weather_gap_h") == [(71.0, None), (None, None)]


def test_a_pressure_of_no_stated_kind_is_the_strips_own() -> None:
    con = store(
        timeslips=[{"run_at": at("10:00")}], weather=[weather("10:00", 70.0, 28.5, pressure_kind=None)]
    )
    assert runs_of(con, "station_pressure_inhg") == [(28.5,)]


def test_an_altimeter_setting_becomes_station_pressure() -> None:
    # Standard atmosphere, checks of section 4.3 [derived]: 30.10 inHg at 1200 ft.
    con = store(
        timeslips=[{"run_at": at("10:00")}],
        weather=[weather("10:00", 70.0, 30.10, pressure_kind="altimeter")],
    )
    assert runs_of(con, "station_pressure_inhg")[0][0] == pytest.approx(28.8189, abs=6e-5)


def test_an_altimeter_setting_without_an_elevation_is_not_guessed() -> None:
    con = store(
        garage={"venues": [{"venue": "Cinder Flats"}]},
        timeslips=[{"run_at": at("10:00")}],
        weather=[weather("10:00", 70.0, 30.10, pressure_kind="altimeter")],
    )
    assert runs_of(con, "station_pressure_inhg, air_density_kg_per_m3") == [(None, None)]


HUMIDITY = [
    # Four ways to write the same air: 85 degF, 29.92 inHg, 50 % (section 2.2 [lib], rounded).
    ({"humidity_pct": 50.0}, 1e-9),
    ({"dew_point_degf": 64.29}, 0.02),
    ({"wet_bulb_degf": 70.78}, 0.04),
    ({"grains": 90.18}, 0.1),
]


@pytest.mark.parametrize(("written", "tolerance"), HUMIDITY)
def test_humidity_from_whatever_was_written(written: dict[str, float], tolerance: float) -> None:
    reading = {"read_at": at("10:00"), "air_temp_degf": 85.0, "pressure_inhg": 29.92, **written}
    con = store(timeslips=[{"run_at": at("10:00")}], weather=[reading])
    humidity, vapor = runs_of(con, "humidity_pct, vapor_pressure_inhg")[0]
    assert humidity == pytest.approx(50.0, abs=tolerance)
    assert vapor == pytest.approx(0.6071, abs=0.0012)


def test_air_between_two_saturated_readings_is_saturated() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00")}],
        weather=[weather("10:00", 50.0, humidity_pct=100.0), weather("12:00", 80.0, humidity_pct=100.0)],
    )
    assert runs_of(con, "humidity_pct") == [(100.0,)]


def test_relative_humidity_comes_before_the_others() -> None:
    reading = {"read_at": at("10:00"), "air_temp_degf": 85.0, "humidity_pct": 50.0, "grains": 10.0}
    con = store(timeslips=[{"run_at": at("10:00")}], weather=[reading])
    assert runs_of(con, "humidity_pct")[0][0] == pytest.approx(50.0)


def test_the_air_columns_at_a_known_state() -> None:
    # Sections 4.2 and 5 [derived]: 85 degF, 29.92 inHg, 50 %.
    con = store(
        timeslips=[{"run_at": at("10:00")}], weather=[weather("10:00", 85.0, 29.92, humidity_pct=50.0)]
    )
    row = runs_of(con, "air_density_kg_per_m3, density_altitude_ft, j607_factor, j1349_factor")[0]
    assert row[0] == pytest.approx(1.157528, rel=1e-6)
    assert row[1] == pytest.approx(1923.3, abs=0.1)
    assert row[2:] == pytest.approx((1.04497, 1.00559), abs=2e-5)


WINDS = [("head", 8.0), ("Tailwind", -8.0), ("from behind", None), ("left", 0.0), ("NNW", None), (None, None)]


@pytest.mark.parametrize(("wind_from", "headwind"), WINDS)
def test_headwind_is_known_only_along_the_strip(wind_from: str | None, headwind: float | None) -> None:
    reading = weather("10:00", 70.0, wind_speed_mph=8.0, wind_from=wind_from)
    con = store(timeslips=[{"run_at": at("10:00")}], weather=[reading])
    assert runs_of(con, "headwind_mph") == [(headwind,)]


def track(clock: str, temp: float, lane: str | None = None) -> dict[str, object]:
    return {"read_at": at(clock), "track_temp_degf": temp, "lane": lane}


def test_the_runs_own_lane_comes_before_all_lanes() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00"), "lane": lane} for lane in ("left", "right", None)],
        track=[track("10:00", 100.0, "left"), track("12:00", 110.0, "left"), track("11:30", 90.0)],
    )
    rows = runs_of(con, "lane, track_temp_degf, track_temp_gap_h")
    assert rows[0] == ("left", 105.0, 1.0)
    assert rows[1][1:] == pytest.approx((100.0 + (90.0 - 100.0) / 1.5, 0.5))
    assert rows[2][1:] == rows[1][1:]


def test_a_track_temperature_on_the_slip_wins() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00"), "track_temp_degf": 118.0}, {"run_at": at("11:00")}],
        track=[track("11:00", 100.0)],
    )
    assert runs_of(con, "track_temp_degf, track_temp_gap_h") == [(118.0, 0.0), (100.0, 0.0)]


def test_a_track_temperature_under_question_is_missing_and_the_run_still_counts() -> None:
    con = store(
        timeslips=[{"run_at": at("11:00"), "questioned": ["track_temp_degf"]}], track=[track("11:00", 100.0)]
    )
    assert runs_of(con, "track_temp_degf, use_t60, questioned") == [(None, True, ["track_temp_degf"])]


def test_track_readings_reach_less_far_than_weather() -> None:
    slips = [{"run_at": at(clock)} for clock in ("12:00", "12:01")]
    con = store(timeslips=slips, track=[track("10:00", 100.0)])
    assert runs_of(con, "track_temp_degf, track_temp_gap_h") == [(100.0, 2.0), (None, None)]
