"""Water vapor in air: from humidity, dew point, wet bulb or grains to a vapor pressure, and back.

One saturation form is used throughout, Buck's of 1996 over liquid water, because it can be inverted in
closed form and so written as one line of SQL; :mod:`pipeline.physics.air` uses the CIPM form inside
CIPM-2007, where it belongs. Relative humidity is over liquid water at all temperatures, as
meteorologists use it (WMO-No. 8, annex 4.A).
"""

from __future__ import annotations

from pipeline.physics.constants import GRAINS_PER_POUND, ZERO_CELSIUS_K, N
from pipeline.physics.elementwise import exp, log, sqrt
from pipeline.physics.ranges import refuse_outside, refuse_pressure, refuse_temp

# Buck Research manual (1996), the 1996 revision of Buck, J. Appl. Meteorol. 20 (1981) 1527-1532.
BUCK_A_PA = 611.21
BUCK_B = 18.678
BUCK_C_DEGC = 257.14
BUCK_D_DEGC = 234.5

# Ratio of the molar masses of water and dry air, ASHRAE Handbook Fundamentals (2017), chapter 1, eq. 20.
WATER_AIR_RATIO = 0.621945


def buck(temp_degc: N) -> N:
    """Compute the saturation pressure over liquid water, of any temperature.

    Parameters
    ----------
    temp_degc
        Any shape. [degC]

    Returns
    -------
    float or ndarray
        [Pa]

    References
    ----------
    Buck Research manual (1996).
    """
    return BUCK_A_PA * exp((BUCK_B - temp_degc / BUCK_D_DEGC) * temp_degc / (BUCK_C_DEGC + temp_degc))


def saturation_vapor_pressure(temp_k: N) -> N:
    """Compute the pressure of water vapor in saturated air, over liquid water.

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
    refuse_temp("air temperature", temp_k)
    return buck(temp_k - ZERO_CELSIUS_K)


def vapor_pressure_from_humidity(temp_k: N, humidity: N) -> N:
    """Compute the vapor pressure from relative humidity.

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
    """Compute the vapor pressure from the dew point: e = e_s(dew point).

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
    refuse_temp("dew point", dew_point_k)
    return buck(dew_point_k - ZERO_CELSIUS_K)


def dew_point(vapor_pressure_pa: N) -> N:
    """Compute the temperature at which air of this vapor pressure would be saturated.

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
    """Compute the relative humidity as a fraction: e/e_s(t).

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
    """Compute the mass of water vapor per mass of dry air.

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
    refuse_pressure(pressure_pa)
    refuse_outside("vapor pressure", vapor_pressure_pa, "Pa", 0.0, 30_000.0)
    return WATER_AIR_RATIO * vapor_pressure_pa / (pressure_pa - vapor_pressure_pa)


def vapor_pressure_from_humidity_ratio(ratio: N, pressure_pa: N) -> N:
    """Compute the vapor pressure from the humidity ratio: e = p W/(0.621945 + W).

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
    refuse_pressure(pressure_pa)
    refuse_outside("humidity ratio", ratio, "kg/kg", 0.0, 0.3)
    return pressure_pa * ratio / (WATER_AIR_RATIO + ratio)


def grains(vapor_pressure_pa: N, pressure_pa: N) -> N:
    """Compute the grains of water in a pound of dry air: 7000 times the humidity ratio.

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
    """Compute the vapor pressure from grains of water in a pound of dry air.

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
