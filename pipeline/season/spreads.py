"""How much runs, events and effects may differ: the grid of spreads, and what a node of it means."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

import numpy as np

from pipeline.season.sums import Array, Index

MS = 1e-3

Kind = Literal["level", "slope", "night", "filled"]
"""What an event-wise column stands for: the event's level, a setting's effect, the night's course, a
condition that was filled in."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Numbers of the fit that are not data; the defaults are the design's.

    Attributes
    ----------
    tau_s, omega_s
        Grid of the event sd [s] and the slope sd [s/step].
    tau_prior_s, omega_prior_s
        Scales of their half-normal priors.
    night_s, night_prior
        Sd from event to event of the night's course [s over a usual night], and prior weights.
    follows, follows_prior
        Correlation of the noise of neighbouring runs, and prior weights.
    sigma_points
        Number of points of the run noise.
    nu
        Degrees of freedom of the t-weights; infinity switches them off.
    passes, mad_passes
        EM passes, and how many of the first take their scale from the median.
    least_mix
        Nodes below this share of the mixture are dropped.
    """

    tau_s: tuple[float, ...] = (0.5 * MS, 2 * MS, 4 * MS, 7 * MS, 11 * MS, 17 * MS)
    omega_s: tuple[float, ...] = (0.1 * MS, 0.6 * MS, 1.2 * MS, 2 * MS, 3.5 * MS)
    tau_prior_s: float = 8 * MS
    omega_prior_s: float = 1 * MS
    night_s: tuple[float, ...] = (0.4 * MS, 2.5 * MS, 6 * MS, 12 * MS)
    night_prior: tuple[float, ...] = (0.3, 0.3, 0.25, 0.15)
    follows: tuple[float, ...] = (0.0, 0.35, 0.65, 0.85)
    follows_prior: tuple[float, ...] = (0.4, 0.25, 0.2, 0.15)
    sigma_points: int = 7
    nu: float = 8.0
    passes: int = 6
    mad_passes: int = 3
    least_mix: float = 5e-4


DEFAULT = Settings()


@dataclass(frozen=True, slots=True)
class Layout:
    """What the columns of a fit are.

    Attributes
    ----------
    kinds
        Of each event-wise column.
    place
        Where each run stands among its event's; None when noise cannot follow. shape (n,)
    filled_sd
        Sd of the columns of kind ``filled``, in their order. [s]
    unsure
        Variance added to each run's own noise by what was filled in for it. [s^2]. shape (n,) or None
    """

    kinds: tuple[Kind, ...]
    place: Array | None = None
    filled_sd: tuple[float, ...] = ()
    unsure: Array | None = None


def plain_layout(columns: int) -> Layout:
    """Lay out an intercept and slopes, nothing else."""
    slopes: list[Kind] = ["slope"] * (columns - 1)
    return Layout(("level", *slopes))


@dataclass(frozen=True, slots=True)
class Nodes:
    """Spreads at k nodes.

    Attributes
    ----------
    sigma, tau, omega, night
        Run noise scale, sd of events, of slopes, of the night's course. shape (k,)
    follows
        Correlation of neighbouring runs.
    event_sd
        Sd of every event-wise column. shape (k, q)
    """

    sigma: Array
    tau: Array
    omega: Array
    night: Array
    follows: Array
    event_sd: Array

    @staticmethod
    def of(
        layout: Layout,
        sigma: Array,
        ratio: Array,
        spreads: tuple[Array, Array, Array],
        follows: Array,
    ) -> Nodes:
        """Lay spreads of events, slopes and nights, given at ratio 1, out over the columns."""
        tau, omega, night = (spread * ratio for spread in spreads)
        filled = iter(layout.filled_sd)
        by_kind = {"level": tau, "slope": omega, "night": night}
        sds = [next(filled) * ratio if k == "filled" else by_kind[k] for k in layout.kinds]
        return Nodes(sigma, tau, omega, night, follows, np.column_stack(sds))

    def taken(self, rows: Index) -> Nodes:
        """Give some of the nodes."""
        return Nodes(*(getattr(self, part.name)[rows] for part in fields(self)))

    @property
    def precision(self) -> Array:
        """Prior precision of an event's columns. Shape (k, q, q)."""
        return np.eye(self.event_sd.shape[1]) * self.event_sd[:, None, :] ** -2.0
