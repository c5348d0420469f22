"""A mixed model by a general statistics library: straight lines and a level for each event.

statsmodels takes longer to load than a season takes to fit, so this is asked for by itself and nothing else
imports it.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass

import numpy as np
from statsmodels.regression.mixed_linear_model import MixedLM

from pipeline.garage.factors import MS
from pipeline.season.check_results import MixedCheck
from pipeline.season.effects import row_names
from pipeline.season.least_squares import MOST_INFLATION, independent, variance_inflation
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Effect
from pipeline.season.sums import Array
from pipeline.season.words import interval, sentence_case, thousandths

LEAST_EVENTS = 3
LEAST_SPARE = 10


@dataclass(frozen=True, slots=True)
class _Lines:
    """Effects of straight lines, [s per step], shape (k,), and the ends of their 95 % intervals, (k, 2)."""

    names: list[str]
    effects: Array
    limits: Array


def mixed_check(fit: ResponseFit, effects: tuple[Effect, ...]) -> tuple[MixedCheck, ...]:
    """Set the mixed model's effect of every setting and condition beside ours.

    Notes
    -----
    Restricted maximum likelihood; every factor as a straight line, launch rpm squared, a normal level for
    each event, all clean launches alike. Nothing is given before three events, with fewer than ten runs more
    than columns, or where it finds no answer; and not of what hardly changed apart from the others.

    References
    ----------
    Laird & Ware, "Random-effects models for longitudinal data", Biometrics 38 (1982) 963-974 [memory].
    """
    found = _fitted(fit)
    ours = {e.adjustment: e for e in effects if e.response == fit.response and e.per_step_s is not None}
    if found is None:
        return ()
    return tuple(
        _beside(fit, ours[name], float(found.effects[i]), found.limits[i])
        for i, name in enumerate(found.names)
        if name in ours and name in row_names(fit)
    )


def _fitted(fit: ResponseFit) -> _Lines | None:
    clean = fit.is_clean
    names = [factor.name for factor in fit.spec.factors if factor.varies]
    lines = fit.state[:, [fit.spec.index(name) for name in names]][clean]
    lines = lines - lines.mean(0)
    inflation = variance_inflation(lines)
    kept = independent(lines)
    names, lines, inflation = [names[i] for i in kept], lines[:, kept], inflation[kept]
    curves = [lines[:, [names.index("launch_rpm")]] ** 2] if "launch_rpm" in names else []
    columns = np.column_stack([np.ones(len(lines)), lines, *curves])
    columns, event = columns[:, independent(columns)], fit.event[clean]
    if len(np.unique(event)) < LEAST_EVENTS or len(lines) - columns.shape[1] < LEAST_SPARE:
        return None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a level of no spread is an answer too; ``converged`` tells the rest
        model = MixedLM((fit.observed_s - fit.centre_s)[clean] / MS, columns, groups=event).fit(reml=True)
    if not model.converged:
        return None
    told = np.flatnonzero(inflation < MOST_INFLATION)
    effects, limits = np.asarray(model.fe_params) * MS, np.asarray(model.conf_int()) * MS
    return _Lines([names[i] for i in told], effects[1 + told], limits[1 + told])


def _beside(fit: ResponseFit, ours: Effect, effect_s: float, limits: Array) -> MixedCheck:
    low_s, high_s = float(limits[0]), float(limits[1])
    own_s = ours.per_step_s or 0.0
    within = ours.low_s is not None and ours.high_s is not None and ours.low_s <= effect_s <= ours.high_s
    agrees = within or low_s <= own_s <= high_s
    theirs = f"{thousandths(effect_s)} thousandths per {ours.step} ({interval(low_s, high_s)})"
    beside = "ours agrees" if agrees else f"where ours is {thousandths(own_s)}"
    return MixedCheck(
        fit.response, ours.adjustment, effect_s, low_s, high_s, agrees,
        f"{sentence_case(ours.label)}, {response_words(fit.response)}: {theirs}, {beside}.",
    )  # fmt: skip
