"""The clutch's wear now and its history, from the checks and the runs made between them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import polars as pl

from pipeline.garage.parts import Clutch
from pipeline.physics.clutch import preload_after_wear
from pipeline.physics.constants import INCH_M, POUND_FORCE_N, POUND_PER_INCH_N_PER_M
from pipeline.physics.wear import ShimStack, Slope, growth_per_run, runs_to_limit, shim_stack
from pipeline.season.results import Wear, WearService

M_PER_IN = 0.0254
MOST_GROWTH_IN = 0.5
"""More growth than any ring has: a reading beyond it is no growth, and costs no more than this."""


def load_lost_lb(clutch: Clutch, grown_in: float, as_set_lb: float | None = None) -> float | None:
    """Return the plate load that growth of the ring has cost. [lb].

    Parameters
    ----------
    clutch
        Its springs, and what growth does in its construction.
    grown_in
        Ring height now less ring height when the preload was set. [in]
    as_set_lb
        Load when it was set: no more than that can be lost. None = more than the growth costs.

    Returns
    -------
    float or None
        Minus where load was gained; None without a spring rate or the number of springs.
    """
    if clutch.spring_rate_lb_per_in is None or clutch.spring_count is None:
        return None
    all_springs_lb_per_in = clutch.spring_count * clutch.spring_rate_lb_per_in
    reference_lb = all_springs_lb_per_in * abs(grown_in) if as_set_lb is None else as_set_lb
    left_n = preload_after_wear(
        reference_lb * POUND_FORCE_N,
        clutch.spring_count,
        clutch.spring_rate_lb_per_in * POUND_PER_INCH_N_PER_M,
        min(max(grown_in, -MOST_GROWTH_IN), MOST_GROWTH_IN) * INCH_M,
        clutch.growth_effect,
    )
    return reference_lb - float(left_n) / POUND_FORCE_N


def wear_of(
    runs: pl.DataFrame,
    checks: pl.DataFrame,
    knots: pl.DataFrame,
    now: pl.DataFrame,
    clutch: Clutch | None,
    turns: float | None = None,
) -> Wear:
    """Say how worn the clutch is, how fast it wears and when service is due.

    Parameters
    ----------
    runs
        The car's rows of the ``runs`` table.
    checks, knots, now
        Its rows of ``clutch_checks`` (which checks are services), ``ring_knots`` (the heights that are known)
        and ``clutch_now`` (the height as it stands), all of ``queries/runs/``: what the runs carry and what
        is said here come from the same heights, the same growth and the same origin.
    clutch
        Its description; None leaves loads, forecast and shims out.
    turns
        In force now; no more load can be lost than they give. None = not known.

    Returns
    -------
    Wear
        Heights in inches, growth in inches per run; fields are None where nothing was measured.

    Notes
    -----
    Growth per run: the median slope of all pairs of heights within a stretch between services (Sen 1968). A
    heavy hand on one caliper reading, or two checks a run apart, hardly move it.
    """
    knots = knots.sort("service_no", "runs_made")
    services = _services(runs, checks, knots)
    if knots.is_empty():
        said = "No ring height was written down."
        return Wear(None, None, None, None, None, None, None, (), services, said)
    growth = _growth(knots)
    state = now.row(0, named=True)
    if state["ring_height_in"] is None:
        said = "The ring was not measured after the last service: measure it before anything is said of wear."
        rates = (_known(growth.slope), _known(growth.low), _known(growth.high))
        return Wear(None, *rates, None, None, None, (), services, said)
    return _state(state, growth, clutch, turns, services)


def _growth(knots: pl.DataFrame) -> Slope:
    heights_m = (knots["ring_height_in"] * M_PER_IN).to_list()
    return growth_per_run(knots["runs_made"].to_list(), heights_m, knots["service_no"].to_list())


def _state(
    now: Mapping[str, Any],
    growth: Slope,
    clutch: Clutch | None,
    turns: float | None,
    services: tuple[WearService, ...],
) -> Wear:
    set_in, service_in = now["wear_in"], now["grown_since_service_in"]
    known = not math.isnan(growth.slope)
    service_in = service_in if known else None
    grown_in = set_in if turns is not None else service_in
    lost_lb = None
    left: tuple[float | None, float | None, float | None] = (None, None, None)
    stack = ShimStack((), 0.0, 0.0)
    if clutch is not None and grown_in is not None and (known or grown_in):
        lost_lb = load_lost_lb(clutch, grown_in, _as_set_lb(clutch, turns))
    if clutch is not None and service_in is not None:
        if clutch.service_growth_in is not None:
            forecast = runs_to_limit(service_in * M_PER_IN, clutch.service_growth_in * M_PER_IN, growth)
            left = (_finite(forecast.runs), _finite(forecast.sooner), _finite(forecast.later))
        if clutch.shims_in:
            stack = shim_stack(
                [thick * M_PER_IN for thick in clutch.shims_in], max(service_in, 0.0) * M_PER_IN
            )
    return Wear(
        ring_height_in=now["ring_height_in"],
        growth_in_per_run=_known(growth.slope),
        growth_low_in_per_run=_known(growth.low),
        growth_high_in_per_run=_known(growth.high),
        preload_lost_lb=lost_lb,
        runs_to_service=left[0],
        shim_to_remove_in=round(stack.total_m / M_PER_IN, 6)
        if clutch and clutch.shims_in and known
        else None,
        shims=tuple(round(piece / M_PER_IN, 6) for piece in stack.pieces_m),
        services=services,
        sentence=_sentence(now, set_in is not None, service_in, lost_lb, left, clutch),
        grown_since_set_in=set_in,
        grown_since_service_in=service_in,
        runs_to_service_low=left[1],
        runs_to_service_high=left[2],
    )


def _as_set_lb(clutch: Clutch, turns: float | None) -> float | None:
    base, per_turn, screws = clutch.base_load_lb, clutch.load_per_turn_lb, clutch.screws
    if turns is None or base is None or per_turn is None or screws is None:
        return None
    return base + per_turn * screws * turns


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _known(slope_m: float) -> float | None:
    return None if math.isnan(slope_m) else slope_m / M_PER_IN


def _services(runs: pl.DataFrame, checks: pl.DataFrame, knots: pl.DataFrame) -> tuple[WearService, ...]:
    """Describe each stretch between services, with the runs made in it."""
    runs = runs.filter(pl.col("run_at").is_not_null())
    starts = list(checks.filter("is_service").sort("checked_at", "entry_order").iter_rows(named=True))
    edges = [None, *(row["checked_at"] for row in starts), None]
    stretches = []
    for number in range(len(starts) + 1):
        inside = runs
        if edges[number] is not None:
            inside = inside.filter(pl.col("run_at") >= edges[number])
        if edges[number + 1] is not None:
            inside = inside.filter(pl.col("run_at") < edges[number + 1])
        mine = knots.filter(pl.col("service_no") == number)
        if not inside.is_empty() or not mine.is_empty():
            shim_in = starts[number - 1]["shim_removed_in"] if number else None
            stretches.append(_stretch(number, inside, mine, shim_in))
    return tuple(stretches)


def _stretch(number: int, inside: pl.DataFrame, knots: pl.DataFrame, shim_in: float | None) -> WearService:
    heights = knots["ring_height_in"].to_list()
    days = inside["run_at"].dt.date()
    return WearService(
        service_no=number,
        first_date="" if inside.is_empty() else str(days.min()),
        last_date="" if inside.is_empty() else str(days.max()),
        runs=inside.height,
        ring_height_start_in=heights[0] if heights else None,
        ring_height_end_in=heights[-1] if heights else None,
        growth_in_per_run=_known(_growth(knots).slope) if heights else None,
        shim_removed_in=shim_in,
    )


def _sentence(
    now: Mapping[str, Any],
    was_set: bool,
    service_in: float | None,
    lost_lb: float | None,
    left: tuple[float | None, float | None, float | None],
    clutch: Clutch | None,
) -> str:
    height_in = now["ring_height_in"]
    if service_in is None:
        return f"Ring height {height_in:.4f} in; one more check is needed to say how fast it grows."
    grown_in, since = (now["wear_in"], "the clutch was set") if was_set else (service_in, "the first check")
    said = f"Ring height about {height_in:.4f} in, {grown_in:.4f} in of growth since {since}"
    if lost_lb is not None:
        said += f", worth about {abs(lost_lb):.0f} lb of preload {'lost' if lost_lb >= 0 else 'gained'}"
    said += "."
    if left[0] is not None and left[0] <= 0:
        said += " Service is due now."
    elif left[0] is not None:
        said += f" About {left[0]:.0f} runs to service{_range(left)}."
    elif clutch is None or clutch.service_growth_in is None:
        said += " Add a line service_growth to the clutch in garage.toml for a forecast."
    return said


def _range(left: tuple[float | None, float | None, float | None]) -> str:
    _, low, high = left
    if low is None:
        return ""
    return f" ({low:.0f} or more)" if high is None else f" ({low:.0f} to {high:.0f})"
