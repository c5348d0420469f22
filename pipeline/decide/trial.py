"""Worth a try: between a change that is sure enough and staying, the one trial that is worth most."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from pipeline.decide.dials import dials_of, held_states, known_limits, never_changed, settings_of_state
from pipeline.decide.holding import Holding
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.prospects import HORIZON, Mask, Movable, Prospects, worth_trying
from pipeline.decide.results import Trial
from pipeline.decide.trust_region import trust_region
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Z95
from pipeline.season.sums import Array
from pipeline.season.words import listed, thousandths

RUNS_EACH = 2
"""Runs of the trial, and as many of the present setting about them; twice if it goes well. [judgement]"""

AGAIN_SURE, KEEP_SURE = 0.7, 0.8
"""A trial is made a second time when its chance to be the quicker is at least the first after its runs, and
kept when it is at least the other after all of them. Had 231 trials of simulated seasons been kept at once at
0.8, 5.9 in 100 of those kept would have cost more than a thousandth; so, 3.2, and a tenth less is gained by
all runs. [derived by simulation]"""

BORNE_OUT = 0.17
"""Share of what trials were said to be worth that came of it on 60 simulated seasons; of the 37 said to be
worth least none was kept. [derived by simulation]"""

MOST_PRICE_S = 8e-3
LEAST_WORTH_S = 0.3e-3
"""A trial expected to bring less than this a run is not named. [s] [judgement]"""

SEED = 1
GUESS = " It lies farther out than what was run, so its times are a guess: go there in steps."

LEAST_KEEP_S = 1e-3
"""Nothing is kept that was not quicker by this in the trial itself. [s]"""

_PLACES = 40
_TINY = 1e-12


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
    again_s, keep_s
        Make it a second time if the mean of its runs is below that of the present setting's by the first, and
        keep it if over both times it is by the other. [s]
    """

    state: Array
    change_s: float
    sd_s: float
    worth_s: float
    again_s: float
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
    difference d, of variance v, moves what is expected of the change from m to n = m + c (d - m) / v, with c
    the variance of the clean change; the drift of the night falls out. Let it go on where n < h, and after as
    many runs again, when k is expected, be kept where k < t: it brings E[-k; n < h, k < t], each run
    afterwards. Given n that is s phi(u) - n Phi(u), u = (t - n) / s, with s the sd of k about n [derived];
    the mean over n is taken at evenly likely places.
    """
    states = worth_trying(expected, here, movables, allowed, MOST_PRICE_S, seed)
    if len(states) < 2:
        return None
    looked_at = Prospects.of(expected, states)
    first, both = (_Told.of(looked_at, runs) for runs in (RUNS_EACH, 2 * RUNS_EACH))
    on, keep = first.highest(AGAIN_SURE), both.highest(KEEP_SURE)
    mean = looked_at.change_s
    after = mean[:, None] + first.sd[:, None] * ndtri((np.arange(_PLACES) + 0.5) / _PLACES)
    goes_on = after < on[:, None]
    more = np.sqrt(np.maximum(both.sd**2 - first.sd**2, _TINY))[:, None]
    u = (keep[:, None] - after) / more
    brings = more * np.exp(-(u**2) / 2) / np.sqrt(2 * np.pi) - after * ndtr(u)
    worth = BORNE_OUT * (brings * goes_on).mean(1)
    net = HORIZON * worth - RUNS_EACH * (1 + goes_on.mean(1)) * looked_at.price_s
    net[0] = -np.inf
    best = int(net.argmax())
    if worth[best] < LEAST_WORTH_S or net[best] <= 0:
        return None
    again_s, keep_s = (
        float(min(told.seen_at(at)[best], -LEAST_KEEP_S)) for told, at in ((first, on), (both, keep))
    )
    spread = float(np.sqrt(looked_at.joint[best, best]))
    return BestTrial(states[best], float(mean[best]), spread, float(worth[best]), again_s, keep_s)


@dataclass(frozen=True, slots=True)
class _Told:
    """What so many runs of each setting looked at, and of the present one, would tell of it.

    Attributes
    ----------
    mean, trouble_s
        Expected change of each before them, and what its moves must gain. [s]. shape (N,)
    clean, seen
        Variance of its clean change, and of the difference that the runs show. [s^2]. shape (N,)
    sd, left
        By how much what is expected will move, and what will stay unknown. [s]. shape (N,)
    """

    mean: Array
    trouble_s: Array
    clean: Array
    seen: Array
    sd: Array
    left: Array

    @staticmethod
    def of(known: Prospects, runs: int) -> _Told:
        clean = np.diag(known.clean_gram)
        seen = clean + np.diag(known.slope_gram) + (known.noise_s2[0] + known.noise_s2) / runs
        sd = clean / np.sqrt(seen)
        left = np.sqrt(np.maximum(np.diag(known.joint) - sd**2, 0.0))
        return _Told(known.change_s, known.trouble_s, clean, seen, sd, left)

    def highest(self, sure: float) -> Array:
        """Return the highest mean afterwards at which it is so sure to be quicker. [s]. Shape (N,)."""
        return np.asarray(-ndtri(sure) * self.left - self.trouble_s)

    def seen_at(self, mean: Array) -> Array:
        """Return the difference of the runs after which a mean is expected. [s]. Shape (N,)."""
        return np.asarray(self.mean + (mean - self.mean) * self.seen / np.maximum(self.clean, _TINY))


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
        f"where their mean is {thousandths(-best.again_s)} thousandths quicker, the same once more, and keep "
        f"it if the mean of all {2 * RUNS_EACH} is {thousandths(-best.keep_s)} quicker; else undo it"
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
        again_s=best.again_s,
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
