"""The fleet stage: gather many cars, pool them, store the prior, and lend it to one car when asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import polars as pl

from pipeline.errors import RequestError, SlipledgerError
from pipeline.files.sheets import find_sheets
from pipeline.fleet.engine import Engine, KnownCars, OneMachine
from pipeline.fleet.findings import (
    car_effects,
    fleet_fit,
    service_due_in_table,
    service_due_of,
    typing_trouble_in_table,
    typing_trouble_of,
)
from pipeline.fleet.model import FleetModel, fit_fleet, sum_fleet
from pipeline.fleet.passes import LAM_LADDER
from pipeline.fleet.read import TABLE_KINDS, FleetCar, read_fleet, scratch_database, unique_names
from pipeline.fleet.results import CarEffect, FleetFit, ServiceDue, TypingTrouble
from pipeline.fleet.season import pooled_prior_for, season_prior
from pipeline.fleet.share import read_share, write_share
from pipeline.fleet.sums import FleetSums
from pipeline.garage.logbook import GARAGE_FILE, Logbook
from pipeline.ingest.opening import ingested
from pipeline.season.car_data import CarData, car_facts, read_car_data
from pipeline.season.fit import FittedSeason, fit_season
from pipeline.season.informed_fit import CoefficientPrior
from pipeline.season.response_fit import Prior
from pipeline.season.results import Response
from pipeline.season.spec import Spec
from pipeline.store.database import open_store, transaction
from pipeline.store.fleet_tables import write_fleet
from pipeline.store.tables import car_names, read_table
from pipeline.workspace import Progress, Workspace

RESPONSE: Response = "t60"


@dataclass(frozen=True, slots=True)
class Fleet:
    """A pooled fleet.

    Attributes
    ----------
    fit
        What it says.
    models
        One a clutch type.
    cars
        The cars of logbooks; empty when the fleet came as one table.
    shared
        Sentences on files written or pooled in.
    left_out
        Sentences on shards that could not be used.
    """

    fit: FleetFit
    models: tuple[FleetModel, ...]
    cars: tuple[FleetCar, ...]
    shared: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def pool_fleet(
    source: Path,
    *,
    share_out: Path | None,
    share_in: Sequence[Path],
    progress: Progress,
    fresh: bool = False,
) -> Fleet:
    """Pool every car below a folder, or in one table, with what other shops shared.

    Parameters
    ----------
    source
        A folder of logbooks, or a CSV, TSV or Parquet table with a car column.
    share_out
        Where to write this shop's sums, one file a clutch type; None = nowhere.
    share_in
        Files of other shops.
    progress
        Told of each step.
    fresh
        Read every logbook again, also one of which nothing changed since.

    Returns
    -------
    Fleet

    Raises
    ------
    RequestError
        When there is neither a logbook nor such a table.
    ThinData
        When no clutch type has cars enough.
    """
    is_table = source.suffix.lower() in TABLE_KINDS and source.is_file()
    refused: list[str] = []
    cars = () if is_table else tuple(read_logbooks(source, progress, refused, fresh=fresh))
    with scratch_database() as con:
        read_fleet(con, source if is_table else cars, response=RESPONSE)
        engine = OneMachine(con)
        summed = sum_up(
            engine, KnownCars.of(engine), shared=share_out is not None or bool(share_in), progress=progress
        )
    if not is_table:
        summed = replace(summed, trouble=typing_trouble_of(cars), due=service_due_of(cars))
    found = pool_sums(summed, share_out=share_out, share_in=share_in, said=refused)
    return replace(found, cars=cars)


@dataclass(frozen=True, slots=True)
class Summed:
    """What comes back from an engine: sums by clutch type, typing trouble, service due."""

    sums: dict[str, FleetSums]
    trouble: tuple[TypingTrouble, ...]
    due: tuple[ServiceDue, ...]


def sum_up(engine: Engine, known: KnownCars, *, shared: bool, progress: Progress) -> Summed:
    """Let an engine sum up its cars; ``shared`` when sums are to go out or come in."""
    ladder = LAM_LADDER if shared else None
    return Summed(
        sums=sum_fleet(engine, known, response=RESPONSE, ladder=ladder, progress=progress),
        trouble=typing_trouble_in_table(known),
        due=service_due_in_table(known),
    )


def pool_sums(
    summed: Summed, *, share_out: Path | None, share_in: Sequence[Path], said: Sequence[str]
) -> Fleet:
    """Pool what an engine summed up, with what other shops shared.

    Parameters
    ----------
    summed
        From :func:`sum_up`.
    share_out, share_in
        See :func:`pool_fleet`.
    said
        Sentences on what was left out or found on the way.
    """
    written = _write_shares(share_out, summed.sums)
    sums, more = _with_shared(summed.sums, share_in)
    models, thin = fit_fleet(sums, response=RESPONSE)
    fit = fleet_fit(
        models, RESPONSE, typing_trouble=summed.trouble, service_due=summed.due, sentences=(*said, *thin)
    )
    return Fleet(fit=fit, models=models, cars=(), shared=(*written, *more))


def read_logbooks(
    folder: Path, progress: Progress, refused: list[str], *, fresh: bool = False
) -> Iterator[FleetCar]:
    """Ingest every logbook below a folder, each into its own store, and give its cars.

    A logbook that cannot be read is left out, and a sentence about it is added to ``refused``.
    """
    if not folder.is_dir():
        raise RequestError(
            f"There is no folder of logbooks, nor a table, at {folder}.",
            "Name a folder that holds logbooks, or a .csv, .tsv or .parquet file.",
        )
    found = [path for path in sorted(folder.iterdir()) if path.is_dir() and _is_logbook(path)]
    if (folder / GARAGE_FILE).is_file() and not any((path / GARAGE_FILE).is_file() for path in found):
        raise RequestError(
            f"{folder} is one logbook, and a fleet is several.", "Name the folder above it, which holds them."
        )
    if not found:
        raise RequestError(
            f"No folder in {folder} is a logbook.", f"Each needs sheets of its own, and a {GARAGE_FILE}."
        )
    for at, path in enumerate(found):
        progress(f"reading {path.name}", at / len(found))
        try:
            yield from _cars_of(path, progress, fresh)
        except SlipledgerError as unreadable:
            refused.append(f"{path.name} is left out: {unreadable}")


def _is_logbook(path: Path) -> bool:
    return (path / GARAGE_FILE).is_file() or bool(find_sheets(path).sheets)


def _cars_of(path: Path, progress: Progress, fresh: bool) -> list[FleetCar]:
    logbook = Logbook.open(path)
    store = Workspace.of(logbook.root, store=None, out=None).store
    with ingested(logbook, store, progress, fresh=fresh) as con:
        counts = read_table(con, "questions").filter(pl.col("severity") != "doubt")
        found = []
        for name in car_names(con):
            data = read_car_data(con, logbook.garage, name, with_fit=False)
            clutch = data.clutch
            found.append(
                FleetCar(
                    car=name,
                    logbook=path.name,
                    clutch_type=(clutch.type or clutch.name) if clutch is not None else "",
                    runs=data.runs,
                    entries=_cells_typed(data.runs),
                    doubtful=counts.height,
                    wear=data.wear,
                    service_growth_in=None if clutch is None else clutch.service_growth_in,
                )
            )
    return found


def _cells_typed(runs: pl.DataFrame) -> int:
    """Count what a person typed for these runs: slips, settings and readings."""
    typed = ("t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph", "launch_rpm")
    return sum(runs.height - runs[column].null_count() for column in typed)


def _write_shares(path: Path | None, sums: dict[str, FleetSums]) -> tuple[str, ...]:
    if path is None:
        return ()
    said = []
    for number, (kind, part) in enumerate(sums.items()):
        place = path if number == 0 else path.with_name(f"{path.stem}-{number + 1}{path.suffix}")
        written, left_out = write_share(place, part, clutch_type=kind, response=RESPONSE)
        said.append(
            f"{place}: sums of {written} cars of {kind or 'an unnamed clutch type'}, no runs and no names"
            + (f"; {left_out} cars with too few runs are left out." if left_out else ".")
        )
    return tuple(said)


def _with_shared(
    sums: dict[str, FleetSums], files: Sequence[Path]
) -> tuple[dict[str, list[FleetSums]], tuple[str, ...]]:
    said = []
    pooled = {kind: [own] for kind, own in sums.items()}
    for number, file in enumerate(files, start=1):
        kind, response, more = read_share(file, label=f"shared {number}" if len(files) > 1 else "shared")
        if response != RESPONSE:
            raise RequestError(f"{file} holds sums of {response}.", f"Only sums of {RESPONSE} are pooled.")
        pooled.setdefault(kind, []).append(more)
        said.append(f"{file}: {more.cars} cars of {kind or 'an unnamed clutch type'} pooled in.")
    return pooled, tuple(said)


def store_fleet(fleet: Fleet, path: Path) -> None:
    """Keep what the fleet says, its prior first, in a store of its own."""
    with open_store(path) as con, transaction(con):
        write_fleet(con, fleet.fit)


def effects_of_car(fleet: Fleet, car: str) -> tuple[CarEffect, ...]:
    """Return one car's own-data and pooled estimates side by side.

    Raises
    ------
    RequestError
        When no car goes by that name.
    """
    for model in fleet.models:
        names = [str(name) for name in model.sums.car]
        found = [at for at, name in enumerate(names) if name.casefold() == car.casefold()]
        if found:
            return car_effects(model, found[0])
    known = [str(name) for model in fleet.models for name in model.sums.car][:20]
    raise RequestError(f"There is no car {car!r} in this fleet.", f"Some of those here: {', '.join(known)}.")


def season_of_car(
    fleet: Fleet, folder: Path, car: str
) -> tuple[CarData, FittedSeason, tuple[str, ...]] | None:
    """Fit one car's season under the fleet's prior; None when the fleet came as one table.

    Returns
    -------
    tuple
        Its data, its season, and sentences on what was borrowed.
    """
    names = unique_names(fleet.cars)
    chosen = [
        (name, each)
        for name, each in zip(names, fleet.cars, strict=True)
        if name.casefold() == car.casefold()
    ]
    if not chosen:
        return None
    name, own = chosen[0]
    model = next((each for each in fleet.models if each.clutch_type == own.clutch_type), None)
    logbook = Logbook.open(folder / own.logbook)
    space = Workspace.of(logbook.root, store=None, out=None)
    with ingested(logbook, space.store, space.progress) as con:
        data = read_car_data(con, logbook.garage, own.car, with_fit=False)
    season = fit_season(data.runs, car_facts(logbook.garage, own.car), prior=_prior_of(model, name))
    return data, season, _borrowed(model, own)


def _prior_of(model: FleetModel | None, name: str) -> Prior | None:
    """Return the fleet's prior, learned without the car itself: its own runs must not count twice."""
    if model is None:
        return None
    if name in model.sums.car:
        return season_prior([model], name)
    prior = model.prior

    def borrow(response: Response, spec: Spec, events: int) -> CoefficientPrior | None:
        return pooled_prior_for(prior, spec, events=events) if response == RESPONSE else None

    return borrow


def _borrowed(model: FleetModel | None, car: FleetCar) -> tuple[str, ...]:
    if model is None:
        return (f"Nothing is borrowed: too few cars have the clutch type {car.clutch_type!r}.",)
    kind = model.clutch_type or "the same kind of clutch"
    return (
        f"The 60 ft effects of this page borrow strength from {model.learned_from} cars with {kind}; "
        "the other times rest on this car's own runs.",
    )
