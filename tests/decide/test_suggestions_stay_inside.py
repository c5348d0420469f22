"""No suggestion and no test run ever leaves the limits, over random logbooks, beliefs and limits."""

import pytest

from pipeline.decide.next_setting import suggest_next
from pipeline.decide.results import Trial
from pipeline.decide.test_plan import plan_runs
from tests.season.random_cases import FACTORS, Case, random_case

FEW, MANY = range(300), range(10_000)
PLAN_EVERY = 6  # a plan costs ten times a suggestion
ROUNDING = 1e-6  # values are printed to 6 decimals


def inside(case: Case, settings: dict[str, float]) -> bool:
    return all(
        low - ROUNDING <= settings[name] <= high + ROUNDING
        for name, (low, high) in case.bounds.items()
        if name in settings
    )


def hangable(case: Case) -> list[float]:
    """Masses that the hardware makes inside the limits; empty when any mass can be set, or none."""
    limit = case.limits.by_name["counterweight"]
    return [mass for mass in limit.stacks or () if limit.low <= mass <= limit.high]


def check_suggestion(seed: int) -> bool:
    """Check one case; True when a change was suggested."""
    case = random_case(seed)
    found = suggest_next(case.fit, case.limits, case.present, case.forecast, quick_only=case.quick_only)
    broken = not inside(case, case.present)
    assert bool(found.warnings) or not broken, seed  # never a word without a warning when a limit is passed
    assert not (broken and found.sentence.startswith("Stay")), seed
    if found.change_to is None:
        check_trial(case, found.trial, seed)
        return False
    assert found.trial is None, seed
    before, after = found.stay.settings, found.change_to.settings
    assert inside(case, after), seed
    assert before == {name: case.present[name] for name in before}, seed
    for name in before:
        if name not in case.bounds:
            assert after[name] == before[name], (seed, name)
        elif name == "counterweight" and after[name] != before[name] and hangable(case):
            assert after[name] in hangable(case), seed
        elif inside(case, before):
            assert abs(after[name] - before[name]) <= case.reach[name] + ROUNDING, (seed, name)
            slow = name in {"preload", "counterweight"} or not case.limits.by_name[name].is_quick
            assert not (case.quick_only and slow and after[name] != before[name]), (seed, name)
    return True


def check_trial(case: Case, trial: Trial | None, seed: int) -> None:
    """Hold what is worth a try to limits and reach, and to what can be changed between rounds."""
    for name, value in trial.settings.items() if trial is not None else ():
        now = case.present.get(name, value)
        if value == now:
            continue
        assert name in case.bounds, (seed, name)
        low, high = case.bounds[name]
        assert low - ROUNDING <= value <= high + ROUNDING, (seed, name)
        assert abs(value - now) <= case.reach[name] + ROUNDING, (seed, name)
        assert case.limits.by_name[name].is_quick or not case.quick_only, (seed, name)


def check_plan(seed: int) -> bool:
    """Check the plan of one case; True when there was one."""
    case = random_case(seed)
    plan = plan_runs(case.fit, case.limits, case.present, 2 + seed % 4)
    for run in plan.runs:
        assert inside(case, run.settings), seed
        for name in FACTORS:
            if name in run.settings and name not in case.bounds:
                assert run.settings[name] == case.present[name], (seed, name)
    return bool(plan.runs)


def test_few_random_suggestions_stay_inside():
    assert sum(check_suggestion(seed) for seed in FEW) > len(FEW) / 4


def test_few_random_plans_stay_inside():
    assert sum(check_plan(seed) for seed in FEW[::PLAN_EVERY]) > len(FEW) / PLAN_EVERY / 4


@pytest.mark.long
def test_ten_thousand_random_suggestions_stay_inside():
    assert sum(check_suggestion(seed) for seed in MANY) > len(MANY) / 4


@pytest.mark.long
def test_many_random_plans_stay_inside():
    assert sum(check_plan(seed) for seed in MANY[::PLAN_EVERY]) > len(MANY) / PLAN_EVERY / 4
