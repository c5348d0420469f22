"""What a test plan says: why each run, and what the whole is for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipeline.decide.limits import SAME, Limit
from pipeline.decide.results import ExpectedPrecision, PlannedRun, TestPlan
from pipeline.garage.parts import Car
from pipeline.season.response_fit import response_words
from pipeline.season.results import Response
from pipeline.season.words import thousandths

MANY = 2
"""More settings moved than this are not named one by one."""


def why(
    limits: Sequence[Limit],
    values: Mapping[str, float],
    present: Mapping[str, float],
    tangled: set[str] | frozenset[str] = frozenset(),
) -> str:
    """Say in three or four words what a run is for.

    Parameters
    ----------
    limits
        Of what may be moved, in order.
    values, present
        The run's settings and the present ones.
    tangled
        Settings that cannot be told from one another so far.
    """
    away = [(limit, values[limit.name] - present[limit.name]) for limit in limits]
    moved = [(limit, change > 0) for limit, change in away if abs(change) > SAME]
    if not moved:
        return "the yardstick"
    knotted = [(limit, is_up) for limit, is_up in moved if limit.name in tangled]
    still = [limit for limit, change in away if limit.name in tangled and abs(change) <= SAME]
    parted = next((limit for limit, is_up in knotted[1:] if is_up != knotted[0][1]), None)
    if len(knotted) == len(still) == 1:
        parted = still[0]
    if parted is not None:
        return f"parts {knotted[0][0].label} from {parted.label}"
    if len(moved) > MANY:
        return f"{len(moved)} moves at once"
    words = [f"{limit.label} {'up' if is_up else 'down'}" for limit, is_up in moved]
    return f"{words[0]} alone" if len(words) == 1 else ", ".join(words)


def learning_sentence(
    response: Response, runs: Sequence[PlannedRun], precision: Sequence[ExpectedPrecision], blocks: int
) -> str:
    """Say how much surer the runs would make the effects."""
    settings = "one clutch setting" if blocks == 1 else f"{blocks} clutch settings"
    return (
        f"{len(runs)} runs in {settings} would make the effect of {_surest(precision)} on the "
        f"{response_words(response)}{_others(precision)}. Run them in this order in one event."
    )


def gain_sentence(
    runs: Sequence[PlannedRun],
    precision: Sequence[ExpectedPrecision],
    worth_s: float,
    price_s: float,
    *,
    worth_it: bool,
) -> str:
    """Say what the runs are expected to be worth, to cost and to settle; or that they are not worth it."""
    count = len(runs)
    if not worth_it:
        return (
            f"These {count} runs are not worth making for the 60 ft time: the setting chosen after them is "
            f"expected to be {thousandths(worth_s)} thousandths quicker than the one chosen now."
        )
    cost = (
        f" and cost {thousandths(price_s / count)} thousandths a run while they last" if price_s > 0 else ""
    )
    return (
        f"{count} runs are expected to make the next setting {thousandths(worth_s)} thousandths quicker"
        f"{cost}. "
        f"They would make the effect of {_surest(precision)}{_others(precision)}. "
        "Run them in this order in one event."
    )


def _surest(precision: Sequence[ExpectedPrecision]) -> str:
    most = max(precision, key=lambda item: 1 - item.after_s / item.now_s)
    return f"{most.adjustment.replace('_', ' ')} {100 * (1 - most.after_s / most.now_s):.0f} % surer"


def _others(precision: Sequence[ExpectedPrecision]) -> str:
    return ", and the others as the table says" if len(precision) > 1 else ""


def with_minutes(plan: TestPlan, car: Car) -> TestPlan:
    """Say how long changes and cooling take before each run and in all, as far as garage.toml tells.

    Parameters
    ----------
    plan
        Of the car.
    car
        With ``change_minutes`` and ``cooling_minutes``, or without.
    """
    if not plan.runs or (not car.change_minutes and car.cooling_minutes is None):
        return plan
    runs: list[PlannedRun] = []
    for run in plan.runs:
        cooling = (car.cooling_minutes or 0.0) if runs else 0.0
        changing = sum(car.change_minutes.get(name, 0.0) for name in run.changed)
        runs.append(replace(run, minutes=cooling + changing))
    whole = round(sum(run.minutes or 0.0 for run in runs))
    hours, rest = divmod(whole, 60)
    long = f"{hours} h {rest:02d} min" if hours else f"{rest} min"
    return replace(plan, runs=tuple(runs), sentence=f"{plan.sentence} Changes and cooling take {long}.")
