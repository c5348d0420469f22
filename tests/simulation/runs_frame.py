"""A clean `runs` table straight from true arrays: what ingest would have made of perfect sheets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import numpy as np
import polars as pl

from pipeline.garage.dictionary import RUNS
from pipeline.garage.factors import Factor, extra_factor
from pipeline.season.facts import CarFacts, ClutchFacts
from sample_timeslips.launch_simulation import CAR, LBF_N, RPM_RAD_PER_S, Car, Floats

_POLARS = {
    "BIGINT": pl.Int64,
    "INTEGER": pl.Int32,
    "DOUBLE": pl.Float64,
    "BOOLEAN": pl.Boolean,
    "DATE": pl.Date,
    "TIMESTAMP": pl.Datetime("us"),
    "VARCHAR": pl.String,
    "VARCHAR[]": pl.List(pl.String),
}
SHOCK = extra_factor("shock_clicks", "rear shock", "click", 1.0)
WING = extra_factor("wing_hole", "rear wing", "hole", 1.0)


def true_clutch(car: Car = CAR) -> ClutchFacts:
    """Facts of the simulated clutch as a perfect garage.toml would tell them."""
    rate = car.springs * car.spring_rate_lb_per_in
    return ClutchFacts(
        base_load_lb=car.base_load_lb,
        lb_per_turn=rate / car.threads_per_inch,
        spring_rate_lb_per_in=rate,
        levers=car.levers,
        lever_mass_g=car.lever_mass_g,
        lever_radius_in=car.lever_radius_in,
        lever_ratio=car.lever_ratio,
    )


def true_facts(extras: Sequence[Factor] = (SHOCK,), clutch: ClutchFacts | None = None) -> CarFacts:
    """Facts of the simulated car."""
    return CarFacts("Marigold", clutch or true_clutch(), tuple(extras))


def loads_lb(columns: Mapping[str, Floats], car: Car = CAR) -> dict[str, Floats]:
    """Static, lever and total plate load at launch [lb], by the simulation's own clutch."""
    travel = columns["preload_turns"] / car.threads_per_inch - columns["wear_in"]
    static = car.base_load_lb + car.springs * car.spring_rate_lb_per_in * travel
    kg = (car.lever_mass_g + columns["counterweight_g"]) / 1000
    speed2 = (columns["launch_rpm"] * RPM_RAD_PER_S) ** 2
    levers = car.levers * kg * car.lever_radius_in * 0.0254 * car.lever_ratio * speed2 / LBF_N
    return {"preload_lb": static, "centrifugal_lb": levers, "plate_load_lb": static + levers}


def runs_frame(
    columns: Mapping[str, Floats],
    *,
    events: Sequence[str],
    run_at: Sequence[dt.datetime],
    lanes: Sequence[str],
    extras: Mapping[str, Floats],
    outcomes: Sequence[str] | None = None,
    car: Car = CAR,
) -> pl.DataFrame:
    """Fill every column of `runs`; what is not given is missing, every split counts.

    Plate loads are those of ``car``: the car as garage.toml has it.
    """
    n = len(events)
    numbers = dict(columns) | loads_lb(columns, car)
    numbers["t60_330_s"] = columns["t330_s"] - columns["t60_s"]
    given: dict[str, Sequence[object] | np.ndarray] = {
        "run_id": np.arange(1, n + 1),
        "car": ["Marigold"] * n,
        "event": list(events),
        "run_at": list(run_at),
        "run_date": [moment.date() for moment in run_at],
        "run_of_event": _counts(events),
        "lane": list(lanes),
        "outcome": list(outcomes) if outcomes else ["clean"] * n,
        "use_t60": [True] * n,
        "use_t60_330": [True] * n,
        "use_t330": [True] * n,
        "questioned": [[] for _ in range(n)],
        "preload_spread_turns": np.zeros(n),
        **numbers,
    }
    made = {}
    for column in RUNS.columns:
        if column.name == "extras":
            made["extras"] = _extras(extras, n)
        elif column.name in given:
            made[column.name] = pl.Series(
                column.name, given[column.name], dtype=_POLARS[column.sql_type], strict=False
            )
        else:
            made[column.name] = pl.Series(column.name, [None] * n, dtype=_POLARS[column.sql_type])
    return pl.DataFrame(made)


def _counts(events: Sequence[str]) -> list[int]:
    seen: dict[str, int] = {}
    out = []
    for event in events:
        seen[event] = seen.get(event, 0) + 1
        out.append(seen[event])
    return out


def _extras(extras: Mapping[str, Floats], n: int) -> pl.Series:
    rows = [[{"key": name, "value": float(values[i])} for name, values in extras.items()] for i in range(n)]
    return pl.Series("extras", rows, dtype=pl.List(pl.Struct({"key": pl.String, "value": pl.Float64})))
