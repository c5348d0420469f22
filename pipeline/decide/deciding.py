"""From what the model knows to a decision: the next setting, the sheet for the dash, the test plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import duckdb

from pipeline.decide.dash import dash_sheet
from pipeline.decide.forecast import read_forecast
from pipeline.decide.holding import holding_of
from pipeline.decide.next_setting import present_state, suggest_next
from pipeline.decide.safety import limits_now, settings_now, warnings_of
from pipeline.decide.test_plan import plan_runs
from pipeline.garage.logbook import Garage
from pipeline.season.car_data import CarData, car_facts, read_car_data
from pipeline.season.fit import FittedSeason, fit_season
from pipeline.season.regime_effects import launch_chances
from pipeline.season.response_fit import ResponseFit, fit_response
from pipeline.season.results import LaunchChance, NextSetting, Risk, RpmPoint, SeasonFit, TestPlan, Wear
from pipeline.workspace import ForecastAsked

SEASON_PLAN_RUNS = 8
PLAN_SEED = 1


@dataclass(frozen=True, slots=True)
class FittedCar:
    """What the modelling stage stores for one car."""

    fit: SeasonFit
    wear: Wear
    next_setting: NextSetting | None
    test_plan: TestPlan | None


def fit_car(con: duckdb.DuckDBPyConnection, garage: Garage, car: str) -> FittedCar:
    """Fit one car and decide from it, under the conditions of its last event.

    Parameters
    ----------
    con
        A store in which ingest has run.
    garage
        What garage.toml says.
    car
        The car's name.
    """
    data = read_car_data(con, garage, car, with_fit=False)
    fitted = fit_season(data.runs, car_facts(garage, car))
    assert data.wear is not None  # worked out whenever the fit is not read
    return decide(data, fitted, data.wear)


def decide(data: CarData, fitted: FittedSeason, wear: Wear) -> FittedCar:
    """Decide from a fitted season, under the conditions of the last event.

    Launch rpm by track temperature is given at the present clutch setting and inside the limits only.
    """
    launch = fitted.responses.get("t60")
    return FittedCar(
        fit=replace(
            fitted.season,
            rpm_by_track_temp=() if launch is None else _dash(data, launch),
            launch_chances=() if launch is None else _chances(data, launch),
        ),
        wear=wear,
        next_setting=None if launch is None else _suggest(data, launch, ForecastAsked(), quick_only=False),
        test_plan=None if launch is None else _plan(data, launch, SEASON_PLAN_RUNS),
    )


def suggest(
    data: CarData, asked: ForecastAsked, *, quick_only: bool, risk: Risk = "cautious"
) -> tuple[NextSetting, tuple[RpmPoint, ...]]:
    """Suggest the next setting under a forecast, with the launch rpm by track temperature for the dash.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        When the forecast cannot be read.
    """
    launch = _launch_fit(data)
    return _suggest(data, launch, asked, quick_only=quick_only, risk=risk), _dash(data, launch)


def plan_tests(data: CarData, n_runs: int, wanted: Sequence[str] = ()) -> TestPlan:
    """Plan test runs, to learn about the wanted adjustments or about all that were ever changed.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        For a number of runs that cannot be planned.
    """
    return _plan(data, _launch_fit(data), n_runs, wanted)


def _launch_fit(data: CarData) -> ResponseFit:
    return fit_response(data.runs, car_facts(data.garage, data.car), "t60")


def _suggest(
    data: CarData,
    launch: ResponseFit,
    asked: ForecastAsked,
    *,
    quick_only: bool,
    risk: Risk = "cautious",
) -> NextSetting:
    forecast = read_forecast(
        asked, runs=data.runs, weather=data.weather, track=data.track, garage=data.garage
    )
    choice = suggest_next(
        launch,
        limits_now(data),
        settings_now(data),
        forecast,
        quick_only=quick_only,
        risk=risk,
        holding=holding_of(data.garage_car, data.clutch, data.worn_now_in),
        wear_in=data.worn_now_in,
        doubts=data.doubts,
    )
    return replace(choice, warnings=warnings_of(data))


def _plan(data: CarData, launch: ResponseFit, n_runs: int, wanted: Sequence[str] = ()) -> TestPlan:
    if data.doubts:
        sentence = "No test is planned: the present setting or a limit of it is in question. Answer it first."
        return TestPlan(launch.response, (), (), (), (), sentence)
    limits, present = limits_now(data), settings_now(data)
    return plan_runs(launch, limits, present, n_runs, wanted=tuple(wanted) or None, seed=PLAN_SEED)


def _chances(data: CarData, launch: ResponseFit) -> tuple[LaunchChance, ...]:
    """Chance of spinning and bogging with the clutch as it is set now."""
    return launch_chances(launch, present_state(launch, settings_now(data)))


def _dash(data: CarData, launch: ResponseFit) -> tuple[RpmPoint, ...]:
    return () if data.setting_in_question else dash_sheet(launch, limits_now(data), settings_now(data))
