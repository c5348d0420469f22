"""Results of one car's modelling as tables: written in one transaction, read back equal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import is_dataclass
from typing import Any, TypeVar, get_args, get_type_hints

import duckdb
import polars as pl

from pipeline.decide.results import NextSetting, PhoneModel, TestPlan
from pipeline.season.results import Wear
from pipeline.season.season_fit import SeasonFit
from pipeline.store.database import lend, query
from pipeline.store.records import frame_of, records_of

Record = TypeVar("Record")


def records_in(fit: type[Any]) -> dict[str, type[Any]]:
    """Return the fields of a fit that hold records, each with the type of its records."""
    held = {name: get_args(hint) for name, hint in get_type_hints(fit).items()}
    return {name: kinds[0] for name, kinds in held.items() if kinds and is_dataclass(kinds[0])}  # type: ignore[misc]


SEASON_TABLES: dict[str, type[Any]] = records_in(SeasonFit)
"""Field of SeasonFit, and so table in the store: the type of its records."""
# Results that are one record a car.
SINGLE_TABLES: dict[str, type[Any]] = {
    "wear": Wear,
    "next_setting": NextSetting,
    "test_plan": TestPlan,
    "phone_model": PhoneModel,
}
NO_FILE = {"phone_model"}
"""Tables that no person would want as a file."""
RESULT_TABLES = ("sentences", "every_run", *SEASON_TABLES, *sorted(set(SINGLE_TABLES) - NO_FILE))


def _frame_with_cars(kind: type[Any], by_car: Iterable[tuple[str, Sequence[Any]]]) -> pl.DataFrame:
    """Put the records of each car into one frame, the car's name first."""
    rows = [(car, record) for car, records in by_car for record in records]
    frame = frame_of(kind, [record for _, record in rows])
    return frame.insert_column(0, pl.Series("car", [car for car, _ in rows], pl.String))


def replace_table(con: duckdb.DuckDBPyConnection, table: str, frame: pl.DataFrame) -> None:
    """Make a table of results anew from a frame."""
    lend(con, "incoming", frame)
    try:
        con.execute(query("tables/result", table))
    finally:
        con.unregister("incoming")


def write_season_fits(con: duckdb.DuckDBPyConnection, fits: Iterable[SeasonFit]) -> None:
    """Replace the results of every car by those of the given fits.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    fits
        One a car; cars not among them keep no results.
    """
    fits = tuple(fits)
    for table, record_type in SEASON_TABLES.items():
        found = [(fit.car, getattr(fit, table)) for fit in fits]
        replace_table(con, table, _frame_with_cars(record_type, found))
    said = [
        {"car": fit.car, "position": i, "sentence": s} for fit in fits for i, s in enumerate(fit.sentences)
    ]
    schema = {"car": pl.String(), "position": pl.Int64(), "sentence": pl.String()}
    replace_table(con, "sentences", pl.DataFrame(said, schema=schema))


def write_every_run(con: duckdb.DuckDBPyConnection) -> None:
    """Put every run into one row with what was expected of it, from the runs and the checks in the store."""
    con.execute(query("tables/every_run"))


def read_season_fit(con: duckdb.DuckDBPyConnection, car: str) -> SeasonFit:
    """Read one car's fit back, equal to what was written.

    Parameters
    ----------
    con
        A store in which the modelling stage has run.
    car
        The car's name in ``garage.toml``.

    Returns
    -------
    SeasonFit
        Empty in every tuple when the car has no fit.
    """
    present = {name for (name,) in con.execute("show tables").fetchall()}
    tuples = {  # a store made before lacks the younger tables
        table: records_of(record_type, _rows_of(con, table, car)) if table in present else ()
        for table, record_type in SEASON_TABLES.items()
    }
    said = _rows_of(con, "sentences", car).sort("position")["sentence"].to_list()
    return SeasonFit(car=car, sentences=tuple(said), **tuples)


def write_single(con: duckdb.DuckDBPyConnection, table: str, by_car: dict[str, Record]) -> None:
    """Replace a one-record-a-car table (wear, next setting, test plan).

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    table
        A key of ``SINGLE_TABLES``.
    by_car
        The record of each car.
    """
    found = [(car, (record,)) for car, record in by_car.items()]
    replace_table(con, table, _frame_with_cars(SINGLE_TABLES[table], found))


def read_single(con: duckdb.DuckDBPyConnection, table: str, car: str) -> Any | None:
    """Read a car's record of a one-record-a-car table; None when there is none.

    Parameters
    ----------
    con
        An open store.
    table
        A key of ``SINGLE_TABLES``.
    car
        The car's name.
    """
    found = records_of(SINGLE_TABLES[table], _rows_of(con, table, car))
    return found[0] if found else None


def _rows_of(con: duckdb.DuckDBPyConnection, table: str, car: str) -> pl.DataFrame:
    wanted = duckdb.ColumnExpression("car") == duckdb.ConstantExpression(car)
    rows: pl.DataFrame = con.table(table).filter(wanted).pl()
    return rows
