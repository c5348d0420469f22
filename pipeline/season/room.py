"""What the columns of the regression may miss: room that a decision leaves for it.

Where a setting was moved about as much as usual, its season shows how it bends, and what is left grows with
the distance from the middle of what was tried. Where it was hardly moved the same is unknown but not
unknowable: there the bends and products themselves are as uncertain, and the first runs farther out tell.
"""

from __future__ import annotations

import numpy as np

from pipeline.season.response_fit import ResponseFit
from pipeline.season.spec import Spec
from pipeline.season.sums import Array

ROOM_S = (0.4e-3, 0.8e-3)
"""Sd of what the columns may miss: of a product of two things, each a sd of what was tried from its middle,
and of one thing's square. [s]. On simulated seasons the interval of a change held 81 in 100 without it, and
92 with it."""

_LEAST = {"preload": 0.3, "counterweight": 0.6, "launch_rpm": 1.2, "tire_pressure": 0.5}
_LEAST_OTHER = 0.8
"""What was tried counts as spread out by at least so many steps. [judgement]"""

USUAL = 2.0
"""So many times that is how far a racer who tries things out spreads a setting. [judgement]"""


def _narrow(fit: ResponseFit) -> Array:
    """Return the sd of each factor as tried, at least the least one. [steps]. Shape (F,)."""
    least = np.array([_LEAST.get(name, _LEAST_OTHER) for name in fit.spec.names])
    return np.asarray(np.maximum(fit.state.std(0), least))


def room_spread(fit: ResponseFit) -> Array:
    """Return the sd of each factor by which the room is measured. [steps]. Shape (F,).

    Of a setting it is at least the usual one. With a fleet's prior, to which no bend can be added, it is not.
    """
    spread = _narrow(fit)
    if fit.posterior.whitening is not None:
        return spread
    usual = [
        USUAL * _LEAST.get(factor.name, _LEAST_OTHER) if factor.is_setting else 0.0
        for factor in fit.spec.factors
    ]
    return np.asarray(np.maximum(spread, usual))


def has_room(spec: Spec, i: int) -> bool:
    """Tell whether room is left for a factor that was varied."""
    factor = spec.factors[i]
    return factor.varies and (factor.is_setting or factor.kind.is_shown)


def hidden_bends_s2(fit: ResponseFit) -> Array:
    """Return by how much more squares and products are uncertain where their factors were hardly moved.

    Returns
    -------
    Variance that comes to the coefficient of each of the fit's columns [(s per step squared)^2]; 0 of others.
    shape (p,). With it a setting far from what was tried is, before it is run, as uncertain as though nothing
    could tell of it that far out.
    """
    spec, narrow, usual = fit.spec, _narrow(fit), room_spread(fit)
    found = np.zeros(fit.posterior.prior.size)
    for k, column in enumerate(spec.columns):
        plain = not column.powers and len(column.features) == 2 and max(column.features) < len(spec.factors)
        if plain and all(has_room(spec, i) for i in column.features):
            i, j = column.features
            per_step = [1 / (spread[i] * spread[j]) for spread in (narrow, usual)]
            found[k] = ROOM_S[i == j] ** 2 * (per_step[0] ** 2 - per_step[1] ** 2)
    return found
