"""What presses a screw-adjusted single disc together, and the torque it can hold.

Static load comes from the springs under the adjuster screws, centrifugal load from the counterweighted
levers. Every geometry is data: nothing here knows a particular unit.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from pipeline.physics.constants import RPM_RAD_PER_S, N
from pipeline.physics.elementwise import at_least
from pipeline.physics.ranges import refuse_outside

GrowthEffect = Literal["less load", "more load"]
GROWTH_EFFECTS: tuple[GrowthEffect, ...] = ("less load", "more load")

# Turns counted as equal: a sixteenth of a turn is what a hand on a wrench can hold.
EVEN_TURNS = 0.0625
_MOST_RPM = 20_000.0


def load_per_turn(spring_rate_n_per_m: N, threads_per_m: float) -> N:
    """Compute the load that one turn of one screw adds: spring rate times thread pitch.

    Parameters
    ----------
    spring_rate_n_per_m
        Rate of the spring under the screw. [N/m]
    threads_per_m
        Threads in a metre of screw, above zero. [1/m]

    Returns
    -------
    float or ndarray
        [N]

    Raises
    ------
    OutOfRange
        For a thread finer than 0.1 mm or coarser than 10 mm.

    Notes
    -----
    Linear until coil bind, which only the spring's maker knows.

    References
    ----------
    Hooke's law; a screw advances one pitch a turn (ASME B1.1).
    """
    refuse_outside("thread", threads_per_m, "1/m", 100.0, 10_000.0)
    return spring_rate_n_per_m / threads_per_m


def preload_from_turns(base_load_n: float, load_per_turn_n: float, turns: ArrayLike) -> float:
    """Compute the total static plate load from the screws' turns.

    Parameters
    ----------
    base_load_n
        Total load at zero turns of all screws. [N]
    load_per_turn_n
        Load one turn of one screw adds. [N]
    turns
        Turns of each screw, counted from where the adjuster breaks away, shape (screws,). [turn]

    Returns
    -------
    float
        base + sum(load per turn x turns). [N]

    Raises
    ------
    OutOfRange
        For turns below 0 or above 20.

    References
    ----------
    Springs side by side: their loads add (Hooke).

    Examples
    --------
    >>> preload_from_turns(250.0, 20.0, [2, 2, 2.5, 2])
    420.0
    """
    screws = np.atleast_1d(np.asarray(turns, dtype=np.float64))
    refuse_outside("turns", screws, "turns", 0.0, 20.0, "Turns are counted up from zero on each screw.")
    return base_load_n + load_per_turn_n * float(screws.sum())


def preload_from_heights(
    spring_rate_n_per_m: ArrayLike, free_length_m: ArrayLike, installed_height_m: ArrayLike
) -> float:
    """Compute the static plate load from the springs' installed heights: sum of rate x (free - installed).

    Parameters
    ----------
    spring_rate_n_per_m, free_length_m, installed_height_m
        One number for all springs or shape (springs,) each. [N/m], [m], [m]

    Returns
    -------
    float
        [N]

    Raises
    ------
    OutOfRange
        For a height above the free length (the spring would be loose) or not above zero.

    References
    ----------
    Hooke's law.
    """
    rate, free, height = np.broadcast_arrays(
        np.asarray(spring_rate_n_per_m, dtype=np.float64),
        np.asarray(free_length_m, dtype=np.float64),
        np.asarray(installed_height_m, dtype=np.float64),
    )
    refuse_outside(
        "share of the free length", height / free, "", 0.05, 1.0,
        "An installed height lies between coil bind and the free length.",
    )  # fmt: skip
    return float(np.sum(rate * (free - height)))


def turns_spread(turns: ArrayLike) -> float:
    """Compute most less least turns of the screws: the ring sits crooked when it is not near zero.

    Parameters
    ----------
    turns
        Shape (screws,). [turn]

    Returns
    -------
    float
        [turn]

    References
    ----------
    Common practice, no source: all screws the same.
    """
    screws = np.asarray(turns, dtype=np.float64)
    return float(np.max(screws) - np.min(screws))


def uneven_screws(turns: ArrayLike, even_turns: float = EVEN_TURNS) -> tuple[int, ...]:
    """Find the screws that differ from the middle one by more than a hand can miss.

    Parameters
    ----------
    turns
        Shape (screws,). [turn]
    even_turns
        Largest difference that still counts as equal. [turn]

    Returns
    -------
    tuple of int
        Numbers of the screws, counted from 1.

    References
    ----------
    Common practice, no source: all screws the same.

    Examples
    --------
    >>> uneven_screws([3, 3, 3.5, 3, 3, 3])
    (3,)
    """
    screws = np.asarray(turns, dtype=np.float64)
    return tuple(int(at) + 1 for at in np.flatnonzero(np.abs(screws - np.median(screws)) > even_turns))


def preload_after_wear(
    preload_n: N,
    springs: int,
    spring_rate_n_per_m: float,
    growth_m: N,
    growth_effect: GrowthEffect = "less load",
) -> N:
    """Return the static plate load left when the ring height has grown since the screws were set.

    Parameters
    ----------
    preload_n
        Load when the screws were set. [N]
    springs
        Springs that press on the ring.
    spring_rate_n_per_m
        Rate of each. [N/m]
    growth_m
        Ring height at the run less ring height when set; negative after a shim came out. [m]
    growth_effect
        What growth does in this construction; no default is right for all, so garage.toml asks.

    Returns
    -------
    float or ndarray
        preload -+ springs x rate x growth, never below zero (a loose spring does not pull). [N]

    Raises
    ------
    OutOfRange
        For a growth of more than 12.7 mm (half an inch) either way.

    References
    ----------
    Hooke's law. The sign is common practice for one construction, no source.
    """
    refuse_outside("ring height growth", growth_m, "m", -0.0127, 0.0127)
    sign = 1.0 if growth_effect == "more load" else -1.0
    return at_least(preload_n + sign * springs * spring_rate_n_per_m * growth_m, 0.0)


def centrifugal_load(
    levers: int,
    lever_mass_kg: float,
    counterweight_kg: N,
    radius_m: float,
    rpm: N,
    lever_ratio: float = 1.0,
) -> N:
    """Compute the plate load from the levers at an engine speed.

    Parameters
    ----------
    levers
        Number of levers.
    lever_mass_kg
        A lever's own equivalent mass at its tip. [kg]
    counterweight_kg
        Mass added at each tip, not below zero. [kg]
    radius_m
        Radius of that mass. [m]
    rpm
        Engine speed, 0 to 20 000. [1/min]
    lever_ratio
        Load on the ring per radial force at the tip. [1]

    Returns
    -------
    float or ndarray
        levers x (own + added mass) x radius x omega^2 x lever ratio. [N]

    Raises
    ------
    OutOfRange
        For a speed or mass out of range.

    References
    ----------
    F = m r omega^2, elementary mechanics.
    """
    refuse_outside("engine speed", rpm, "rpm", 0.0, _MOST_RPM)
    refuse_outside("counterweight", counterweight_kg, "kg", 0.0, 5.0)
    omega = rpm * RPM_RAD_PER_S
    return levers * (lever_mass_kg + counterweight_kg) * radius_m * omega * omega * lever_ratio
