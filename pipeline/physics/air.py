"""Density of moist air: CIPM-2007 in full, and the simple mix that SQL applies in bulk."""

from __future__ import annotations

from pipeline.physics.constants import ZERO_CELSIUS_K, N
from pipeline.physics.elementwise import exp
from pipeline.physics.ranges import refuse_outside, refuse_pressure

# Picard, Davis, Glaser, Fujii, Metrologia 45 (2008) 149-155, table 1 and appendix A.
_GAS_CONSTANT = 8.314472  # [J/(mol K)]
_DRY_MOLAR_MASS = 28.96546e-3  # [kg/mol], at 400 umol/mol of carbon dioxide
_WATER_MOLAR_MASS = 18.01528e-3  # [kg/mol]
_PSV = (1.2378847e-5, -1.9121316e-2, 33.93711047, -6.3431645e3)
_F = (1.00062, 3.14e-8, 5.6e-7)
_Z_A = (1.58123e-6, -2.9331e-8, 1.1043e-10)
_Z_B = (5.707e-6, -2.051e-8)
_Z_C = (1.9898e-4, -2.376e-6)
_Z_D, _Z_E = 1.83e-11, -0.765e-8

# Specific gas constants. Dry air: the standard atmosphere's (ISO 2533:1975), so that the density altitude
# of standard sea-level air is zero. Water: 8.314462618/18.01528e-3.
DRY_AIR_J_PER_KG_K = 287.05287
WATER_VAPOR_J_PER_KG_K = 461.523

SIMPLE_MIX_ERROR = (-7e-4, 0.0)
"""Least and most relative error of :func:`density_simple` against CIPM-2007 anywhere in 0 to 45 degC,
800 to 1050 hPa, 0 to 100 % humidity: it leaves out compressibility, so it is always a little low."""

_COLDEST_K, _HOTTEST_K = 258.15, 328.15


def _refuse_air(temp_k: N, pressure_pa: N) -> None:
    refuse_outside("air temperature", temp_k, "K", _COLDEST_K, _HOTTEST_K)
    refuse_pressure(pressure_pa)


def saturation_vapor_pressure_cipm(temp_k: N) -> N:
    """Compute the saturation vapor pressure as CIPM-2007 has it: exp(A T^2 + B T + C + D/T).

    Parameters
    ----------
    temp_k
        [K], -15 to 55 degC.

    Returns
    -------
    float or ndarray
        [Pa], within 0.02 % of IAPWS-95 from 0 to 40 degC.

    Raises
    ------
    OutOfRange
        Outside -15 to 55 degC.

    References
    ----------
    Picard et al., Metrologia 45 (2008) 149-155, eq. A1.1.
    """
    refuse_outside("air temperature", temp_k, "K", _COLDEST_K, _HOTTEST_K)
    a, b, c, d = _PSV
    return exp(a * temp_k * temp_k + b * temp_k + c + d / temp_k)


def vapor_mole_fraction_cipm(temp_k: N, pressure_pa: N, humidity: N) -> N:
    """Compute the mole fraction of water vapor, x_v = h f p_sv/p with the enhancement factor f.

    Parameters
    ----------
    temp_k, pressure_pa
        [K], [Pa]
    humidity
        Fraction, 0 to 1. [1]

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        Outside -15 to 55 degC, 600 to 1100 hPa or 0 to 1.

    References
    ----------
    Picard et al., Metrologia 45 (2008) 149-155, eqs. A1.2 and A1.3.
    """
    _refuse_air(temp_k, pressure_pa)
    refuse_outside(
        "relative humidity", humidity, "(fraction)", 0.0, 1.0, "Write a percentage, such as 55 %, on a sheet."
    )
    t = temp_k - ZERO_CELSIUS_K
    enhancement = _F[0] + _F[1] * pressure_pa + _F[2] * t * t
    return humidity * enhancement * saturation_vapor_pressure_cipm(temp_k) / pressure_pa


def compressibility_cipm(temp_k: N, pressure_pa: N, vapor_mole_fraction: N) -> N:
    """Compute the compressibility factor Z of moist air.

    Parameters
    ----------
    temp_k, pressure_pa
        [K], [Pa]
    vapor_mole_fraction
        As :func:`vapor_mole_fraction_cipm` gives it. [1]

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        Outside -15 to 55 degC or 600 to 1100 hPa.

    References
    ----------
    Picard et al., Metrologia 45 (2008) 149-155, eq. A1.4.
    """
    _refuse_air(temp_k, pressure_pa)
    t, xv = temp_k - ZERO_CELSIUS_K, vapor_mole_fraction
    ratio = pressure_pa / temp_k
    first = (
        _Z_A[0] + _Z_A[1] * t + _Z_A[2] * t * t
        + (_Z_B[0] + _Z_B[1] * t) * xv
        + (_Z_C[0] + _Z_C[1] * t) * xv * xv
    )  # fmt: skip
    return 1.0 - ratio * first + ratio * ratio * (_Z_D + _Z_E * xv * xv)


def density_cipm(temp_k: N, pressure_pa: N, humidity: N) -> N:
    """Compute the density of moist air by CIPM-2007, at 400 umol/mol of carbon dioxide.

    Parameters
    ----------
    temp_k
        Air temperature. [K]
    pressure_pa
        Station pressure. [Pa]
    humidity
        Relative humidity, fraction. [1]

    Returns
    -------
    float or ndarray
        [kg/m3]

    Raises
    ------
    OutOfRange
        Outside -15 to 55 degC, 600 to 1100 hPa or 0 to 1.

    Notes
    -----
    rho = p Ma/(Z R T) [1 - xv (1 - Mv/Ma)]. The paper states 15 to 27 degC and 600 to 1100 hPa for its
    uncertainty of 22 ppm; from 0 to 45 degC it stays within 0.01 % of a real-gas library.

    References
    ----------
    A. Picard, R. S. Davis, M. Glaser, K. Fujii, "Revised formula for the density of moist air
    (CIPM-2007)", Metrologia 45 (2008) 149-155, eq. 1.

    Examples
    --------
    >>> round(density_cipm(293.15, 101325.0, 0.5), 6)
    1.199314
    """
    xv = vapor_mole_fraction_cipm(temp_k, pressure_pa, humidity)
    z = compressibility_cipm(temp_k, pressure_pa, xv)
    dry = pressure_pa * _DRY_MOLAR_MASS / (z * _GAS_CONSTANT * temp_k)
    return dry * (1.0 - xv * (1.0 - _WATER_MOLAR_MASS / _DRY_MOLAR_MASS))


def density_simple(temp_k: N, pressure_pa: N, vapor_pressure_pa: N) -> N:
    """Compute the density of moist air as a mix of two ideal gases; the form the SQL uses.

    Parameters
    ----------
    temp_k
        Air temperature. [K]
    pressure_pa
        Station pressure. [Pa]
    vapor_pressure_pa
        [Pa]

    Returns
    -------
    float or ndarray
        [kg/m3]

    Raises
    ------
    OutOfRange
        Outside -15 to 55 degC or 600 to 1100 hPa, or a vapor pressure below 0 or above 300 hPa.

    Notes
    -----
    rho = [(p - e)/Rd + e/Rv]/T. Against CIPM-2007 it is 0.02 to 0.07 % low, never high
    (:data:`SIMPLE_MIX_ERROR`): a third of a foot in density altitude for each 0.001 %.

    References
    ----------
    Dalton's and the ideal gas law; Rd from ISO 2533:1975.
    """
    _refuse_air(temp_k, pressure_pa)
    refuse_outside("vapor pressure", vapor_pressure_pa, "Pa", 0.0, 30_000.0)
    dry = (pressure_pa - vapor_pressure_pa) / DRY_AIR_J_PER_KG_K
    return (dry + vapor_pressure_pa / WATER_VAPOR_J_PER_KG_K) / temp_k
