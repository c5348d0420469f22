"""A logbook folder: ``garage.toml``, validated with every mistake at once, and the sheets below it."""

from __future__ import annotations

import difflib
import tomllib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    ValidationError,
    model_validator,
)

from pipeline.errors import GarageError, RequestError, SheetError
from pipeline.files.sheets import find_sheets, is_ordinary
from pipeline.garage.columns import numbered
from pipeline.garage.dictionary import DATE_WORDS, SHEET_TABLES, TIME_WORDS
from pipeline.garage.factors import ADJUSTMENTS, Factor, extra_factor
from pipeline.garage.mistakes import mistake, perhaps
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
from pipeline.garage.spelling import folded, short_name

GARAGE_FILE = "garage.toml"
MOST_GARAGE_BYTES = 1_000_000


class _Part(BaseModel):
    """A table of garage.toml: unknown keys are mistakes, and nothing changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    def line(self, key: str) -> Any:
        """Return what stands under a key as written in garage.toml; None when the line is not there."""
        fields = type(self).model_fields
        return next(getattr(self, name) for name, field in fields.items() if key in {name, field.alias})


class Clutch(_Part):
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


class Car(_Part):
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


class Venue(_Part):
    """One strip."""

    name: str = Field(min_length=1, max_length=80)
    also: tuple[str, ...] = ()
    elevation_ft: Feet | None = Field(None, alias="elevation")
    length_ft: StripFeet | None = Field(None, alias="length")


class Adjustment(_Part):
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


def _names_itself(strip: object) -> bool:
    """Tell whether a strip is told with a name and spellings that are texts."""
    if not isinstance(strip, dict) or not isinstance(strip.get("name"), str):
        return False
    also = strip.get("also", [])
    return isinstance(also, list) and all(isinstance(text, str) for text in also)


class Garage(_Part):
    """All of garage.toml."""

    units: Literal["us", "metric"] = "us"
    cars: tuple[Car, ...] = Field((), alias="car")
    clutches: tuple[Clutch, ...] = Field((), alias="clutch")
    venues: tuple[Venue, ...] = Field((), alias="venue")
    adjustments: tuple[Adjustment, ...] = Field((), alias="adjustment")
    headings: dict[str, str] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _call_strips_short(cls, told: Any) -> Any:
        """Let a strip go by its short name too, where no other is called so."""
        strips = told.get("venue") if isinstance(told, dict) else None
        if not isinstance(strips, list) or not all(_names_itself(strip) for strip in strips):
            return told
        called = Counter(
            spelling
            for strip in strips
            for spelling in {
                folded(text) for text in (strip["name"], short_name(strip["name"]), *strip.get("also", ()))
            }
        )
        named = [
            strip | {"also": [*strip.get("also", ()), short]}
            if (short := short_name(strip["name"])) != strip["name"]
            and called[folded(short)] == 1
            and folded(short) not in map(folded, strip.get("also", ()))
            else strip
            for strip in strips
        ]
        return told | {"venue": named}

    @model_validator(mode="after")
    def _agree(self) -> Garage:
        for kind, parts in (("car", self.cars), ("clutch", self.clutches), ("venue", self.venues)):
            _distinct(kind, [(part.name, *getattr(part, "also", ())) for part in parts])
        _distinct("adjustment", [(part.name, *part.also) for part in self.adjustments])
        known = [clutch.name for clutch in self.clutches]
        for car in self.cars:
            if car.clutch is not None and car.clutch not in known:
                raise ValueError(
                    f"car {car.name!r} names the clutch {car.clutch!r}{perhaps(car.clutch, known)}"
                )
            names = [factor.name for factor in self.factors]
            for name in car.change_minutes:
                if name not in names:
                    raise ValueError(
                        f"change_minutes of car {car.name!r} names {name!r}, which is no adjustment; "
                        f"those are {', '.join(names)}"
                    )
        self._check_headings()
        return self

    def _check_headings(self) -> None:
        """Refuse a heading of the person's own that stands for no column."""
        spelled = _column_spellings(self.adjustments)
        for heading, meant in self.headings.items():
            if folded(meant) not in spelled:
                close = difflib.get_close_matches(folded(meant), spelled, n=1, cutoff=0.5)
                hint = f"did you mean {spelled[close[0]]!r}?" if close else "the README lists every column"
                raise ValueError(
                    f"under [headings], {heading!r} stands for {meant!r}, which is no column; {hint}"
                )

    def car(self, name: str) -> Car:
        """Return the car of that name or spelling; an empty one when garage.toml does not list it."""
        for car in self.cars:
            if folded(name) in {folded(spelling) for spelling in (car.name, *car.also)}:
                return car
        return Car(name=name)

    def clutch_of(self, car: str) -> Clutch | None:
        """Return a car's clutch; None when it is not described."""
        wanted = self.car(car).clutch
        return next((clutch for clutch in self.clutches if clutch.name == wanted), None)

    @property
    def factors(self) -> tuple[Factor, ...]:
        """Every adjustment a person can set, the usual ones first, then those of garage.toml."""
        return (*ADJUSTMENTS, *(item.factor for item in self.adjustments))

    def limits_of(self, car: str, factor: Factor) -> tuple[float, float] | None:
        """Return the least and most that garage.toml gives for a car's adjustment, in the adjustment's unit.

        None when there is no such line. A lone number, such as safe_turns, is the most; the least is 0.
        """
        parts: dict[str, _Part | None] = {
            "car": self.car(car),
            "clutch": self.clutch_of(car),
            "adjustment": next((item for item in self.adjustments if item.name == factor.name), None),
        }
        part = parts[factor.limits_part]
        limits = None if part is None else part.line(factor.limits_key)
        return (0.0, limits) if isinstance(limits, float) else limits


def _column_spellings(adjustments: Iterable[Adjustment]) -> dict[str, str]:
    """Return every folded way to name a column of a sheet, with that way as written."""
    columns = [column for table in SHEET_TABLES.values() for column in table.columns if column.heading]
    texts = [text for column in columns for text in (column.heading, column.name, *column.aliases)]
    texts += [text for own in adjustments for text in (own.name, own.spoken, *own.also)]
    texts += [name for column in columns if column.each for name in numbered(column.name)]
    return {folded(text): text for text in reversed([*texts, *DATE_WORDS, *TIME_WORDS])}


def _distinct(kind: str, spellings: list[tuple[str, ...]]) -> None:
    seen: set[str] = set()
    for names in spellings:
        spelled = {folded(name) for name in names}
        if spelled & seen:
            both = next(name for name in names if folded(name) in seen)
            raise ValueError(f"two [[{kind}]] go by {both!r}; each name or spelling may stand once")
        seen |= spelled


@dataclass(frozen=True, slots=True)
class Logbook:
    """A logbook folder, read.

    Attributes
    ----------
    root
        The folder.
    garage
        What ``garage.toml`` says; empty when there is none.
    sheets
        Every file that may be a sheet, in a fixed order.
    passed_over
        Names of others that look like sheets, with why they are not read.
    """

    root: Path
    garage: Garage
    sheets: tuple[Path, ...]
    passed_over: tuple[tuple[str, SheetError], ...] = ()

    @classmethod
    def open(cls, root: Path) -> Logbook:
        """Read ``garage.toml`` and list the sheets.

        Raises
        ------
        RequestError
            When there is no such folder.
        GarageError
            When ``garage.toml`` has mistakes; all are in the message.
        """
        if not root.is_dir():
            near = (
                sorted(path.name for path in root.parent.iterdir() if path.is_dir())
                if root.parent.is_dir()
                else []
            )
            close = difflib.get_close_matches(root.name, near, n=1)
            hint = f"Did you mean {close[0]!r}?" if close else "Make one with 'slipledger new'."
            raise RequestError(f"There is no logbook folder {root}.", hint)
        files = find_sheets(root)
        garage = read_garage(root / GARAGE_FILE)
        return cls(root=root, garage=garage, sheets=files.sheets, passed_over=files.passed_over)


def read_garage(path: Path) -> Garage:
    """Read and check garage.toml.

    Parameters
    ----------
    path
        The file; an absent one is an empty garage.

    Raises
    ------
    GarageError
        With every mistake, its line and its remedy.
    """
    if not path.exists():
        return Garage.model_validate({})
    try:
        _refuse_no_garage(path)
        text = path.read_text(encoding="utf-8-sig")
        return Garage.model_validate(tomllib.loads(text))
    except (OSError, UnicodeDecodeError) as unreadable:
        raise GarageError(
            f"{path.name} cannot be read ({unreadable}).", "Save it as plain text in UTF-8."
        ) from unreadable
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise GarageError(
            f"{path.name} is not TOML: {str(wrong)[:200]}.",
            'Text goes in "quotes", and each [[car]] or [[venue]] stands on its own line.',
        ) from wrong
    except ValidationError as wrong:
        mistakes = [mistake(error, text, _keys_of) for error in wrong.errors(include_url=False)]
        count = "1 mistake" if len(mistakes) == 1 else f"{len(mistakes)} mistakes"
        raise GarageError(
            f"{path.name} has {count}: " + "; ".join(mistakes) + ".", "Mend them and run the command again."
        ) from wrong


def _refuse_no_garage(path: Path) -> None:
    if not is_ordinary(path):
        raise GarageError(
            f"{path.name} is a link or no ordinary file.", "Copy what it points to into the logbook."
        )
    size = path.stat().st_size
    if size > MOST_GARAGE_BYTES:
        raise GarageError(
            f"{path.name} is {size / 1e6:.1f} MB; a garage takes a few kB.",
            "Keep cars, clutches and strips in it, and nothing else.",
        )


def _keys_of(table: str) -> list[str]:
    models: dict[str, type[_Part]] = {"car": Car, "clutch": Clutch, "venue": Venue, "adjustment": Adjustment}
    model = models.get(table, Garage)
    return [field.alias or name for name, field in model.model_fields.items()]
