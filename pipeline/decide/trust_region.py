"""Near what was tried: the settings that the runs can vouch for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.season.response_fit import ResponseFit
from pipeline.season.sums import Array

SHARE = 0.95
"""Near what was run is a setting as far out as this share of the runs were, or as the present setting is.
Where suggestions might lie twice as far out, 0.87 of what they said came in 196 nights of simulated seasons,
and 5 were worse than staying; so, 0.94 and 3, and as much is gained. [derived by simulation]"""

_OUT_OF_PLANE = 1e-3
"""Added to every variance, as a share of it: settings always moved together span no area, and a step out
of their line then counts as about thirty times as far as it is wide."""


@dataclass(frozen=True, slots=True)
class TrustRegion:
    """An ellipsoid in the settings that were changed.

    Attributes
    ----------
    factors
        Indices of the s settings in the state.
    centre
        Mean of those settings over the runs. shape (s,)
    inverse
        Inverse covariance of them. shape (s, s)
    limit
        Largest squared distance allowed.
    """

    factors: tuple[int, ...]
    centre: Array
    inverse: Array
    limit: float

    def distance(self, states: Array) -> Array:
        """Squared Mahalanobis distance of states of shape (n, F). Shape (n,)."""
        away = np.atleast_2d(states)[:, list(self.factors)] - self.centre
        out: Array = ((away @ self.inverse) * away).sum(1)
        return out

    def holds(self, states: Array) -> npt.NDArray[np.bool_]:
        """Which states lie inside. Shape (n,)."""
        return self.distance(states) <= self.limit * (1 + 1e-9)


def trust_region(fit: ResponseFit, present: Array, *, joint: bool = True) -> TrustRegion:
    """Fit the ellipsoid to the settings of the runs used.

    Parameters
    ----------
    fit
        A fitted response.
    present
        The present state; it always lies inside. shape (F,)
    joint
        Whether settings must also lie together as they did. A test plan says no: it is there to part
        what was always moved together, and then each setting's own spread counts.

    Notes
    -----
    Limit: the larger of the 95th percentile of the runs' squared distances and the present setting's.

    References
    ----------
    P. C. Mahalanobis, Proc. Nat. Inst. Sci. India 2 (1936) 49-55 [memory].
    """
    factors = tuple(i for i, factor in enumerate(fit.spec.factors) if factor.is_setting and factor.varies)
    tried = fit.state[:, list(factors)]
    centre = tried.mean(0)
    cov = np.atleast_2d(np.cov(tried, rowvar=False, bias=True)) if factors else np.zeros((0, 0))
    spread = np.diag(np.diag(cov))
    inverse = np.asarray(np.linalg.inv(cov + _OUT_OF_PLANE * spread if joint else spread), np.float64)
    region = TrustRegion(factors, centre, inverse, np.inf)
    reached = float(np.quantile(region.distance(fit.state), SHARE)) if factors else 0.0
    return TrustRegion(factors, centre, region.inverse, max(reached, float(region.distance(present)[0])))
