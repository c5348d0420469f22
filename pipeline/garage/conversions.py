"""What each unit is in its canonical one: factor and offset, ``canonical = factor * typed + offset``.

The numbers are pint's, to 13 digits, which takes the dust of its arithmetic off 1.8 and 32 and keeps every
unit's definition; ``tests/garage/test_conversions.py`` holds them to it. To load pint takes as long as to
read a season's sheets, so it is asked there and not here. ``inHg`` is the conventional inch of mercury,
3386.388640341 Pa. A pound of force and a pound of mass are one unit here, as in the trade.
"""

from __future__ import annotations

from collections.abc import Mapping

CONVERSIONS: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "s": {
        "millisecond": (0.001, 0.0),
        "second": (1.0, 0.0),
    },
    "mph": {
        "foot / second": (0.6818181818182, 0.0),
        "kilometer / hour": (0.6213711922373, 0.0),
        "knot": (1.150779448024, 0.0),
        "meter / second": (2.236936292054, 0.0),
        "mile / hour": (1.0, 0.0),
    },
    "degF": {
        "degC": (1.8, 32.0),
        "degF": (1.0, 0.0),
        "kelvin": (1.8, -459.67),
    },
    "inHg": {
        "bar": (29.52998330101, 0.0),
        "hectopascal": (0.02952998330101, 0.0),
        "inHg": (1.0, 0.0),
        "kilopascal": (0.2952998330101, 0.0),
        "millibar": (0.02952998330101, 0.0),
        "mmHg": (0.03937007874016, 0.0),
        "pascal": (0.0002952998330101, 0.0),
        "psi": (2.036020677318, 0.0),
        "standard_atmosphere": (29.92125557975, 0.0),
        "torr": (0.03937007313125, 0.0),
    },
    "%": {
        "dimensionless": (100.0, 0.0),
        "percent": (1.0, 0.0),
    },
    "psi": {
        "bar": (14.50377377302, 0.0),
        "hectopascal": (0.01450377377302, 0.0),
        "inHg": (0.4911541474703, 0.0),
        "kilopascal": (0.1450377377302, 0.0),
        "millibar": (0.01450377377302, 0.0),
        "mmHg": (0.01933677745946, 0.0),
        "pascal": (0.0001450377377302, 0.0),
        "psi": (1.0, 0.0),
        "standard_atmosphere": (14.69594877551, 0.0),
        "torr": (0.01933677470462, 0.0),
    },
    "in": {
        "centimeter": (0.3937007874016, 0.0),
        "foot": (12.0, 0.0),
        "inch": (1.0, 0.0),
        "kilometer": (39370.07874016, 0.0),
        "meter": (39.37007874016, 0.0),
        "mile": (63360.0, 0.0),
        "millimeter": (0.03937007874016, 0.0),
        "thou": (0.001, 0.0),
        "yard": (36.0, 0.0),
    },
    "ft": {
        "centimeter": (0.03280839895013, 0.0),
        "foot": (1.0, 0.0),
        "inch": (0.08333333333333, 0.0),
        "kilometer": (3280.839895013, 0.0),
        "meter": (3.280839895013, 0.0),
        "mile": (5280.0, 0.0),
        "millimeter": (0.003280839895013, 0.0),
        "thou": (8.333333333333e-05, 0.0),
        "yard": (3.0, 0.0),
    },
    "g": {
        "gram": (1.0, 0.0),
        "kilogram": (1000.0, 0.0),
        "milligram": (0.001, 0.0),
        "newton / standard_gravity": (101.9716212978, 0.0),
        "ounce": (28.349523125, 0.0),
        "pound": (453.59237, 0.0),
    },
    "lb": {
        "gram": (0.002204622621849, 0.0),
        "kilogram": (2.204622621849, 0.0),
        "milligram": (2.204622621849e-06, 0.0),
        "newton / standard_gravity": (0.2248089430997, 0.0),
        "ounce": (0.0625, 0.0),
        "pound": (1.0, 0.0),
    },
    "lb/in": {
        "newton / standard_gravity / millimeter": (5.710147154733, 0.0),
        "pound / inch": (1.0, 0.0),
    },
    "lb-ft": {
        "force_pound * foot": (1.0, 0.0),
        "newton * meter": (0.7375621492773, 0.0),
    },
    "rpm": {
        "revolution / minute": (1.0, 0.0),
    },
    "turn": {
        "dimensionless": (1.0, 0.0),
    },
    "gr/lb": {
        "grain_per_pound": (1.0, 0.0),
        "gram / kilogram": (7.0, 0.0),
    },
    "1": {
        "dimensionless": (1.0, 0.0),
    },
}
"""Canonical unit (as in ``pipeline.garage.dictionary``) -> what people may write -> (factor, offset)."""
