"""Worth a try: between a change that is sure enough and staying, the one trial that is worth most."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from pipeline.decide.dials import dials_of, held_states, known_limits, never_changed, settings_of_state
from pipeline.decide.holding import Holding
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.prospects import BORNE_OUT, HORIZON, Mask, Movable, Prospects, worth_trying
from pipeline.decide.results import Trial
from pipeline.decide.trust_region import trust_region
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Z95
from pipeline.season.sums import Array
from pipeline.season.words import listed, thousandths

RUNS_EACH = 2
"""Runs of the trial, and as many of the present setting about them. [judgement]"""

KEEP_SURE = 0.8
"""A trial is kept when its chance to be the quicker is at least this after its runs. [judgement]"""

MOST_PRICE_S = 8e-3
LEAST_WORTH_S = 0.3e-3
"""A trial expected to bring less than this a run is not named. [s] [judgement]"""

SEED = 1
GUESS = " It lies farther out than what was run, so its times are a guess: go there in steps."

LEAST_KEEP_S = 1e-3
"""Nothing is kept that was not quicker by this in the trial itself. [s]"""


@dataclass(frozen=True, slots=True)
class BestTrial:
    """One setting worth a try.

    Attributes
    ----------
    state
        shape (F,)
    change_s, sd_s
        Expected change of the time against staying, and its sd. [s]
    worth_s
        What trying it is expected to bring each run to come, kept or undone. [s]
    keep_s
        Keep it if the mean of its runs is below that of the present setting's by this. [s]
    """

    state: Array
    change_s: float
    sd_s: float
    worth_s: float
    keep_s: float


def best_trial(
    expected: ExpectedTime,
    here: Array,
    movables: tuple[Movable, ...],
    allowed: Callable[[Array], Mask],
    seed: int,
) -> BestTrial | None:
    """Find the trial worth most; None where none is worth its runs.

    Notes
    -----
    Of a trial run ``RUNS_EACH`` times with as many runs of the present setting about it (A-B-B-A), the mean
    difference d, of variance v, moves what is expected of the change from m to m + c (d - m) / v, with c the
    variance of the clean change; the drift of the night falls out. It is kept where the chance to be quicker
    is then at least ``KEEP_SURE``. With s the sd of that move and t the highest mean that is
    kept, it brings E[-m'; m' < t] = s phi(u) - m Phi(u), u = (t - m) / s, each run afterwards [derived].
    """
    states = worth_trying(expected, here, movables, allowed, MOST_PRICE_S, seed)
    if len(states) < 2:
        return None
    looked_at = Prospects.of(expected, states)
    spread, mean = np.diag(looked_at.joint), looked_at.change_s
    clean = np.diag(looked_at.clean_gram)
    seen = clean + np.diag(looked_at.slope_gram) + (looked_at.noise_s2[0] + looked_at.noise_s2) / RUNS_EACH
    told = clean / np.sqrt(seen)
    left = np.sqrt(np.maximum(spread - told**2, 0.0))
    highest = -ndtri(KEEP_SURE) * left - looked_at.trouble_s
    u = (highest - mean) / np.maximum(told, 1e-12)
    worth = np.where(told > 0, told * np.exp(-(u**2) / 2) / np.sqrt(2 * np.pi) - mean * ndtr(u), 0.0)
    worth = BORNE_OUT * worth
    net = HORIZON * worth - RUNS_EACH * looked_at.price_s
    net[0] = -np.inf
    best = int(net.argmax())
    if worth[best] < LEAST_WORTH_S or net[best] <= 0:
        return None
    keep = mean[best] + (highest[best] - mean[best]) * seen[best] / max(clean[best], 1e-12)
    return BestTrial(
        states[best],
        float(mean[best]),
        float(np.sqrt(spread[best])),
        float(worth[best]),
        float(min(keep, -LEAST_KEEP_S)),
    )


def trial_for(
    fit: ResponseFit,
    limits: Limits,
    present: Mapping[str, float],
    here: Array,
    holding: Holding | None,
    *,
    quick_only: bool = False,
) -> Trial | None:
    """Return the trial worth most from a present setting inside its limits, with what to make of its result.

    Parameters
    ----------
    fit
        The fitted response.
    limits
        What may be moved; what was never changed may be tried too.
    present
        The setting in force, in own units, with all that the check of torque capacity needs.
    here
        Its state under the forecast. shape (F,)
    holding
        The check of torque capacity, where it can be made.
    quick_only
        Try only what can be changed between rounds.
    """
    movable = known_limits(fit, limits, quick_only=quick_only)
    if not movable or not limits.allows(present):
        return None
    expected = ExpectedTime.of(fit, never_changed(fit, movable))
    held = held_states(fit, holding, present)
    best = best_trial(expected, here, dials_of(fit, movable, present), held, SEED)
    if best is None:
        return None
    settings = settings_of_state(fit, movable, present, here, best.state)
    spin, bog = (float(v[0]) for v in expected.chances(best.state))
    is_guess = _is_guess(fit, here, best.state)
    keep_if = (
        f"keep it if the mean of its runs is {thousandths(-best.keep_s)} thousandths quicker, else undo it"
    )
    return Trial(
        {name: value for name, value in settings.items() if name in fit.spec.names},
        expected_gain_s=-best.worth_s,
        change_s=best.change_s,
        low_s=best.change_s - Z95 * best.sd_s,
        high_s=best.change_s + Z95 * best.sd_s,
        p_better=float(ndtr(-best.change_s / best.sd_s)),
        p_spin=spin,
        p_bog=bog,
        runs=RUNS_EACH,
        keep_s=best.keep_s,
        keep_if=keep_if,
        sentence=_sentence(movable, present, settings, best, keep_if) + (GUESS if is_guess else ""),
        is_guess=is_guess,
    )


def _is_guess(fit: ResponseFit, here: Array, state: Array) -> bool:
    """Tell whether a state lies farther out than the settings that were run, taken together."""
    moved = np.abs(state - here) > SAME
    is_new = any(moved[i] and not factor.varies for i, factor in enumerate(fit.spec.factors))
    return is_new or not trust_region(fit, here).holds(state)[0]


def _sentence(
    limits: tuple[Limit, ...],
    present: Mapping[str, float],
    settings: Mapping[str, float],
    best: BestTrial,
    keep_if: str,
) -> str:
    moves = listed(
        [words for limit in limits if (words := limit.move(present[limit.name], settings[limit.name]))]
    )
    return (
        f"Worth a try in a time trial or a test session, never in eliminations: {moves}. "
        f"{RUNS_EACH} runs of it between two of the present setting; {keep_if}. "
        f"Kept or undone, it is expected to bring {thousandths(best.worth_s)} thousandths a run."
    )
