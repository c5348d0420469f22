"""What a test would settle of one adjustment."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.decide.results import TestPlan
from pipeline.season.results import Effect
from reports.numbers import of, thousandths
from reports.words import capital, per_step

WORTHWHILE = 0.95  # a test that leaves more of the uncertainty than this is not worth its sentence


def settle_sentence(plan: TestPlan | None, effects: Sequence[Effect], adjustment: str) -> str:
    """Say what the planned runs would add to what is known of an adjustment; empty with no plan for it."""
    precision = plan.precision if plan is not None else ()
    one = next((row for row in precision if row.adjustment == adjustment), None)
    if plan is None or one is None:
        return ""
    is_thin = any(
        effect.adjustment == adjustment and effect.response == "t60" and effect.per_step_s is None
        for effect in effects
    )
    if one.after_s > WORTHWHILE * one.now_s and is_thin:
        return (
            "The test laid out here would leave it nearly as unknown as it is, but teaches about the others."
        )
    if one.after_s > WORTHWHILE * one.now_s:
        return (
            f"Its effect is already known to about {thousandths(one.now_s, sign=False)} thousandths per "
            f"{per_step(one.step)}; the test laid out here would not make that much surer, but teaches about "
            "the others."
        )
    return (
        f"{capital(of(len(plan.runs), 'test run'))} would take its uncertainty from "
        f"{thousandths(one.now_s, sign=False)} to {thousandths(one.after_s, sign=False)} thousandths "
        f"per {per_step(one.step)}."
    )
