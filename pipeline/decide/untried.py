"""Saying that a suggested setting lies outside what was run, and by how much."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pipeline.decide.limits import SAME, Limit
from pipeline.decide.trust_region import trust_region
from pipeline.season.response_fit import ResponseFit
from pipeline.season.spec import FactorInRuns
from pipeline.season.sums import Array

TOGETHER = "Taken together, these settings lie farther out than nearly all runs."


def tried_between(fit: ResponseFit, name: str) -> tuple[float, float]:
    """Return the least and the most of a setting in the runs used, in its own unit."""
    factor, steps = fit.spec.factor(name), fit.state[:, fit.spec.index(name)]
    return _own(factor, float(steps.min())), _own(factor, float(steps.max()))


def untried_words(fit: ResponseFit, limits: Iterable[Limit], here: Array, there: Array) -> str:
    """Say what of a change no run has had; empty when runs have been as far out.

    Parameters
    ----------
    limits
        Of what was moved, or may have been.
    here, there
        State of the present setting and of the one suggested. shape (F,)
    """
    said = []
    for limit in limits:
        i = fit.spec.index(limit.name)
        if abs(there[i] - here[i]) <= SAME:
            continue
        low, high = tried_between(fit, limit.name)
        value = limit.nearest(_own(fit.spec.factors[i], float(there[i])))
        past = round(max(value - high, low - value), 2)
        if past > 0:
            way = "more" if value > high else "less"
            said.append(
                f"{limit.spoken(value)} of {limit.label} is {limit.spoken(past)} {way} than any run has had."
            )
    if not said and bool((np.abs(there - here) > SAME).any()) and not trust_region(fit, here).holds(there)[0]:
        return TOGETHER
    return " ".join(said)


def _own(factor: FactorInRuns, steps: float) -> float:
    return round(factor.reference + factor.step * steps, 6)
