"""The standard atmosphere below 11 km, density altitude, and altimeter against station pressure.

Heights are geopotential; at a strip they differ from the map's by less than a foot.
"""

from __future__ import annotations

from pipeline.physics.constants import STANDARD_GRAVITY, N
from pipeline.physics.elementwise import power
from pipeline.physics.ranges import refuse_outside

# ISO 2533:1975, ICAO Doc 7488, US Standard Atmosphere 1976: identical below 11 km.
SEA_LEVEL_TEMP_K = 288.15
SEA_LEVEL_PRESSURE_PA = 101_325.0
SEA_LEVEL_DENSITY = 1.225  # [kg/m3]
LAPSE_K_PER_M = 0.0065
GAS_CONSTANT = 287.05287  # [J/(kg K)]
EXPONENT = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_K_PER_M)  # 5.2558798

_LOWEST_M, _HIGHEST_M = -5_000.0, 11_000.0
_STRIP_LOWEST_M, _STRIP_HIGHEST_M = -500.0, 5_000.0


def _refuse_height(height_m: N) -> None:
    refuse_outside("height", height_m, "m", _LOWEST_M, _HIGHEST_M)


def standard_temp(height_m: N) -> N:
    """Compute the temperature of the standard atmosphere, T = 288.15 - 0.0065 H.

    Parameters
    ----------
    height_m
        Geopotential height, -5000 to 11 000. [m]

    Returns
    -------
    float or ndarray
        [K]

    Raises
    ------
    OutOfRange
        Outside that range.

    References
    ----------
    ISO 2533:1975, section 2.
    """
    _refuse_height(height_m)
    return SEA_LEVEL_TEMP_K - LAPSE_K_PER_M * height_m


def standard_pressure(height_m: N) -> N:
    """Compute the pressure of the standard atmosphere, p = 101 325 (T/288.15)^5.25588.

    Parameters
    ----------
    height_m
        Geopotential height, -5000 to 11 000. [m]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        Outside that range.

    References
    ----------
    ISO 2533:1975, section 2.

    Examples
    --------
    >>> round(standard_pressure(1000.0), 2)
    89874.56
    """
    ratio = standard_temp(height_m) / SEA_LEVEL_TEMP_K
    return SEA_LEVEL_PRESSURE_PA * power(ratio, EXPONENT)


def standard_density(height_m: N) -> N:
    """Compute the density of the standard atmosphere, rho = 1.225 (T/288.15)^4.25588.

    Parameters
    ----------
    height_m
        Geopotential height, -5000 to 11 000. [m]

    Returns
    -------
    float or ndarray
        [kg/m3]

    Raises
    ------
    OutOfRange
        Outside that range.

    References
    ----------
    ISO 2533:1975, section 2.
    """
    ratio = standard_temp(height_m) / SEA_LEVEL_TEMP_K
    return SEA_LEVEL_DENSITY * power(ratio, EXPONENT - 1.0)


def density_altitude(density: N) -> N:
    """Compute the height in the standard atmosphere that has this density.

    Parameters
    ----------
    density
        Density of the moist air, 0.35 to 2.0. [kg/m3]

    Returns
    -------
    float or ndarray
        Geopotential. [m]

    Raises
    ------
    OutOfRange
        Outside that range.

    Notes
    -----
    H = (T0/L) [1 - (rho/1.225)^(1/4.25588)]: :func:`standard_density` solved for the height.

    References
    ----------
    ISO 2533:1975, section 2.

    Examples
    --------
    >>> round(density_altitude(1.2), 2)
    214.26
    """
    refuse_outside("air density", density, "kg/m3", 0.35, 2.0)
    ratio = density / SEA_LEVEL_DENSITY
    return SEA_LEVEL_TEMP_K / LAPSE_K_PER_M * (1.0 - power(ratio, 1.0 / (EXPONENT - 1.0)))


def station_from_altimeter(altimeter_pa: N, elevation_m: N) -> N:
    """Compute the pressure at the strip from an altimeter setting (sea-level pressure of the weather report).

    Parameters
    ----------
    altimeter_pa
        Altimeter setting, 880 to 1100 hPa. [Pa]
    elevation_m
        Elevation of the strip, -500 to 5000. [m]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        Outside those ranges.

    Notes
    -----
    P = [A^n - p0^n L h/T0]^(1/n), n = R L/g = 0.1902631: the standard atmosphere, exactly. The weather
    service's simple form is within 0.01 inHg of it up to 6000 ft; the Smithsonian form adds a
    barometer-height allowance of 0.3 hPa, which a racer's own barometer does not have.

    References
    ----------
    ISO 2533:1975, section 2; Smithsonian Meteorological Tables (1951), p. 269, without its allowance.
    """
    refuse_outside("altimeter setting", altimeter_pa, "Pa", 88_000.0, 110_000.0)
    refuse_outside("elevation", elevation_m, "m", _STRIP_LOWEST_M, _STRIP_HIGHEST_M)
    n = 1.0 / EXPONENT
    drop = power(SEA_LEVEL_PRESSURE_PA, n) * LAPSE_K_PER_M * elevation_m / SEA_LEVEL_TEMP_K
    return power(power(altimeter_pa, n) - drop, EXPONENT)


def altimeter_from_station(station_pa: N, elevation_m: N) -> N:
    """Compute the altimeter setting at a strip from its pressure; inverse of :func:`station_from_altimeter`.

    Parameters
    ----------
    station_pa
        Station pressure, 450 to 1200 hPa. [Pa]
    elevation_m
        Elevation of the strip, -500 to 5000. [m]

    Returns
    -------
    float or ndarray
        [Pa]

    Raises
    ------
    OutOfRange
        Outside those ranges.

    References
    ----------
    ISO 2533:1975, section 2.
    """
    refuse_outside("station pressure", station_pa, "Pa", 45_000.0, 120_000.0)
    refuse_outside("elevation", elevation_m, "m", _STRIP_LOWEST_M, _STRIP_HIGHEST_M)
    n = 1.0 / EXPONENT
    rise = power(SEA_LEVEL_PRESSURE_PA, n) * LAPSE_K_PER_M * elevation_m / SEA_LEVEL_TEMP_K
    return power(power(station_pa, n) + rise, EXPONENT)
