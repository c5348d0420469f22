"""A car from rest under constant power: the theory behind the cube-root rule.

From P = m v dv/dt: v = (2 P t/m)^(1/2), x = (2/3) (2 P/m)^(1/2) t^(3/2). No car does this (the tires limit
the first part), so it is a yardstick, not a forecast.

References
----------
G. T. Fox, "On the physics of drag racing", Am. J. Phys. 41 (1973) 311-313.
"""

from __future__ import annotations

from pipeline.physics.constants import N
from pipeline.physics.elementwise import power
from pipeline.physics.ranges import refuse_outside


def _refuse(mass_kg: N, power_w: N, distance_m: N) -> None:
    refuse_outside("mass", mass_kg, "kg", 50.0, 20_000.0)
    refuse_outside("power", power_w, "W", 1e3, 2e7)
    refuse_outside("distance", distance_m, "m", 0.1, 2_000.0)


def time_at_constant_power(mass_kg: N, power_w: N, distance_m: N) -> N:
    """Elapsed time from rest, (9 m D^2/(8 P))^(1/3).

    Parameters
    ----------
    mass_kg, power_w, distance_m
        [kg] 50 to 20 000, [W] 1 kW to 20 MW, [m] 0.1 to 2000.

    Returns
    -------
    float or ndarray
        [s]

    Raises
    ------
    OutOfRange
        Outside those ranges.

    References
    ----------
    Fox (1973), see the module.
    """
    _refuse(mass_kg, power_w, distance_m)
    return power(9.0 * mass_kg * distance_m * distance_m / (8.0 * power_w), 1.0 / 3.0)


def speed_at_constant_power(mass_kg: N, power_w: N, distance_m: N) -> N:
    """Speed reached from rest, (3 P D/m)^(1/3).

    Parameters
    ----------
    mass_kg, power_w, distance_m
        As :func:`time_at_constant_power`. [kg], [W], [m]

    Returns
    -------
    float or ndarray
        [m/s]

    Raises
    ------
    OutOfRange
        As :func:`time_at_constant_power`.

    References
    ----------
    Fox (1973), see the module.
    """
    _refuse(mass_kg, power_w, distance_m)
    return power(3.0 * power_w * distance_m / mass_kg, 1.0 / 3.0)


def split_fraction(distance: N, whole: N) -> N:
    """Share of the whole elapsed time at which a distance is passed, (d/D)^(2/3).

    Parameters
    ----------
    distance, whole
        In one unit of length, both above zero.

    Returns
    -------
    float or ndarray
        [1]

    Raises
    ------
    OutOfRange
        When the distance is not between 0 and the whole.

    References
    ----------
    Fox (1973), see the module.
    """
    refuse_outside("share of the distance", distance / whole, "", 0.0, 1.0)
    return power(distance / whole, 2.0 / 3.0)


def trap_share(whole: N, trap: N) -> N:
    """Mean speed over the last ``trap`` of the way, as a share of the speed at its end.

    Parameters
    ----------
    whole, trap
        Whole distance and length of the trap, in one unit of length.

    Returns
    -------
    float or ndarray
        [1]; 0.991548 for 66 ft of 1320 ft.

    Raises
    ------
    OutOfRange
        When the trap is longer than the way.

    Notes
    -----
    x ~ t^(3/2) and v ~ t^(1/2) give s = (2/3) (trap/whole)/(1 - (1 - trap/whole)^(2/3)).

    References
    ----------
    Derived from Fox (1973), see the module.
    """
    share = trap / whole
    refuse_outside("share of the distance", share, "", 1e-9, 1.0)
    return (2.0 / 3.0) * share / (1.0 - power(1.0 - share, 2.0 / 3.0))
