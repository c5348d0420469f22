"""How long an answer takes once the process is warm, in processor time of our own code."""

from __future__ import annotations

import time
from collections.abc import Callable

from pipeline.decide.next_setting import suggest_next
from pipeline.decide.test_plan import plan_runs
from pipeline.season.response_fit import fit_response
from tests.season.scoring import car
from tests.season.seasons import FACTS

WARM_S = 1.0  # the bar for an answer, fit included
ROUNDS = 3
SEED = 6  # 250 runs of 15 events: a long season


def quickest_s(work: Callable[[], object]) -> float:
    """Best of a few rounds, in processor time: the machine may be busy with other things."""
    work()
    spent = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def test_a_warm_answer_and_a_warm_plan_come_in_time() -> None:
    one = car(SEED)
    fit = quickest_s(lambda: fit_response(one.world.runs, FACTS))
    answer = quickest_s(lambda: suggest_next(one.fit, one.limits, one.present, one.forecast))
    plan = quickest_s(lambda: plan_runs(one.fit, one.limits, one.present, 8))
    print(f"\nwarm: fit {1000 * fit:.0f} ms, next {1000 * answer:.0f} ms, plan of 8 {1000 * plan:.0f} ms")  # noqa: T201
    assert fit + answer <= WARM_S
    assert fit + plan <= WARM_S
