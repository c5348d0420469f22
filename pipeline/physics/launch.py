"""Heat that a launch puts into the clutch: the energy balance of two inertias brought to one speed.

A real launch lies between two limits. If the engine is left free, it gives up its own speed; if it is
held at one speed until the clutch locks, it pays for the whole of the car's energy once more as heat.
"""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.physics.constants import N
from pipeline.physics.ranges import refuse_outside


def speed_after_locking(inertia_1: N, inertia_2: N, speed_1: N, speed_2: N) -> N:
    """Return the common speed of two free inertias after locking, (I1 w1 + I2 w2)/(I1 + I2).

    Parameters
    ----------
    inertia_1, inertia_2
        Above zero. [kg m2]
    speed_1, speed_2
        [rad/s]

    Returns
    -------
    float or ndarray
        [rad/s]

    Raises
    ------
    OutOfRange
        For an inertia not above zero.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, energy considerations.
    """
    _refuse_inertia(inertia_1, inertia_2)
    return (inertia_1 * speed_1 + inertia_2 * speed_2) / (inertia_1 + inertia_2)


def time_to_lock(inertia_1: N, inertia_2: N, speed_1: N, speed_2: N, torque_nm: N) -> N:
    """Time to lock at constant clutch torque, I1 I2 (w1 - w2)/(T (I1 + I2)).

    Parameters
    ----------
    inertia_1, inertia_2
        Above zero. [kg m2]
    speed_1, speed_2
        [rad/s]
    torque_nm
        Torque the slipping clutch carries, above zero. [N m]

    Returns
    -------
    float or ndarray
        [s]

    Raises
    ------
    OutOfRange
        For an inertia or torque not above zero.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, energy considerations.
    """
    _refuse_inertia(inertia_1, inertia_2)
    refuse_outside("clutch torque", torque_nm, "N m", 1e-9, 1e6)
    return inertia_1 * inertia_2 * (speed_1 - speed_2) / (torque_nm * (inertia_1 + inertia_2))


def heat_free(inertia_1: N, inertia_2: N, speed_1: N, speed_2: N) -> N:
    """Heat of locking two free inertias, I1 I2 (w1 - w2)^2/(2 (I1 + I2)), whatever the torque.

    Parameters
    ----------
    inertia_1, inertia_2
        Above zero. [kg m2]
    speed_1, speed_2
        [rad/s]

    Returns
    -------
    float or ndarray
        [J]

    Raises
    ------
    OutOfRange
        For an inertia not above zero.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, energy considerations.
    """
    _refuse_inertia(inertia_1, inertia_2)
    slip = speed_1 - speed_2
    return inertia_1 * inertia_2 * slip * slip / (2.0 * (inertia_1 + inertia_2))


def heat_held(inertia_2: N, speed: N) -> N:
    """Heat when the engine is held at one speed until the load reaches it: I2 w^2/2.

    Parameters
    ----------
    inertia_2
        The load's, from rest, above zero. [kg m2]
    speed
        The engine's. [rad/s]

    Returns
    -------
    float or ndarray
        As much as the load gains. [J]

    Raises
    ------
    OutOfRange
        For an inertia not above zero.

    References
    ----------
    Energy balance: the engine gives T w, the load takes T w2, w2 rising from 0 to w.
    """
    _refuse_inertia(inertia_2, inertia_2)
    return 0.5 * inertia_2 * speed * speed


def heat_falling_slip(torque_nm: N, slip_speed: N, time_s: N) -> N:
    """Heat of a constant torque while the slip falls in a straight line to nothing, T w0 t/2.

    Parameters
    ----------
    torque_nm, slip_speed, time_s
        [N m], slip at the start [rad/s], [s], none below zero.

    Returns
    -------
    float or ndarray
        [J]

    Raises
    ------
    OutOfRange
        For a time below zero or above a minute.

    References
    ----------
    The integral of torque x slip speed.
    """
    refuse_outside("slip time", time_s, "s", 0.0, 60.0)
    return 0.5 * torque_nm * slip_speed * time_s


def temp_rise(heat_j: N, mass_kg: float, specific_heat: float = 500.0) -> N:
    """Mean temperature rise of the metal that takes the heat, E/(m c).

    Parameters
    ----------
    heat_j
        [J]
    mass_kg
        Disc, plate and flywheel as far as the heat reaches, above zero. [kg]
    specific_heat
        [J/(kg K)]; 500 for steel and iron.

    Returns
    -------
    float or ndarray
        [K]

    Raises
    ------
    OutOfRange
        For a mass not above zero.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, chapter 16, temperature rise.
    """
    refuse_outside("mass", mass_kg, "kg", 1e-6, 1e4)
    return heat_j / (mass_kg * specific_heat)


@dataclass(frozen=True, slots=True)
class LaunchHeat:
    """Heat of one launch between its two limits.

    Attributes
    ----------
    engine_free_j
        The engine is closed off and gives only its own energy: the least. [J]
    engine_held_j
        The engine is held at the launch speed until the clutch locks: the most. [J]
    load_inertia
        The car, seen from the clutch. [kg m2]
    """

    engine_free_j: float
    engine_held_j: float
    load_inertia: float


def heat_of_launch(
    car_mass_kg: float,
    metres_per_radian: float,
    engine_inertia: float,
    launch_rad_per_s: float,
) -> LaunchHeat:
    """Heat of one launch from rest, no tire slip, drag or rotating driveline counted.

    Parameters
    ----------
    car_mass_kg
        With the driver. [kg]
    metres_per_radian
        Way the car makes while the clutch's output turns by one radian: tire radius over first gear
        times final drive. [m]
    engine_inertia
        Engine and flywheel. [kg m2]
    launch_rad_per_s
        Engine speed at the release. [rad/s]

    Returns
    -------
    LaunchHeat

    Raises
    ------
    OutOfRange
        For a mass, gearing, inertia or speed no car has.

    Notes
    -----
    The car's inertia at the clutch is m k^2, k = ``metres_per_radian``. A tire that spins takes part of
    the heat away from the clutch, so the upper limit is an upper limit.

    References
    ----------
    Energy balance; the limits as :func:`heat_free` and :func:`heat_held`.
    """
    refuse_outside("car mass", car_mass_kg, "kg", 100.0, 5_000.0)
    refuse_outside("way per radian", metres_per_radian, "m", 0.001, 1.0)
    refuse_outside("launch speed", launch_rad_per_s, "rad/s", 0.0, 2_100.0)
    load = car_mass_kg * metres_per_radian**2
    return LaunchHeat(
        engine_free_j=heat_free(engine_inertia, load, launch_rad_per_s, 0.0),
        engine_held_j=heat_held(load, launch_rad_per_s),
        load_inertia=load,
    )


def _refuse_inertia(inertia_1: N, inertia_2: N) -> None:
    for inertia in (inertia_1, inertia_2):
        refuse_outside("moment of inertia", inertia, "kg m2", 1e-9, 1e6, "Both parts need an inertia.")
