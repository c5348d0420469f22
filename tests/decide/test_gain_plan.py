"""Test runs for the next setting: what they are worth, in which order, and when not to make them."""

import itertools
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from pipeline.decide import gain_plan
from pipeline.decide.dials import dials_of, known_limits, never_changed
from pipeline.decide.limits import SAME, Limits, car_limits
from pipeline.decide.next_setting import present_state
from pipeline.decide.plan_words import why, with_minutes
from pipeline.decide.prospects import MOST_MOVES, POSSIBLE, Movable, Prospects, _best_of_each, worth_trying
from pipeline.decide.setting_search import WORTH_S
from pipeline.decide.test_plan import plan_runs
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Car
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from pipeline.season.usual_size import TOLD
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, season

SLOW = ("preload", "counterweight", "shock_clicks")


@cache
def fitted(*, locked: bool = False):
    return fit_response(season(2, runs=80, events=8, locked=locked), FACTS)


def present(fit):
    return present_settings(fit.runs, None, ["shock_clicks"])


@cache
def plan(n_runs: int = 8, *, locked: bool = False):
    fit = fitted(locked=locked)
    return plan_runs(fit, car_limits(GARAGE, "Marigold", fit.runs), present(fit), n_runs)


@cache
def prospects():
    fit = fitted()
    limits = known_limits(fit, car_limits(GARAGE, "Marigold", fit.runs))
    expected, here = ExpectedTime.of(fit, never_changed(fit, limits)), present_state(fit, present(fit))
    dials = dials_of(fit, limits, present(fit))
    states = worth_trying(expected, here, dials, lambda s: np.ones(len(s), dtype=bool), 0.01, 1)
    return Prospects.of(expected, states)


def test_runs_of_the_present_setting_alone_are_worth_next_to_nothing():
    assert prospects().worth(np.zeros((1, 8), dtype=np.intp))[0] == pytest.approx(0.0, abs=3e-4)


def test_settings_worth_a_look_differ_in_few_and_the_best_turn_comes_first():
    known = prospects()
    moves = (np.abs(known.states - known.states[0]) > SAME).sum(1)
    assert set(moves.tolist()) == set(range(MOST_MOVES + 1))
    limits = known_limits(fitted(), car_limits(GARAGE, "Marigold", fitted().runs))
    dials = dials_of(fitted(), limits, present(fitted()))
    cars = known.expected.possible(POSSIBLE, 1)
    one, two = np.split(_best_of_each(cars, known.states[0], dials), MOST_MOVES)
    singles = np.vstack([_turns(known.states[0], dial) for dial in dials])
    times = cars.at(singles) + WORTH_S * (np.abs(singles - known.states[0]) > SAME).any(1)
    assert np.array_equal(one, singles[times.argmin(1)])
    assert ((np.abs(two - one) > SAME).sum(1) <= 1).all()


def _turns(here, dial):
    states = np.tile(here, (dial.values.size, 1))
    states[:, dial.index] = dial.values
    return states


def test_more_runs_tell_more_and_the_rest_of_doubt_is_never_negative():
    arms = np.array([0, 3, 9, 0])
    few = (prospects().learnt(arms[None])[0] ** 2).sum(1)
    many = (prospects().learnt(np.tile(arms, 2)[None])[0] ** 2).sum(1)
    assert (many >= few - 1e-12).all()
    assert (many <= np.diag(prospects().joint) + 1e-12).all()


def test_what_runs_tell_is_the_conditioning_of_a_joint_normal():
    known, runs = prospects(), np.array([0, 5, 20, 0])
    order = np.arange(4) - 1.5
    noise = known.slope_gram[np.ix_(runs, runs)] + np.diag(known.noise_s2[runs])
    noise = noise + known.event_s2 + known.night_s2 * known.night_per_run**2 * np.outer(order, order)
    noisy = known.clean_gram[np.ix_(runs, runs)] + noise / TOLD
    cross = known.clean_gram[:, runs]
    by_hand = np.einsum("ai,ij,aj->a", cross, np.linalg.inv(noisy), cross)
    assert (known.learnt(runs[None])[0][:, :4] ** 2).sum(1) == pytest.approx(by_hand, rel=1e-6, abs=1e-12)


def test_the_drift_of_the_night_costs_a_plan_that_goes_one_way_more():
    known = replace(prospects(), night_s2=0.01**2, night_per_run=0.15)
    arm = int(np.diag(known.clean_gram).argmax())
    one_way, there_and_back = np.array([[0, 0, arm, arm], [0, arm, arm, 0]])
    told = [(known.learnt(runs[None])[0][arm] ** 2).sum() for runs in (one_way, there_and_back)]
    assert told[1] > told[0]


def test_the_present_setting_is_run_first_and_last():
    fit = fitted()
    now, runs = present(fit), plan().runs
    assert [run.order for run in runs] == list(range(1, 9))
    for run in (runs[0], runs[-1]):
        assert run.settings == now | run.settings
        assert all(run.settings[name] == now[name] for name in run.settings)
        assert run.why == "the yardstick"


def test_slow_settings_change_only_between_blocks_and_every_change_is_marked():
    runs = plan().runs
    for before, run in itertools.pairwise(runs):
        differs = {name for name in run.settings if run.settings[name] != before.settings[name]}
        assert set(run.changed) == differs
        assert bool(differs & set(SLOW)) == (run.block != before.block)
    assert max(run.block for run in runs) <= 5


def test_it_says_what_it_should_bring_and_settle():
    found = plan()
    assert found.purpose == "60ft"
    assert found.worth_s is not None
    assert f"{1000 * found.worth_s:.1f} thousandths" in found.sentence
    assert all(len(run.why.split()) <= 7 for run in found.runs)
    assert {one.adjustment for one in found.precision} >= {"preload", "launch_rpm"}
    assert plan() == plan_runs(fitted(), car_limits(GARAGE, "Marigold", fitted().runs), present(fitted()), 8)


def test_minutes_of_changes_and_cooling_are_summed_where_the_garage_says_them():
    assert with_minutes(plan(), Car(name="Marigold")) == plan()
    car = Car(name="Marigold", change_minutes={"launch_rpm": 2, "preload": 20}, cooling_minutes=40)
    found = with_minutes(plan(), car)
    assert found.runs[0].minutes == 0
    second = found.runs[1]
    assert second.minutes == 40 + 2 * ("launch_rpm" in second.changed) + 20 * ("preload" in second.changed)
    hours, rest = divmod(round(sum(run.minutes for run in found.runs)), 60)
    assert found.sentence.endswith(f"Changes and cooling take {hours} h {rest:02d} min.")


def test_of_orders_worth_nearly_as_much_the_quickest_to_change_is_run():
    def changing(found, name):
        return sum(name in run.changed for run in found.runs[1:])

    fit, tried = fitted(), []
    for minutes in ({}, {"preload": 90.0}, {"counterweight": 90.0}):
        tried.append(
            plan_runs(fit, car_limits(GARAGE, "Marigold", fit.runs), present(fit), 8, change_minutes=minutes)
        )
    settings = [sorted(sorted(run.settings.items()) for run in one.runs) for one in tried]
    assert settings[0] == settings[1] == settings[2]  # the same runs
    assert changing(tried[1], "preload") <= changing(tried[0], "preload")
    assert changing(tried[2], "counterweight") <= changing(tried[0], "counterweight")
    assert tried[1].worth_s >= 0.9 * tried[0].worth_s


def test_the_minutes_of_an_order_are_those_of_its_changes():
    dials = (
        Movable("preload", 0, np.zeros(1), is_quick=False),
        Movable("launch_rpm", 1, np.zeros(1), is_quick=True),
    )
    there_and_back = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 2.0]])
    once = there_and_back[[0, 2, 1]]
    took = gain_plan._minutes(np.stack([there_and_back, once]), dials, {"preload": 20.0, "launch_rpm": 2.0})
    assert took.tolist() == [42.0, 24.0]


def test_minutes_of_what_is_no_adjustment_are_refused():
    with pytest.raises(ValueError, match="names 'preloda', which is no adjustment"):
        Garage.model_validate({"car": [{"name": "Marigold", "change_minutes": {"preloda": 20}}]})


def test_a_locked_pair_is_parted():
    runs = plan(8, locked=True).runs
    now = present(fitted(locked=True))
    moves = np.array([[run.settings[n] - now[n] for n in ("preload", "counterweight")] for run in runs])
    across = moves[:, 1] - 1.5 * moves[:, 0]  # the season moved them as grams = 4 + 1.5 (turns - 3)
    assert np.ptp(across) > 1.0
    assert any(run.why.startswith("parts ") for run in runs)


def test_a_lone_move_of_two_tangled_settings_says_what_it_parts():
    limits = known_limits(fitted(), car_limits(GARAGE, "Marigold", fitted().runs))
    now = present(fitted())
    more = now | {"preload": now["preload"] + 0.5, "launch_rpm": now["launch_rpm"] + 50, "shock_clicks": 0}
    assert why(limits, more, now, {"preload", "counterweight"}).startswith("parts preload from ")
    assert why(limits, more, now, {"preload", "counterweight", "tire_pressure"}) == "3 moves at once"
    assert why(limits, more, now) == "3 moves at once"


def test_where_next_to_nothing_can_be_moved_the_runs_are_not_worth_making():
    fit = fitted()
    now, limits = present(fit), car_limits(GARAGE, "Marigold", fit.runs)
    shock = limits.by_name["shock_clicks"]
    held = replace(shock, low=now["shock_clicks"], high=now["shock_clicks"] + 1)
    found = plan_runs(fit, Limits({"shock_clicks": held}, {}, {}), now, 4)
    assert not found.is_worth_it
    assert "not worth making" in found.sentence
