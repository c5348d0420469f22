"""What to set next: stay, or the most cautious change that very likely beats staying."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from pipeline.decide.chance_words import chance_words
from pipeline.decide.gain_parts import gain_parts
from pipeline.decide.holding import Holding, held_sentence, unchecked_sentence
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.results import Forecast, NextSetting, SettingChoice
from pipeline.decide.safety import setting_warnings
from pipeline.decide.setting_search import Search, earned, limited_by, most_cautious
from pipeline.decide.trial import trial_for
from pipeline.decide.trust_region import trust_region
from pipeline.decide.untried import untried_words
from pipeline.garage.factors import ADJUSTMENTS
from pipeline.season import basis
from pipeline.season.expected_time import ExpectedTime, one_run_loss
from pipeline.season.in_force import Doubt
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Risk, SafetyWarning
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
    risk: Risk = "cautious",
    holding: Holding | tuple[str, ...] = (),
    wear_in: float | None = None,
    doubts: Sequence[Doubt] = (),
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
    risk
        ``cautious``, or ``even`` for the least expected time whatever its chance above one half.
    holding
        The check of torque capacity, or the lines of garage.toml that it wants.
    wear_in
        Growth of the ring as it is now; None takes the last run's. [in]
    doubts
        Entries in question on which the setting depends.

    Returns
    -------
    NextSetting
        ``change_to`` is None when staying is the honest answer, or when nothing may be said.

    Notes
    -----
    Candidates: all settable values within reach of the present one, inside the limits of garage.toml and
    the trust region, that hold the engine's torque. Of the change d of the expected time at the forecast,
    with what spinning and bogging cost by their chance (:mod:`pipeline.season.expected_time`), the least
    d + 0.7 sd(d) of those with P(d < 0) >= 0.9 wins; at even risk the least d of those with P(d < 0) >= 0.5.
    Event, air and wear cancel in d. Of several moves each must earn its place: one that is not expected to
    gain a thousandth beside the others is dropped, weakest first, and the search made again. A present one
    past a limit is answered with the smallest change that brings it inside, whatever its chance; from there,
    and compared with there, the search goes on as ever. With the present setting in question nothing is
    suggested.
    """
    settings = known_settings(fit, present)
    whole = {**settings, **present}
    checked = holding if isinstance(holding, Holding) else None
    if any(doubt.adjustment == "wear" for doubt in doubts):
        limits = limits.without_preload("its least turns depend on a clutch check that is in question")
    warnings = setting_warnings(limits, whole, checked, doubts)
    unknown = {doubt.adjustment for doubt in doubts} - {"wear"}
    if unknown:
        return _in_question(fit, whole, unknown, forecast, warnings, limits, risk, quick_only=quick_only)
    broken = limits.broken(whole)
    shown = settings | {name: whole[name] for name in broken}
    far = too_far(fit, forecast)
    legal = limits.smallest_legal(whole, quick_only=quick_only)
    start = dict(shown) if legal is None else {name: legal[name] for name in shown}
    moves = [] if far or legal is None else movable(fit, limits, quick_only=quick_only)
    search = _search(fit, present_state(fit, start, forecast, wear_in), moves, start, checked, whole, risk)
    held_now = checked is None or legal is None or checked.locks(legal) is not False
    best = most_cautious(search) if broken and not held_now else earned(search)
    gain = search.expected.difference(search.here, best)
    chance = float(gain.prob_negative[0])
    moved = bool(np.abs(best - search.here).max(initial=0.0) > SAME)
    moved = moved and (chance >= search.gate or (bool(broken) and not held_now))
    after = _moved(search, start, best) if moved else start
    allowed = legal is not None and limits.allows({**whole, **after})
    locks = checked is None or checked.locks({**whole, **after}) is not False
    offered = allowed and locks and (moved or bool(broken))
    stay = choice_at(search.expected, present_state(fit, settings, forecast, wear_in), shown)
    change = choice_at(search.expected, best if moved else search.here, after) if offered else None
    mean, low, high = (float(v[0]) if offered and moved else 0.0 for v in (gain.mean, gain.low, gain.high))
    smallest = choice_at(search.expected, search.here, start) if broken and legal is not None else None
    capacity = (
        unchecked_sentence(tuple(holding))
        if not isinstance(holding, Holding)
        else held_sentence(holding, whole, {**whole, **(after if offered else {})})
    )
    return NextSetting(
        response=fit.response,
        forecast=forecast,
        stay=stay,
        change_to=change,
        gain_s=mean,
        gain_low_s=low,
        gain_high_s=high,
        p_better=chance if offered and moved else None,
        limited_by=(*far, *limited_by(search, best)),
        no_suggestion_for=no_suggestion(fit, limits, quick_only=quick_only),
        quick_only=quick_only,
        sentence=(
            _forced_sentence(limits, stay, smallest, change, mean, chance, quick_only=quick_only)
            if broken
            else _sentence(search, stay, change, mean, chance, far)
        )
        + chance_words(change or stay),
        p_spin=(change or stay).p_spin,
        p_bog=(change or stay).p_bog,
        risk=risk,
        smallest_legal=smallest,
        torque_capacity=capacity,
        warnings=warnings,
        parts=gain_parts(search.expected, search.here, best) if offered and moved else (),
        untried=untried_words(fit, search.limits, search.here, best) if offered and moved else "",
        trial=None
        if offered or far
        else trial_for(fit, limits, whole, search.here, checked, quick_only=quick_only),
    )


def movable(fit: ResponseFit, limits: Limits, *, quick_only: bool) -> list[Limit]:
    """Pick what a suggestion may move: inside limits, in the model, ever changed."""
    return [
        limit
        for limit in limits.by_name.values()
        if limit.name in fit.spec.names
        and fit.spec.factor(limit.name).varies
        and (limit.is_quick or not quick_only)
    ]


# --- the question


def known_settings(fit: ResponseFit, present: Mapping[str, float]) -> dict[str, float]:
    """Return every setting the model knows its present value; the middle of the runs where unknown."""
    return {
        factor.name: float(present.get(factor.name, factor.reference))
        for factor in fit.spec.factors
        if factor.is_setting
    }


def present_state(
    fit: ResponseFit,
    present: Mapping[str, float],
    forecast: Forecast | None = None,
    wear_in: float | None = None,
) -> Array:
    """State of the present setting at the wear there is now, under a forecast or the season's middle.

    Without a wear it is the last run's, and so is the age of tires and disc.
    """
    values = known_settings(fit, present)
    if forecast is not None:
        known = {"track_temp": forecast.track_temp_degf, "air_density": forecast.air_density_kg_per_m3}
        values |= {name: v for name, v in known.items() if v is not None and name in fit.spec.names}
    if "wear" in fit.spec.names and wear_in is not None:
        values["wear"] = wear_in
    state = basis.state_of(fit.spec, values)
    for i, factor in enumerate(fit.spec.factors):
        if factor.kind.stays and factor.name not in values:
            state[i] = fit.state[-1, i]
    return state


def _search(
    fit: ResponseFit,
    here: Array,
    moves: list[Limit],
    settings: Mapping[str, float],
    holding: Holding | None,
    whole: Mapping[str, float],
    risk: Risk,
) -> Search:
    indices = tuple(fit.spec.index(limit.name) for limit in moves)
    choices = tuple(
        (np.array(limit.settable(settings[limit.name])) - fit.spec.factors[i].reference)
        / fit.spec.factors[i].step
        for limit, i in zip(moves, indices, strict=True)
    )
    at = None if holding is None or holding.of(whole) is None else whole
    return Search(
        fit,
        here,
        trust_region(fit, here),
        tuple(moves),
        indices,
        choices,
        ExpectedTime.of(fit),
        risk,
        holding if at else None,
        at or {},
    )


def too_far(fit: ResponseFit, forecast: Forecast) -> tuple[str, ...]:
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


def _in_question(
    fit: ResponseFit,
    whole: Mapping[str, float],
    unknown: set[str],
    forecast: Forecast,
    warnings: tuple[SafetyWarning, ...],
    limits: Limits,
    risk: Risk,
    *,
    quick_only: bool,
) -> NextSetting:
    """Answer with what is known of the present setting, and with no time: it depends on what waits."""
    known = {name: value for name, value in whole.items() if name not in unknown and "setup" not in unknown}
    return NextSetting(
        response=fit.response,
        forecast=forecast,
        stay=SettingChoice(known, math.nan, math.nan, math.nan),
        change_to=None,
        gain_s=0.0,
        gain_low_s=0.0,
        gain_high_s=0.0,
        p_better=None,
        limited_by=(),
        no_suggestion_for=no_suggestion(fit, limits, quick_only=quick_only),
        quick_only=quick_only,
        sentence="Nothing is suggested: the present setting is in question. Answer that entry and ask again.",
        warnings=warnings,
        risk=risk,
    )


def _moved(search: Search, settings: Mapping[str, float], best: Array) -> dict[str, float]:
    """Return settings of a state in own units; values not moved stay exactly as they were."""
    out = dict(settings)
    for i, limit in zip(search.indices, search.limits, strict=True):
        if abs(best[i] - search.here[i]) > SAME:
            factor = search.fit.spec.factors[i]
            value = round(factor.reference + factor.step * float(best[i]), 6)
            out[limit.name] = limit.nearest(value)
    return out


def choice_at(expected: ExpectedTime, state: Array, settings: Mapping[str, float]) -> SettingChoice:
    """Return a setting with its expected time, the interval of one run of an event not seen, its chances."""
    fit = expected.fit
    run = fit.posterior.one_run(basis.design(fit.spec, state), basis.random_columns(fit.spec, state))
    spin, bog = (float(v[0]) for v in expected.chances(state))
    lost, more = one_run_loss(fit, spin, bog)
    mean = float(expected.at(state).seconds[0]) + fit.centre_s
    low, high = (mean - lost + float(end[0] - run.mean[0]) for end in (run.low, run.high))
    return SettingChoice(dict(settings), mean, low, high + more, p_spin=spin, p_bog=bog)


def no_suggestion(fit: ResponseFit, limits: Limits, *, quick_only: bool) -> tuple[str, ...]:
    """Say of which adjustments nothing is suggested, and why."""
    quick = {factor.name for factor in ADJUSTMENTS if factor.is_quick}
    said = [] if quick_only else list(limits.missing.values())
    if quick_only:
        said = [sentence for name, sentence in limits.missing.items() if name in quick]
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
        least = "nine chances in ten" if search.risk == "cautious" else "an even chance"
        return f"Stay: no change near the present setting has {least} to be quicker."
    what = _steps_words(search.limits, stay, change)
    direction = "quicker" if gain_s < 0 else "slower"
    return (
        f"{what[:1].upper()}{what[1:]}: {thousandths(abs(gain_s))} thousandths {direction} than staying "
        f"is expected, with {in_hundred(chance)} chances in a hundred to be quicker."
    )


def _forced_sentence(
    limits: Limits,
    stay: SettingChoice,
    smallest: SettingChoice | None,
    change: SettingChoice | None,
    gain_s: float,
    chance: float,
    *,
    quick_only: bool,
) -> str:
    """Say how to come inside the limits, and what more would help from there."""
    if smallest is None:
        how = "between rounds" if quick_only else "by an adjustment that may be suggested"
        return f"Nothing is suggested: what is past its limit cannot be brought inside {how}."
    inside = _steps_words(limits.by_name.values(), stay, smallest)
    if change is None:
        return (
            f"Nothing is suggested: to come inside the limits, {inside}; but then the clutch would not hold "
            "the engine's torque, and no setting near it does both."
        )
    more = _steps_words(limits.by_name.values(), smallest, change)
    if not more:
        return f"To come inside the limits, {inside}. Nothing else is changed."
    direction = "quicker" if gain_s < 0 else "slower"
    return (
        f"To come inside the limits, {inside}. With that, {more}: {thousandths(abs(gain_s))} thousandths "
        f"{direction} than that alone is expected, with {in_hundred(chance)} chances in a hundred to be "
        "quicker."
    )


def _steps_words(limits: Iterable[Limit], before: SettingChoice, after: SettingChoice) -> str:
    known = [limit for limit in limits if limit.name in before.settings]
    steps = [limit.move(before.settings[limit.name], after.settings[limit.name]) for limit in known]
    return listed([step for step in steps if step])


def in_hundred(chance: float) -> str:
    """Chances in a hundred, never rounded to certainty."""
    return f"{min(max(round(100 * chance), 1), 99)}"
