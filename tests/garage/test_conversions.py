"""The table of conversions beside pint, which knows every unit's definition."""

import pint

from pipeline.garage.conversions import CONVERSIONS
from pipeline.garage.units import SPOKEN

# Canonical unit -> the name pint knows it by.
CANONICAL = {
    "s": "second",
    "mph": "mile / hour",
    "degF": "degF",
    "inHg": "inHg",
    "%": "percent",
    "psi": "psi",
    "in": "inch",
    "ft": "foot",
    "g": "gram",
    "lb": "pound",
    "lb/in": "pound / inch",
    "lb-ft": "force_pound * foot",
    "rpm": "revolution / minute",
    "turn": "dimensionless",
    "gr/lb": "grain_per_pound",
    "1": "dimensionless",
}

# Bare ratios all look alike to pint; a canonical one takes only the units people mean by it.
RATIOS = {
    "%": frozenset({"percent", "dimensionless"}),
    "gr/lb": frozenset({"grain_per_pound", "gram / kilogram"}),
    "turn": frozenset({"dimensionless"}),
    "1": frozenset({"dimensionless"}),
}


def by_pint() -> dict[str, dict[str, tuple[float, float]]]:
    """Every unit that people write in every canonical unit of its kind, to 13 digits."""
    registry = pint.UnitRegistry(cache_folder=None)
    registry.define("grain_per_pound = 1 / 7000 = gr_per_lb")
    found: dict[str, dict[str, tuple[float, float]]] = {}
    for canonical, target in CANONICAL.items():
        found[canonical] = {}
        for name in {*SPOKEN.values(), "grain_per_pound"}:
            typed = registry.Unit(name)
            if canonical in RATIOS:
                if name not in RATIOS[canonical]:
                    continue
            elif not typed.is_compatible_with(target):
                continue
            zero, hundred = (registry.Quantity(number, typed).to(target).magnitude for number in (0.0, 100.0))
            found[canonical][name] = (float(f"{(hundred - zero) / 100.0:.13g}"), float(f"{zero:.13g}"))
    return found


def test_every_conversion_is_pints_and_none_is_missing() -> None:
    assert by_pint() == CONVERSIONS
