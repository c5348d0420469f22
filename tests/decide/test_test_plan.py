"""The test plan: split in blocks, inside the limits, expected errors, and what each run is for."""

from functools import cache

import numpy as np
import pytest

from pipeline.decide.learning_plan import lab_of
from pipeline.decide.limits import car_limits
from pipeline.decide.test_plan import MOST_BLOCKS, plan_runs
from pipeline.errors import RequestError
from pipeline.garage.logbook import Garage
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, season

TURN, GRAM, RPM, CLICK = 1.0, 1.0, 100.0, 1.0
STEPS = {"preload": TURN, "counterweight": GRAM, "launch_rpm": RPM, "shock_clicks": CLICK}


@cache
def fitted(seed=2, *, locked=False, facts=FACTS):
    return fit_response(season(seed, runs=80, events=8, locked=locked), facts)


def present(fit):
    return present_settings(fit.runs, None, ["shock_clicks"])


def plan(n_runs=6, fit=None, garage=GARAGE, now=None, **options):
    fit = fit or fitted()
    options = {"purpose": "learning"} | options
    return plan_runs(fit, car_limits(garage, "Marigold", fit.runs), now or present(fit), n_runs, **options)


@pytest.mark.parametrize("n_runs", [2, 4, 7, 12, 24])
def test_as_many_runs_as_asked_in_at_most_four_clutch_settings(n_runs):
    found = plan(n_runs)
    assert [run.order for run in found.runs] == list(range(1, n_runs + 1))
    blocks = [run.block for run in found.runs]
    assert blocks == sorted(blocks)
    assert max(blocks) <= MOST_BLOCKS


def test_the_clutch_is_set_once_a_block_and_no_block_repeats_another():
    found = plan(12)
    settings = {}
    for run in found.runs:
        clutch = tuple(run.settings[name] for name in ("preload", "counterweight", "shock_clicks"))
        assert settings.setdefault(run.block, clutch) == clutch
    assert len(set(settings.values())) == len(settings)


def test_no_run_is_more_than_a_step_from_now_or_off_the_grid():
    fit = fitted()
    now = present(fit)
    for run in plan(12).runs:
        for name, step in STEPS.items():
            assert abs(run.settings[name] - now[name]) <= step + 1e-9
        assert run.settings["launch_rpm"] % 50 == 0 or run.settings["launch_rpm"] == now["launch_rpm"]
        assert run.settings["preload"] % 0.25 == 0
        assert run.settings["tire_pressure"] == now["tire_pressure"]


def test_every_effect_gets_surer_and_more_runs_teach_more():
    few, many = plan(4).precision, plan(12).precision
    assert {item.adjustment for item in few} == set(STEPS)
    for four, twelve in zip(few, many, strict=True):
        assert four.now_s == twelve.now_s
        assert four.after_s < four.now_s
    assert sum(item.after_s**2 for item in many) < sum(item.after_s**2 for item in few)


def test_standard_error_now_is_that_of_the_effects():
    fit = fitted()
    assert plan().precision
    for item in plan().precision:
        sd = fit.posterior.contrast(fit.slope(item.adjustment)).sd[0]
        assert item.now_s == pytest.approx(sd, rel=1e-9)


@pytest.mark.parametrize("facts", [FACTS, FACTS_WITHOUT_GEOMETRY], ids=["load", "raw"])
def test_no_random_plan_of_the_same_kind_is_better(facts):
    fit = fitted(facts=facts)
    limits, now = car_limits(GARAGE, "Marigold", fit.runs), present(fit)
    lab = lab_of(fit, limits, now)
    found = plan_runs(fit, limits, now, 6, purpose="learning")
    mine = state_of_runs(fit, found)
    rng = np.random.default_rng(0)
    for _ in range(60):
        other = mine.copy()
        for name in STEPS:
            factor, column = fit.spec.factor(name), fit.spec.index(name)
            levels = (
                np.array(limits.by_name[name].settable(now[name], factor.step)) - factor.reference
            ) / factor.step
            blocks = [run.block for run in found.runs]
            for group in (
                (range(6),)
                if name == "launch_rpm"
                else [np.flatnonzero(np.array(blocks) == b) for b in set(blocks)]
            ):
                other[list(group), column] = rng.choice(levels, len(group) if name == "launch_rpm" else 1)
        assert lab.criterion(mine[None])[0] <= lab.criterion(other[None])[0] * 1.002


def state_of_runs(fit, found):
    states = np.tile(fit.state[-1] * 0, (len(found.runs), 1))
    if "wear" in fit.spec.names:
        states[:, fit.spec.index("wear")] = fit.state[-1, fit.spec.index("wear")]
    for k, run in enumerate(found.runs):
        for name, value in run.settings.items():
            if name in fit.spec.names:
                factor = fit.spec.factor(name)
                states[k, fit.spec.index(name)] = (value - factor.reference) / factor.step
    return states


def test_a_locked_pair_is_parted():
    fit = fitted(locked=True)
    found = plan(6, fit=fit)
    moves = np.array([[run.settings["preload"], run.settings["counterweight"]] for run in found.runs])
    moves = moves - [present(fit)["preload"], present(fit)["counterweight"]]
    across = moves[:, 1] - 1.5 * moves[:, 0]  # the season moved them as grams = 4 + 1.5 (turns - 3)
    assert np.ptp(across) > 1.0
    pair = [item for item in found.precision if item.adjustment in {"preload", "counterweight"}]
    assert all(item.after_s < 0.9 * item.now_s for item in pair)


def test_the_same_seed_gives_the_same_card_and_another_order_otherwise():
    assert plan(8, seed=1) == plan(8, seed=1)
    orders = {tuple(run.settings["launch_rpm"] for run in plan(8, seed=seed).runs) for seed in range(4)}
    assert len(orders) > 1


def test_order_of_running_hardly_follows_any_setting():
    found = plan(6, wanted=["launch_rpm"])
    rpm = [run.settings["launch_rpm"] for run in found.runs]
    assert abs(np.corrcoef(rpm, range(6))[0, 1]) < 0.3


def test_limits_hold_it_back_and_are_named():
    fit = fitted()
    parts = GARAGE.model_dump(by_alias=True, exclude_none=True)
    parts["car"][0]["launch_rpm_limits"] = [4500, present(fit)["launch_rpm"]]
    found = plan(6, garage=Garage.model_validate(parts))
    assert any(limit.startswith("launch_rpm_limits 4500") for limit in found.limited_by)
    assert max(run.settings["launch_rpm"] for run in found.runs) <= present(fit)["launch_rpm"]


def test_without_limits_there_is_no_plan_and_every_line_is_named():
    found = plan(6, garage=Garage.model_validate({}))
    assert found.runs == ()
    assert len(found.no_suggestion_for) == 4
    assert "No test can be planned" in found.sentence


def test_past_a_limit_there_is_no_plan_until_it_is_inside():
    found = plan(6, now=present(fitted()) | {"preload": 6.5})
    assert found.runs == ()
    assert "safe_turns 6" in found.sentence


def test_what_was_never_changed_is_tried_when_asked_for_by_name():
    usual = plan(6)
    assert any("Tire pressure was never changed" in line for line in usual.no_suggestion_for)
    found = plan(6, wanted=["tire_pressure", "launch_rpm"])
    tried = {run.settings["tire_pressure"] for run in found.runs}
    assert tried <= {9.0, 9.5, 10.0, 10.5, 11.0}
    assert len(tried) > 1
    tire = next(item for item in found.precision if item.adjustment == "tire_pressure")
    assert tire.now_s == pytest.approx(0.006 * np.sqrt(fitted().posterior.inflation))  # its prior
    assert tire.after_s < 0.8 * tire.now_s
    clutch = {(run.settings["preload"], run.settings["counterweight"]) for run in found.runs}
    assert len(clutch) == 1


@pytest.mark.parametrize("n_runs", [0, 1, 25, -3])
def test_numbers_of_runs_that_make_no_plan_are_refused(n_runs):
    with pytest.raises(RequestError, match="Ask for 2 to 24"):
        plan(n_runs)


def test_an_adjustment_nobody_recorded_is_refused():
    with pytest.raises(RequestError, match="no run says what it was"):
        plan(6, wanted=["nitrous"])


def test_runs_are_not_repeated_where_something_else_would_teach_as_much():
    settings = [tuple(run.settings.values()) for run in plan(6).runs]
    assert len(set(settings)) == 6


def test_each_run_says_what_it_is_for():
    for run in plan(8).runs:
        assert run.why
    assert "surer" in plan(8).sentence


def test_an_adjustment_asked_for_without_a_limit_is_named_with_its_remedy():
    parts = GARAGE.model_dump(by_alias=True, exclude_unset=True)
    parts["adjustment"] = [{"name": "shock_clicks", "label": "rear shock"}]
    found = plan(6, garage=Garage.model_validate(parts), wanted=["shock_clicks"])
    assert found.runs == ()
    assert found.sentence == (
        "No test can be planned. No suggestion for rear shock: garage.toml gives no limit. "
        "Add 'limits' to the [[adjustment]] part of shock_clicks."
    )
    assert all("rear shock" not in said for said in found.no_suggestion_for)


def test_limits_that_leave_no_room_are_said():
    parts = GARAGE.model_dump(by_alias=True, exclude_unset=True)
    parts["adjustment"] = [{"name": "shock_clicks", "label": "rear shock", "limits": [6, 6]}]
    now = present(fitted()) | {"shock_clicks": 6.0}
    found = plan(6, garage=Garage.model_validate(parts), now=now, wanted=["shock_clicks"])
    assert "leave it no room: limits 6 to 6 of rear shock" in found.sentence
