"""What garage.toml may describe: a clutch, a car, a strip, an adjustment of the person's own."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from pipeline.garage.factors import Factor, extra_factor
from pipeline.garage.quantities import (
    Clearance,
    Count,
    EngineRpm,
    Feet,
    GramLimits,
    Grams,
    Growth,
    Length,
    Limits,
    Load,
    Minutes,
    PoundFeet,
    PoundsPerInch,
    PsiLimits,
    RpmLimits,
    StripFeet,
    TurnLoad,
    Weight,
)


class Part(BaseModel):
    """A table of garage.toml: unknown keys are mistakes, and nothing changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    def line(self, key: str) -> Any:
        """Return what stands under a key as written in garage.toml; None when the line is not there."""
        fields = type(self).model_fields
        return next(getattr(self, name) for name, field in fields.items() if key in {name, field.alias})


class Clutch(Part):
    """One kind of clutch unit. What is not given is None, and what needs it is left out, with a word."""

    name: str = Field(min_length=1, max_length=80)
    type: str | None = None
    screws: Count | None = None
    springs: Count | None = None
    base_load_lb: Load | None = Field(None, alias="base_load")
    least_base_load_lb: Load | None = Field(None, alias="least_base_load")
    spring_rate_given_lb_per_in: PoundsPerInch | None = Field(None, alias="spring_rate")
    threads_per_inch: float | None = Field(None, gt=4, le=100)
    load_per_turn_given_lb: TurnLoad | None = Field(None, alias="load_per_turn")
    safe_turns: float | None = Field(None, gt=0, le=20)
    reach_turns: float | None = Field(None, gt=0, le=20)
    levers: Count | None = None
    lever_mass_g: Grams | None = Field(None, alias="lever_mass")
    lever_radius_in: Length | None = Field(None, alias="lever_radius")
    lever_ratio: float | None = Field(None, gt=0, le=20)
    counterweight_limits_g: GramLimits | None = Field(None, alias="counterweight_limits")
    friction: Limits | None = None
    friction_faces: Count | None = None
    outer_diameter_in: Length | None = Field(None, alias="outer_diameter")
    inner_diameter_in: Length | None = Field(None, alias="inner_diameter")
    ring_height_new_in: Length | None = Field(None, alias="ring_height_new")
    service_growth_in: Growth | None = Field(None, alias="service_growth")
    growth_effect: Literal["less load", "more load"] = "less load"
    bearing_clearance_in: Clearance | None = Field(None, alias="bearing_clearance")
    shims_in: tuple[Growth, ...] = Field((), alias="shims")
    flywheel_bolt_torque_lb_ft: PoundFeet | None = Field(None, alias="flywheel_bolt_torque")
    cover_nut_torque_lb_ft: PoundFeet | None = Field(None, alias="cover_nut_torque")
    counterweight_hardware_g: dict[str, Grams] = Field(default_factory=dict, alias="counterweight_hardware")

    @property
    def spring_count(self) -> int | None:
        """Springs that press on the ring: one a screw unless said otherwise."""
        return self.springs or self.screws

    @property
    def _is_one_spring_a_screw(self) -> bool:
        """Whether turning one screw by one thread compresses one spring by one thread's pitch.

        With other numbers of springs than of screws that depends on the construction: each screw may press
        two springs, or some springs may stand under no screw at all. So nothing is worked out from it.
        """
        return self.springs is None or self.springs == self.screws

    @property
    def load_per_turn_lb(self) -> float | None:
        """Plate load from one turn of one screw [lb]: given, or spring rate times thread pitch.

        Worked out only with one spring to a screw.
        """
        if self.load_per_turn_given_lb is not None:
            return self.load_per_turn_given_lb
        if self.spring_rate_given_lb_per_in is None or self.threads_per_inch is None:
            return None
        if not self._is_one_spring_a_screw:
            return None
        return self.spring_rate_given_lb_per_in / self.threads_per_inch

    @property
    def spring_rate_lb_per_in(self) -> float | None:
        """Rate of one spring [lb/in]: given, or load per turn times thread pitch.

        Worked out only with one spring to a screw.
        """
        if self.spring_rate_given_lb_per_in is not None:
            return self.spring_rate_given_lb_per_in
        if not self.load_per_turn_given_lb or self.threads_per_inch is None:
            return None
        if not self._is_one_spring_a_screw:
            return None
        return self.load_per_turn_given_lb * self.threads_per_inch

    @model_validator(mode="after")
    def _agree(self) -> Clutch:
        if self.friction is not None and not 0 < self.friction[0] <= self.friction[1] <= 1:
            raise ValueError(f"friction {list(self.friction)} should lie between 0 and 1")
        if self.safe_turns and self.reach_turns and self.safe_turns > self.reach_turns:
            raise ValueError(f"safe_turns {self.safe_turns:g} is more than reach_turns {self.reach_turns:g}")
        inner, outer = self.inner_diameter_in, self.outer_diameter_in
        if inner is not None and outer is not None and inner >= outer:
            raise ValueError(f"inner_diameter {inner:g} in is not less than outer_diameter {outer:g} in")
        return self


class Car(Part):
    """One car, with the limits no suggestion will pass."""

    name: str = Field(min_length=1, max_length=80)
    also: tuple[str, ...] = ()
    clutch: str | None = None
    weight_lb: Weight | None = Field(None, alias="weight")
    launch_rpm_limits: RpmLimits | None = None
    engine_rpm_limit: EngineRpm | None = None
    shift_rpm: EngineRpm | None = None
    tire_pressure_limits_psi: PsiLimits | None = Field(None, alias="tire_pressure_limits")
    engine_torque: tuple[tuple[EngineRpm, PoundFeet], ...] = ()
    change_minutes: dict[str, Minutes] = Field(default_factory=dict)
    cooling_minutes: Minutes | None = None

    @model_validator(mode="after")
    def _agree(self) -> Car:
        limit, launch = self.engine_rpm_limit, self.launch_rpm_limits
        if limit is not None and launch is not None and launch[1] > limit:
            raise ValueError(f"launch_rpm_limits reach {launch[1]:g}, past engine_rpm_limit {limit:g}")
        rpms = [point[0] for point in self.engine_torque]
        if rpms != sorted(set(rpms)):
            raise ValueError("engine_torque should list rising rpm, each once")
        return self


class Venue(Part):
    """One strip."""

    name: str = Field(min_length=1, max_length=80)
    also: tuple[str, ...] = ()
    elevation_ft: Feet | None = Field(None, alias="elevation")
    length_ft: StripFeet | None = Field(None, alias="length")


class Adjustment(Part):
    """Another setting the person changes and wants judged on the same footing."""

    name: str = Field(pattern=r"^[a-z][a-z0-9_]{0,39}$")
    label: str = ""
    also: tuple[str, ...] = ()
    unit: str = "unit"
    step: float = Field(1.0, gt=0)
    limits: Limits | None = None
    quick: bool = False

    @property
    def spoken(self) -> str:
        """The label, or the name with spaces."""
        return self.label or self.name.replace("_", " ")

    @property
    def factor(self) -> Factor:
        """What it is to the model and the limits."""
        return extra_factor(self.name, self.spoken, self.unit, self.step, is_quick=self.quick)
