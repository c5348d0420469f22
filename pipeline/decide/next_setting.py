"""What to set next: stay, or the most cautious change that very likely beats staying."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pipeline.decide.limits import QUICK, Limit, Limits
from pipeline.decide.setting_search import GATE, SAME, Search, earned, limited_by
from pipeline.decide.trust_region import trust_region
from pipeline.season import basis
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Forecast, NextSetting, SettingChoice
from pipeline.season.sums import Array
from pipeline.season.words import listed, thousandths

FAR_DEGF = 15.0
"""Beyond the track temperatures run so far by more than this, nothing is suggested. [judgement]"""


def suggest_next(
    fit: ResponseFit,
    limits: Limits,
    present: Mapping[str, float],
    forecast: Forecast,
    *,
    quick_only: bool = False,
) -> NextSetting:
    """Suggest the next setting under a forecast.

    Parameters
    ----------
    fit
        The fitted response, usually the 60 ft time.
    limits
        What may be moved and how far; adjustments without limits stay.
    present
        The setting in force, in own units.
    forecast
        Conditions of the runs to come. An unknown part counts as the middle of the runs so far.
    quick_only
        Move only what can be changed between rounds.

    Returns
    -------
    NextSetting
        ``change_to`` is None when staying is the honest answer.

    Notes
    -----
    Candidates: all settable values within reach of the present one, inside the limits of garage.toml and
    the trust region. With D = x_new - x_now at the forecast, the least D'b + sd(D'b) wins, and is offered
    when P(D'b < 0) >= 0.9. Event, air and wear cancel in D. Of several moves each must earn its
    place: one without .9 chance to beat the same suggestion less that move is dropped, weakest first, and
    the search made again. A present setting past a limit is answered with the best one inside, whatever
    its chance.
    """
    settings = known_settings(fit, present)
    here = present_state(fit, settings, forecast)
    passed = limits.passed(settings)
    movable = [
        limit
        for limit in limits.by_name.values()
        if limit.name in fit.spec.names
        and (fit.spec.factor(limit.name).varies or not limit.allows(settings[limit.name]))
        and (limit.is_quick or not quick_only)
    ]
    far = _too_far(fit, forecast)
    if far:  # nothing is suggested there, but to come inside a limit that is passed
        movable = [limit for limit in movable if not limit.allows(settings[limit.name])]
    fixed = settings.keys() & limits.by_name.keys() - {limit.name for limit in movable}
    search = _search(fit, here, movable, settings)
    best = here if far and not passed else earned(search)
    gain = fit.difference(here, best)
    moved = bool(np.abs(best - here).max(initial=0.0) > SAME)
    chance = float(gain.prob_negative[0])
    stuck = any(not limits.by_name[name].allows(settings[name]) for name in fixed)
    offered = moved and not stuck and (chance >= GATE or bool(passed))
    stay = _choice(fit, here, settings)
    change = _choice(fit, best, _moved(search, settings, best)) if offered else None
    mean, low, high = (float(v[0]) if offered else 0.0 for v in (gain.mean, gain.low, gain.high))
    return NextSetting(
        response=fit.response,
        forecast=forecast,
        stay=stay,
        change_to=change,
        gain_s=mean,
        gain_low_s=low,
        gain_high_s=high,
        p_better=chance if offered else None,
        limited_by=(*far, *limited_by(search, best)),
        no_suggestion_for=_no_suggestion(fit, limits, quick_only=quick_only),
        quick_only=quick_only,
        sentence=" ".join((*passed, _sentence(search, stay, change, mean, chance, far))),
    )


# --- the question


def known_settings(fit: ResponseFit, present: Mapping[str, float]) -> dict[str, float]:
    """Give every setting the model knows its present value; the middle of the runs where unknown."""
    return {
        factor.name: float(present.get(factor.name, factor.reference))
        for factor in fit.spec.factors
        if factor.is_setting
    }


def present_state(fit: ResponseFit, present: Mapping[str, float], forecast: Forecast | None = None) -> Array:
    """State of the present setting at the last run's wear, under a forecast or the season's middle."""
    values = known_settings(fit, present)
    if forecast is not None:
        known = {"track_temp": forecast.track_temp_degf, "air_density": forecast.air_density_kg_per_m3}
        values |= {name: v for name, v in known.items() if v is not None and name in fit.spec.names}
    state = basis.state_of(fit.spec, values)
    if "wear" in fit.spec.names:
        i = fit.spec.index("wear")
        state[i] = fit.state[-1, i]
    return state


def _search(fit: ResponseFit, here: Array, movable: list[Limit], settings: Mapping[str, float]) -> Search:
    indices = tuple(fit.spec.index(limit.name) for limit in movable)
    choices = tuple(
        (np.array(limit.settable(settings[limit.name])) - fit.spec.factors[i].reference)
        / fit.spec.factors[i].step
        for limit, i in zip(movable, indices, strict=True)
    )
    return Search(fit, here, trust_region(fit, here), tuple(movable), indices, choices)


def _too_far(fit: ResponseFit, forecast: Forecast) -> tuple[str, ...]:
    """Say when the forecast track is far outside what was run on."""
    temp = forecast.track_temp_degf
    if temp is None or "track_temp" not in fit.spec.names:
        return ()
    i, factor = fit.spec.index("track_temp"), fit.spec.factor("track_temp")
    low, high = (factor.reference + factor.step * v for v in (fit.state[:, i].min(), fit.state[:, i].max()))
    if low - FAR_DEGF <= temp <= high + FAR_DEGF:
        return ()
    return (
        f"a track of {temp:.0f} degF, more than {FAR_DEGF:g} degF outside "
        f"the {low:.0f} to {high:.0f} degF run so far",
    )


# --- the answer


def _moved(search: Search, settings: Mapping[str, float], best: Array) -> dict[str, float]:
    """Give settings of a state in own units; values not moved stay exactly as they were."""
    out = dict(settings)
    for i, limit in zip(search.indices, search.limits, strict=True):
        if abs(best[i] - search.here[i]) > SAME:
            factor = search.fit.spec.factors[i]
            value = round(factor.reference + factor.step * float(best[i]), 6)
            out[limit.name] = limit.nearest(value)
    return out


def _choice(fit: ResponseFit, state: Array, settings: Mapping[str, float]) -> SettingChoice:
    """Give a setting its expected time and the interval of one run of an event not seen yet."""
    run = fit.posterior.one_run(basis.design(fit.spec, state), state[list(fit.spec.slope_factors)][None])
    mean, low, high = (float(v[0]) + fit.centre_s for v in (run.mean, run.low, run.high))
    return SettingChoice(dict(settings), mean, low, high)


def _no_suggestion(fit: ResponseFit, limits: Limits, *, quick_only: bool) -> tuple[str, ...]:
    said = [] if quick_only else list(limits.missing.values())
    if quick_only:
        said = [sentence for name, sentence in limits.missing.items() if name in QUICK]
    for name, limit in limits.by_name.items():
        if quick_only and not limit.is_quick:
            continue
        if name not in fit.spec.names:
            said.append(f"No suggestion for {limit.label}: too few runs say what it was.")
        elif not fit.spec.factor(name).varies:
            said.append(
                f"No suggestion for {limit.label}: it never changed, so nothing is known of it. "
                "A test plan can try it."
            )
    return tuple(said)


def _sentence(
    search: Search,
    stay: SettingChoice,
    change: SettingChoice | None,
    gain_s: float,
    chance: float,
    far: tuple[str, ...],
) -> str:
    if far and change is None:
        return f"Stay: nothing is known of {far[0]}."
    if change is None and not search.limits:
        return "Stay: there is no adjustment that has a limit in garage.toml and was ever changed."
    if change is None:
        return "Stay: no change near the present setting has nine chances in ten to be quicker."
    steps = [_step_words(limit, stay, change) for limit in search.limits]
    what = listed([step for step in steps if step])
    direction = "quicker" if gain_s < 0 else "slower"
    return (
        f"{what[:1].upper()}{what[1:]}: {thousandths(abs(gain_s))} thousandths {direction} than staying "
        f"is expected, with {_in_hundred(chance)} chances in a hundred to be quicker."
    )


def _in_hundred(chance: float) -> str:
    """Chances in a hundred, never rounded to certainty."""
    return f"{min(max(round(100 * chance), 1), 99)}"


def _step_words(limit: Limit, stay: SettingChoice, change: SettingChoice) -> str:
    before, after = stay.settings[limit.name], change.settings[limit.name]
    if abs(after - before) <= SAME:
        return ""
    verb = "raise" if after > before else "lower"
    pieces = limit.pieces(after)
    hung = f" ({pieces} on each lever)" if pieces else ""
    return f"{verb} {limit.label} from {before:g} to {limit.spoken(after)}{hung}"
