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
from pipeline.season.fit import FittedSeason, fit_night, fit_season
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

    def put_into(self, data: CarData) -> CarData:
        """Return what is known of the car with these results in it."""
        return replace(
            data,
            fit=self.fit,
            wear=self.wear,
            next_setting=self.next_setting,
            plan=self.test_plan,
            phone_model=self.phone_model,
        )


def fit_cars(
    con: duckdb.DuckDBPyConnection, garage: Garage, mark: str | None, *, fresh: bool = False
) -> dict[str, CarData]:
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

    Returns
    -------
    dict
        The data of the cars that were fitted, by name, with the results in them.
    """
    known = {} if fresh else fitted_marks(con)
    found, marks, fitted = [], {}, {}
    for car in car_names(con):
        data = read_car_data(con, garage, car, with_fit=False)
        marks[car] = _mark_of(data)
        is_known = known.get(car) == marks[car]
        found.append(_read_back(con, car) if is_known else _fit_car(data))
        if not is_known:
            fitted[car] = found[-1].put_into(data)
    with transaction(con):
        write_season_fits(con, [each.fit for each in found])
        write_every_run(con)
        for table in SINGLE_TABLES:
            records = {each.fit.car: getattr(each, table) for each in found}
            write_single(con, table, {car: record for car, record in records.items() if record})
        remember_fits(con, mark, marks)
    return fitted


def with_night(con: duckdb.DuckDBPyConnection, data: CarData, event: str, *, fresh: bool = False) -> CarData:
    """Put into a car's data what the report of a night shows of its fit: a third of the whole one's work.

    The whole one is taken instead where the store has it of just this content. What is worked out here is
    stored nowhere: the tables of results are those of whole fits.

    Parameters
    ----------
    con
        A writable store in which ingest has run.
    data
        The car's part of it, without a fit.
    event
        The night.
    fresh
        Fit again even so.
    """
    if not fresh and fitted_marks(con).get(data.car) == _mark_of(data):
        return _read_back(con, data.car).put_into(data)
    assert data.wear is not None  # worked out whenever the fit is not read
    fitted = fit_night(data.runs, car_facts(data.garage, data.car), event=event)
    return decide(data, fitted, data.wear, plan_runs=0).put_into(data)


def _fit_car(data: CarData) -> FittedCar:
    assert data.wear is not None  # as above
    return decide(data, fit_season(data.runs, car_facts(data.garage, data.car)), data.wear)


def _mark_of(data: CarData) -> str:
    """Return the digest of all that a car's fit and decisions are made of."""
    frames = (data.runs, data.checks, data.setups, data.services, data.weather, data.track)
    return frames_mark((*frames, data.car, data.garage, data.doubts, data.wear, data.given))


def _read_back(con: duckdb.DuckDBPyConnection, car: str) -> FittedCar:
    singles: dict[str, Any] = {table: read_single(con, table, car) for table in SINGLE_TABLES}
    return FittedCar(fit=read_season_fit(con, car), **singles)


def decide(data: CarData, fitted: FittedSeason, wear: Wear, plan_runs: int = SEASON_PLAN_RUNS) -> FittedCar:
    """Decide from a fitted season, under the conditions of the last event.

    Launch rpm by track temperature is given at the present clutch setting and inside the limits only.
    No test runs are planned where ``plan_runs`` is 0.
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
        test_plan=plan_from(data, launch, plan_runs) if launch is not None and plan_runs else None,
        phone_model=None if launch is None else phone_model(data, launch),
    )
