"""The bench card: what one setting of one clutch presses, holds, wears and is worth.

A card is read at the bench, so this one module speaks the trade's units on both sides, each in its name;
it calls the SI functions in between.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pipeline.errors import SlipledgerError
from pipeline.physics.bench_checks import (
    bench_checks,
    grown_since_service,
    refuse_unreal,
    turns_of_each,
)
from pipeline.physics.bench_records import (
    BenchCard,
    BenchSetting,
    ClutchUnit,
    LoadPoint,
    WearNow,
    WearState,
    Worth,
)
from pipeline.physics.capacity import (
    effective_radius_new,
    effective_radius_worn,
    meeting_speeds,
    torque_at,
    torque_capacity,
)
from pipeline.physics.clutch import (
    centrifugal_load,
    preload_after_wear,
    preload_from_turns,
)
from pipeline.physics.constants import (
    GRAM_KG,
    INCH_M,
    POUND_FOOT_NM,
    POUND_FORCE_N,
    POUND_PER_INCH_N_PER_M,
)
from pipeline.physics.wear import runs_to_limit, shim_stack

RPM_STEP = 250
_WEAR_STEP_IN = 0.010


def bench_card(unit: ClutchUnit, setting: BenchSetting, wear: WearNow | None = None) -> BenchCard:
    """Work out a bench card.

    Parameters
    ----------
    unit
        The clutch; ``base_load_lb`` and ``load_per_turn_lb`` are needed.
    setting
        Turns, counterweight and engine speeds.
    wear
        None = nothing was measured: the card is for a clutch as set.

    Returns
    -------
    BenchCard

    Raises
    ------
    OutOfRange
        For a number out of range.
    SlipledgerError
        When garage.toml gives no base load or no load per turn, or for as many turns as there are neither
        one nor screws of.

    References
    ----------
    Those of the functions in :mod:`pipeline.physics.clutch` and :mod:`pipeline.physics.wear`.
    """
    refuse_unreal(setting)
    wear = wear or WearNow()
    when_set = _preload_when_set(unit, setting)
    preload = _after_wear(unit, when_set, wear.grown_since_set_in)
    speeds = _speeds(setting)
    curve = tuple(_point(unit, setting, preload, rpm) for rpm in speeds)
    return BenchCard(
        setting=setting,
        preload_when_set_lb=when_set,
        preload_lb=preload,
        at_launch=_point(unit, setting, preload, setting.launch_rpm),
        at_shift=None if setting.shift_rpm is None else _point(unit, setting, preload, setting.shift_rpm),
        curve=curve,
        meeting_rpm_low_friction=_meeting(curve, "worn_in_low_lb_ft"),
        meeting_rpm_high_friction=_meeting(curve, "worn_in_high_lb_ft"),
        worth=_worth(unit, setting, preload),
        wear=_wear_state(unit, wear, when_set, preload),
        checks=bench_checks(unit, setting, wear, preload),
        missing=_missing(unit, setting),
    )


def _needed(value: float | None, what: str) -> float:
    if value is None:
        raise SlipledgerError(
            f"The bench card needs the clutch's {what}.",
            f"Add the line '{what}' to [[clutch]] in garage.toml.",
        )
    return value


def _preload_when_set(unit: ClutchUnit, setting: BenchSetting) -> float:
    base = _needed(unit.base_load_lb, "base_load") * POUND_FORCE_N
    per_turn = _needed(unit.load_per_turn_lb, "load_per_turn") * POUND_FORCE_N
    turns = turns_of_each(unit, setting)
    return preload_from_turns(base, per_turn, turns) / POUND_FORCE_N


def _after_wear(unit: ClutchUnit, when_set_lb: float, grown_in: float) -> float:
    if unit.spring_rate_lb_per_in is None or unit.springs is None:
        return when_set_lb
    left = preload_after_wear(
        when_set_lb * POUND_FORCE_N,
        unit.springs,
        unit.spring_rate_lb_per_in * POUND_PER_INCH_N_PER_M,
        grown_in * INCH_M,
        unit.growth_effect,
    )
    return left / POUND_FORCE_N


def centrifugal_lb(unit: ClutchUnit, counterweight_g: float, rpm: float) -> float | None:
    """Return the plate load from the levers. [lb].

    Parameters
    ----------
    unit
        The clutch.
    counterweight_g
        Mass added to one lever. [g]
    rpm
        Engine speed, 0 to 20,000. [1/min]

    Returns
    -------
    float or None
        None where the geometry of the levers is not all given.

    Raises
    ------
    OutOfRange
        For a speed or mass out of range.

    References
    ----------
    As :func:`pipeline.physics.clutch.centrifugal_load`.
    """
    if (
        unit.levers is None
        or unit.lever_mass_g is None
        or unit.lever_radius_in is None
        or unit.lever_ratio is None
    ):
        return None
    load = centrifugal_load(
        unit.levers,
        unit.lever_mass_g * GRAM_KG,
        counterweight_g * GRAM_KG,
        unit.lever_radius_in * INCH_M,
        rpm,
        unit.lever_ratio,
    )
    return load / POUND_FORCE_N


def capacity_per_pound(unit: ClutchUnit) -> tuple[float, float, float, float] | None:
    """Return the torque capacity of one pound of plate load: worn-in least and most, new least and most.

    Parameters
    ----------
    unit
        The clutch.

    Returns
    -------
    tuple or None
        [lb-ft per lb]; None where friction, faces or diameters are not all given.

    Raises
    ------
    OutOfRange
        For a friction or a diameter out of range.

    References
    ----------
    As :func:`pipeline.physics.capacity.torque_capacity`.
    """
    if (
        unit.friction is None
        or unit.friction_faces is None
        or unit.outer_diameter_in is None
        or unit.inner_diameter_in is None
    ):
        return None
    outer, inner = 0.5 * unit.outer_diameter_in * INCH_M, 0.5 * unit.inner_diameter_in * INCH_M
    radii = (effective_radius_worn(outer, inner), effective_radius_new(outer, inner))
    worn_low, worn_high, new_low, new_high = (
        torque_capacity(friction, unit.friction_faces, POUND_FORCE_N, radius) / POUND_FOOT_NM
        for radius in radii
        for friction in unit.friction
    )
    return worn_low, worn_high, new_low, new_high


def _point(unit: ClutchUnit, setting: BenchSetting, preload_lb: float, rpm: float) -> LoadPoint:
    centrifugal = centrifugal_lb(unit, setting.counterweight_g, rpm)
    load = None if centrifugal is None else preload_lb + centrifugal
    per_pound = capacity_per_pound(unit)
    bare = LoadPoint(rpm, preload_lb, centrifugal, load, None, None, None, None, _engine(setting, rpm))
    if load is None or per_pound is None:
        return bare
    worn_low, worn_high, new_low, new_high = (load * share for share in per_pound)
    return replace(
        bare,
        worn_in_low_lb_ft=worn_low,
        worn_in_high_lb_ft=worn_high,
        new_low_lb_ft=new_low,
        new_high_lb_ft=new_high,
    )


def _engine(setting: BenchSetting, rpm: float) -> float | None:
    if len(setting.engine_torque) < 2:
        return None
    torque = float(torque_at(rpm, setting.engine_torque))
    return None if math.isnan(torque) else torque


def _speeds(setting: BenchSetting) -> tuple[float, ...]:
    """Compute the engine speeds of the curve: every 250 rpm, with the torque's own points.

    It ends at the engine's limit, or where that is not given at the next 250 rpm above every speed named;
    a speed asked for past the limit is still on it.
    """
    asked = max(setting.launch_rpm, setting.shift_rpm or 0.0)
    torque_rpm = [point[0] for point in setting.engine_torque]
    if setting.engine_rpm_limit is not None:
        top = max(asked, setting.engine_rpm_limit)
    else:
        top = RPM_STEP * math.ceil(max([asked, *torque_rpm]) / RPM_STEP)
    grid = np.arange(1000.0, top, RPM_STEP)
    return tuple(sorted({float(rpm) for rpm in (*grid, *torque_rpm, top) if rpm <= top}))


def _meeting(curve: tuple[LoadPoint, ...], capacity: str) -> tuple[float, ...]:
    points = [
        (point.rpm, getattr(point, capacity), point.engine_lb_ft)
        for point in curve
        if point.engine_lb_ft is not None and getattr(point, capacity) is not None
    ]
    if len(points) < 2:
        return ()
    rpm, held, torque = zip(*points, strict=True)
    return meeting_speeds(rpm, held, torque)


def _worth(unit: ClutchUnit, setting: BenchSetting, preload_lb: float) -> tuple[Worth, ...]:
    """Return one turn of all screws, one gram a lever and 0.010 in of growth, at launch and at the shift."""
    per_pound = capacity_per_pound(unit)
    middle = None if per_pound is None else 0.5 * (per_pound[0] + per_pound[1])
    places = [("launch", setting.launch_rpm)]
    if setting.shift_rpm is not None:
        places.append(("shift", setting.shift_rpm))
    found = []
    for place, rpm in places:
        for what, step, load in _steps(unit, setting, preload_lb, rpm):
            capacity = None if middle is None else load * middle
            found.append(Worth(what, step, place, rpm, load, capacity))
    return tuple(found)


def _steps(
    unit: ClutchUnit, setting: BenchSetting, preload_lb: float, rpm: float
) -> list[tuple[str, str, float]]:
    per_turn = _needed(unit.load_per_turn_lb, "load_per_turn") * len(turns_of_each(unit, setting))
    steps = [("preload", "1 turn", per_turn)]
    now, heavier = (centrifugal_lb(unit, setting.counterweight_g + more, rpm) for more in (0.0, 1.0))
    if now is not None and heavier is not None:
        steps.append(("counterweight", "1 g", heavier - now))
    if unit.spring_rate_lb_per_in is not None:
        worn = _after_wear(unit, preload_lb, _WEAR_STEP_IN)
        steps.append(("growth", "0.010 in", worn - preload_lb))
    return steps


def _wear_state(unit: ClutchUnit, wear: WearNow, when_set_lb: float, preload_lb: float) -> WearState:
    grown = grown_since_service(unit, wear)
    forecast = None
    if grown is not None and wear.growth is not None and unit.service_growth_in is not None:
        metres = replace(
            wear.growth,
            slope=wear.growth.slope * INCH_M,
            low=wear.growth.low * INCH_M,
            high=wear.growth.high * INCH_M,
        )
        forecast = runs_to_limit(grown * INCH_M, unit.service_growth_in * INCH_M, metres)
    stack = None
    if grown is not None and grown > 0.0 and unit.shims_in:
        stack = shim_stack([thickness * INCH_M for thickness in unit.shims_in], grown * INCH_M)
    return WearState(
        ring_height_in=wear.ring_height_in,
        grown_since_set_in=wear.grown_since_set_in,
        grown_since_service_in=grown,
        preload_lost_lb=None if unit.spring_rate_lb_per_in is None else when_set_lb - preload_lb,
        growth_in_per_run=None if wear.growth is None else _known(wear.growth.slope),
        runs_to_service=None if forecast is None else _known(forecast.runs),
        runs_to_service_sooner=None if forecast is None else _known(forecast.sooner),
        runs_to_service_later=None if forecast is None else _known(forecast.later),
        shim_to_remove_in=None if stack is None else stack.total_m / INCH_M,
        shims_in=() if stack is None else tuple(piece / INCH_M for piece in stack.pieces_m),
    )


def _known(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _missing(unit: ClutchUnit, setting: BenchSetting) -> tuple[str, ...]:
    wanted: dict[str, object] = {
        "spring_rate": unit.spring_rate_lb_per_in,
        "levers": unit.levers,
        "lever_mass": unit.lever_mass_g,
        "lever_radius": unit.lever_radius_in,
        "lever_ratio": unit.lever_ratio,
        "friction": unit.friction,
        "friction_faces": unit.friction_faces,
        "outer_diameter": unit.outer_diameter_in,
        "inner_diameter": unit.inner_diameter_in,
        "engine_torque": setting.engine_torque or None,
        "shift_rpm": setting.shift_rpm,
    }
    return tuple(name for name, value in wanted.items() if value is None)
