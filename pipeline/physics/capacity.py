"""What a pressed disc can hold: effective radius, torque, pressure, and where it meets the engine."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pipeline.physics.constants import N
from pipeline.physics.ranges import refuse_outside


def effective_radius_worn(outer_m: float, inner_m: float) -> float:
    """Compute the effective radius of a worn-in disc (uniform wear): (ro + ri)/2.

    Parameters
    ----------
    outer_m, inner_m
        Radii of the friction ring. [m]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        When the inner radius is not below the outer.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, frictional-contact axial clutches.
    """
    _refuse_ring(outer_m, inner_m)
    return 0.5 * (outer_m + inner_m)


def effective_radius_new(outer_m: float, inner_m: float) -> float:
    """Compute the effective radius of a new disc (uniform pressure): (2/3)(ro^3 - ri^3)/(ro^2 - ri^2).

    Parameters
    ----------
    outer_m, inner_m
        Radii of the friction ring. [m]

    Returns
    -------
    float
        [m]; never less than the worn-in one.

    Raises
    ------
    OutOfRange
        When the inner radius is not below the outer.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, frictional-contact axial clutches.
    """
    _refuse_ring(outer_m, inner_m)
    return 2.0 / 3.0 * (outer_m**3 - inner_m**3) / (outer_m**2 - inner_m**2)


def _refuse_ring(outer_m: float, inner_m: float) -> None:
    refuse_outside("outer radius", outer_m, "m", 0.01, 1.0)
    refuse_outside(
        "inner over outer radius", inner_m / outer_m, "", 0.0, 0.999, "The inner radius is the smaller one."
    )


def torque_capacity(friction: float, faces: int, plate_load_n: N, radius_m: float) -> N:
    """Compute the torque the clutch can hold: friction x faces x plate load x effective radius.

    Parameters
    ----------
    friction
        Coefficient, above 0 to 1. [1]
    faces
        Friction faces, two a disc.
    plate_load_n
        [N]
    radius_m
        Effective radius, worn-in or new. [m]

    Returns
    -------
    float or ndarray
        [N m]

    Raises
    ------
    OutOfRange
        For a coefficient outside 0 to 1.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16.
    """
    refuse_outside("friction coefficient", friction, "", 1e-6, 1.0)
    return friction * faces * radius_m * plate_load_n


def highest_pressure_worn(plate_load_n: float, outer_m: float, inner_m: float) -> float:
    """Compute the highest face pressure of a worn-in disc, at the inner radius: F/(2 pi ri (ro - ri)).

    Parameters
    ----------
    plate_load_n, outer_m, inner_m
        [N], [m], [m]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        When the inner radius is zero or not below the outer.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, uniform wear.
    """
    _refuse_ring(outer_m, inner_m)
    refuse_outside("inner radius", inner_m, "m", 1e-6, 1.0)
    return plate_load_n / (2.0 * np.pi * inner_m * (outer_m - inner_m))


def pressure_new(plate_load_n: float, outer_m: float, inner_m: float) -> float:
    """Compute the face pressure of a new disc, the same all over: F/(pi (ro^2 - ri^2)).

    Parameters
    ----------
    plate_load_n, outer_m, inner_m
        [N], [m], [m]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        When the inner radius is not below the outer.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, uniform pressure.
    """
    _refuse_ring(outer_m, inner_m)
    return plate_load_n / (np.pi * (outer_m**2 - inner_m**2))


def meeting_speeds(rpm: ArrayLike, capacity: ArrayLike, torque: ArrayLike) -> tuple[float, ...]:
    """Find the engine speeds at which the capacity curve crosses the engine's torque curve, all of them.

    Parameters
    ----------
    rpm
        Rising engine speeds, shape (n,). [1/min]
    capacity, torque
        At those speeds, shape (n,) each, in one unit.

    Returns
    -------
    tuple of float
        In rising order; straight between neighbouring points. Empty when one curve lies above
        throughout. [1/min]

    References
    ----------
    Linear interpolation of the difference; no source needed.

    Examples
    --------
    >>> meeting_speeds([4000, 6000, 8000], [100, 300, 500], [400, 400, 400])
    (7000.0,)
    """
    speeds = np.asarray(rpm, dtype=np.float64)
    excess: NDArray[np.float64] = np.asarray(capacity, dtype=np.float64) - np.asarray(
        torque, dtype=np.float64
    )
    found = [float(speed) for speed in speeds[excess == 0.0]]
    for at in np.flatnonzero(excess[:-1] * excess[1:] < 0.0):
        share = excess[at] / (excess[at] - excess[at + 1])
        found.append(float(speeds[at] + share * (speeds[at + 1] - speeds[at])))
    return tuple(sorted(found))


def torque_at(rpm: ArrayLike, curve: tuple[tuple[float, float], ...]) -> NDArray[np.float64]:
    """Interpolate the engine torque between the given points of its curve; missing outside them.

    Parameters
    ----------
    rpm
        Any shape. [1/min]
    curve
        (rpm, torque) in rising rpm.

    Returns
    -------
    ndarray
        In the curve's unit of torque; NaN outside the curve, which is not stretched.

    References
    ----------
    Linear interpolation; no source needed.
    """
    speeds = np.asarray([point[0] for point in curve], dtype=np.float64)
    torques = np.asarray([point[1] for point in curve], dtype=np.float64)
    return np.asarray(
        np.interp(np.asarray(rpm, dtype=np.float64), speeds, torques, left=np.nan, right=np.nan)
    )
