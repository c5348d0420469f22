"""Horsepower correction factors by their own names, and times and speeds corrected with them.

A factor says by how much the standard air would raise the power measured in this air. The factors differ
by 4 % and more for the same air and are never mixed in one logbook. All are for naturally aspirated
spark-ignition engines.
"""

from __future__ import annotations

from pipeline.physics.constants import INHG_PA, N
from pipeline.physics.elementwise import power, sqrt
from pipeline.physics.ranges import refuse_outside


def _refuse(pressure_pa: N, temp_k: N) -> None:
    refuse_outside("dry air pressure", pressure_pa, "Pa", 50_000.0, 110_000.0)
    refuse_outside("air temperature", temp_k, "K", 243.15, 333.15)


def j1349_factor(dry_pressure_pa: N, temp_k: N) -> N:
    """Compute the SAE J1349 factor in its June 1990 form, to 99 kPa dry and 25 degC.

    Parameters
    ----------
    dry_pressure_pa
        Station pressure less vapor pressure. [Pa]
    temp_k
        Inlet air temperature. [K]

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        Outside 500 to 1100 hPa or -30 to 60 degC.

    Notes
    -----
    cf = 1.180 (990/Pd) sqrt((t + 273)/298) - 0.18, Pd in hPa, t in degC. The standard disowns results
    beyond about 7 % of correction: high strips are far outside.

    References
    ----------
    SAE J1349 (June 1990), as quoted; the standard itself not read.

    Examples
    --------
    >>> j1349_factor(99000.0, 298.15)
    1.0
    """
    _refuse(dry_pressure_pa, temp_k)
    return 1.180 * (99_000.0 / dry_pressure_pa) * sqrt((temp_k - 0.15) / 298.0) - 0.18


def j607_factor(dry_pressure_pa: N, temp_k: N) -> N:
    """Compute the SAE J607 factor, to 29.92 inHg dry and 60 degF; about 4 % above J1349 for the same air.

    Parameters
    ----------
    dry_pressure_pa
        Station pressure less vapor pressure. [Pa]
    temp_k
        Inlet air temperature. [K]

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        Outside 500 to 1100 hPa or -30 to 60 degC.

    Notes
    -----
    cf = (29.92/Pd) sqrt((F + 459.67)/519.67), Pd in inHg, F in degF.

    References
    ----------
    SAE J607, as quoted; the standard itself not read.
    """
    _refuse(dry_pressure_pa, temp_k)
    return (29.92 * INHG_PA / dry_pressure_pa) * sqrt(temp_k * (1.8 / 519.67))


def corrected_time(time_s: N, factor: N) -> N:
    """Compute the elapsed time as it would be in the factor's standard air, by the cube-root rule.

    Parameters
    ----------
    time_s
        Elapsed time from the start. [s]
    factor
        Correction factor of one standard, 0.7 to 1.6. [1]

    Returns
    -------
    float or ndarray
        time x factor^(-1/3). [s]

    Raises
    ------
    OutOfRange
        For a factor outside 0.7 to 1.6.

    Notes
    -----
    Exact at constant power; a car limited by traction early gains less.

    References
    ----------
    G. T. Fox, "On the physics of drag racing", Am. J. Phys. 41 (1973) 311-313.

    Examples
    --------
    >>> round(corrected_time(10.0, 1.05), 5)
    9.83868
    """
    refuse_outside("correction factor", factor, "", 0.7, 1.6)
    return time_s * power(factor, -1.0 / 3.0)
