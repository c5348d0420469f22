"""The nodes of a fit solved again without the runs of one event.

Each event adds its own part to what is left when the event effects are swept out. So all events are swept out
once, and the part of the one left out is taken off again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pipeline.season.elimination import Eliminated, coefficients, eliminate, log_evidence
from pipeline.season.posterior import Posterior
from pipeline.season.sums import Array, EventSums, Observed


@dataclass(frozen=True, slots=True)
class Resolved:
    """The same nodes with other runs: coefficients and log evidence. Shapes (k, p), (k, p, p), (k,)."""

    means: Array
    covs: Array
    log_evidence: Array


@dataclass(frozen=True, slots=True)
class _Level:
    """The nodes at which noise follows equally far, their events swept out."""

    rows: Array
    sums: EventSums
    events: Eliminated

    def less(self, other: _Level) -> _Level:
        """Take the runs of another level off; what is an event's own stays as it was."""
        n, log_weights = self.sums.n - other.sums.n, self.sums.log_weights - other.sums.log_weights
        reduced = self.events.reduced - other.events.reduced
        log_ratio = self.events.log_ratio - other.events.log_ratio
        return _Level(
            self.rows,
            replace(self.sums, n=n, log_weights=log_weights),
            replace(self.events, reduced=reduced, log_ratio=log_ratio),
        )


class LeftOut:
    """Solves a fit's nodes again with all its runs, or all but those of one event."""

    def __init__(self, posterior: Posterior) -> None:
        self._posterior = posterior
        self._levels = self._swept(posterior.observed)

    def whole(self) -> Resolved:
        """Solve with all runs."""
        return self._solved(self._levels)

    def without(self, event: int) -> Resolved:
        """Solve without the runs of one event."""
        observed = self._posterior.observed
        own = self._swept(observed.taken(observed.event == event))
        return self._solved([level.less(part) for level, part in zip(self._levels, own, strict=True)])

    def _swept(self, runs: Observed) -> list[_Level]:
        nodes = self._posterior.nodes
        levels = []
        for follows in np.unique(nodes.follows):
            rows = nodes.follows == follows
            sums = runs.sums(float(follows))
            events = eliminate(sums, nodes.precision[rows] * nodes.sigma[rows, None, None] ** 2)
            levels.append(_Level(rows, sums, events))
        return levels

    def _solved(self, levels: list[_Level]) -> Resolved:
        sigma, p = self._posterior.nodes.sigma, self._posterior.prior.size
        prior_sd = self._posterior.prior if self._posterior.whitening is None else np.ones(p)
        out = Resolved(np.zeros((sigma.size, p)), np.zeros((sigma.size, p, p)), np.zeros(sigma.size))
        for one in levels:
            own = sigma[one.rows]
            out.means[one.rows], out.covs[one.rows] = coefficients(one.events.reduced, own, prior_sd)
            out.log_evidence[one.rows] = log_evidence(one.sums, one.events, own[:, None], prior_sd)[:, 0]
        return out
