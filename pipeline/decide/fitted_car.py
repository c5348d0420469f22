"""The modelling stage of a logbook: every car fitted and decided from, or read back when nothing changed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import duckdb

from pipeline.decide.deciding import advice_from, chances_from, dash_from, plan_from, suggestion_from
from pipeline.decide.phone_model import phone_model
from pipeline.decide.results import NextSetting, PhoneModel, TestPlan
from pipeline.garage.logbook import Garage
from pipeline.season.car_data import CarData, car_facts, read_car_data
from pipeline.season.curves import edge_sentences
from pipeline.season.fit import FittedSeason, fit_season
from pipeline.season.results import Wear
from pipeline.season.season_fit import SeasonFit
from pipeline.store.database import transaction
from pipeline.store.remembered import fitted_marks, frames_mark, remember_fits
from pipeline.store.results_tables import (
    SINGLE_TABLES,
    read_season_fit,
    read_single,
    write_every_run,
    write_season_fits,
    write_single,
)
from pipeline.store.tables import car_names
from pipeline.workspace import ForecastAsked

SEASON_PLAN_RUNS = 8


@dataclass(frozen=True, slots=True)
class FittedCar:
    """What the modelling stage stores for one car."""

    fit: SeasonFit
    wear: Wear
    next_setting: NextSetting | None
    test_plan: TestPlan | None
    phone_model: PhoneModel | None


def fit_cars(
    con: duckdb.DuckDBPyConnection, garage: Garage, mark: str | None, *, fresh: bool = False
) -> None:
    """Fit every car, decide from it under the conditions of its last event, and store all results.

    A car of which nothing changed since keeps the results it has.

    Parameters
    ----------
    con
        A writable store in which ingest has run.
    garage
        What garage.toml says.
    mark
        Digest of the whole logbook, to remember the results by.
    fresh
        Fit every car again even so.
    """
    known = {} if fresh else fitted_marks(con)
    found, marks = [], {}
    for car in car_names(con):
        data = read_car_data(con, garage, car, with_fit=False)
        marks[car] = _mark_of(data)
        is_known = known.get(car) == marks[car]
        found.append(_read_back(con, car) if is_known else _fit_car(data))
    with transaction(con):
        write_season_fits(con, [each.fit for each in found])
        write_every_run(con)
        for table in SINGLE_TABLES:
            records = {each.fit.car: getattr(each, table) for each in found}
            write_single(con, table, {car: record for car, record in records.items() if record})
        remember_fits(con, mark, marks)


def _fit_car(data: CarData) -> FittedCar:
    assert data.wear is not None  # worked out whenever the fit is not read
    return decide(data, fit_season(data.runs, car_facts(data.garage, data.car)), data.wear)


def _mark_of(data: CarData) -> str:
    """Return the digest of all that a car's fit and decisions are made of."""
    frames = (data.runs, data.checks, data.setups, data.services, data.weather, data.track)
    return frames_mark((*frames, data.car, data.garage, data.doubts, data.wear, data.given))


def _read_back(con: duckdb.DuckDBPyConnection, car: str) -> FittedCar:
    singles: dict[str, Any] = {table: read_single(con, table, car) for table in SINGLE_TABLES}
    return FittedCar(fit=read_season_fit(con, car), **singles)


def decide(data: CarData, fitted: FittedSeason, wear: Wear) -> FittedCar:
    """Decide from a fitted season, under the conditions of the last event.

    Launch rpm by track temperature is given at the present clutch setting and inside the limits only.
    """
    launch = fitted.responses.get("t60")
    dash = () if launch is None else dash_from(data, launch)
    return FittedCar(
        fit=replace(
            fitted.season,
            sentences=(*fitted.season.sentences, *edge_sentences(dash)),
            rpm_by_track_temp=dash,
            launch_chances=() if launch is None else chances_from(data, launch),
            advice=() if launch is None else advice_from(data, launch),
        ),
        wear=wear,
        next_setting=None
        if launch is None
        else suggestion_from(data, launch, ForecastAsked(), quick_only=False),
        test_plan=None if launch is None else plan_from(data, launch, SEASON_PLAN_RUNS),
        phone_model=None if launch is None else phone_model(data, launch),
    )
