"""Weighted cross products by event: all the regression ever needs to know of the runs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class EventSums:
    """Cross products of M = [X y] and Z, weighted by run.

    Attributes
    ----------
    n
        Number of runs.
    log_weights
        Sum of the log weights.
    mm
        M'WM. shape (p + 1, p + 1)
    zz
        Z'WZ of each event. shape (E, q, q)
    zm
        Z'WM of each event. shape (E, q, p + 1)
    """

    n: int
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
    m = np.column_stack([x, y])
    wz = z * weights[:, None]
    events = int(event.max()) + 1
    zz = np.zeros((events, z.shape[1], z.shape[1]))
    zm = np.zeros((events, z.shape[1], m.shape[1]))
    for e in range(events):
        rows = event == e
        zz[e] = wz[rows].T @ z[rows]
        zm[e] = wz[rows].T @ m[rows]
    return EventSums(y.size, float(np.log(weights).sum()), (m * weights[:, None]).T @ m, zz, zm)
