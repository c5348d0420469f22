"""Whether a setting holds the engine: its least torque capacity at the engine's torque peak."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pipeline.decide.bench import clutch_unit
from pipeline.decide.results import LoadsThatHold
from pipeline.garage.parts import Car, Clutch
from pipeline.physics.bench_card import capacity_per_pound, centrifugal_lb
from pipeline.season.sums import Array
from pipeline.season.wear_state import load_lost_lb

_SAME_LB_FT = 1e-9


@dataclass(frozen=True, slots=True)
class Holding:
    """What the clutch holds with the least friction, worn in, at the rpm of the engine's greatest torque.

    Attributes
    ----------
    rpm, engine_lb_ft
        Where the engine's torque peaks, and that torque.
    lb_ft_per_lb
        Least capacity of one pound of plate load.
    base_lb, lb_per_turn, lost_lb
        Static load: base, gain of a turn of every screw, and what the wear has cost.
    levers_lb, lb_per_g
        Load of the bare levers at that rpm, and of one gram on each.
    """

    rpm: float
    engine_lb_ft: float
    lb_ft_per_lb: float
    base_lb: float
    lb_per_turn: float
    lost_lb: float
    levers_lb: float
    lb_per_g: float

    def lb_ft(self, turns: Array | float, grams: Array | float) -> Array:
        """Return the least capacity of settings. [lb-ft]."""
        static = np.maximum(self.base_lb + self.lb_per_turn * np.asarray(turns) - self.lost_lb, 0.0)
        held: Array = self.lb_ft_per_lb * (static + self.levers_lb + self.lb_per_g * np.asarray(grams))
        return held

    def of(self, settings: Mapping[str, float]) -> float | None:
        """Return the least capacity of one setting [lb-ft]; None where turns or grams are not known."""
        turns, grams = settings.get("preload"), settings.get("counterweight")
        return None if turns is None or grams is None else float(self.lb_ft(turns, grams))

    def locks(self, settings: Mapping[str, float]) -> bool | None:
        """Whether a setting holds the engine's greatest torque; None where that is not known."""
        held = self.of(settings)
        return None if held is None else held >= self.engine_lb_ft - _SAME_LB_FT


def holding_of(car: Car, clutch: Clutch | None, wear_in: float | None) -> Holding | tuple[str, ...]:
    """Set up the check of torque capacity, or name the lines of garage.toml that it wants.

    Parameters
    ----------
    car, clutch
        As garage.toml describes them.
    wear_in
        Growth of the ring since the preload was set; None counts as none, a gain of load is never counted
        on. [in]
    """
    if clutch is None:
        return ("a [[clutch]] of the car",)
    unit = clutch_unit(clutch)
    wanted = {
        "engine_torque": car.engine_torque or None,
        "friction": unit.friction,
        "friction_faces": unit.friction_faces,
        "outer_diameter": unit.outer_diameter_in,
        "inner_diameter": unit.inner_diameter_in,
        "screws": unit.screws,
        "base_load": unit.base_load_lb,
        "load_per_turn": unit.load_per_turn_lb,
        "levers": unit.levers,
        "lever_mass": unit.lever_mass_g,
        "lever_radius": unit.lever_radius_in,
        "lever_ratio": unit.lever_ratio,
    }
    missing = tuple(line for line, value in wanted.items() if value is None)
    if missing or unit.screws is None or unit.base_load_lb is None or unit.load_per_turn_lb is None:
        return missing
    rpm, torque = _peak(car)
    bare, one_gram = (centrifugal_lb(unit, grams, rpm) for grams in (0.0, 1.0))
    shares = capacity_per_pound(unit)
    assert bare is not None
    assert one_gram is not None
    assert shares is not None
    return Holding(
        rpm=rpm,
        engine_lb_ft=torque,
        lb_ft_per_lb=min(shares),
        base_lb=unit.base_load_lb,
        lb_per_turn=unit.load_per_turn_lb * unit.screws,
        lost_lb=max(0.0, load_lost_lb(clutch, wear_in or 0.0) or 0.0),
        levers_lb=bare,
        lb_per_g=one_gram - bare,
    )


def _peak(car: Car) -> tuple[float, float]:
    """Return the lowest rpm of the engine's greatest torque, and that torque."""
    return max(car.engine_torque, key=lambda point: (point[1], -point[0]))


def loads_that_hold(car: Car | None, clutch: Clutch | None) -> LoadsThatHold | None:
    """Return the plate loads that hold the engine's greatest torque; None where garage.toml lacks a figure.

    Notes
    -----
    From the load that does with the most friction to the one that does with the least, worn in or new.
    """
    if car is None or clutch is None or not car.engine_torque:
        return None
    shares = capacity_per_pound(clutch_unit(clutch))
    if shares is None:
        return None
    rpm, torque = _peak(car)
    return LoadsThatHold(torque, rpm, torque / max(shares), torque / min(shares))


def unchecked_sentence(missing: tuple[str, ...]) -> str:
    """Say that torque capacity was not checked, and which lines of garage.toml would let it be."""
    return (
        "Whether the clutch holds the engine's torque was not checked: garage.toml lacks "
        f"{', '.join(missing)}."
    )


def held_sentence(holding: Holding, before: Mapping[str, float], after: Mapping[str, float]) -> str:
    """Say what a suggestion holds against the engine, and mark one that lowers it.

    Parameters
    ----------
    holding
        Of the clutch.
    before, after
        The present setting and the one suggested; the same when nothing is.
    """
    was, held = holding.of(before), holding.of(after)
    if was is None or held is None:
        return (
            "Whether the clutch holds the engine's torque was not checked: turns or counterweight "
            "are not known."
        )
    engine = f"the engine's {holding.engine_lb_ft:.0f} lb-ft at {holding.rpm:.0f} rpm"
    said = f"With the least friction the clutch holds {held:.0f} lb-ft worn in, against {engine}."
    if held < was - 0.5:
        return f"This lowers what the clutch holds, from {was:.0f} lb-ft. {said}"
    return said
