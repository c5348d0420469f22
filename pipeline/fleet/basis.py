"""The fleet's one fixed basis, in practical steps: its columns, their priors, and how they are centred.

Sums are taken about one fixed reference, so that they add across tables and machines. The basis
holds every lower term of its squares and products, so centring on a car's own mean is a linear map
of the sums and is done afterwards, car by car, without another look at the runs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.garage.factors import BY_NAME, MS, columns_of
from pipeline.season.results import Response

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FleetColumn:
    """One coefficient of the fleet's model.

    Attributes
    ----------
    name
        As the season model names its columns.
    label, step
        In plain words.
    prior_s
        Prior sd for a car about which nothing is known. [s per step]
    is_effect
        Whether it is an adjustment's or a condition's straight effect, to be shown to people.
    """

    name: str
    label: str
    step: str
    prior_s: float
    is_effect: bool


SETTINGS = ("preload", "counterweight", "launch_rpm")
FACTORS = tuple(BY_NAME[name] for name in (*SETTINGS, "track_temp", "air_density"))

COLUMNS: tuple[FleetColumn, ...] = (
    *(FleetColumn(f.name, f.label, f.step_words, f.prior(with_load=False), is_effect=True) for f in FACTORS),
    FleetColumn("launch_rpm^2", "bend of launch rpm", "(100 rpm)^2", 3 * MS, is_effect=False),
    FleetColumn(
        "launch_rpm x track_temp", "launch rpm by track temperature", "100 rpm x 10 degF", 2 * MS, False
    ),
    *(
        FleetColumn(f"event mean of {f.name}", f"the track, seen in {f.label}", f.step_words, 4 * MS, False)
        for f in FACTORS
        if f.name in SETTINGS
    ),
)
"""Widths are those of the season model without lever geometry. The event means of the settings stand
for the unseen track that settings answer to."""

NAMES = tuple(column.name for column in COLUMNS)
SIZE = len(COLUMNS)
EFFECTS = tuple(j for j, column in enumerate(COLUMNS) if column.is_effect)

RESPONSE_SCALE: dict[Response, float] = {"t60": 1.0, "t60_330": 1.0, "t330": 1.5}
"""As in the season model."""

FACTOR_COLUMNS: dict[str, str] = columns_of(FACTORS)
"""Factor -> column of the runs table; ``queries/fleet/rows.sql`` turns them into steps."""

BASIS_VERSION = "second order, five factors, event means; 1"
"""Written into shared sums: only sums of one basis can be pooled."""

# Order of a run's columns in the cross products: one, the seven columns within events, the event means
# of the three settings, the response.
ONE, PRELOAD, COUNTERWEIGHT, RPM, TRACK, AIR, RPM2, RPM_TRACK = range(8)
EVENT_MEANS = (8, 9, 10)
RESPONSE = 11
WIDTH = 12
CENTRED = (PRELOAD, COUNTERWEIGHT, RPM, TRACK, AIR, RESPONSE)


def weak_prior_sd(response: Response) -> Array:
    """Prior sd of every coefficient for a car alone. [s per step]. Shape (p,)."""
    return np.array([column.prior_s for column in COLUMNS]) * RESPONSE_SCALE[response]


def centring(centre: Array) -> Array:
    """Linear map from a run's columns about the fixed reference to columns about the car's own centre.

    Parameters
    ----------
    centre
        Mean of preload, counterweight, rpm, track temperature, air [steps] and response [s], from the
        fixed reference. shape (K, 6)

    Returns
    -------
    shape (K, 12, 12)

    Notes
    -----
    (R - r)^2 = R^2 - 2 r R + r^2 and (R - r)(T - t) = R T - t R - r T + r t; an event's mean shifts as
    its setting does.
    """
    out = np.tile(np.eye(WIDTH), (centre.shape[0], 1, 1))
    for column, shift in zip(CENTRED, centre.T, strict=True):
        out[:, column, ONE] = -shift
    for column, shift in zip(EVENT_MEANS, centre[:, :3].T, strict=True):
        out[:, column, ONE] = -shift
    rpm, track = centre[:, 2], centre[:, 3]
    out[:, RPM2, RPM] = -2 * rpm
    out[:, RPM2, ONE] = rpm**2
    out[:, RPM_TRACK, RPM] = -track
    out[:, RPM_TRACK, TRACK] = -rpm
    out[:, RPM_TRACK, ONE] = rpm * track
    return out


def centred(cross: Array, centre: Array) -> Array:
    """Cross products about each car's own centre: L M L' with L from :func:`centring`, one line at a time.

    Parameters
    ----------
    cross
        About the fixed reference. shape (K, 12, 12)
    centre
        shape (K, 6)
    """
    half = _shifted(cross, centre)
    return np.swapaxes(_shifted(np.swapaxes(half, 1, 2), centre), 1, 2)


def _shifted(rows: Array, centre: Array) -> Array:
    """Apply the map of :func:`centring` to the rows of matrices, which are mostly untouched by it."""
    shift = centre[:, :, None]
    out = rows.copy()
    one, rpm, track = rows[:, ONE], rows[:, RPM], rows[:, TRACK]
    for column, place in zip((*CENTRED, *EVENT_MEANS), (0, 1, 2, 3, 4, 5, 0, 1, 2), strict=True):
        out[:, column] -= shift[:, place] * one
    out[:, RPM2] += shift[:, 2] * (shift[:, 2] * one - 2 * rpm)
    out[:, RPM_TRACK] += shift[:, 2] * (shift[:, 3] * one - track) - shift[:, 3] * rpm
    return out
