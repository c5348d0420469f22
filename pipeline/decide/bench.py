"""The bench card of a car: clutch from the garage, setting from the last run unless asked otherwise."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import polars as pl

from pipeline.errors import RequestError, UnitError
from pipeline.garage.parts import Clutch
from pipeline.garage.units import parse_quantity
from pipeline.ingest.values import read_hardware
from pipeline.physics.bench_card import bench_card
from pipeline.physics.bench_records import BenchCard, BenchCheck, BenchSetting, ClutchUnit, WearNow
from pipeline.physics.hardware import common_hardware
from pipeline.physics.wear import Slope
from pipeline.season.car_data import CarData
from pipeline.season.in_force import present_settings
from pipeline.season.results import Wear


def bench_card_of(
    data: CarData, *, turns: str | None, counterweight: str | None, rpm: str | None
) -> BenchCard:
    """Work out the card for the setting asked for; what is not asked is the one in force now.

    Parameters
    ----------
    data
        The car's part of the store.
    turns, counterweight, rpm
        As typed; None = as set now, by the last run or a setup entered since.

    Returns
    -------
    BenchCard

    Raises
    ------
    RequestError
        When the clutch is not described, or a value cannot be read and nothing was run yet.
    """
    if data.clutch is None:
        raise RequestError(
            f"The clutch of {data.car} is not described.",
            "Add a [[clutch]] to garage.toml and name it in the car's line 'clutch'.",
        )
    setting = BenchSetting(
        turns=_turns(turns) if turns else (_in_force(data, "preload", "--turns"),),
        counterweight_g=_counterweight(counterweight, data.clutch, data),
        launch_rpm=_asked(rpm, "rpm", "--rpm", data, "launch_rpm"),
        shift_rpm=data.garage_car.shift_rpm,
        engine_rpm_limit=data.garage_car.engine_rpm_limit,
        engine_torque=data.garage_car.engine_torque,
    )
    card = bench_card(clutch_unit(data.clutch), setting, _wear_now(data))
    return replace(card, checks=(*card.checks, *_launch_checks(data, setting.launch_rpm)))


def _launch_checks(data: CarData, rpm: float) -> tuple[BenchCheck, ...]:
    """Judge the launch rpm against the car's own limits, where garage.toml gives them."""
    limits = data.garage_car.launch_rpm_limits
    if limits is None:
        return ()
    inside = limits[0] <= rpm <= limits[1]
    words = "is within" if inside else "is outside"
    sentence = f"Launch at {rpm:g} rpm {words} launch_rpm_limits, {limits[0]:g} to {limits[1]:g}."
    return (BenchCheck("launch rpm", inside, sentence),)


def clutch_unit(clutch: Clutch) -> ClutchUnit:
    """Return a garage's clutch as the bench card takes it."""
    return ClutchUnit(
        screws=clutch.screws,
        springs=clutch.spring_count,
        base_load_lb=clutch.base_load_lb,
        least_base_load_lb=clutch.least_base_load_lb,
        spring_rate_lb_per_in=clutch.spring_rate_lb_per_in,
        load_per_turn_lb=clutch.load_per_turn_lb,
        safe_turns=clutch.safe_turns,
        levers=clutch.levers,
        lever_mass_g=clutch.lever_mass_g,
        lever_radius_in=clutch.lever_radius_in,
        lever_ratio=clutch.lever_ratio,
        counterweight_limits_g=clutch.counterweight_limits_g,
        friction=clutch.friction,
        friction_faces=clutch.friction_faces,
        outer_diameter_in=clutch.outer_diameter_in,
        inner_diameter_in=clutch.inner_diameter_in,
        ring_height_new_in=clutch.ring_height_new_in,
        service_growth_in=clutch.service_growth_in,
        growth_effect=clutch.growth_effect,
        bearing_clearance_in=clutch.bearing_clearance_in,
        shims_in=clutch.shims_in,
    )


def _turns(typed: str) -> tuple[float, ...]:
    try:
        return tuple(parse_quantity(part, "turn") for part in typed.replace(",", " ").split())
    except UnitError as wrong:
        raise RequestError(
            f"--turns {typed!r} cannot be read.", 'Give one number, or one for each screw: "2 2 2.5 2".'
        ) from wrong


def _counterweight(typed: str | None, clutch: Clutch, data: CarData) -> float:
    return (typed and hung_g(typed, clutch)) or _asked(typed, "g", "--counterweight", data, "counterweight")


def hung_g(typed: str, clutch: Clutch | None) -> float | None:
    """Return the mass of hardware as typed, such as ``2 steel nuts + 1 steel bolt 1 in``; None if it is none.

    The masses of garage.toml win over the computed ones.
    """
    computed_g = {piece: 1000.0 * mass_kg for piece, mass_kg in common_hardware().items()}
    return read_hardware(typed, {**computed_g, **(clutch.counterweight_hardware_g if clutch else {})})


def _asked(typed: str | None, unit: str, option: str, data: CarData, adjustment: str) -> float:
    if typed is None:
        return _in_force(data, adjustment, option)
    try:
        return parse_quantity(typed, unit)
    except UnitError as wrong:
        raise RequestError(f"{option} {typed!r} cannot be read.", wrong.remedy) from wrong


def _in_force(data: CarData, adjustment: str, option: str) -> float:
    known = present_settings(data.runs, data.setups)
    if adjustment not in known:
        raise RequestError(
            f"Nothing in this logbook gives {adjustment.replace('_', ' ')}.", f"Give it with {option}."
        )
    return known[adjustment]


def _wear_now(data: CarData) -> WearNow:
    wear = data.wear
    if wear is None or wear.ring_height_in is None:
        return WearNow()
    last = data.checks.sort("checked_at", "entry_order").tail(1)
    return WearNow(
        ring_height_in=wear.ring_height_in,
        ring_heights_in=tuple(_value(last, "ring_heights_in") or ()),
        grown_since_set_in=data.worn_now_in or 0.0,
        grown_since_service_in=wear.grown_since_service_in,
        growth=_growth(wear),
        bearing_clearance_in=_value(last, "bearing_clearance_in"),
    )


def _value(row: pl.DataFrame, column: str) -> Any:
    return row[column].to_list()[0] if row.height else None


def _growth(wear: Wear) -> Slope | None:
    if wear.growth_in_per_run is None:
        return None
    low, high = wear.growth_low_in_per_run, wear.growth_high_in_per_run
    return Slope(
        wear.growth_in_per_run, math.nan if low is None else low, math.nan if high is None else high, 1
    )
