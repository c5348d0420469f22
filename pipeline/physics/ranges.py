"""Refuse a number outside the range in which a formula holds."""

from __future__ import annotations

from typing import Any

import numpy as np

from pipeline.errors import OutOfRange

CHECK_ENTRY = "Check the entry and its unit."
# Where Buck 1996 stays within 0.05 % of IAPWS-95 (0 to 60 degC), and what a strip can have on either side.
COLDEST_K, HOTTEST_K = 233.15, 333.15
LEAST_PRESSURE_PA, MOST_PRESSURE_PA = 60_000.0, 110_000.0


def refuse_outside(
    what: str, value: Any, unit: str, low: float, high: float, remedy: str = CHECK_ENTRY
) -> None:
    """Raise when any number lies outside a closed range; NaN is a missing value and passes.

    Parameters
    ----------
    what
        The quantity in words, for the message.
    value
        A number or array-like of any shape. [``unit``]
    unit
        Unit of the value and the limits.
    low, high
        Ends of the range.
    remedy
        What to do about it, as a sentence.

    Raises
    ------
    OutOfRange
        With the first value outside.
    """
    numbers = np.asarray(value, dtype=np.float64)
    outside = (numbers < low) | (numbers > high)
    if np.any(outside):
        raise OutOfRange(what, float(numbers[outside].flat[0]), unit, low, high, remedy)


def refuse_temp(what: str, temp_k: Any) -> None:
    """Raise OutOfRange for a temperature no strip has. [K]."""
    refuse_outside(what, temp_k, "K", COLDEST_K, HOTTEST_K)


def refuse_pressure(pressure_pa: Any) -> None:
    """Raise OutOfRange for an air pressure no strip has. [Pa]."""
    refuse_outside("air pressure", pressure_pa, "Pa", LEAST_PRESSURE_PA, MOST_PRESSURE_PA)
