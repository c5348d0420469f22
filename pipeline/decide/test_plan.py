"""The few test runs worth making: what they are for, in which order, what they should settle and be worth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from pipeline.decide.dials import (
    dials_of,
    held_states,
    known_limits,
    never_changed,
    settings_of_state,
    tangled_settings,
)
from pipeline.decide.gain_plan import GainPlan, plan_for_gain
from pipeline.decide.holding import Holding
from pipeline.decide.learning_plan import Lab, Target, held_back, lab_of, most_telling, ordered
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.next_setting import known_settings, present_state
from pipeline.decide.plan_words import gain_sentence, learning_sentence, why
from pipeline.decide.prospects import HORIZON
from pipeline.decide.results import ExpectedPrecision, PlannedRun, Purpose, TestPlan
from pipeline.errors import RequestError
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.sums import Array, Index
from pipeline.season.words import sentence_case

MOST_BLOCKS = 4
"""Clutch settings in one plan: each costs a trip to the pits. [judgement]"""

LEAST_RUNS, MOST_RUNS = 2, 24

LEAST_WORTH_S = 0.5e-3
"""Runs that gain less than this are not worth making: half of a slip's last digit. [s]"""

SEED = 20310405


def plan_runs(
    fit: ResponseFit,
    limits: Limits,
    present: Mapping[str, float],
    n_runs: int,
    *,
    wanted: Sequence[str] | None = None,
    purpose: Purpose = "60ft",
    holding: Holding | None = None,
    wear_in: float | None = None,
    change_minutes: Mapping[str, float] | None = None,
    seed: int = SEED,
) -> TestPlan:
    """Plan the test runs.

    Parameters
    ----------
    fit
        The fitted response.
    limits
        What may be moved; adjustments without limits stay.
    present
        The setting in force, in own units.
    n_runs
        How many runs can be made, 2 to 24, in one event.
    wanted
        Names of the adjustments to try; by default all with limits, and to learn those ever changed.
    purpose
        ``60ft``: the runs worth most for the best next setting. ``learning``: those that tell most of the
        effects of settings.
    holding
        The check of torque capacity, where it can be made.
    wear_in
        Growth of the ring as it is now; None takes the last run's. [in]
    change_minutes
        How long a change of each adjustment takes, where garage.toml says it: of orders worth nearly as
        much, the quickest is run.
    seed
        Of what is drawn.

    Returns
    -------
    TestPlan

    Raises
    ------
    RequestError
        When ``n_runs`` is outside 2 to 24, or no run records an adjustment wanted.

    Notes
    -----
    For 60 ft: see :mod:`pipeline.decide.gain_plan`. For learning: the least sum of posterior variances of
    the step effects (as the effects table has them) and of the launch-rpm curvature, by coordinate
    exchange. Either way at most four blocks of slow settings; an adjustment never changed so far counts as
    known by its prior alone.
    """
    if not LEAST_RUNS <= n_runs <= MOST_RUNS:
        raise RequestError(
            f"--runs {n_runs} is not a number of test runs that can be planned.",
            f"Ask for {LEAST_RUNS} to {MOST_RUNS}.",
        )
    known = [factor.name for factor in fit.spec.factors if factor.is_setting]
    for name in wanted or ():
        if name not in known:
            raise RequestError(
                f"A test of {name!r} cannot be planned: no run says what it was.",
                f"Adjustments recorded so far: {', '.join(known)}.",
            )
    settings = known_settings(fit, present)
    movable = known_limits(fit, limits)
    if purpose == "60ft" and wanted is None:
        wanted = [limit.name for limit in movable] or None
    lab = lab_of(fit, limits, settings, wanted)
    missing = _no_suggestion(fit, limits, lab.targets)
    passed = limits.passed(settings)
    if passed or not lab.targets:
        because = passed or _why_none(limits, wanted or ())
        rest = tuple(said for said in missing if said not in because)
        return TestPlan(fit.response, (), (), (), rest, " ".join(because), purpose=purpose)
    here = present_state(fit, settings, wear_in=wear_in)
    tried = tuple(target.limit for target in lab.targets)
    if purpose == "learning":
        chosen, held = most_telling(lab, here, settings, _blocks(n_runs), seed)
        chosen, block = ordered(chosen, lab.targets, seed)
        runs = _planned(fit, tried, here, chosen, block, settings)
        precision = _precision(lab, chosen)
        sentence = learning_sentence(fit.response, runs, precision, int(block.max()) + 1)
        return TestPlan(fit.response, runs, precision, held, missing, sentence, purpose=purpose)
    found = _for_gain(fit, tried, here, {**present, **settings}, n_runs, holding, seed, change_minutes)
    return _gain_card(fit, lab, here, settings, found, missing)


def _for_gain(
    fit: ResponseFit,
    limits: tuple[Limit, ...],
    here: Array,
    whole: Mapping[str, float],
    n_runs: int,
    holding: Holding | None,
    seed: int,
    change_minutes: Mapping[str, float] | None,
) -> GainPlan:
    return plan_for_gain(
        ExpectedTime.of(fit, never_changed(fit, limits)),
        here,
        dials_of(fit, limits, whole),
        held_states(fit, holding, whole),
        n_runs,
        _blocks(n_runs),
        seed,
        tangled_settings(fit),
        change_minutes,
    )


def _gain_card(
    fit: ResponseFit,
    lab: Lab,
    here: Array,
    settings: Mapping[str, float],
    found: GainPlan,
    missing: tuple[str, ...],
) -> TestPlan:
    limits = tuple(target.limit for target in lab.targets)
    held = [words for target in lab.targets for words in held_back(target, settings[target.factor.name])]
    slow = [target.index for target in lab.targets if not target.limit.is_quick]
    block = _block_by_change(found.states[:, slow])
    runs = _planned(fit, limits, here, found.states, block, settings)
    precision = _precision(lab, found.states)
    worth_it = HORIZON * found.worth_s > found.price_s and found.worth_s >= LEAST_WORTH_S
    sentence = gain_sentence(runs, precision, found.worth_s, found.price_s, worth_it=worth_it)
    return TestPlan(
        fit.response,
        runs,
        precision,
        tuple(held),
        missing,
        sentence,
        purpose="60ft",
        worth_s=found.worth_s,
        price_s=found.price_s / len(runs),
        is_worth_it=worth_it,
    )


def _block_by_change(slow: Array) -> Index:
    """Count the changes of slow settings, run by run. Shape (m,)."""
    moved = np.abs(np.diff(slow, axis=0)).max(1, initial=0.0) > SAME
    return np.concatenate([[0], np.cumsum(moved)]).astype(np.intp)


def _no_suggestion(fit: ResponseFit, limits: Limits, targets: Sequence[Target]) -> tuple[str, ...]:
    said = list(limits.missing.values())
    chosen = {target.factor.name for target in targets}
    for name, limit in limits.by_name.items():
        if name not in fit.spec.names:
            said.append(f"No test of {limit.label}: too few runs say what it was.")
        elif not fit.spec.factor(name).varies and name not in chosen:
            said.append(
                f"{sentence_case(limit.label)} was never changed and is left out of this plan. "
                f"To learn what it does, plan with --adjustment {name}."
            )
    return tuple(said)


def _why_none(limits: Limits, wanted: Sequence[str]) -> tuple[str, ...]:
    """Say why nothing can be planned: of the adjustments asked for, each with its remedy, or of all."""
    without = [limits.missing[name] for name in wanted if name in limits.missing]
    fixed = [limits.by_name[name] for name in wanted if name in limits.by_name]
    without += [
        f"The limits of {limit.label} in garage.toml leave it no room: {limit.high_words}. Widen them."
        for limit in fixed
    ]
    if not without:
        return ("No test can be planned: no adjustment recorded so far has a limit in garage.toml.",)
    return ("No test can be planned.", *without)


def _blocks(n_runs: int) -> Index:
    """Block of every run: about two runs a block, at most four blocks. Shape (n_runs,)."""
    blocks = min(MOST_BLOCKS, max(1, n_runs // 2))
    return np.arange(n_runs) * blocks // n_runs


# --- the card


def _planned(
    fit: ResponseFit,
    limits: tuple[Limit, ...],
    here: Array,
    states: Array,
    block: Index,
    settings: Mapping[str, float],
) -> tuple[PlannedRun, ...]:
    made: list[PlannedRun] = []
    tangled = {fit.spec.factors[i].name for i in tangled_settings(fit)}
    before: Mapping[str, float] = settings
    for run, state in enumerate(states):
        values = settings_of_state(fit, limits, settings, here, state)
        changed = tuple(name for name in values if abs(values[name] - before[name]) > SAME)
        words = why(limits, values, settings, tangled)
        made.append(PlannedRun(run + 1, int(block[run]) + 1, values, words, changed))
        before = values
    return tuple(made)


def _precision(lab: Lab, states: Array) -> tuple[ExpectedPrecision, ...]:
    known = lab.knowledge
    now = np.sqrt(np.einsum("tp,pq,tq->t", known.targets, known.cov, known.targets))
    after = np.sqrt(lab.variances(states[None])[0])
    return tuple(
        ExpectedPrecision(target.factor.name, target.factor.step_words, float(now[k]), float(after[k]))
        for k, target in enumerate(lab.targets)
    )
