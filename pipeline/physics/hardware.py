"""Bolts and nuts: what they weigh as counterweights.

Weigh the hardware if you can: chamfers, countersinks and tolerances make these good to about 10 %.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from pipeline.errors import OutOfRange
from pipeline.physics.constants import INCH_M
from pipeline.physics.ranges import refuse_outside

# Handbook densities [kg/m3].
DENSITIES: dict[str, float] = {"steel": 7850.0, "aluminum": 2700.0}
# Area of a hexagon over the square of its width across flats, and height of the basic thread triangle over
# the pitch (ASME B1.1): sqrt(3)/2.
_SIXTY_DEGREES = math.sqrt(3.0) / 2.0
# Threads of the trade's counterweights: name -> diameter [in] and threads per inch (UN, ASME B1.1).
THREADS: dict[str, tuple[float, float]] = {
    "1/4-20": (0.25, 20.0),
    "5/16-24": (0.3125, 24.0),
    "3/8-24": (0.375, 24.0),
}
# Hex bolts, ASME B18.2.1: bolt diameter -> width across flats and height of the head [in].
HEX_HEADS_IN: dict[float, tuple[float, float]] = {
    0.25: (7 / 16, 5 / 32),
    0.3125: (1 / 2, 13 / 64),
    0.375: (9 / 16, 15 / 64),
}
# Finished hex nuts, ASME B18.2.2: bolt diameter -> width across flats and thickness [in].
HEX_NUTS_IN: dict[float, tuple[float, float]] = {
    0.25: (7 / 16, 7 / 32),
    0.3125: (1 / 2, 17 / 64),
    0.375: (9 / 16, 21 / 64),
}


def rod_mass(diameter_m: float, length_m: float, material: str = "steel") -> float:
    """Compute the mass of a plain rod, or of a bolt's unthreaded length.

    Parameters
    ----------
    diameter_m, length_m
        [m]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a length below zero or above 0.5 m.
    KeyError
        For a material that is not listed.

    References
    ----------
    Geometry and handbook densities.
    """
    refuse_outside("length", length_m, "m", 0.0, 0.5)
    return DENSITIES[material] * math.pi / 4.0 * diameter_m**2 * length_m


def pitch_diameter(diameter_m: float, pitch_m: float) -> float:
    """Compute the diameter at which thread and groove are equally wide: D - (3/8) sqrt(3) p.

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
    refuse_outside("bolt diameter", diameter_m, "m", 0.001, 0.05)
    refuse_outside(
        "pitch over diameter",
        pitch_m / diameter_m,
        "",
        0.01,
        0.5,
        "A pitch is 1 in over the threads per inch.",
    )
    return diameter_m - 0.75 * _SIXTY_DEGREES * pitch_m


def thread_mass(diameter_m: float, pitch_m: float, length_m: float, material: str = "steel") -> float:
    """Compute the mass of a threaded length: a rod of the pitch diameter.

    Parameters
    ----------
    diameter_m, pitch_m, length_m
        Major diameter, pitch, length. [m]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a thread or length no bolt has.

    References
    ----------
    Geometry: at the pitch diameter ridges and grooves cancel.
    """
    return rod_mass(pitch_diameter(diameter_m, pitch_m), length_m, material)


def hex_mass(across_flats_m: float, height_m: float, material: str = "steel") -> float:
    """Compute the mass of a hexagonal prism, such as a bolt's head: (sqrt(3)/2) F^2 h; chamfers left in.

    Parameters
    ----------
    across_flats_m, height_m
        [m]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a width outside 1 to 100 mm.

    References
    ----------
    Geometry and handbook densities.
    """
    refuse_outside("width across flats", across_flats_m, "m", 0.001, 0.1)
    return DENSITIES[material] * _SIXTY_DEGREES * across_flats_m**2 * height_m


def nut_mass(
    diameter_m: float, pitch_m: float, across_flats_m: float, thickness_m: float, material: str = "steel"
) -> float:
    """Compute the mass of a hex nut: prism less a bore of the pitch diameter.

    Parameters
    ----------
    diameter_m, pitch_m
        Of the thread. [m]
    across_flats_m, thickness_m
        Of the nut, as in :data:`HEX_NUTS_IN` times 0.0254. [m]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]; the chamfers take 1 to 2 % off.

    Raises
    ------
    OutOfRange
        For a thread or width no nut has.

    References
    ----------
    ASME B18.2.2 for dimensions.
    """
    bore = thread_mass(diameter_m, pitch_m, thickness_m, material)
    return hex_mass(across_flats_m, thickness_m, material) - bore


def counterweight_from_hardware(pieces: Mapping[str, int], table_kg: Mapping[str, float]) -> float:
    """Compute the counterweight per lever from the pieces hung on it and what each weighs.

    Parameters
    ----------
    pieces
        How many of each piece on one lever.
    table_kg
        Mass of each piece, weighed or computed. [kg]

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a count below zero.
    KeyError
        For a piece the table does not list.

    References
    ----------
    A sum.

    Examples
    --------
    >>> round(counterweight_from_hardware({"nut": 2, "bolt": 1}, {"nut": 0.0036, "bolt": 0.0079}), 4)
    0.0151
    """
    for piece, count in pieces.items():
        if count < 0:
            raise OutOfRange(f"number of {piece}", count, "", 0, 99, "Count what hangs on one lever.")
    return sum(count * table_kg[piece] for piece, count in pieces.items())


def standard_nut_mass(diameter_in: float, threads_per_inch: float, material: str = "steel") -> float:
    """Compute the mass of a finished hex nut of a common size: a helper in the trade's units.

    Parameters
    ----------
    diameter_in
        0.25, 0.3125 or 0.375. [in]
    threads_per_inch
        [1/in]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a size that is not listed.

    References
    ----------
    ASME B18.2.2 for dimensions.
    """
    if diameter_in not in HEX_NUTS_IN:
        raise OutOfRange(
            "nut size",
            diameter_in,
            "in",
            min(HEX_NUTS_IN),
            max(HEX_NUTS_IN),
            "Weigh it, and enter the grams.",
        )
    flats, thickness = HEX_NUTS_IN[diameter_in]
    pitch = INCH_M / threads_per_inch
    return nut_mass(diameter_in * INCH_M, pitch, flats * INCH_M, thickness * INCH_M, material)


def bolt_mass(
    diameter_in: float, threads_per_inch: float, length_in: float, material: str = "steel"
) -> float:
    """Compute the mass of a hex bolt of a common size: head, thread and shank. A helper in the trade's units.

    Parameters
    ----------
    diameter_in
        0.25, 0.3125 or 0.375. [in]
    threads_per_inch
        [1/in]
    length_in
        Under the head, 0.25 to 6. [in]
    material
        A key of :data:`DENSITIES`.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    OutOfRange
        For a size that is not listed, or a length outside 0.25 to 6 in.

    Notes
    -----
    The thread is 2 D + 1/4 in long; a shorter bolt is threaded all along.

    References
    ----------
    ASME B18.2.1 for dimensions and thread length.
    """
    if diameter_in not in HEX_HEADS_IN:
        raise OutOfRange(
            "bolt size", diameter_in, "in", min(HEX_HEADS_IN), max(HEX_HEADS_IN), "Weigh it and enter grams."
        )
    refuse_outside("bolt length", length_in, "in", 0.25, 6.0)
    flats, height = HEX_HEADS_IN[diameter_in]
    threaded = min(length_in, 2.0 * diameter_in + 0.25)
    return (
        hex_mass(flats * INCH_M, height * INCH_M, material)
        + thread_mass(diameter_in * INCH_M, INCH_M / threads_per_inch, threaded * INCH_M, material)
        + rod_mass(diameter_in * INCH_M, (length_in - threaded) * INCH_M, material)
    )


def common_hardware() -> dict[str, float]:
    """List the masses of common nuts and bolts, for a person who has no scales at hand.

    Returns
    -------
    dict
        Such as ``"1/4-20 steel nut"`` and ``"1/4-20 steel bolt 1 in"``, and the same in aluminum; bolts
        from 1/2 to 2 in by quarters. [kg], good to 10 %.

    References
    ----------
    As :func:`standard_nut_mass` and :func:`bolt_mass`.

    Examples
    --------
    >>> round(common_hardware()["1/4-20 steel nut"], 4)
    0.0036
    """
    lengths = {"1/2": 0.5, "3/4": 0.75, "1": 1.0, "1-1/4": 1.25, "1-1/2": 1.5, "1-3/4": 1.75, "2": 2.0}
    found = {}
    for thread, (diameter, per_inch) in THREADS.items():
        for material in DENSITIES:
            found[f"{thread} {material} nut"] = standard_nut_mass(diameter, per_inch, material)
            for name, length in lengths.items():
                found[f"{thread} {material} bolt {name} in"] = bolt_mass(diameter, per_inch, length, material)
    return found
