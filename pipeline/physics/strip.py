"""The strip: its sections, mean speeds, the trap, rollout, and the check of a whole pass."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pipeline.physics.constants import FOOT_M, STANDARD_GRAVITY, N
from pipeline.physics.elementwise import sqrt
from pipeline.physics.power import trap_share
from pipeline.physics.ranges import refuse_outside

# Where elapsed times are taken [ft], and the length of the speed trap before 660 and 1320 ft.
SPLITS_FT: tuple[int, ...] = (60, 330, 660, 1000, 1320)
TRAP_FT = 66.0
TRAP_M = TRAP_FT * FOOT_M
QUARTER_MILE_M, EIGHTH_MILE_M = 1320.0 * FOOT_M, 660.0 * FOOT_M


@dataclass(frozen=True, slots=True)
class Section:
    """One stretch of the strip.

    Attributes
    ----------
    start_ft, end_ft
        Its ends from the starting line. [ft]
    time_s
        [s]; NaN when a split is missing.
    mean_speed
        [m/s]; NaN when a split is missing.
    """

    start_ft: int
    end_ft: int
    time_s: float
    mean_speed: float


def mean_speed(distance_m: N, time_s: N) -> N:
    """Mean speed over a distance.

    Parameters
    ----------
    distance_m, time_s
        [m], [s]; times of 0.01 s to 100 s.

    Returns
    -------
    float or ndarray
        [m/s]

    Raises
    ------
    OutOfRange
        For a time no section takes.

    References
    ----------
    Definition.
    """
    refuse_outside("section time", time_s, "s", 0.01, 100.0, "Splits rise down the strip: check the slip.")
    return distance_m / time_s


def sections(splits_s: tuple[float, ...]) -> tuple[Section, ...]:
    """Section times and mean speeds of one slip.

    Parameters
    ----------
    splits_s
        Elapsed times to 60, 330, 660, 1000 and 1320 ft, as many as the strip gives; NaN where missing. [s]

    Returns
    -------
    tuple of Section
        0-60, 60-330, and so on.

    Raises
    ------
    OutOfRange
        When splits do not rise.

    References
    ----------
    Distances of the timing system are common practice.

    Examples
    --------
    >>> [round(part.time_s, 3) for part in sections((1.4, 3.9, 6.0))]
    [1.4, 2.5, 2.1]
    """
    parts = []
    start_ft, start_s = 0, 0.0
    for end_ft, end_s in zip(SPLITS_FT, splits_s, strict=False):
        speed = mean_speed((end_ft - start_ft) * FOOT_M, end_s - start_s)
        parts.append(Section(start_ft, end_ft, end_s - start_s, speed))
        start_ft, start_s = end_ft, end_s
    return tuple(parts)


def speeds_rise(parts: tuple[Section, ...]) -> bool:
    """Whether mean speeds rise from section to section, as they do while a car accelerates.

    Parameters
    ----------
    parts
        From :func:`sections`; missing ones are passed over.

    Returns
    -------
    bool

    References
    ----------
    Follows from acceleration.
    """
    speeds = [part.mean_speed for part in parts if not np.isnan(part.mean_speed)]
    return all(slower < faster for slower, faster in pairwise(speeds))


def trap_speed(trap_time_s: N) -> N:
    """Speed the strip prints for the time over the 66 ft trap (45/t in mph, exactly).

    Parameters
    ----------
    trap_time_s
        [s]

    Returns
    -------
    float or ndarray
        [m/s]

    Raises
    ------
    OutOfRange
        For a time outside 0.01 to 100 s.

    References
    ----------
    66 ft trap: sanctioning bodies' glossaries, common practice.
    """
    return mean_speed(TRAP_M + 0.0 * trap_time_s, trap_time_s)


def mean_acceleration(distance_m: N, time_s: N) -> N:
    """Mean acceleration from rest over a distance, 2 d/t^2.

    Parameters
    ----------
    distance_m, time_s
        [m], [s]

    Returns
    -------
    float or ndarray
        [m/s2]; from the moving start that rollout gives, a little too high.

    Raises
    ------
    OutOfRange
        For a time outside 0.01 to 100 s.

    References
    ----------
    Constant acceleration from rest.
    """
    refuse_outside("time", time_s, "s", 0.01, 100.0)
    return 2.0 * distance_m / (time_s * time_s)


def rollout_time(acceleration: N, rollout_m: N) -> N:
    """Time the car takes over the rollout, before the clock starts: sqrt(2 d/a).

    Parameters
    ----------
    acceleration
        Above zero. [m/s2]
    rollout_m
        About a foot. [m]

    Returns
    -------
    float or ndarray
        [s]

    Raises
    ------
    OutOfRange
        For an acceleration outside 0.01 to 10 g or a rollout above 2 m.

    References
    ----------
    Constant acceleration from rest.
    """
    _refuse_rollout(acceleration, rollout_m)
    return sqrt(2.0 * rollout_m / acceleration)


def rollout_speed(acceleration: N, rollout_m: N) -> N:
    """Speed at which the clock starts: sqrt(2 a d).

    Parameters
    ----------
    acceleration, rollout_m
        As :func:`rollout_time`. [m/s2], [m]

    Returns
    -------
    float or ndarray
        [m/s]

    Raises
    ------
    OutOfRange
        As :func:`rollout_time`.

    References
    ----------
    Constant acceleration from rest.
    """
    _refuse_rollout(acceleration, rollout_m)
    return sqrt(2.0 * acceleration * rollout_m)


def timed_split(acceleration: N, rollout_m: N, distance_m: N) -> N:
    """Split the clock shows at constant acceleration: the way after the rollout only.

    Parameters
    ----------
    acceleration, rollout_m
        As :func:`rollout_time`. [m/s2], [m]
    distance_m
        From where the clock starts. [m]

    Returns
    -------
    float or ndarray
        sqrt(2 (d + r)/a) - sqrt(2 r/a). [s]

    Raises
    ------
    OutOfRange
        As :func:`rollout_time`.

    References
    ----------
    Constant acceleration from rest.
    """
    _refuse_rollout(acceleration, rollout_m)
    return sqrt(2.0 * (distance_m + rollout_m) / acceleration) - sqrt(2.0 * rollout_m / acceleration)


def _refuse_rollout(acceleration: N, rollout_m: N) -> None:
    refuse_outside("acceleration", acceleration / STANDARD_GRAVITY, "g", 0.01, 10.0)
    refuse_outside("rollout", rollout_m, "m", 0.0, 2.0)


def whole_pass_ratio(time_s: N, trap_speed_m_per_s: N, distance_m: float = QUARTER_MILE_M) -> N:
    """Elapsed time x trap speed over what constant power would give.

    Parameters
    ----------
    time_s
        Elapsed time of the whole pass, above zero. [s]
    trap_speed_m_per_s
        Mean speed over the last 66 ft. [m/s]
    distance_m
        Length of the pass. [m]

    Returns
    -------
    float or ndarray
        1 at constant power; real cars, slow off the line, come out a few percent above. [1]

    Raises
    ------
    OutOfRange
        For a time outside 1 to 100 s.

    Notes
    -----
    Constant power gives 1.5 D at the stripe (1350 s mph for the quarter) and 0.991548 of it for the mean
    over the trap: 1338.6 s mph.

    References
    ----------
    G. T. Fox, "On the physics of drag racing", Am. J. Phys. 41 (1973) 311-313.
    """
    refuse_outside("elapsed time", time_s, "s", 1.0, 100.0)
    return time_s * trap_speed_m_per_s / (1.5 * distance_m * trap_share(distance_m, TRAP_M))


def whole_pass_fits(time_s: float, trap_speed_m_per_s: float, distance_m: float = QUARTER_MILE_M) -> bool:
    """Whether time and trap speed can belong to one full pass.

    Parameters
    ----------
    time_s, trap_speed_m_per_s, distance_m
        As :func:`whole_pass_ratio`.

    Returns
    -------
    bool
        True from 0.9 to 1.25 of constant power; below it the driver lifted or the two numbers are not of
        one pass, above it a start went badly wrong.

    Raises
    ------
    OutOfRange
        As :func:`whole_pass_ratio`.

    References
    ----------
    The band is a judgement: published pairs of constants come out at 1.01 to 1.05.
    """
    return bool(0.9 <= whole_pass_ratio(time_s, trap_speed_m_per_s, distance_m) <= 1.25)
