"""A fleet's runs into a database: from many cars' tables, or from one big CSV or Parquet table."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import duckdb
import polars as pl

from pipeline.errors import RequestError, SheetError, ThinData
from pipeline.fleet import basis as fb
from pipeline.fleet.engine import OneMachine
from pipeline.garage.dictionary import RUNS
from pipeline.season.results import Response, Wear
from pipeline.store.database import lend, query

MEMORY_MB = 600
"""What the database may hold in memory; more goes to its scratch folder."""

TABLE_KINDS = (".csv", ".tsv", ".parquet")

_OPTIONAL = ("clutch_type", "run_date", "wear_in", "service_growth_in")


@dataclass(frozen=True, slots=True)
class FleetCar:
    """One car of one logbook, as the fleet takes it in.

    Attributes
    ----------
    car, logbook, clutch_type
        Names; cars named alike in two logbooks are told apart by the logbook. Cars of one clutch
        type are pooled.
    runs
        Its rows of the ``runs`` table.
    entries, doubtful
        Cells typed, and those under question or rejected.
    wear
        The clutch's state, if anything was measured.
    service_growth_in
        Growth at which service is due. [in]
    """

    car: str
    logbook: str
    clutch_type: str
    runs: pl.DataFrame
    entries: int = 0
    doubtful: int = 0
    wear: Wear | None = None
    service_growth_in: float | None = None


@contextmanager
def scratch_database(memory_mb: int = MEMORY_MB) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open a database that lives on disk while a fleet is worked on, and goes away afterwards."""
    with tempfile.TemporaryDirectory(prefix="slipledger-fleet-") as folder:
        config: dict[str, str | bool | int | float | list[str]] = {
            "memory_limit": f"{memory_mb}MB",
            "temp_directory": str(Path(folder) / "spill"),
            "autoinstall_known_extensions": "false",
            "autoload_known_extensions": "false",
            # The file is scratch: nothing is gained by tidying it up.
            "checkpoint_threshold": "1TB",
        }
        with duckdb.connect(str(Path(folder) / "fleet.duckdb"), config=config) as con:
            con.execute(query("fleet/no_checkpoint"))
            yield con


def needed_columns(response: Response) -> tuple[str, ...]:
    """Headings a fleet table must have."""
    return ("car", "event", f"{response}_s", *fb.FACTOR_COLUMNS.values())


def source_columns(response: Response) -> dict[str, str]:
    """Every heading that is read, with the name by which ``queries/fleet/runs.sql`` knows it."""
    renamed = {f"{response}_s": "response", f"use_{response}": "use_run"}
    headings = (*needed_columns(response), *_OPTIONAL, f"use_{response}")
    return {name: renamed.get(name, name) for name in headings}


def read_fleet(
    con: duckdb.DuckDBPyConnection, source: Path | Sequence[FleetCar], *, response: Response = "t60"
) -> None:
    """Read a fleet from one big table, or from the cars of many logbooks; see the two functions below."""
    if isinstance(source, Path):
        load_table(con, source, response=response)
    else:
        load_cars(con, source, response=response)


def load_table(con: duckdb.DuckDBPyConnection, source: Path, *, response: Response = "t60") -> None:
    """Read one big table of runs into ``fleet_runs`` and ``fleet_cars``.

    Parameters
    ----------
    con
        A scratch database.
    source
        A CSV, TSV or Parquet file with the headings of :func:`needed_columns`; ``clutch_type``,
        ``run_date``, ``use_<response>``, ``wear_in`` and ``service_growth_in`` are used when there.
    response
        Which time is explained.

    Raises
    ------
    RequestError
        When the file is of another kind or lacks columns; all that are missing are named.
    SheetError
        When it cannot be read.
    ThinData
        When no run in it can be used.
    """
    if source.suffix.lower() not in TABLE_KINDS:
        raise RequestError(
            f"{source} is not a table a fleet can be read from.", f"Give one of {', '.join(TABLE_KINDS)}."
        )
    if not source.is_file():
        raise RequestError(f"There is no file {source}.", "Check the name.")
    try:
        if source.suffix.lower() == ".parquet":
            _take_in(con, con.read_parquet(str(source)), response, str(source))
        else:
            _take_in_text(con, source, response)
    except (duckdb.InvalidInputException, duckdb.ConversionException) as failed:
        first = str(failed).strip().splitlines()[0][:160]
        raise SheetError(f"{source} cannot be read as a table ({first}).", "Mend that line.") from failed


def _take_in_text(con: duckdb.DuckDBPyConnection, source: Path, response: Response) -> None:
    """Read numbers straight from the text; where a cell is no number, read it all again as text and count."""
    as_text = con.read_csv(str(source), header=True, all_varchar=True)
    numbers = {f"{response}_s", *fb.FACTOR_COLUMNS.values()}
    types = {name: "DOUBLE" if name in numbers else "VARCHAR" for name in as_text.columns}
    try:
        _take_in(con, con.read_csv(str(source), header=True, dtype=types), response, str(source))
    except (duckdb.InvalidInputException, duckdb.ConversionException):
        _take_in(con, as_text, response, str(source))


def load_cars(
    con: duckdb.DuckDBPyConnection, cars: Sequence[FleetCar], *, response: Response = "t60"
) -> None:
    """Put the runs of many cars into ``fleet_runs`` and ``fleet_cars``.

    Raises
    ------
    ThinData
        When no run of theirs can be used.
    """
    names = unique_names(cars)
    wanted = [*needed_columns(response)[1:], "run_date", f"use_{response}", "wear_in"]
    frames = [
        car.runs.select([column for column in wanted if column in car.runs.columns]).with_columns(
            car=pl.lit(name),
            clutch_type=pl.lit(car.clutch_type),
            service_growth_in=pl.lit(car.service_growth_in, pl.Float64),
        )
        for name, car in zip(names, cars, strict=True)
        if car.runs.height
    ]
    if not frames:
        here = (
            "The one car here has no run"
            if len(cars) == 1
            else f"None of the {len(cars)} cars here has a run"
        )
        raise ThinData(f"{here} in it.", "Type timeslips and ingest them first.")
    lend(con, "lent_frames", pl.concat(frames, how="diagonal_relaxed"))
    con.execute("create or replace temp table fleet_frames as from lent_frames")
    con.unregister("lent_frames")
    _take_in(con, con.table("fleet_frames"), response, "the logbooks")


def unique_names(cars: Sequence[FleetCar]) -> list[str]:
    """Return every car a name of its own, by its logbook where two are named alike."""
    seen = [car.car for car in cars]
    return [f"{car.car} ({car.logbook})" if seen.count(car.car) > 1 else car.car for car in cars]


def _take_in(
    con: duckdb.DuckDBPyConnection, relation: duckdb.DuckDBPyRelation, response: Response, where: str
) -> None:
    have = set(relation.columns)
    missing = [name for name in needed_columns(response) if name not in have]
    if missing:
        raise RequestError(
            f"{where} has no column {', '.join(missing)}.",
            f"A fleet table needs the headings {', '.join(needed_columns(response))}.",
        )
    relation.select(
        *[
            (
                duckdb.ColumnExpression(name)
                if name in have
                else duckdb.ConstantExpression(None).cast(duckdb.sqltypes.VARCHAR)
            ).alias(alias)
            for name, alias in source_columns(response).items()
        ]
    ).create_view("fleet_source", replace=True)
    engine = OneMachine(con)
    engine.make("keys")
    engine.make("runs", **plausible(response))
    engine.make("cars")
    if not len(con.table("fleet_cars")):
        raise ThinData(
            f"No run of {where} can be used for the {response} time.",
            "A run needs a car, an event and a time within the plausible range.",
        )


def plausible(response: Response) -> dict[str, float | None]:
    """Range of each number that is read, by its place in ``queries/fleet/runs.sql``."""
    limits: dict[str, float | None] = {}
    for name, column in {"response": f"{response}_s", **fb.FACTOR_COLUMNS}.items():
        limits[f"{name}_low"] = RUNS.column(column).low
        limits[f"{name}_high"] = RUNS.column(column).high
    return limits
