"""What settings do, once how large such effects are at all is learnt too: for decisions, not for verdicts.

The best of many settings looks better than it is. So what a fit says is drawn towards what is usual of any
car: small effects, and a launch that has a best between too little and too much clutch.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from pipeline.garage.factors import MS
from pipeline.season.build_spec import far_prior_s
from pipeline.season.response_fit import ResponseFit
from pipeline.season.room import hidden_bends_s2
from pipeline.season.spec import AIR, MAIN, STRAIN, Column, Spec
from pipeline.season.sums import Array

CLUTCH_SIZES = (0.3, 0.5, 1.0)
OTHER_SIZES = (0.3, 0.45, 0.7, 1.0)
"""How large the effects of clutch and launch rpm, and of other settings, may be, as shares of their usual
prior sd; each as likely. A car whose shock does little may still bog at half a turn too much."""

BENT_S = {
    (STRAIN, STRAIN): 7 * MS,
    (STRAIN, "launch_rpm"): 2 * MS,
    (STRAIN, AIR): 1.5 * MS,
    ("launch_rpm", "launch_rpm"): 0.7 * MS,
    ("launch_rpm", AIR): 1 * MS,
}
"""What is expected of bends and products beforehand at full size: too much and too little of either cost
time, and with more power the tires bear less of it. [s per step squared]. Two simulations of launches by
different people agree on every sign and nearly on ratios, one at this size, one at a third. [derived by
simulation]"""

TOLD = 0.7
"""Share of what the runs seem to tell that a decision takes them at: what the columns cannot follow strays
alike wherever a setting recurs, and does not average out. [derived by simulation]"""


@dataclass(frozen=True, slots=True)
class Sized:
    """Coefficients of the clean time, and how large effects turned out to be.

    Attributes
    ----------
    mean, cov
        shape (p,), (p, p)
    clutch, other
        Size of effects, as a share of the usual one.
    """

    mean: Array
    cov: Array
    clutch: float = 1.0
    other: float = 1.0

    def of(self, name: str) -> float:
        """Return the size that goes with a setting."""
        return self.clutch if name in MAIN else self.other


def sized(fit: ResponseFit) -> Sized:
    """Draw a fit's coefficients towards what is usual.

    Notes
    -----
    What the runs tell, the posterior precision less the prior's, counts by ``TOLD`` (a likelihood raised to a
    power below one: P. Grünwald & T. van Ommen, Bayesian Analysis 12 (2017) 1069-1103 [memory]). To it comes,
    for each choice of the two sizes, a prior of mean m and precision P: with H = TOLD I + P and
    H b = TOLD I b0 + P m the choice weighs |H|^(-1/2) |P|^(1/2) exp((b' H b - m' P m) / 2) up to a constant
    [derived]. Where the fit's own prior is wide because little was tried, bends and products keep to their
    usual size: a decision asks of them far from there. A fleet's prior is left as it is.
    """
    posterior, spec = fit.posterior, fit.spec
    if posterior.whitening is not None:
        return Sized(posterior.mean, posterior.cov)
    kinds = np.array([_kind(spec, c) for c in spec.columns] + [0] * len(spec.event_mean_columns))
    bent, width, hidden = np.zeros(kinds.size), posterior.prior.copy(), hidden_bends_s2(fit)
    for j, column in enumerate(spec.columns):
        if kinds[j]:
            width[j] = min(width[j], far_prior_s(spec, column) * spec.prior_scale)
            bent[j] = _expected_bend(spec, column) * spec.prior_scale
    whole = np.linalg.inv(posterior.cov)
    told = TOLD * (whole - np.diag(1 / (posterior.prior**2 * posterior.inflation)))
    pull = TOLD * (whole @ posterior.mean)
    means, covs, weigh = [], [], []
    choices = list(product(CLUTCH_SIZES, OTHER_SIZES))
    for sizes in choices:
        size = np.array([1.0, *sizes])[kinds]
        usual, middle = 1 / (width**2 * size**2 * posterior.inflation + hidden), bent * size
        own = told + np.diag(usual)
        inverse = np.linalg.inv(own)
        at = inverse @ (pull + usual * middle)
        means.append(at)
        covs.append((inverse + inverse.T) / 2)
        fits = at @ own @ at - usual @ middle**2
        weigh.append((fits + np.log(usual).sum() - np.linalg.slogdet(own)[1]) / 2)
    share = np.exp(np.array(weigh) - max(weigh))
    share = share / share.sum()
    centre = share @ np.array(means)
    away = np.array(means) - centre
    spread = np.tensordot(share, np.array(covs), 1) + (away * share[:, None]).T @ away
    clutch, other = np.sqrt(share @ np.square(choices))
    return Sized(centre, spread, float(clutch), float(other))


def _kind(spec: Spec, column: Column) -> int:
    """Tell what a column is made of: 0 no setting, 1 clutch and launch rpm only, 2 another setting too."""
    names = _features(spec, column)
    settings = [name for name in names if name == STRAIN or spec.factor(name).is_setting]
    if not settings:
        return 0
    return 1 if all(name == STRAIN or name in MAIN for name in settings) else 2


def _expected_bend(spec: Spec, column: Column) -> float:
    """Return what a square or product is expected to be beforehand. [s per step squared]."""
    if column.powers or len(column.features) != 2:
        return 0.0
    left, right = _features(spec, column)
    return BENT_S.get((left, right), BENT_S.get((right, left), 0.0))


def _features(spec: Spec, column: Column) -> list[str]:
    """Name the features of a column."""
    return [STRAIN if i >= len(spec.factors) else spec.factors[i].name for i in column.features]
