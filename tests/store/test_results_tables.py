"""A fit written to the store comes back equal, and a second one replaces it."""

import dataclasses
from collections.abc import Iterator

import duckdb
import pytest

from pipeline.season.results import RpmPoint, Wear
from pipeline.season.season_fit import SeasonFit
from pipeline.store.results_tables import (
    SEASON_TABLES,
    read_season_fit,
    read_single,
    write_season_fits,
    write_single,
)

NOTHING: dict[str, tuple[object, ...]] = dict.fromkeys(SEASON_TABLES, ())


@pytest.fixture
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect() as connection:
        yield connection


def fit_of(car: str, rpm: float) -> SeasonFit:
    point = RpmPoint(95.0, rpm, rpm - 200, rpm + 200, supported=True)
    return SeasonFit(car=car, **NOTHING | {"rpm_by_track_temp": (point,)}, sentences=("First.", "Second."))


def test_each_car_reads_its_own_fit_back(con: duckdb.DuckDBPyConnection) -> None:
    fits = [fit_of("Marigold", 6200.0), fit_of("Thistle", 5800.0)]
    write_season_fits(con, fits)
    assert [read_season_fit(con, fit.car) for fit in fits] == fits


def test_a_second_fit_replaces_the_first(con: duckdb.DuckDBPyConnection) -> None:
    write_season_fits(con, [fit_of("Marigold", 6200.0)])
    write_season_fits(con, [fit_of("Marigold", 6400.0)])
    assert read_season_fit(con, "Marigold") == fit_of("Marigold", 6400.0)


def test_a_car_without_a_fit_reads_as_empty(con: duckdb.DuckDBPyConnection) -> None:
    write_season_fits(con, [])
    assert read_season_fit(con, "Marigold") == SeasonFit(car="Marigold", **NOTHING)


def test_every_tuple_of_the_fit_has_a_table() -> None:
    held = {item.name for item in dataclasses.fields(SeasonFit)} - {"car", "sentences"}
    assert held == set(SEASON_TABLES)


def test_single_records_are_kept_by_car(con: duckdb.DuckDBPyConnection) -> None:
    worn = Wear(2.162, 0.0002, 0.0001, 0.0003, 14.4, 40.0, 0.010, (0.010,), (), "Worn a little.")
    write_single(con, "wear", {"Marigold": worn})
    assert read_single(con, "wear", "Marigold") == worn
    assert read_single(con, "wear", "Thistle") is None
