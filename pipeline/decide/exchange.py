"""The exchange search: which few runs would shrink the wanted variances most, on plain arrays.

Split-plot: slow settings are set once a block, quick ones in every run. Nothing here knows of cars.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.season.sums import Array, Index

Mask = npt.NDArray[np.bool_]

STARTS = 6
_SWEEPS = 12
_GAIN = 1e-9  # relative fall of the criterion that counts as better


@dataclass(frozen=True, slots=True)
class Knowledge:
    """What is known before the new runs, and how noisy those will be.

    Attributes
    ----------
    cov
        Covariance of the coefficients now. shape (p, p)
    targets
        Contrasts whose variances are to shrink. shape (t, p)
    noise_var, event_var, slope_var
        Variance of one run, of the new event's level, and of each setting's slope in that event.
    """

    cov: Array
    targets: Array
    noise_var: float
    event_var: float
    slope_var: float

    def variances(self, rows: Array, slopes: Array) -> Array:
        """Variances of the targets after d alternative sets of m new runs in one new event.

        Parameters
        ----------
        rows
            Coefficient columns of the runs. shape (d, m, p)
        slopes
            Settings of the runs in steps, whose effects may differ by event. shape (d, m, s)

        Returns
        -------
        shape (d, t)

        Notes
        -----
        With V = noise I + event 11' + slope ZZ' and S = V + X C X':
        T C T' - T C X' S^-1 X C T' (conditioning of a joint normal).
        """
        runs = rows.shape[1]
        through = rows @ self.cov
        together = through @ np.swapaxes(rows, 1, 2) + self.event_var
        together = together + self.slope_var * (slopes @ np.swapaxes(slopes, 1, 2))
        together = together + self.noise_var * np.eye(runs)
        cross = through @ self.targets.T
        taken = np.einsum("dmt,dmt->dt", cross, np.linalg.solve(together, cross))
        now = ((self.targets @ self.cov) * self.targets).sum(1)
        return np.asarray(now - taken)


@dataclass(frozen=True, slots=True)
class Dial:
    """One thing the search may turn: a setting (column of the state) in some of the runs.

    ``levels`` are the values it may take, in steps; ``runs`` are the runs that share its value.
    """

    column: int
    levels: Array
    runs: Index


def exchange(
    dials: tuple[Dial, ...],
    start: Array,
    criterion: Callable[[Array], Array],
    allowed: Callable[[Array], Mask],
    seed: int,
    starts: int = STARTS,
) -> Array:
    """Turn one dial at a time to its best level until no turn helps, from several random starts.

    Parameters
    ----------
    dials
        What may be turned.
    start
        A set of runs inside all limits. shape (m, F)
    criterion
        Sets of runs of shape (d, m, F) -> what to make small, shape (d,).
    allowed
        States of shape (n, F) -> which are inside the trust region, shape (n,).
    seed
        Of the random starts.
    starts
        How many, besides the one from ``start`` itself.

    Returns
    -------
    shape (m, F)
        Never outside ``allowed``, as every turn that would leave it is refused.

    References
    ----------
    Meyer & Nachtsheim, Technometrics 37 (1995) 60-69 (coordinate exchange); Goos & Vandebroek,
    Technometrics 43 (2001) (split-plot blocks) [memory].
    """
    rng = np.random.default_rng(seed)
    found = [_climb(dials, start, criterion, allowed)]
    for _ in range(starts):
        found.append(_climb(dials, _shaken(dials, start, allowed, rng), criterion, allowed))
    best: Array = found[int(criterion(np.stack(found)).argmin())]
    return best


def _shaken(
    dials: tuple[Dial, ...], start: Array, allowed: Callable[[Array], Mask], rng: np.random.Generator
) -> Array:
    """Turn every dial to a random level it may have."""
    design = start.copy()
    for dial in dials:
        trial = design.copy()
        trial[dial.runs, dial.column] = rng.choice(dial.levels)
        if allowed(trial).all():
            design = trial
    return design


def _climb(
    dials: tuple[Dial, ...],
    start: Array,
    criterion: Callable[[Array], Array],
    allowed: Callable[[Array], Mask],
) -> Array:
    design, value = start, float(criterion(start[None])[0])
    for _ in range(_SWEEPS):
        before = value
        for dial in dials:
            trials = np.repeat(design[None], dial.levels.size, axis=0)
            trials[:, dial.runs, dial.column] = dial.levels[:, None]
            inside = allowed(trials[:, dial.runs].reshape(-1, design.shape[1]))
            trials = trials[inside.reshape(dial.levels.size, -1).all(1)]
            if not trials.shape[0]:
                continue
            scores = criterion(trials)
            if scores.min() < value * (1 - _GAIN):
                design, value = trials[int(scores.argmin())], float(scores.min())
        if value >= before * (1 - _GAIN):
            break
    return design
