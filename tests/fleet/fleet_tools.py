"""Short ways through the fleet's parts, for its tests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import duckdb
import numpy as np
import polars as pl

from pipeline.fleet import basis as fb
from pipeline.fleet.engine import KnownCars, OneMachine
from pipeline.fleet.model import FleetModel, information_of, sum_fleet
from pipeline.fleet.prior import Pooled, pool
from pipeline.fleet.read import FleetCar, load_cars
from pipeline.fleet.sums import FleetSums, fit_alone, run_variance
from tests.fleet.fleets import Fleet, fleet


def cars_of(runs: pl.DataFrame, clutch_type: str = "ten-spring single disc") -> list[FleetCar]:
    """One FleetCar a car of a simulated fleet."""
    parts = runs.with_columns(use_t60=pl.lit(True)).partition_by("car", maintain_order=True)
    return [FleetCar(part["car"][0], "logbook", clutch_type, part) for part in parts]


@contextmanager
def loaded(runs: pl.DataFrame) -> Iterator[OneMachine]:
    """A database in memory with the runs in it."""
    with duckdb.connect() as con:
        load_cars(con, cars_of(runs))
        yield OneMachine(con)


def sums_of(runs: pl.DataFrame, *, batch_cars: int = OneMachine.batch_cars, **options: object) -> FleetSums:
    """Sums of one simulated fleet."""
    with loaded(runs) as engine:
        engine.batch_cars = batch_cars
        (sums,) = sum_fleet(engine, KnownCars.of(engine), **options).values()  # type: ignore[arg-type]
    return sums


def new_cars(model: FleetModel, runs: pl.DataFrame) -> tuple[np.ndarray, Pooled]:
    """Own-data means (K, p) and pooled estimates of cars the fleet has not seen."""
    sums = sums_of(runs, ladder=tuple(model.sums.lam))
    fits = fit_alone(sums, fb.weak_prior_sd("t60"))
    information = information_of(sums, run_variance(sums, fits))
    return fits.mean, pool(information, model.prior)


__all__ = ["Fleet", "cars_of", "fleet", "loaded", "new_cars", "sums_of"]
