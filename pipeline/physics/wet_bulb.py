"""From two thermometers to the water in the air, and back."""

from __future__ import annotations

from pipeline.physics.constants import ZERO_CELSIUS_K, N
from pipeline.physics.elementwise import where
from pipeline.physics.ranges import refuse_outside, refuse_pressure, refuse_temp
from pipeline.physics.vapor import (
    WATER_AIR_RATIO,
    buck,
    relative_humidity,
)

_STEPS = 60  # halvings: 100 K / 2**60 is below a double's resolution


def _vapor_pressure_from_wet_bulb(t_degc: N, tw_degc: N, pressure_pa: N) -> N:
    saturated = buck(tw_degc)
    ws = WATER_AIR_RATIO * saturated / (pressure_pa - saturated)
    ratio = ((2501.0 - 2.326 * tw_degc) * ws - 1.006 * (t_degc - tw_degc)) / (
        2501.0 + 1.86 * t_degc - 4.186 * tw_degc
    )
    return pressure_pa * ratio / (WATER_AIR_RATIO + ratio)


def vapor_pressure_from_wet_bulb(temp_k: N, wet_bulb_k: N, pressure_pa: N) -> N:
    """Compute the vapor pressure from the thermodynamic wet bulb (adiabatic saturation).

    Parameters
    ----------
    temp_k
        Dry bulb. [K]
    wet_bulb_k
        Wet bulb, not above the dry bulb. [K]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        For a temperature or pressure out of range, a wet bulb above the dry bulb, or one so low that the
        air would hold less than no water.

    Notes
    -----
    W = [(2501 - 2.326 tw) Ws(tw) - 1.006 (t - tw)]/(2501 + 1.86 t - 4.186 tw), then e = p W/(0.621945 + W);
    over liquid water. A sling or fan psychrometer reads 0.05 to 0.25 K higher; see
    :func:`vapor_pressure_from_psychrometer`.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 33.
    """
    refuse_temp("air temperature", temp_k)
    refuse_temp("wet bulb temperature", wet_bulb_k)
    refuse_pressure(pressure_pa)
    refuse_outside(
        "wet bulb less air temperature", wet_bulb_k - temp_k, "K", -100.0, 0.05,
        "A wet bulb cannot be warmer than the air: check which is which.",
    )  # fmt: skip
    vapor = _vapor_pressure_from_wet_bulb(temp_k - ZERO_CELSIUS_K, wet_bulb_k - ZERO_CELSIUS_K, pressure_pa)
    refuse_outside(
        "vapor pressure from the wet bulb", vapor, "Pa", 0.0, 30_000.0,
        "A wet bulb that low cannot be at this air temperature: check both.",
    )  # fmt: skip
    return vapor


def wet_bulb(temp_k: N, vapor_pressure_pa: N, pressure_pa: N) -> N:
    """Compute the thermodynamic wet bulb temperature, over liquid water.

    Parameters
    ----------
    temp_k
        Dry bulb. [K]
    vapor_pressure_pa
        Not above saturation. [Pa]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [K]

    Raises
    ------
    OutOfRange
        For a temperature or pressure out of range, or a vapor pressure above saturation.

    Notes
    -----
    :func:`vapor_pressure_from_wet_bulb` inverted by bisection; it rises with the wet bulb throughout.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 33.
    """
    refuse_pressure(pressure_pa)
    refuse_outside(
        "relative humidity", relative_humidity(temp_k, vapor_pressure_pa), "(fraction)", 0.0, 1.0 + 1e-9
    )
    t = temp_k - ZERO_CELSIUS_K
    low, high = t - 60.0, t + 0.0
    for _ in range(_STEPS):
        middle = 0.5 * (low + high)
        too_dry = _vapor_pressure_from_wet_bulb(t, middle, pressure_pa) < vapor_pressure_pa
        low, high = where(too_dry, middle, low), where(too_dry, high, middle)
    return 0.5 * (low + high) + ZERO_CELSIUS_K
