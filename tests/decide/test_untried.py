"""A suggestion outside what was run says so: which value, by how much, or that it is the whole of them."""

from dataclasses import replace

import numpy as np
import polars as pl

from pipeline.decide.limits import car_limits
from pipeline.decide.next_setting import suggest_next
from pipeline.decide.results import Forecast
from pipeline.decide.untried import TOGETHER, tried_between, untried_words
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, Truth, season

FORECAST = Forecast(None, 95.0, None, None, None, None, None, ())


def fitted(runs: pl.DataFrame):
    fit = fit_response(runs, FACTS)
    limits = car_limits(GARAGE, "Marigold", fit.runs)
    return fit, limits


def moved(fit, **steps: float) -> tuple[np.ndarray, np.ndarray]:
    """The state of the middle setting, and one with some settings put to own values."""
    here = np.zeros(len(fit.spec.factors))
    there = here.copy()
    for name, own in steps.items():
        factor = fit.spec.factor(name)
        there[fit.spec.index(name)] = (own - factor.reference) / factor.step
    return here, there


def test_a_value_past_the_runs_is_named_with_how_far() -> None:
    fit, limits = fitted(season(2))
    low, high = tried_between(fit, "launch_rpm")
    ends = (fit.runs["launch_rpm"].min(), fit.runs["launch_rpm"].max())
    assert (low, high) == ends
    known = [replace(limits.by_name["launch_rpm"], low=1000.0, high=9000.0)]
    assert untried_words(fit, known, *moved(fit, launch_rpm=high + 50)) == (
        f"{high + 50:g} rpm of launch rpm is 50 rpm more than any run has had."
    )
    assert untried_words(fit, known, *moved(fit, launch_rpm=low - 100)).endswith(
        "100 rpm less than any run has had."
    )


def test_inside_the_runs_nothing_is_said() -> None:
    fit, limits = fitted(season(2))
    factor = fit.spec.factor("launch_rpm")
    here, there = moved(fit, launch_rpm=factor.reference + 50)
    assert untried_words(fit, limits.by_name.values(), here, there) == ""
    assert untried_words(fit, limits.by_name.values(), here, here) == ""


def test_each_within_but_never_together_is_said_once() -> None:
    runs = season(2)
    turns = runs["preload_turns"]
    grams = 5.0 + 2.0 * (turns - turns.mean()) / turns.std()
    fit, limits = fitted(runs.with_columns(counterweight_g=grams))
    some = {name: replace(limits.by_name[name], low=0.0, high=99.0) for name in ("preload", "counterweight")}
    against = {"preload": float(turns.quantile(0.9)), "counterweight": float(grams.quantile(0.1))}
    assert untried_words(fit, some.values(), *moved(fit, **against)) == TOGETHER


def test_next_says_it_of_what_it_suggests_and_of_nothing_else() -> None:
    runs = season(2, truth=Truth(preload=-0.010, counterweight=-0.006, rpm_curve=0.0015))
    fit, limits = fitted(runs)
    now = present_settings(fit.runs, None, ["shock_clicks"])
    found = suggest_next(fit, limits, now, FORECAST)
    assert found.change_to is not None
    past = [
        name
        for name, own in found.change_to.settings.items()
        if abs(own - now.get(name, own)) > 1e-9 and not _within(own, tried_between(fit, name))
    ]
    assert all(f"of {limits.by_name[name].label} is" in found.untried for name in past)
    assert past or found.untried in ("", TOGETHER)
    flat = fit_response(season(5, truth=NOTHING), FACTS)
    still = suggest_next(flat, limits, present_settings(flat.runs, None, ["shock_clicks"]), FORECAST)
    assert still.change_to is None
    assert still.untried == ""


NOTHING = Truth(preload=0.0, counterweight=0.0, rpm_curve=0.0, rpm_by_temp=0.0, temp=0.0)


def _within(own: float, ends: tuple[float, float]) -> bool:
    return ends[0] - 1e-6 <= own <= ends[1] + 1e-6
