"""The clutch's wear now and its history, from the checks and the runs made between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import polars as pl

from pipeline.garage.logbook import Clutch
from pipeline.physics.wear import Slope, growth_per_run, runs_to_limit, shim_stack
from pipeline.season.results import Wear, WearService

M_PER_IN = 0.0254


@dataclass(frozen=True, slots=True)
class _Measured:
    """Ring heights with the runs made when each was taken. All lists run in order of time."""

    runs_made: list[int]
    height_in: list[float]
    service_no: list[int]


def wear_of(runs: pl.DataFrame, checks: pl.DataFrame, clutch: Clutch | None) -> Wear:
    """Say how worn the clutch is, how fast it wears and when service is due.

    Parameters
    ----------
    runs
        The car's rows of the ``runs`` table.
    checks
        The car's rows of ``clutch_checks``, which says which checks are services (``queries/runs/``); the
        height of a service is the one measured after the work.
    clutch
        Its description; None leaves loads, forecast and shims out.

    Returns
    -------
    Wear
        Heights in inches, growth in inches per run; fields are None where nothing was measured.
    """
    # A row whose date waits for an answer has no place in time yet.
    checks = checks.filter(pl.col("checked_at").is_not_null()).sort("checked_at", "entry_order")
    runs = runs.filter(pl.col("run_at").is_not_null()).sort("run_at", "run_id")
    measured = _measured(runs, checks)
    services = _services(runs, checks, measured)
    if not measured.height_in:
        return Wear(
            None, None, None, None, None, None, None, (), services, "No ring height was written down."
        )
    serviced = int(checks["service_no"].max() or 0)  # type: ignore[arg-type]
    growth = growth_per_run(
        measured.runs_made, [height * M_PER_IN for height in measured.height_in], measured.service_no
    )
    if measured.service_no[-1] < serviced:
        return _unmeasured(growth, services)
    now_in, grown_in = _now(runs.height, measured, growth)
    return _state(now_in, grown_in, growth, clutch, services)


def _measured(runs: pl.DataFrame, checks: pl.DataFrame) -> _Measured:
    stamps = runs["run_at"].to_list()
    found = _Measured([], [], [])
    for row in checks.iter_rows(named=True):
        if row["ring_height_in"] is not None:
            found.runs_made.append(sum(1 for stamp in stamps if stamp <= row["checked_at"]))
            found.height_in.append(row["ring_height_in"])
            found.service_no.append(row["service_no"])
    return found


def _unmeasured(growth: Slope, services: tuple[WearService, ...]) -> Wear:
    said = "The ring was not measured after the last service: measure it before anything is said of wear."
    rates = (_known(growth.slope), _known(growth.low), _known(growth.high))
    return Wear(None, *rates, None, None, None, (), services, said)


def _now(runs_made: int, measured: _Measured, growth: Slope) -> tuple[float, float | None]:
    """Give the height after the last run and the growth since the stretch began. [in]."""
    last = len(measured.height_in) - 1
    start = measured.service_no.index(measured.service_no[last])
    per_run_in = 0.0 if math.isnan(growth.slope) else max(growth.slope, 0.0) / M_PER_IN
    now_in = measured.height_in[last] + per_run_in * (runs_made - measured.runs_made[last])
    if start == last and math.isnan(growth.slope):
        return now_in, None
    return now_in, now_in - measured.height_in[start]


def _state(
    now_in: float,
    grown_in: float | None,
    growth: Slope,
    clutch: Clutch | None,
    services: tuple[WearService, ...],
) -> Wear:
    lost_lb = left_runs = shim_in = None
    pieces: tuple[float, ...] = ()
    if clutch is not None and grown_in is not None:
        if clutch.spring_rate_lb_per_in is not None:
            direction = 1.0 if clutch.growth_effect == "less load" else -1.0
            lost_lb = direction * clutch.spring_count * clutch.spring_rate_lb_per_in * grown_in
        if clutch.service_growth_in is not None:
            forecast = runs_to_limit(grown_in * M_PER_IN, clutch.service_growth_in * M_PER_IN, growth)
            left_runs = forecast.runs if math.isfinite(forecast.runs) else None
        if clutch.shims_in:
            stack = shim_stack([thick * M_PER_IN for thick in clutch.shims_in], max(grown_in, 0.0) * M_PER_IN)
            shim_in = round(stack.total_m / M_PER_IN, 6)
            pieces = tuple(round(piece / M_PER_IN, 6) for piece in stack.pieces_m)
    return Wear(
        ring_height_in=now_in,
        growth_in_per_run=_known(growth.slope),
        growth_low_in_per_run=_known(growth.low),
        growth_high_in_per_run=_known(growth.high),
        preload_lost_lb=lost_lb,
        runs_to_service=left_runs,
        shim_to_remove_in=shim_in,
        shims=pieces,
        services=services,
        sentence=_sentence(now_in, grown_in, lost_lb, left_runs, clutch),
    )


def _known(slope_m: float) -> float | None:
    return None if math.isnan(slope_m) else slope_m / M_PER_IN


def _services(runs: pl.DataFrame, checks: pl.DataFrame, measured: _Measured) -> tuple[WearService, ...]:
    """Describe each stretch between services, with the runs made in it."""
    starts = [row for row in checks.iter_rows(named=True) if row["is_service"]]
    edges = [None, *(row["checked_at"] for row in starts), None]
    stretches = []
    for number in range(len(starts) + 1):
        inside = runs
        if edges[number] is not None:
            inside = inside.filter(pl.col("run_at") >= edges[number])
        if edges[number + 1] is not None:
            inside = inside.filter(pl.col("run_at") < edges[number + 1])
        at = [place for place, service in enumerate(measured.service_no) if service == number]
        if inside.is_empty() and not at:
            continue
        stretches.append(_stretch(number, inside, at, measured, starts))
    return tuple(stretches)


def _stretch(
    number: int, inside: pl.DataFrame, at: list[int], measured: _Measured, starts: list[dict[str, float]]
) -> WearService:
    heights = [measured.height_in[place] for place in at]
    made = [measured.runs_made[place] for place in at]
    growth = growth_per_run(made, [height * M_PER_IN for height in heights], [number] * len(at)).slope
    days = inside["run_at"].dt.date()
    return WearService(
        service_no=number,
        first_date="" if inside.is_empty() else str(days.min()),
        last_date="" if inside.is_empty() else str(days.max()),
        runs=inside.height,
        ring_height_start_in=heights[0] if heights else None,
        ring_height_end_in=heights[-1] if heights else None,
        growth_in_per_run=_known(growth),
        shim_removed_in=starts[number - 1]["shim_removed_in"] if number else None,
    )


def _sentence(
    now_in: float,
    grown_in: float | None,
    lost_lb: float | None,
    left_runs: float | None,
    clutch: Clutch | None,
) -> str:
    if grown_in is None:
        return f"Ring height {now_in:.4f} in; one more check is needed to say how fast it grows."
    said = f"Ring height about {now_in:.4f} in, {grown_in:.4f} in of growth since the clutch was set"
    if lost_lb is not None:
        said += f", worth about {abs(lost_lb):.0f} lb of preload {'lost' if lost_lb >= 0 else 'gained'}"
    said += "."
    if left_runs is not None:
        said += " Service is due now." if left_runs <= 0 else f" About {left_runs:.0f} runs to service."
    elif clutch is None or clutch.service_growth_in is None:
        said += " Add a line service_growth to the clutch in garage.toml for a forecast."
    return said
