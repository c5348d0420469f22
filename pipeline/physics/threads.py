"""Screw threads: their diameters and stress area, and what a torque wrench does to a bolt."""

from __future__ import annotations

import math

from pipeline.physics.ranges import refuse_outside

# Height of the ISO and UN basic thread triangle over the pitch: sqrt(3)/2 (ASME B1.1).
_TRIANGLE = math.sqrt(3.0) / 2.0


def pitch_diameter(diameter_m: float, pitch_m: float) -> float:
    """Diameter at which thread and groove are equally wide: D - (3/8) sqrt(3) p.

    Parameters
    ----------
    diameter_m, pitch_m
        Major diameter and pitch of a UN or ISO thread. [m]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        When the pitch is not a small part of the diameter.

    References
    ----------
    ASME B1.1: D - 0.64951905 p.
    """
    _refuse_thread(diameter_m, pitch_m)
    return diameter_m - 0.75 * _TRIANGLE * pitch_m


def tensile_stress_area(diameter_m: float, pitch_m: float) -> float:
    """Area that carries a bolt's tension, (pi/4)(D - 0.9743 p)^2.

    Parameters
    ----------
    diameter_m, pitch_m
        Major diameter and pitch. [m]

    Returns
    -------
    float
        [m2]

    Raises
    ------
    OutOfRange
        When the pitch is not a small part of the diameter.

    References
    ----------
    ASME B1.1, appendix B.
    """
    _refuse_thread(diameter_m, pitch_m)
    return math.pi / 4.0 * (diameter_m - 0.9743 * pitch_m) ** 2


def bolt_preload(torque_nm: float, diameter_m: float, nut_factor: float = 0.2) -> float:
    """Tension in a bolt after tightening, T/(K D).

    Parameters
    ----------
    torque_nm
        [N m]
    diameter_m
        Nominal diameter. [m]
    nut_factor
        K, about 0.2 dry and 0.15 oiled: it scatters by a quarter either way. [1]

    Returns
    -------
    float
        [N]

    Raises
    ------
    OutOfRange
        For a factor outside 0.05 to 0.5 or a diameter outside 1 to 50 mm.

    References
    ----------
    Shigley, *Mechanical Engineering Design*, torque factors; J. A. Speck, *Mechanical Fastening, Joining,
    and Assembly*, p. 85.
    """
    refuse_outside("nut factor", nut_factor, "", 0.05, 0.5)
    refuse_outside("bolt diameter", diameter_m, "m", 0.001, 0.05)
    return torque_nm / (nut_factor * diameter_m)


def bolt_torque(preload_n: float, diameter_m: float, nut_factor: float = 0.2) -> float:
    """Torque for a bolt tension, K D F; inverse of :func:`bolt_preload`.

    Parameters
    ----------
    preload_n, diameter_m, nut_factor
        [N], [m], [1]

    Returns
    -------
    float
        [N m]

    Raises
    ------
    OutOfRange
        As :func:`bolt_preload`.

    References
    ----------
    As :func:`bolt_preload`.
    """
    refuse_outside("nut factor", nut_factor, "", 0.05, 0.5)
    refuse_outside("bolt diameter", diameter_m, "m", 0.001, 0.05)
    return nut_factor * diameter_m * preload_n


def _refuse_thread(diameter_m: float, pitch_m: float) -> None:
    refuse_outside("bolt diameter", diameter_m, "m", 0.001, 0.05)
    refuse_outside(
        "pitch over diameter",
        pitch_m / diameter_m,
        "",
        0.01,
        0.5,
        "A pitch is 1 in over the threads per inch.",
    )
