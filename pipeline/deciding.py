"""From what the model knows to a decision: the next setting, the sheet for the dash, the test plan."""

from __future__ import annotations

from dataclasses import dataclass

import duckdb

from pipeline.car_data import CarData, car_facts, read_car_data
from pipeline.logbook import Garage
from pipeline.model.curves import rpm_by_track_temp
from pipeline.model.fit import fit_season
from pipeline.model.forecast import read_forecast
from pipeline.model.limits import car_limits, present_settings
from pipeline.model.next_setting import suggest_next
from pipeline.model.response_fit import ResponseFit, fit_response
from pipeline.model.results import NextSetting, RpmPoint, SeasonFit, TestPlan, Wear
from pipeline.model.test_plan import plan_runs
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
    launch = fitted.responses.get("t60")
    assert data.wear is not None  # worked out whenever the fit is not read
    return FittedCar(
        fit=fitted.season,
        wear=data.wear,
        next_setting=None if launch is None else _suggest(data, launch, ForecastAsked(), quick_only=False),
        test_plan=None if launch is None else _plan(data, launch, SEASON_PLAN_RUNS),
    )


def suggest(
    data: CarData, asked: ForecastAsked, *, quick_only: bool
) -> tuple[NextSetting, tuple[RpmPoint, ...]]:
    """Suggest the next setting under a forecast, with the launch rpm by track temperature for the dash.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        When the forecast can not be read.
    """
    launch = _launch_fit(data)
    return _suggest(data, launch, asked, quick_only=quick_only), rpm_by_track_temp(launch)


def plan_tests(data: CarData, n_runs: int) -> TestPlan:
    """Plan test runs.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        For a number of runs that can not be planned.
    """
    return _plan(data, _launch_fit(data), n_runs)


def _launch_fit(data: CarData) -> ResponseFit:
    return fit_response(data.runs, car_facts(data.garage, data.car), "t60")


def _suggest(data: CarData, launch: ResponseFit, asked: ForecastAsked, *, quick_only: bool) -> NextSetting:
    forecast = read_forecast(
        asked, runs=data.runs, weather=data.weather, track=data.track, garage=data.garage
    )
    limits = car_limits(data.garage, data.car, data.runs)
    return suggest_next(launch, limits, _present(data), forecast, quick_only=quick_only)


def _plan(data: CarData, launch: ResponseFit, n_runs: int) -> TestPlan:
    limits = car_limits(data.garage, data.car, data.runs)
    return plan_runs(launch, limits, _present(data), n_runs, seed=PLAN_SEED)


def _present(data: CarData) -> dict[str, float]:
    return present_settings(data.runs, data.setups, (item.name for item in data.garage.adjustments))
