"""Water vapor in air: from humidity, dew point, wet bulb or grains to a vapor pressure, and back.

One saturation form is used throughout, Buck's of 1996 over liquid water, because it can be inverted in
closed form and so written as one line of SQL; :mod:`pipeline.physics.air` uses the CIPM form inside
CIPM-2007, where it belongs. Relative humidity is over liquid water at all temperatures, as
meteorologists use it (WMO-No. 8, annex 4.A).
"""

from __future__ import annotations

from pipeline.physics.constants import GRAINS_PER_POUND, ZERO_CELSIUS_K, N
from pipeline.physics.elementwise import exp, log, sqrt, where
from pipeline.physics.ranges import refuse_outside

# Buck Research manual (1996), the 1996 revision of Buck, J. Appl. Meteorol. 20 (1981) 1527-1532.
BUCK_A_PA = 611.21
BUCK_B = 18.678
BUCK_C_DEGC = 257.14
BUCK_D_DEGC = 234.5

# Ratio of the molar masses of water and dry air, ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20.
WATER_AIR_RATIO = 0.621945

# Where Buck 1996 stays within 0.05 % of IAPWS-95 (0 to 60 degC), and what a strip can have on either side.
COLDEST_K, HOTTEST_K = 233.15, 333.15
LEAST_PRESSURE_PA, MOST_PRESSURE_PA = 60_000.0, 110_000.0
_WET_BULB_STEPS = 60  # halvings: 100 K / 2**60 is below a double's resolution


def _refuse_temp(what: str, temp_k: N) -> None:
    refuse_outside(what, temp_k, "K", COLDEST_K, HOTTEST_K)


def _refuse_pressure(pressure_pa: N) -> None:
    refuse_outside("air pressure", pressure_pa, "Pa", LEAST_PRESSURE_PA, MOST_PRESSURE_PA)


def _buck(temp_degc: N) -> N:
    return BUCK_A_PA * exp((BUCK_B - temp_degc / BUCK_D_DEGC) * temp_degc / (BUCK_C_DEGC + temp_degc))


def saturation_vapor_pressure(temp_k: N) -> N:
    """Pressure of water vapor in saturated air, over liquid water.

    Parameters
    ----------
    temp_k
        Air temperature, any shape. [K]

    Returns
    -------
    float or ndarray
        Same shape. [Pa]

    Raises
    ------
    OutOfRange
        Outside 233.15 to 333.15 K (-40 to 60 degC).

    Notes
    -----
    e = 611.21 exp((18.678 - t/234.5) t/(257.14 + t)), t in degC. Within 0.05 % of IAPWS-95 from 0 to
    60 degC; below 0 degC it speaks of supercooled water, not of ice.

    References
    ----------
    A. L. Buck, "New equations for computing vapor pressure and enhancement factor", J. Appl. Meteorol.
    20 (1981) 1527-1532, with the coefficients revised in 1996.

    Examples
    --------
    >>> round(saturation_vapor_pressure(293.15), 1)
    2338.3
    """
    _refuse_temp("air temperature", temp_k)
    return _buck(temp_k - ZERO_CELSIUS_K)


def vapor_pressure_from_humidity(temp_k: N, humidity: N) -> N:
    """Vapor pressure from relative humidity.

    Parameters
    ----------
    temp_k
        Air temperature. [K]
    humidity
        Relative humidity as a fraction, 0 to 1. [1]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        For a temperature outside -40 to 60 degC or a humidity outside 0 to 1.

    Notes
    -----
    e = RH e_s(t), without enhancement factor.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 22.
    """
    refuse_outside(
        "relative humidity", humidity, "(fraction)", 0.0, 1.0, "Write a percentage, such as 55 %, on a sheet."
    )
    return humidity * saturation_vapor_pressure(temp_k)


def vapor_pressure_from_dew_point(dew_point_k: N) -> N:
    """Vapor pressure from the dew point: e = e_s(dew point).

    Parameters
    ----------
    dew_point_k
        [K], -40 to 60 degC.

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        For a dew point outside -40 to 60 degC.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 36.
    """
    _refuse_temp("dew point", dew_point_k)
    return _buck(dew_point_k - ZERO_CELSIUS_K)


def dew_point(vapor_pressure_pa: N) -> N:
    """Temperature at which air of this vapor pressure would be saturated.

    Parameters
    ----------
    vapor_pressure_pa
        [Pa], 19 (dew point about -40 degC) to 19 900 (60 degC).

    Returns
    -------
    float or ndarray
        [K]

    Raises
    ------
    OutOfRange
        Outside that range; dry air has no dew point.

    Notes
    -----
    Buck 1996 solved for t: with g = ln(e/611.21),
    t = (234.5/2) [18.678 - g - sqrt((18.678 - g)^2 - 4 257.14 g/234.5)].

    References
    ----------
    The inverse of :func:`saturation_vapor_pressure`, by the quadratic formula.

    Examples
    --------
    >>> round(dew_point(saturation_vapor_pressure(290.0)), 9)
    290.0
    """
    refuse_outside(
        "vapor pressure", vapor_pressure_pa, "Pa", 18.5, 19_950.0, "Very dry air has no useful dew point."
    )
    g = log(vapor_pressure_pa / BUCK_A_PA)
    b = BUCK_B - g
    return 0.5 * BUCK_D_DEGC * (b - sqrt(b * b - 4.0 * BUCK_C_DEGC * g / BUCK_D_DEGC)) + ZERO_CELSIUS_K


def relative_humidity(temp_k: N, vapor_pressure_pa: N) -> N:
    """Relative humidity as a fraction: e/e_s(t).

    Parameters
    ----------
    temp_k
        Air temperature. [K]
    vapor_pressure_pa
        [Pa]

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        For a temperature outside -40 to 60 degC.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 22.
    """
    return vapor_pressure_pa / saturation_vapor_pressure(temp_k)


def humidity_ratio(vapor_pressure_pa: N, pressure_pa: N) -> N:
    """Mass of water vapor per mass of dry air.

    Parameters
    ----------
    vapor_pressure_pa
        [Pa]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        W = 0.621945 e/(p - e). [kg/kg]

    Raises
    ------
    OutOfRange
        For a pressure outside 600 to 1100 hPa or a vapor pressure below 0 or above 300 hPa.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20; no enhancement factor (which would add
    about 0.45 %).
    """
    _refuse_pressure(pressure_pa)
    refuse_outside("vapor pressure", vapor_pressure_pa, "Pa", 0.0, 30_000.0)
    return WATER_AIR_RATIO * vapor_pressure_pa / (pressure_pa - vapor_pressure_pa)


def vapor_pressure_from_humidity_ratio(ratio: N, pressure_pa: N) -> N:
    """Vapor pressure from the humidity ratio: e = p W/(0.621945 + W).

    Parameters
    ----------
    ratio
        Mass of water per mass of dry air, 0 to 0.3. [kg/kg]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        For a ratio below 0 or above 0.3 or a pressure outside 600 to 1100 hPa.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20.
    """
    _refuse_pressure(pressure_pa)
    refuse_outside("humidity ratio", ratio, "kg/kg", 0.0, 0.3)
    return pressure_pa * ratio / (WATER_AIR_RATIO + ratio)


def grains(vapor_pressure_pa: N, pressure_pa: N) -> N:
    """Grains of water in a pound of dry air: 7000 times the humidity ratio.

    Parameters
    ----------
    vapor_pressure_pa, pressure_pa
        Vapor pressure and station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [gr/lb]

    Raises
    ------
    OutOfRange
        As :func:`humidity_ratio`.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20; 7000 gr = 1 lb (NIST SP 811).
    """
    return GRAINS_PER_POUND * humidity_ratio(vapor_pressure_pa, pressure_pa)


def vapor_pressure_from_grains(grains_per_lb: N, pressure_pa: N) -> N:
    """Vapor pressure from grains of water in a pound of dry air.

    Parameters
    ----------
    grains_per_lb
        0 to 2100. [gr/lb]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        As :func:`vapor_pressure_from_humidity_ratio`.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20; 7000 gr = 1 lb (NIST SP 811).
    """
    return vapor_pressure_from_humidity_ratio(grains_per_lb / GRAINS_PER_POUND, pressure_pa)


def _vapor_pressure_from_wet_bulb(t_degc: N, tw_degc: N, pressure_pa: N) -> N:
    saturated = _buck(tw_degc)
    ws = WATER_AIR_RATIO * saturated / (pressure_pa - saturated)
    ratio = ((2501.0 - 2.326 * tw_degc) * ws - 1.006 * (t_degc - tw_degc)) / (
        2501.0 + 1.86 * t_degc - 4.186 * tw_degc
    )
    return pressure_pa * ratio / (WATER_AIR_RATIO + ratio)


def vapor_pressure_from_wet_bulb(temp_k: N, wet_bulb_k: N, pressure_pa: N) -> N:
    """Vapor pressure from the thermodynamic wet bulb (adiabatic saturation).

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
    _refuse_temp("air temperature", temp_k)
    _refuse_temp("wet bulb temperature", wet_bulb_k)
    _refuse_pressure(pressure_pa)
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


def vapor_pressure_from_psychrometer(temp_k: N, wet_bulb_k: N, pressure_pa: N) -> N:
    """Vapor pressure from a ventilated psychrometer's two thermometers.

    Parameters
    ----------
    temp_k, wet_bulb_k
        Dry and wet thermometer. [K]
    pressure_pa
        Station pressure. [Pa]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        For a temperature outside -40 to 60 degC or a pressure outside 600 to 1100 hPa.

    Notes
    -----
    e = e_s(tw) - A p (t - tw), A = 6.53e-4 (1 + 9.44e-4 tw) per K, tw in degC.

    References
    ----------
    WMO-No. 8, annex 4.B (psychrometric formula of the Assmann instrument).
    """
    _refuse_temp("air temperature", temp_k)
    _refuse_temp("wet bulb temperature", wet_bulb_k)
    _refuse_pressure(pressure_pa)
    tw = wet_bulb_k - ZERO_CELSIUS_K
    return _buck(tw) - 6.53e-4 * (1.0 + 9.44e-4 * tw) * pressure_pa * (temp_k - wet_bulb_k)


def wet_bulb(temp_k: N, vapor_pressure_pa: N, pressure_pa: N) -> N:
    """Thermodynamic wet bulb temperature, over liquid water.

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
    _refuse_pressure(pressure_pa)
    refuse_outside(
        "relative humidity", relative_humidity(temp_k, vapor_pressure_pa), "(fraction)", 0.0, 1.0 + 1e-9
    )
    t = temp_k - ZERO_CELSIUS_K
    low, high = t - 60.0, t + 0.0
    for _ in range(_WET_BULB_STEPS):
        middle = 0.5 * (low + high)
        too_dry = _vapor_pressure_from_wet_bulb(t, middle, pressure_pa) < vapor_pressure_pa
        low, high = where(too_dry, middle, low), where(too_dry, high, middle)
    return 0.5 * (low + high) + ZERO_CELSIUS_K
