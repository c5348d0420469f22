"""How far a season's effects twist, change at a service and fade with wear: learnt from its own runs.

Effects of one car hardly hang on one another, those of another do; one service changes nothing, another puts
in a disc that bites otherwise; one disc lasts, another is finished in thirty runs. A prior that suits all is
too wide for most and too narrow for some; so columns that do alike share a scale, and the one under which the
runs are likeliest is taken.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pipeline.season.sums import Array, Index


@dataclass(frozen=True, slots=True)
class Group:
    """Columns that share a scale of their priors.

    Attributes
    ----------
    columns
        Their positions among the coefficients.
    scales
        What their prior sds may be multiplied by, 1 among them.
    """

    columns: Index
    scales: tuple[float, ...]


def likeliest_scales(prior_sd: Array, groups: tuple[Group, ...], evidence: Callable[[Array], float]) -> Array:
    """Return the prior sds scaled as the runs are likeliest, one group after the other. Shape (p,).

    Parameters
    ----------
    prior_sd
        At scale 1. shape (p,)
    evidence
        Log marginal likelihood of the runs under prior sds.
    """
    now = prior_sd
    for group in groups:
        tried = [_scaled(now, group, scale) for scale in group.scales]
        now = tried[int(np.argmax([evidence(one) for one in tried]))]
    return now


def _scaled(prior_sd: Array, group: Group, scale: float) -> Array:
    out = prior_sd.copy()
    out[group.columns] *= scale
    return out
