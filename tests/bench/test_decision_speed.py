"""What an answer costs once the process is warm."""

from __future__ import annotations

from pipeline.decide.next_setting import suggest_next
from pipeline.decide.test_plan import plan_runs
from pipeline.season.response_fit import fit_response
from tests.bench.yardstick import times_the_yardstick
from tests.season.scoring import car
from tests.season.seasons import FACTS

MOST_YARDSTICKS = 20.0
SEED = 6  # 250 runs of 15 events: a long season


def test_a_warm_answer_and_a_warm_plan_come_in_time() -> None:
    one = car(SEED)
    fit, answer, plan = (
        times_the_yardstick(work, rounds=3)
        for work in (
            lambda: fit_response(one.world.runs, FACTS),
            lambda: suggest_next(one.fit, one.limits, one.present, one.forecast),
            lambda: plan_runs(one.fit, one.limits, one.present, 8),
        )
    )
    print(f"\nwarm: fit {fit:.1f}, next {answer:.1f}, plan of 8 {plan:.1f} yardsticks")  # noqa: T201
    assert fit + answer <= MOST_YARDSTICKS
    assert fit + plan <= MOST_YARDSTICKS
