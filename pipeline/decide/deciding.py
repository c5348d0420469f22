"""From one fitted response to a decision: the next setting, the sheet for the dash, the test plan.

Nothing here imports what only the whole season needs, so that ``next`` and ``plan`` begin quickly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import polars as pl

from pipeline.decide.advice import judged, since_last
from pipeline.decide.dash import dash_sheet
from pipeline.decide.forecast import read_forecast
from pipeline.decide.holding import Holding, holding_of
from pipeline.decide.next_setting import present_state, suggest_next
from pipeline.decide.phone_model import phone_model
from pipeline.decide.plan_words import with_minutes
from pipeline.decide.results import Forecast, NextSetting, PhoneModel, Purpose, TestPlan
from pipeline.decide.safety import limits_now, settings_now, warnings_of
from pipeline.decide.test_plan import plan_runs
from pipeline.season.car_data import CarData, car_facts, labels_of
from pipeline.season.regime_effects import launch_chances
from pipeline.season.response_fit import ResponseFit, fit_response
from pipeline.season.results import Advice, LaunchChance, Risk, RpmPoint, SafetyWarning
from pipeline.workspace import ForecastAsked

PLAN_SEED = 1


def suggest(
    data: CarData, asked: ForecastAsked, *, quick_only: bool, risk: Risk = "cautious"
) -> tuple[NextSetting, tuple[RpmPoint, ...], PhoneModel]:
    """Suggest the next setting under a forecast, with the dash sheet and what the phone page computes with.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        When the forecast cannot be read.
    """
    launch = launch_fit(data)
    choice = suggestion_from(data, launch, asked, quick_only=quick_only, risk=risk)
    told = hotter_than_run(choice.forecast, data.runs)
    since = since_last(choice, data.given, data.runs, labels_of(data.garage))
    return (
        replace(choice, warnings=(*told, *choice.warnings), since_last=since),
        dash_from(data, launch),
        phone_model(data, launch, risk),
    )


def hotter_than_run(forecast: Forecast, runs: pl.DataFrame) -> tuple[SafetyWarning, ...]:
    """Say that the track to come is hotter than at any run; nothing when it is not, or is not known.

    Parameters
    ----------
    forecast
        What is to come.
    runs
        The car's rows of ``runs``.
    """
    hottest = runs["track_temp_degf"].max()
    track = forecast.track_temp_degf
    if track is None or not isinstance(hottest, int | float) or track <= hottest:
        return ()
    text = (
        f"The track to come, {track:.0f} °F, is hotter than at any run so far (at most {hottest:.0f} °F): "
        "what follows reaches past what you have run."
    )
    return (SafetyWarning("hotter_than_run", text),)


def plan_tests(data: CarData, n_runs: int, wanted: Sequence[str] = (), purpose: Purpose = "60ft") -> TestPlan:
    """Plan test runs of the wanted adjustments, or of all that may be changed.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        For a number of runs that cannot be planned.
    """
    return plan_from(data, launch_fit(data), n_runs, wanted, purpose)


def launch_fit(data: CarData) -> ResponseFit:
    """Fit the 60 ft times of a car, of which decisions are made."""
    return fit_response(data.runs, car_facts(data.garage, data.car), "t60")


def suggestion_from(
    data: CarData,
    launch: ResponseFit,
    asked: ForecastAsked,
    *,
    quick_only: bool,
    risk: Risk = "cautious",
) -> NextSetting:
    """Return the next setting that a fitted response speaks for, with what has to be said first."""
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


def plan_from(
    data: CarData,
    launch: ResponseFit,
    n_runs: int,
    wanted: Sequence[str] = (),
    purpose: Purpose = "60ft",
) -> TestPlan:
    """Return the test runs a fitted response has most to gain from; none while a setting is in question."""
    if data.doubts:
        sentence = "No test is planned: the present setting or a limit of it is in question. Answer it first."
        return TestPlan(launch.response, (), (), (), (), sentence)
    holding = holding_of(data.garage_car, data.clutch, data.worn_now_in)
    planned = plan_runs(
        launch,
        limits_now(data),
        settings_now(data),
        n_runs,
        wanted=tuple(wanted) or None,
        purpose=purpose,
        holding=holding if isinstance(holding, Holding) else None,
        wear_in=data.worn_now_in,
        change_minutes=data.garage_car.change_minutes,
        seed=PLAN_SEED,
    )
    return with_minutes(planned, data.garage_car)


def advice_from(data: CarData, launch: ResponseFit) -> tuple[Advice, ...]:
    """Return what came of the advice given so far."""
    return judged(data.given, data.runs, launch, [item.name for item in data.garage.adjustments])


def chances_from(data: CarData, launch: ResponseFit) -> tuple[LaunchChance, ...]:
    """Return the chance of spinning and bogging with the clutch as it is set now."""
    return launch_chances(launch, present_state(launch, settings_now(data)))


def dash_from(data: CarData, launch: ResponseFit) -> tuple[RpmPoint, ...]:
    """Return launch rpm by track temperature; nothing while the present setting is in question."""
    return () if data.setting_in_question else dash_sheet(launch, limits_now(data), settings_now(data))
