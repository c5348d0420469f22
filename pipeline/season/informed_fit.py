"""The season's fit under a prior of any mean and covariance, such as the one a fleet teaches.

The closed-form solver takes independent priors round zero. Any other normal prior is brought to that
form by a change of coefficients, b = m + T z with T T' the covariance and z standard normal, and the
answer is carried back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pipeline.season.grid import Sorts, fit
from pipeline.season.posterior import Posterior
from pipeline.season.spreads import DEFAULT, Layout, Settings
from pipeline.season.sums import Array, Index


@dataclass(frozen=True, slots=True)
class CoefficientPrior:
    """Normal prior of a season's coefficients (basis columns, then event means).

    Attributes
    ----------
    mean
        [s per step]. shape (p,)
    cov
        shape (p, p)
    """

    mean: Array
    cov: Array


def fit_informed(
    x: Array,
    y: Array,
    z: Array,
    event: Index,
    prior: CoefficientPrior,
    settings: Settings = DEFAULT,
    layout: Layout | None = None,
    sorter: Sorts | None = None,
) -> Posterior:
    """Fit the mixed regression under a given prior; otherwise as :func:`pipeline.season.grid.fit`.

    Parameters
    ----------
    x, y, z, event, settings, layout, sorter
        As there. shapes (n, p), (n,), (n, q), (n,).
    prior
        Of the p coefficients.

    Returns
    -------
    Posterior
        Of b, with ``whitening`` kept for those who solve again.

    Notes
    -----
    E[u_e | b] = base_e - G_z z = (base_e + G_z T^-1 m) - G_z T^-1 b.
    """
    root: Array = np.linalg.cholesky(prior.cov).astype(np.float64)
    white = fit(x @ root, y - x @ prior.mean, z, event, np.ones(prior.mean.size), settings, layout, sorter)
    gain = white.event_gain @ np.linalg.inv(root)
    return replace(
        white,
        means=prior.mean + white.means @ root.T,
        covs=root @ white.covs @ root.T,
        event_gain=gain,
        event_base=white.event_base + gain @ prior.mean,
        prior=np.sqrt(np.diag(prior.cov)),
        fitted=white.fitted + x @ prior.mean,
        whitening=(prior.mean, root),
    )
