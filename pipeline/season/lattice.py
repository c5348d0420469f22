"""The few nodes of a large grid of spreads that matter: found by walking out from the best one.

A node is a choice of how much events differ, how much effects and the night's course differ from event to
event, and how far the noise of a run follows from the run before. Spreads are held as ratios to the run
noise, so that one sweeping out of the events serves every noise sd.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

import numpy as np

from pipeline.season.elimination import Eliminated, eliminate, log_evidence
from pipeline.season.spreads import Layout, Nodes, Settings
from pipeline.season.sums import Array, EventSums, Index, Observed

_NEAR = 4.5
"""A node this much less likely than the best (log) is kept, its neighbours are not looked at. [judgement]"""

_WIDE = 13
_SPACING = 1.1
"""Of the noise's points, in its posterior sds: a normal summed there is right to 1e-6 [derived]."""

Place = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Walked:
    """Nodes visited, a row each, with the events swept out, and the log weight at each noise sd."""

    place: Index
    events: Eliminated
    sigma: Array
    log_weight: Array


@dataclass(slots=True)
class Lattice:
    """All nodes of one fit; they are worked out as they are asked for."""

    runs: Observed
    prior_sd: Array
    layout: Layout
    settings: Settings
    scale: float
    spare: float
    sums: dict[int, EventSums] = field(default_factory=dict)
    sigmas: dict[int, Array] = field(default_factory=dict)

    @property
    def shape(self) -> Place:
        """How many levels each of the four spreads has."""
        s, layout = self.settings, self.layout
        night = len(s.night_s) if "night" in layout.kinds else 1
        follows = len(s.follows) if layout.place is not None else 1
        return len(s.tau_s), len(s.omega_s), night, follows

    def nodes(self, place: Index, sigma: Array) -> Nodes:
        """Spreads at nodes of given places and noise; sigma of shape (k,)."""
        s = self.settings
        ratio = sigma / self.scale
        grids = (s.tau_s, s.omega_s, s.night_s)
        tau, omega, night = (np.array(grid)[place[:, axis]] for axis, grid in enumerate(grids))
        follows = np.array(s.follows)[place[:, 3]]
        return Nodes.of(self.layout, sigma, ratio, (tau, omega, night), follows)

    def evaluate(self, place: Index) -> Walked:
        """Work out the log weight of nodes that share how far noise follows."""
        follows = int(place[0, 3])
        events = self._events(place)
        if follows not in self.sigmas:
            self.sigmas[follows] = self._noise_points(events, place)
        sigma = np.tile(self.sigmas[follows], (place.shape[0], 1))
        weight = log_evidence(self.sums[follows], events, sigma, self.prior_sd)
        return Walked(place, events, sigma, weight + self._log_prior(place, sigma))

    def _events(self, place: Index) -> Eliminated:
        follows = int(place[0, 3])
        if follows not in self.sums:
            self.sums[follows] = self.runs.sums(self.settings.follows[follows])
        spread = self.nodes(place, np.full(place.shape[0], self.scale)).event_sd / self.scale
        return eliminate(self.sums[follows], np.eye(spread.shape[1]) * spread[:, None, :] ** -2.0)

    def _noise_points(self, events: Eliminated, place: Index) -> Array:
        """Noise sds to sum over, round the likeliest at the likeliest of these places. Shape (j,)."""
        count, sd = self.settings.sigma_points, 1 / np.sqrt(2 * max(self.spare, 1.0))
        if count == 1:
            return np.array([self.scale])
        wide = self.scale * np.exp(np.linspace(-max(0.3, 2.5 * sd), max(0.6, 2.5 * sd), _WIDE))
        sigma = np.tile(wide, (place.shape[0], 1))
        weight = log_evidence(self.sums[int(place[0, 3])], events, sigma, self.prior_sd)
        best = int(weight.max(0).argmax())
        return np.asarray(wide[best] * np.exp(_SPACING * sd * (np.arange(count) - count // 2)))

    def _log_prior(self, place: Index, sigma: Array) -> Array:
        """Log of prior times cell width; a cell of a spread grows with the noise. Shape (k, j)."""
        s, ratio = self.settings, sigma / self.scale
        out = np.log(np.gradient(np.log(sigma), axis=1)) if sigma.shape[1] > 1 else np.zeros_like(sigma)
        for points, scale, at in (
            (s.tau_s, s.tau_prior_s, place[:, 0]),
            (s.omega_s, s.omega_prior_s, place[:, 1]),
        ):
            value = np.array(points)[at][:, None] * ratio
            out = out - 0.5 * (value / scale) ** 2 + np.log(_cells(points)[at][:, None] * ratio)
        night = np.array(s.night_prior)[place[:, 2]]
        follows = np.array(s.follows_prior)[place[:, 3]]
        result: Array = out + np.log(night * follows)[:, None]
        return result


def _cells(points: tuple[float, ...]) -> Array:
    """Width of each point's cell, from zero."""
    at = np.array(points)
    edges = np.r_[0.0, (at[1:] + at[:-1]) / 2, at[-1] + (at[-1] - at[-2]) / 2] if at.size > 1 else np.r_[0, 1]
    return np.asarray(np.diff(edges))


def walk(lattice: Lattice, start: Place) -> Walked:
    """Visit nodes from a start at every level of following, as long as they weigh anything."""
    found: list[Walked] = []
    seen: set[Place] = set()
    wanted = {(*start[:3], f) for f in range(lattice.shape[3])}
    best = -np.inf
    while wanted:
        seen |= wanted
        fresh = []
        for f in sorted({place[3] for place in wanted}):
            rows = np.array(sorted(place for place in wanted if place[3] == f), dtype=np.intp)
            fresh.append(lattice.evaluate(rows))
        found += fresh
        best = max(best, *(float(one.log_weight.max()) for one in fresh))
        near = [
            tuple(int(v) for v in place)
            for one in found
            for place in one.place[one.log_weight.max(1) > best - _NEAR]
        ]
        wanted = {n for place in near for n in _neighbours(place, lattice.shape)} - seen
    return _joined(found)


def _neighbours(place: tuple[int, ...], shape: Place) -> list[Place]:
    out = []
    for axis, away in product(range(4), (-1, 1)):
        at = list(place)
        at[axis] += away
        if 0 <= at[axis] < shape[axis]:
            out.append((at[0], at[1], at[2], at[3]))
    return out


def _joined(found: list[Walked]) -> Walked:
    events = Eliminated(
        np.concatenate([one.events.reduced for one in found]),
        np.concatenate([one.events.gain for one in found]),
        np.concatenate([one.events.inverse for one in found]),
        np.concatenate([one.events.log_ratio for one in found]),
    )
    return Walked(
        np.concatenate([one.place for one in found]),
        events,
        np.concatenate([one.sigma for one in found]),
        np.concatenate([one.log_weight for one in found]),
    )
