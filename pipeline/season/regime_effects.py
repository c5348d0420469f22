"""What each setting does to the chance of spinning and of bogging, and that chance by rpm and track."""

from __future__ import annotations

import numpy as np
from scipy.special import expit

from pipeline.season import regimes
from pipeline.season.effects import LEVEL, row_names
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import LaunchChance, Regime, RegimeEffect
from pipeline.season.sums import Array
from pipeline.season.words import sentence_case

LITTLE_LEARNT = 0.8
"""Above this share of its prior sd the runs have said next to nothing on an effect. [judgement]"""

SEEN = 1.5
"""Chances of launches gone wrong must sum to at least so many before an effect on them is said to show."""

_DRAWS = 400
_SEED = 20310406
_RPM_POINTS, _TEMP_STEP_F = 13, 5.0
_WORDS: dict[Regime, str] = {"clean": "clean", "spin": "spinning", "bog": "bogging"}
KINDS: tuple[Regime, ...] = ("spin", "bog")


def regime_effects(fit: ResponseFit) -> tuple[RegimeEffect, ...]:
    """Return every row's effect on the chance of spinning, then on that of bogging.

    Notes
    -----
    The effect is the average over the runs used of the chance half a step further less half a step back;
    its interval is that of draws of the logistic part from a fixed seed. ``moved`` when the interval leaves
    out nil, the runs have narrowed what was thought beforehand, and launches did go wrong; the directional
    prior alone is never a finding.
    """
    found = fit.regimes
    if found is None:
        return ()
    drawn = [
        np.random.default_rng(_SEED).multivariate_normal(weights, cov, _DRAWS, method="eigh")
        for weights, cov in zip(found.weights, found.covs, strict=True)
    ]
    return tuple(
        _effect(fit, kind, name, drawn[k]) for k, kind in enumerate(KINDS) for name in row_names(fit)
    )


def _effect(fit: ResponseFit, kind: Regime, name: str, weights: Array) -> RegimeEffect:
    found, factor = fit.regimes, fit.spec.factor(name)
    assert found is not None
    k = KINDS.index(kind)
    ends = []
    for way in (0.5, -0.5):
        state = fit.state.copy()
        state[:, fit.spec.index(name)] += way
        ends.append(regimes.features(fit.spec, state))
    change = (expit(ends[0] @ weights.T) - expit(ends[1] @ weights.T)).mean(0)
    low, high = (float(v) for v in np.quantile(change, [(1 - LEVEL) / 2, (1 + LEVEL) / 2]))
    contrast = (ends[0] - ends[1]).mean(0)
    before = float(np.sqrt(((contrast * regimes.prior(fit.spec, k)[1]) ** 2).sum()))
    after = float(np.sqrt(contrast @ found.covs[k] @ contrast))
    gone = float(found.shares[:, 1 + k].sum())
    learnt = after < LITTLE_LEARNT * before and gone >= SEEN
    moved = learnt and (low > 0 or high < 0)
    mean = float(change.mean())
    return RegimeEffect(
        response=fit.response,
        adjustment=name,
        label=factor.label,
        step=factor.step_words,
        regime=kind,
        chance_per_step=mean if learnt else None,
        low=low if learnt else None,
        high=high if learnt else None,
        verdict="moved" if moved else "no_sign",
        launches=gone,
        sentence=_sentence(fit, kind, name, mean if moved else None, low, high),
    )


def _sentence(fit: ResponseFit, kind: Regime, name: str, mean: float | None, low: float, high: float) -> str:
    factor, what = fit.spec.factor(name), _WORDS[kind]
    if mean is None:
        return f"No sign that {factor.label} changed the chance of {what}."
    way = "raises" if mean > 0 else "lowers"
    least, most = sorted((abs(low), abs(high)))
    return (
        f"{sentence_case(factor.label)}: {factor.step_words} more {way} the chance of {what} by "
        f"{_hundredths(mean)} in 100 on average ({_hundredths(least)} to {_hundredths(most)})."
    )


def _hundredths(chance: float) -> str:
    value = abs(100 * chance)
    return f"{value:.0f}" if value >= 1.5 else f"{value:.1f}"


def launch_chances(fit: ResponseFit, at: Array | None = None) -> tuple[LaunchChance, ...]:
    """Return the chance of spinning and of bogging over launch rpm and track temperature as run.

    Parameters
    ----------
    at
        State that holds the other things; their middle when None. shape (F,)
    """
    if fit.regimes is None or not {"launch_rpm", "track_temp"} <= set(row_names(fit)):
        return ()
    rpm_i, temp_i = fit.spec.index("launch_rpm"), fit.spec.index("track_temp")
    rpm, temp = fit.spec.factors[rpm_i], fit.spec.factors[temp_i]
    tried = temp.reference + temp.step * fit.state[:, temp_i]
    heats = np.arange(
        _TEMP_STEP_F * np.floor(tried.min() / _TEMP_STEP_F),
        _TEMP_STEP_F * np.ceil(tried.max() / _TEMP_STEP_F) + 1,
        _TEMP_STEP_F,
    )
    steps = np.linspace(fit.state[:, rpm_i].min() - 1, fit.state[:, rpm_i].max() + 1, _RPM_POINTS)
    start = np.zeros(len(fit.spec.factors)) if at is None else at
    states = np.tile(start, (heats.size * steps.size, 1))
    states[:, temp_i] = np.repeat((heats - temp.reference) / temp.step, steps.size)
    states[:, rpm_i] = np.tile(steps, heats.size)
    spin, bog = ExpectedTime.of(fit).chances(states)
    return tuple(
        LaunchChance(
            track_temp_f=float(temp.reference + temp.step * states[i, temp_i]),
            launch_rpm=float(rpm.reference + rpm.step * states[i, rpm_i]),
            p_spin=float(spin[i]),
            p_bog=float(bog[i]),
        )
        for i in range(states.shape[0])
    )


def regime_sentences(fit: ResponseFit) -> tuple[str, ...]:
    """Say how many launches went wrong by the slips, and how many more by their times."""
    found = fit.regimes
    if found is None:
        return ()
    said = int(found.noted.sum())
    more = float(found.shares[~found.noted, 1:].sum())
    if said == 0 and more < SEEN:
        return ()
    noted = f"{said} {'is' if said == 1 else 'are'} noted as spun or bogged" if said else "none is noted"
    unsaid = "the times show no others that went wrong"
    if round(more):
        unsaid = f"by their times about {more:.0f} more went wrong"
    return (
        f"Of {fit.runs.height} launches {noted}; {unsaid}. "
        f"Each run counts for the {response_words(fit.response)} by its chance of having been clean.",
    )
