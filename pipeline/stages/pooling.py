"""Many cars of one clutch."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from pipeline.errors import RequestError
from pipeline.files.names import slug
from pipeline.libraries_aside import libraries_back
from pipeline.stages.shared import now, season_page, write_report
from pipeline.workspace import Outcome, Progress, Workspace


def fleet(
    source: str | Path,
    *,
    engine: str | None = None,
    master: str | None = None,
    store: Path | None,
    out: Path | None,
    car: str | None,
    share_out: Path | None,
    share_in: tuple[Path, ...],
    progress: Progress | None,
    fresh: bool = False,
) -> Outcome:
    """Pool many cars; with ``car``, give that car's season with the fleet behind it as well."""
    from pipeline.fleet.pooling import effects_of_car, pool_fleet, store_fleet
    from pipeline.store.database import STORE_VERSION
    from pipeline.terminal import fleet_text
    from reports import fleet as report
    from reports.as_json import fleet_document

    place = Path() if "://" in str(source) else Path(source)
    home = place if place.is_dir() else place.parent
    space = Workspace.of(home, store=store or home / "slipledger-fleet.duckdb", out=out, progress=progress)
    if engine is not None:
        found = _pool_on(engine)(
            str(source), master=master, share_out=share_out, share_in=share_in, progress=space.progress
        )
    elif master is None:
        found = pool_fleet(
            place, share_out=share_out, share_in=share_in, progress=space.progress, fresh=fresh
        )
    else:
        raise RequestError(f"--master {master} is the address of a cluster.", "Say --engine spark as well.")
    store_fleet(found, space.store)
    chosen = () if car is None else effects_of_car(found, car)
    page = report.FleetPage(
        fleet=found.fit,
        store_version=str(STORE_VERSION),
        generated_at=now(),
        car=car,
        car_effects=chosen,
    )
    document = fleet_document(page)
    files = write_report(space, "fleet", report.render(page), document)
    text = [fleet_text(found.fit, chosen), *found.shared, f"The fleet's page is in {files[0]}"]
    if car is not None:
        season_files = _pooled_season(space, found, home, car)
        files += season_files
        text += [f"{car}'s season with the fleet behind it is in {path}" for path in season_files[:1]]
    return Outcome("\n".join(text), document, files=files, left_out=len(found.left_out))


def _pool_on(engine: str) -> Callable[..., Any]:
    """Load what hands the sums to an engine that others run."""
    if engine != "spark":
        raise RequestError(
            f"--engine {engine} is none that is known here.", "Say --engine spark, or leave it out."
        )
    libraries_back()  # Spark's way of handing over tables stumbles over a library that is hidden
    try:
        from pipeline.fleet.shard_pooling import pool_shards
    except ModuleNotFoundError as missing:
        needed = str(missing.name).partition(".")[0]
        raise RequestError(
            f"--engine spark needs {needed}, which is not installed.",
            "Install it with: pip install 'slipledger[spark]'.",
        ) from missing
    return pool_shards


def _pooled_season(space: Workspace, found: Any, home: Path, car: str) -> tuple[Path, ...]:
    from pipeline.decide.fitted_car import decide
    from pipeline.fleet.pooling import season_of_car
    from reports import season as report
    from reports.as_json import season_document

    own = season_of_car(found, home, car)
    if own is None:
        return ()
    data, fitted, borrowed = own
    assert data.wear is not None
    page = season_page(decide(data, fitted, data.wear).put_into(data), borrowed=borrowed)
    return write_report(space, f"pooled-{slug(car)}", report.render(page), season_document(page))
