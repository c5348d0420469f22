"""Scores suggestions and test plans on worlds whose truth is known."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from pipeline.decide.learning_plan import lab_of
from pipeline.decide.limits import car_limits
from pipeline.decide.next_setting import present_state, suggest_next
from pipeline.decide.results import Forecast
from pipeline.decide.test_plan import plan_runs
from pipeline.decide.trust_region import trust_region
from pipeline.season import basis
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import ResponseFit, fit_response
from tests.decide.decision_worlds import GARAGE, World, simulated_world, world
from tests.season.seasons import FACTS

CLUTCH_AND_RPM = ("preload", "counterweight", "launch_rpm")


@dataclass(frozen=True)
class Score:
    """One season: what was suggested, what it truly gains, what the best in the same box gains. [s]."""

    offered: bool
    said_s: float
    gain_s: float
    best_s: float


@dataclass(frozen=True)
class Car:
    """A fitted season with what the decisions are made from."""

    world: World
    fit: ResponseFit
    limits: object
    present: dict[str, float]
    forecast: Forecast


@cache
def car(seed: int, kind: str = "formula") -> Car:
    made, facts = (world(seed), FACTS) if kind == "formula" else simulated_world(seed)
    return Car(
        made,
        fit_response(made.runs, facts),
        car_limits(GARAGE, "Marigold", made.runs),
        present_settings(made.runs, None, ["shock_clicks"]),
        Forecast(None, made.temp_degf, None, None, None, None, None, ()),
    )


def score(seed: int, kind: str = "formula") -> Score:
    """Suggest for one season and look the suggestion up in its truth."""
    one = car(seed, kind)
    found = suggest_next(one.fit, one.limits, one.present, one.forecast)
    after = found.change_to.settings if found.change_to else found.stay.settings
    gain = one.world.true_change_s(found.stay.settings, after)
    return Score(found.change_to is not None, found.gain_s, gain, best_in_the_box(one))


def best_in_the_box(one: Car) -> float:
    """True gain of the best setting within reach, limits and trust region: a search of its own. [s]."""
    fit, present = one.fit, one.present
    here = present_state(fit, present, one.forecast)
    moved = [limit for limit in one.limits.by_name.values() if fit.spec.factor(limit.name).varies]
    mesh = np.meshgrid(*(limit.settable(present[limit.name]) for limit in moved), indexing="ij")
    own = {limit.name: values.ravel() for limit, values in zip(moved, mesh, strict=True)}
    states = np.tile(here, (mesh[0].size, 1))
    for name, values in own.items():
        states[:, fit.spec.index(name)] = (values - fit.spec.factor(name).reference) / fit.spec.factor(
            name
        ).step
    inside = trust_region(fit, here).holds(states)
    order = ("preload", "counterweight", "launch_rpm", "shock_clicks")
    # What has no true effect (tire, wing) only multiplies the candidates.
    tried = np.unique(np.stack([own[name][inside] for name in order]), axis=1)
    times = one.world.time(*tried[:3], one.world.temp_degf, tried[3])
    now = one.world.time(*(present[name] for name in order[:3]), one.world.temp_degf, present["shock_clicks"])
    return float(np.min(times) - now)


def cut_of_six_runs(seed: int, kind: str = "formula") -> tuple[float, float]:
    """Share by which six runs cut the target's standard error: planned, and one thing at a time.

    The target is the root of the summed variances of the preload, counterweight and rpm effects. One at a
    time, as racers do: the present setting, preload a step away, back, counterweight, back, launch rpm.
    """
    one = car(seed, kind)
    plan = plan_runs(one.fit, one.limits, one.present, 6, wanted=CLUTCH_AND_RPM, purpose="learning")
    now = np.array([item.now_s for item in plan.precision])
    after = np.array([item.after_s for item in plan.precision])
    lab = lab_of(one.fit, one.limits, one.present, CLUTCH_AND_RPM)
    single = np.sqrt(lab.variances(one_at_a_time(one)[None])[0][: now.size])
    total = np.sqrt((now**2).sum())
    return 1 - np.sqrt((after**2).sum()) / total, 1 - np.sqrt((single**2).sum()) / total


def one_at_a_time(one: Car) -> np.ndarray:
    """States of the racer's six runs. Shape (6, F)."""
    states = np.tile(present_state(one.fit, one.present), (6, 1))
    for run, name in zip((1, 3, 5), CLUTCH_AND_RPM, strict=True):
        factor, now = one.fit.spec.factor(name), one.present[name]
        settable = one.limits.by_name[name].settable(now, factor.step)
        states[run, one.fit.spec.index(name)] = (
            max(settable, key=lambda value: abs(value - now)) - factor.reference
        ) / factor.step
    return states


def refitted_after(seed: int, n_runs: int) -> tuple[np.ndarray, np.ndarray]:
    """Make the planned runs in the world, fit again: standard errors expected and got. Two of shape (t,)."""
    one = car(seed)
    plan = plan_runs(one.fit, one.limits, one.present, n_runs, purpose="learning")
    rng = np.random.default_rng(seed)
    level, last = rng.normal(0, 0.006), one.world.runs.tail(1)
    rows = []
    for run in plan.runs:
        s = run.settings
        order = (s["preload"], s["counterweight"], s["launch_rpm"])
        t60 = one.world.time(*order, one.world.temp_degf, s["shock_clicks"]) + level + rng.normal(0, 0.009)
        rows.append(
            last.to_dicts()[0]
            | {
                "run_id": 10_000 + run.order,
                "event": "Test day",
                "t60_s": round(float(t60), 3),
                "preload_turns": s["preload"],
                "counterweight_g": s["counterweight"],
                "launch_rpm": s["launch_rpm"],
                "extras": [{"key": "shock_clicks", "value": s["shock_clicks"]}],
                "track_temp_degf": one.world.temp_degf,
                "outcome": "clean",
            }
        )
    again = fit_response(
        one.world.runs.vstack(last.clear().__class__(rows, schema=one.world.runs.schema)), FACTS
    )
    got = []
    for item in plan.precision:
        # The same question as before: the effect at the states of the first season.
        states = basis.to_steps(again.spec, one.fit.runs)
        got.append(float(again.posterior.contrast(again.slope(item.adjustment, over=states)).sd[0]))
    return np.array([item.after_s for item in plan.precision]), np.array(got)
