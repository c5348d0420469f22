"""What each quantity of garage.toml may be: read with or without its unit, refused where no car has it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from pipeline.errors import UnitError
from pipeline.garage.columns import MOST_SCREWS
from pipeline.garage.units import Plausible, parse_quantity

_LENGTHS_FT = {
    "1/8 mile": 660.0,
    "1/8": 660.0,
    "eighth": 660.0,
    "1/4 mile": 1320.0,
    "1/4": 1320.0,
    "quarter": 1320.0,
}
_STRIP_LENGTH = Plausible(200, 5280, in_wholes=True)


def _within(unit: str, low: float, high: float, *, in_wholes: bool = False) -> BeforeValidator:
    """Make a validator that reads a quantity with or without its unit, and refuses what no car has."""
    plausible = Plausible(low, high, in_wholes)

    return BeforeValidator(lambda value: _read(value, unit, plausible))


def _read(value: Any, unit: str, plausible: Plausible) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ValueError(f"should be a number or text such as '1.5 {unit}'")
    try:
        return parse_quantity(value, unit, plausible)
    except UnitError as wrong:
        raise ValueError(str(wrong).rstrip(".")) from wrong


def _length_ft(value: Any) -> Any:
    spoken = value.strip().lower() if isinstance(value, str) else value
    if spoken in _LENGTHS_FT:
        return _LENGTHS_FT[spoken]
    return _read(value, "ft", _STRIP_LENGTH)


def _least_first(limits: tuple[float, float]) -> tuple[float, float]:
    if limits[0] > limits[1]:
        raise ValueError(f"{list(limits)} should give the least first")
    return limits


_LEAST_FIRST = AfterValidator(_least_first)
# What each quantity may be, whatever the car: wide, but a slip of comma or unit falls outside. [judgement]
Weight = Annotated[float, _within("lb", 300, 10000, in_wholes=True)]
Load = Annotated[float, _within("lb", 20, 5000)]
TurnLoad = Annotated[float, _within("lb", 0.5, 300)]
Length = Annotated[float, _within("in", 0.25, 30)]
Growth = Annotated[float, _within("in", 0.0005, 0.5)]
Clearance = Annotated[float, _within("in", 0.01, 2)]
Grams = Annotated[float, _within("g", 0, 800)]
Psi = Annotated[float, _within("psi", 1, 80)]
Feet = Annotated[float, _within("ft", -1500, 15000, in_wholes=True)]
PoundsPerInch = Annotated[float, _within("lb/in", 5, 5000)]
PoundFeet = Annotated[float, _within("lb-ft", 3, 5000, in_wholes=True)]
LaunchRpm = Annotated[float, _within("rpm", 1500, 12000, in_wholes=True)]
EngineRpm = Annotated[float, _within("rpm", 500, 20000, in_wholes=True)]
Minutes = Annotated[float, Field(ge=0, le=600)]
StripFeet = Annotated[float, BeforeValidator(_length_ft)]
Count = Annotated[int, Field(ge=1, le=MOST_SCREWS)]
Limits = Annotated[tuple[float, float], _LEAST_FIRST]
GramLimits = Annotated[tuple[Grams, Grams], _LEAST_FIRST]
PsiLimits = Annotated[tuple[Psi, Psi], _LEAST_FIRST]
RpmLimits = Annotated[tuple[LaunchRpm, LaunchRpm], _LEAST_FIRST]
