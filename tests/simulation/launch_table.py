"""The launch simulation as a smooth table, so that hundreds of seasons and their truths are quick.

Expected 60 and 330 ft times depend on the settings only through six numbers: spring load (in turns left
after wear), counterweight, launch rpm, rear shock, peak grip of the track and air density. The table holds
the simulation at Chebyshev nodes of that box and is read by the polynomial through them: smooth, hence with
exact derivatives. The mean over burnouts is taken in the grip direction when it is read.

On the test bench the table IS the truth: data and true effects both come from it. Its own test holds it to
the simulation.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import chebyshev

from sample_timeslips.launch_simulation import (
    CAR,
    Conditions,
    Floats,
    Settings,
    grip_draws,
    peak_grip,
    simulate,
)

AXES = ("turns_left", "counterweight_g", "launch_rpm", "shock_clicks", "grip", "air_density_kg_per_m3")
LOW = np.array([0.2, 0.5, 5000.0, 1.0, 1.84, 0.99])
HIGH = np.array([4.8, 9.5, 7800.0, 11.0, 2.36, 1.23])
NODES = (5, 5, 8, 3, 12, 3)
RESPONSES = ("t60_s", "t330_s")
GRIP_AXIS = AXES.index("grip")


@dataclass(frozen=True, slots=True)
class LaunchTable:
    """Chebyshev coefficients of the times, shape (responses, *NODES)."""

    coefficients: Floats

    def times(self, at: Floats) -> Floats:
        """Expected times at points of the box.

        Parameters
        ----------
        at
            Shape (n, 6), the axes in their own units; outside the box the edge is continued by its slope's
            polynomial, so stay inside.

        Returns
        -------
        shape (responses, n) [s]
        """
        return self._read([self._rows(axis, at[:, axis]) for axis in range(len(AXES))])

    def slopes(self, at: Floats) -> Floats:
        """Derivatives of the expected times, shape (responses, n, 6) [s per unit of the axis]."""
        rows = [self._rows(axis, at[:, axis]) for axis in range(len(AXES))]
        out = np.empty((len(RESPONSES), at.shape[0], len(AXES)))
        for axis in range(len(AXES)):
            steep = list(rows)
            steep[axis] = self._rows(axis, at[:, axis], derivative=True)
            out[:, :, axis] = self._read(steep)
        return out

    def _rows(self, axis: int, values: Floats, derivative: bool = False) -> Floats:
        """Basis of one axis at the values, shape (n, nodes); grip is averaged over burnouts."""
        if axis != GRIP_AXIS:
            return _basis(axis, values, derivative)
        factors, weights = grip_draws()
        total = np.zeros((values.size, NODES[axis]))
        for factor, weight in zip(factors, weights, strict=True):
            total += weight * _basis(axis, values * factor, derivative) * (factor if derivative else 1.0)
        return total

    def _read(self, rows: list[Floats]) -> Floats:
        """Contract the coefficients with one row of each axis a point."""
        first = self.coefficients.reshape(len(RESPONSES), NODES[0], -1)
        part = np.einsum("na,rab->rnb", rows[0], first, optimize=True)
        for axis in range(1, len(AXES)):
            shaped = part.reshape(len(RESPONSES), rows[0].shape[0], NODES[axis], -1)
            part = np.einsum("na,rnab->rnb", rows[axis], shaped)
        out: Floats = part[:, :, 0]
        return out


def _unit(axis: int, values: Floats) -> Floats:
    out: Floats = (2.0 * values - LOW[axis] - HIGH[axis]) / (HIGH[axis] - LOW[axis])
    return out


def _basis(axis: int, values: Floats, derivative: bool) -> Floats:
    count = NODES[axis]
    x = _unit(axis, values)
    if not derivative:
        out: Floats = chebyshev.chebvander(x, count - 1)
        return out
    identity = np.eye(count)
    steep = np.stack([chebyshev.chebval(x, chebyshev.chebder(identity[k])) for k in range(count)], axis=1)
    scaled: Floats = steep * 2.0 / (HIGH[axis] - LOW[axis])
    return scaled


def _nodes(axis: int) -> Floats:
    x = chebyshev.chebpts1(NODES[axis])
    out: Floats = 0.5 * (LOW[axis] + HIGH[axis] + (HIGH[axis] - LOW[axis]) * x)
    return out


@cache
def launch_table() -> LaunchTable:
    """Simulate every node once a session (about three seconds on one core)."""
    grid = np.meshgrid(*(_nodes(axis) for axis in range(len(AXES))), indexing="ij")
    turns, grams, rpm, clicks, grip, density = (g.ravel() for g in grid)
    hundred = np.full(turns.size, 100.0)
    settings = Settings(turns, grams, rpm, np.full(turns.size, 10.0), clicks)
    conditions = Conditions(hundred, density, np.zeros(turns.size), grip / peak_grip(hundred))
    parts = [_simulate(settings, conditions, slice(i, i + 4096)) for i in range(0, turns.size, 4096)]
    values = np.concatenate(parts, axis=1).reshape(len(RESPONSES), *NODES)
    return LaunchTable(_coefficients(values))


def _simulate(settings: Settings, conditions: Conditions, part: slice) -> Floats:
    runs = simulate(
        Settings(*(getattr(settings, name)[part] for name in Settings.__slots__)),
        Conditions(*(getattr(conditions, name)[part] for name in Conditions.__slots__)),
        last_ft=330.0,
    )
    return np.stack([getattr(runs, name) for name in RESPONSES])


def _coefficients(values: Floats) -> Floats:
    """Chebyshev coefficients along every axis, by interpolation at the nodes."""
    for axis in range(len(AXES)):
        count = NODES[axis]
        at_nodes = chebyshev.chebvander(chebyshev.chebpts1(count), count - 1)
        values = np.moveaxis(np.tensordot(np.linalg.inv(at_nodes), values, (1, axis + 1)), 0, axis + 1)
    return values


def points(settings: Settings, conditions: Conditions) -> Floats:
    """Turn settings and conditions into points of the table, shape (n, 6)."""
    grip = peak_grip(conditions.track_temp_degf) * conditions.grip_factor
    turns_left = settings.preload_turns - conditions.growth_in * CAR.threads_per_inch
    columns = (
        turns_left,
        settings.counterweight_g,
        settings.launch_rpm,
        settings.shock_clicks,
        grip,
        conditions.air_density_kg_per_m3,
    )
    return np.stack(np.broadcast_arrays(*columns), axis=1)
