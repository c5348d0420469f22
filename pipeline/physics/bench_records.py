"""What a bench card is made from and what it says, as plain records in the trade's units."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.physics.clutch import GrowthEffect
from pipeline.physics.wear import Slope


@dataclass(frozen=True, slots=True)
class ClutchUnit:
    """One clutch, field for field as garage.toml describes it; None = not given.

    ``load_per_turn_lb`` is for one screw; ``friction`` is (least, most).
    """

    screws: int | None = None
    springs: int | None = None
    base_load_lb: float | None = None
    least_base_load_lb: float | None = None
    spring_rate_lb_per_in: float | None = None
    load_per_turn_lb: float | None = None
    safe_turns: float | None = None
    levers: int | None = None
    lever_mass_g: float | None = None
    lever_radius_in: float | None = None
    lever_ratio: float | None = None
    counterweight_limits_g: tuple[float, float] | None = None
    friction: tuple[float, float] | None = None
    friction_faces: int | None = None
    outer_diameter_in: float | None = None
    inner_diameter_in: float | None = None
    ring_height_new_in: float | None = None
    service_growth_in: float | None = None
    growth_effect: GrowthEffect = "less load"
    bearing_clearance_in: float | None = None
    shims_in: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class BenchSetting:
    """The setting the card is for.

    ``turns`` holds one number or one for each screw.
    """

    turns: tuple[float, ...]
    counterweight_g: float
    launch_rpm: float
    shift_rpm: float | None = None
    engine_rpm_limit: float | None = None
    engine_torque: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class WearNow:
    """What is known of the wear; None = not measured.

    ``grown_since_set_in`` counts from when the screws were set, ``grown_since_service_in`` from the last
    service; ``growth`` is in inches per run.
    """

    ring_height_in: float | None = None
    ring_heights_in: tuple[float, ...] = ()
    grown_since_set_in: float = 0.0
    grown_since_service_in: float | None = None
    growth: Slope | None = None
    bearing_clearance_in: float | None = None


@dataclass(frozen=True, slots=True)
class LoadPoint:
    """The clutch at one engine speed; None = geometry, friction or the engine's curve is not given.

    ``worn_in_*`` and ``new_*`` are torque capacity at the least and most friction of a worn-in and a new
    disc. [lb, lb-ft]
    """

    rpm: float
    static_lb: float
    centrifugal_lb: float | None
    plate_load_lb: float | None
    worn_in_low_lb_ft: float | None
    worn_in_high_lb_ft: float | None
    new_low_lb_ft: float | None
    new_high_lb_ft: float | None
    engine_lb_ft: float | None


@dataclass(frozen=True, slots=True)
class Worth:
    """What one step of one thing adds to plate load and worn-in capacity at one engine speed.

    ``capacity_lb_ft`` is at the middle of the friction range.
    """

    what: str
    step: str
    at: str
    rpm: float
    load_lb: float
    capacity_lb_ft: float | None


@dataclass(frozen=True, slots=True)
class WearState:
    """Where the wear stands; ``shims_in`` are the pieces to take out from under each stand."""

    ring_height_in: float | None
    grown_since_set_in: float
    grown_since_service_in: float | None
    preload_lost_lb: float | None
    growth_in_per_run: float | None
    runs_to_service: float | None
    runs_to_service_sooner: float | None
    runs_to_service_later: float | None
    shim_to_remove_in: float | None
    shims_in: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class BenchCheck:
    """One check at the bench, with its verdict and a sentence."""

    what: str
    passed: bool | None
    sentence: str


@dataclass(frozen=True, slots=True)
class BenchCard:
    """All of one card.

    ``at_launch`` and ``at_shift`` are single points of the curve; ``meeting_rpm_*`` are where capacity
    crosses the engine's torque (worn-in disc, least and most friction): shown, never trusted blindly.
    ``missing`` names the lines of garage.toml without which parts of the card stay empty.
    """

    setting: BenchSetting
    preload_when_set_lb: float
    preload_lb: float
    at_launch: LoadPoint
    at_shift: LoadPoint | None
    curve: tuple[LoadPoint, ...]
    meeting_rpm_low_friction: tuple[float, ...]
    meeting_rpm_high_friction: tuple[float, ...]
    worth: tuple[Worth, ...]
    wear: WearState
    checks: tuple[BenchCheck, ...]
    missing: tuple[str, ...]
