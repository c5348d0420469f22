"""What a fleet says as tables of a store: written in one transaction, read back equal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import duckdb
import polars as pl

from pipeline.model.fleet_results import (
    CarEffect,
    FleetEffect,
    FleetFit,
    FleetGroup,
    FleetPriorRow,
    OddCar,
    ServiceDue,
    TypingTrouble,
)
from pipeline.model.results import RESPONSES, Response
from pipeline.store.database import query
from pipeline.store.records import frame_of, records_of

# Field of FleetFit -> record type; the table and the file in queries/results/ are named fleet_<field>.
FLEET_TABLES: dict[str, type[Any]] = {
    "groups": FleetGroup,
    "prior": FleetPriorRow,
    "effects": FleetEffect,
    "odd_cars": OddCar,
    "typing_trouble": TypingTrouble,
    "service_due": ServiceDue,
    "car_effects": CarEffect,
}


def write_fleet_fits(con: duckdb.DuckDBPyConnection, fits: Iterable[FleetFit]) -> None:
    """Replace the fleet's results by those of the given fits, one a response.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    fits
        One a response.
    """
    fits = tuple(fits)
    for field, record_type in FLEET_TABLES.items():
        frames = [_with_place(fit.response, frame_of(record_type, getattr(fit, field))) for fit in fits]
        _replace(con, field, pl.concat([_with_place("", frame_of(record_type, ())), *frames]))
    said = [
        {"fitted": fit.response, "position": i, "sentence": sentence}
        for fit in fits
        for i, sentence in enumerate(fit.sentences)
    ]
    schema = {"fitted": pl.String(), "position": pl.Int64(), "sentence": pl.String()}
    _replace(con, "sentences", pl.DataFrame(said, schema=schema))


def read_fleet_fits(con: duckdb.DuckDBPyConnection) -> tuple[FleetFit, ...]:
    """Read the fits back, in the order of the responses, equal to what was written."""
    said = con.table("fleet_sentences").pl().sort("position")
    groups = con.table("fleet_groups").pl()
    have = [name for name in RESPONSES if name in groups["fitted"].to_list()]
    return tuple(_fit(con, response, said) for response in have)


def _fit(con: duckdb.DuckDBPyConnection, response: Response, said: pl.DataFrame) -> FleetFit:
    tables = {
        field: records_of(record_type, _rows(con, field, response))
        for field, record_type in FLEET_TABLES.items()
    }
    sentences = said.filter(pl.col("fitted") == response)["sentence"].to_list()
    return FleetFit(response=response, sentences=tuple(sentences), **tables)


def _with_place(response: str, frame: pl.DataFrame) -> pl.DataFrame:
    """Say which fit a row belongs to and where it stood."""
    return frame.select(
        pl.lit(response).alias("fitted"), pl.int_range(pl.len(), dtype=pl.Int64).alias("position"), pl.all()
    )


def _rows(con: duckdb.DuckDBPyConnection, field: str, response: Response) -> pl.DataFrame:
    found = con.table(f"fleet_{field}").pl()
    return found.filter(pl.col("fitted") == response).sort("position").drop("fitted", "position")


def _replace(con: duckdb.DuckDBPyConnection, field: str, frame: pl.DataFrame) -> None:
    con.register("incoming", frame)
    try:
        con.execute(query(f"results/fleet_{field}"))
    finally:
        con.unregister("incoming")
