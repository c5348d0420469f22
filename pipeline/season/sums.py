"""Weighted cross products by event: all the regression ever needs to know of the runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


def block_diagonal(blocks: Sequence[Array]) -> Array:
    """Return square blocks along the diagonal of a matrix, nothing beside them."""
    ends = np.cumsum([0, *(block.shape[0] for block in blocks)])
    out = np.zeros((ends[-1], ends[-1]))
    for start, end, block in zip(ends, ends[1:], blocks, strict=False):
        out[start:end, start:end] = block
    return out


@dataclass(frozen=True, slots=True)
class EventSums:
    """Cross products of M = [X y] and Z, weighted by run.

    Attributes
    ----------
    n
        Number of runs, each by its chance of having been a clean one.
    log_weights
        Sum of the log weights.
    mm
        M'WM. shape (p + 1, p + 1)
    zz
        Z'WZ of each event. shape (E, q, q)
    zm
        Z'WM of each event. shape (E, q, p + 1)
    """

    n: float
    log_weights: float
    mm: Array
    zz: Array
    zm: Array


def event_sums(x: Array, y: Array, z: Array, event: Index, weights: Array) -> EventSums:
    """Sum up the runs.

    Parameters
    ----------
    x, y, z
        Coefficient columns (n, p), response (n,), columns with event-wise coefficients (n, q).
    event
        Event number of each run, 0..E-1. shape (n,)
    weights
        Positive weights. shape (n,)
    """
    root = np.sqrt(weights)[:, None]
    return _summed(np.column_stack([x, y]) * root, z * root, event, float(np.log(weights).sum()))


def _summed(m: Array, z: Array, event: Index, log_weights: float) -> EventSums:
    events = int(event.max()) + 1
    zz = np.zeros((events, z.shape[1], z.shape[1]))
    zm = np.zeros((events, z.shape[1], m.shape[1]))
    for e in range(events):
        rows = event == e
        zz[e] = z[rows].T @ z[rows]
        zm[e] = z[rows].T @ m[rows]
    return EventSums(m.shape[0], log_weights, m.T @ m, zz, zm)


@dataclass(frozen=True, slots=True)
class Observed:
    """The runs as the regression sees them, with how their noise is thought to hang together.

    Attributes
    ----------
    x, y, z, event
        As in :func:`event_sums`.
    weights
        Weight of each run: its own noise has variance sigma^2 / weight. shape (n,)
    place
        Where a run stands among the runs of its event; a gap of 1 is one run later. shape (n,)
    clean
        Chance of each run of having been a clean one, which is what it counts for; None = all. shape (n,)
    """

    x: Array
    y: Array
    z: Array
    event: Index
    weights: Array
    place: Array
    clean: Array | None = None

    def taken(self, rows: npt.NDArray[np.bool_]) -> Observed:
        """Give some of the runs, their events numbered anew."""
        event = np.unique(self.event[rows], return_inverse=True)[1].astype(np.intp)
        clean = None if self.clean is None else self.clean[rows]
        weights, place = self.weights[rows], self.place[rows]
        return Observed(self.x[rows], self.y[rows], self.z[rows], event, weights, place, clean)

    def sums(self, follows: float = 0.0) -> EventSums:
        """Cross products, each run counted by its chance of having been clean; see :meth:`_sums`."""
        found = self._sums(follows)
        return found if self.clean is None else replace(found, n=float(self.clean.sum()))

    def _sums(self, follows: float) -> EventSums:
        """Cross products when the noise of neighbouring runs of an event has this correlation.

        Notes
        -----
        Noise of run i has sd sigma / sqrt(w_i) and correlation m_i m_j follows^gap with run j, m = 2 w and
        at most 1: a run that stands out does not pull its neighbours. Rows are whitened by the Cholesky
        root of that, then summed.
        """
        if not follows:
            return event_sums(self.x, self.y, self.z, self.event, self.weights)
        both = np.column_stack([self.x, self.y, self.z])
        both *= np.sqrt(self.weights)[:, None]
        joins = np.minimum(1.0, 2 * self.weights)
        white, log_weights = np.empty_like(both), float(np.log(self.weights).sum())
        for e in range(int(self.event.max()) + 1):
            rows = self.event == e
            gap = np.abs(self.place[rows, None] - self.place[None, rows])
            cov = np.outer(joins[rows], joins[rows]) * follows**gap
            np.fill_diagonal(cov, 1.0)
            root = np.linalg.cholesky(cov)
            white[rows] = np.linalg.inv(root) @ both[rows]
            log_weights -= 2 * float(np.log(np.diag(root)).sum())
        width = self.x.shape[1] + 1
        return _summed(white[:, :width], white[:, width:], self.event, log_weights)
