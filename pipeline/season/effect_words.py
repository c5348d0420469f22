"""An effect and its verdict in plain words."""

from __future__ import annotations

import numpy as np

from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Effect
from pipeline.season.spec import NIGHT
from pipeline.season.words import interval, listed, sentence_case, thousandths

COOL_PERCENTILE, HOT_PERCENTILE = 15.0, 85.0
NO_CHANGE = 1e-9
"""Two runs nearer than this stood at one setting. [steps]"""
OF_NOTE_S = 1e-3
"""What going wrong adds to an effect is told from here on. [judgement]"""


def temperatures(fit: ResponseFit) -> tuple[float, float] | None:
    """Cool and hot track (15th, 85th percentile), in steps; None when the track's heat is not used."""
    if "track_temp" not in fit.spec.names or not fit.spec.factor("track_temp").varies:
        return None
    values = fit.state[:, fit.spec.index("track_temp")]
    cool, hot = np.percentile(values, [COOL_PERCENTILE, HOT_PERCENTILE])
    return float(cool), float(hot)


def sentence_of(fit: ResponseFit, effect: Effect) -> str:
    """Say an effect, its interval and its verdict, and what it could not be told from."""
    build = {"moved": _moved, "likely": _likely, "inseparable": _inseparable, "no_sign": _no_sign}
    return build[effect.verdict](fit, effect) + _average_words(effect)


def _average_words(effect: Effect) -> str:
    """Say what a step did to the mean time where launches that go wrong make it another."""
    if effect.on_average is None or effect.per_step_s is None or effect.verdict not in {"moved", "likely"}:
        return ""
    mean, low, high = effect.on_average
    if abs(mean - effect.per_step_s) < OF_NOTE_S:
        return ""
    return (
        f" Launches that go wrong counted in, {_more(effect.step)} comes to {thousandths(mean)} "
        f"({interval(low, high)})."
    )


def _label(fit: ResponseFit, name: str) -> str:
    return fit.spec.factor(name).label


def _moved(fit: ResponseFit, effect: Effect) -> str:
    if effect.per_step_s is None or effect.low_s is None or effect.high_s is None:
        return ""
    name, what = sentence_case(effect.label), response_words(effect.response)
    limits = interval(effect.low_s, effect.high_s)
    if effect.low_s < 0 < effect.high_s:
        text = (
            f"{name} moved the {what}, but not one way{_bend_words(fit, effect.adjustment)}, so the average "
            f"step of {effect.step} is near nil ({limits} thousandths)."
        )
    else:
        way = "takes off" if effect.per_step_s < 0 else "adds"
        text = (
            f"{name} moved the {what}: {_more(effect.step)} {way} about "
            f"{thousandths(abs(effect.per_step_s))} thousandths ({limits})."
        )
    return text + _heat_words(fit, effect)


def _more(step: str) -> str:
    """Write a step as something more of it, such as ``1 turn more``; one without a number as it is."""
    return f"{step} more" if step[:1].isdigit() else step


def _bend_words(fit: ResponseFit, name: str) -> str:
    """Say which way the time bends over what was tried, where the runs tell it."""
    tried = fit.state[:, fit.spec.index(name)]
    ends = []
    for value in (tried.min(), tried.max()):
        state = fit.state.copy()
        state[:, fit.spec.index(name)] = value
        ends.append(float(fit.posterior.contrast(fit.slope(name, over=state)).mean[0]))
    if ends[0] < 0 < ends[1]:
        return ": a best value lies inside what was tried"
    if ends[1] < 0 < ends[0]:
        return ": both ends of what was tried are quicker than the middle"
    return ""


def _heat_words(fit: ResponseFit, effect: Effect) -> str:
    heats = temperatures(fit)
    if effect.at_cool is None or effect.at_hot is None or heats is None:
        return ""
    factor = fit.spec.factor("track_temp")
    cool, hot = (factor.reference + factor.step * heat for heat in heats)
    return (
        f" On a track at {cool:.0f} degF {effect.step} more means {thousandths(effect.at_cool[0])} "
        f"({interval(*effect.at_cool[1:])}), at {hot:.0f} degF {thousandths(effect.at_hot[0])} "
        f"({interval(*effect.at_hot[1:])})."
    )


def _inseparable(fit: ResponseFit, effect: Effect) -> str:
    joint = effect.joint
    if joint is None:
        return ""
    others = listed([_label(fit, name) for name in effect.confounded_with])
    return (
        f"{sentence_case(effect.label)} cannot be told apart from {others}: they changed together. "
        f"Together, {joint.step} means {thousandths(joint.per_step_s)} thousandths "
        f"({interval(joint.low_s, joint.high_s)}) on the {response_words(effect.response)}."
    )


def _tangle(fit: ResponseFit, effect: Effect) -> str:
    """Name what moved with it: the night in words of its own, then the rest."""
    others = [name for name in effect.confounded_with if name != NIGHT]
    said = f" It is hard to tell from {listed([_label(fit, name) for name in others])}, which moved with it."
    said = said if others else ""
    if NIGHT in effect.confounded_with and fit.spec.night is not None:
        night, own = fit.state[:, fit.spec.night], fit.state[:, fit.spec.index(effect.adjustment)]
        way = "rose" if float((night - night.mean()) @ own) > 0 else "fell"
        said += (
            f" {sentence_case(effect.label)} {way} as the night went on; "
            "the two cannot be told apart by these runs alone."
        )
    return said


def _tried_words(fit: ResponseFit, effect: Effect) -> str:
    """Say over what range and how often a setting was changed, and so what is lacking."""
    if not effect.is_setting:
        return ""
    factor, own = fit.spec.factor(effect.adjustment), fit.state[:, fit.spec.index(effect.adjustment)]
    low, high = (f"{round(factor.reference + factor.step * end, 2):g}" for end in (own.min(), own.max()))
    changed = np.abs(np.diff(own)) > NO_CHANGE
    within = int((changed & (np.diff(fit.event) == 0)).sum())
    if within == 0:
        return (
            f" It went from {low} to {high}, but only from event to event, so it cannot be told from what "
            "the nights did: change it between two runs of one event."
        )
    return (
        f" It went from {low} to {high} and was changed between two runs of one event "
        f"{'once' if within == 1 else f'{within} times'}; more such changes, there and back, would tell."
    )


def _likely(fit: ResponseFit, effect: Effect) -> str:
    if effect.per_step_s is None or effect.low_s is None or effect.high_s is None:
        return ""
    way = "takes off" if effect.per_step_s < 0 else "adds"
    return (
        f"{sentence_case(effect.label)} likely moved the {response_words(effect.response)}: "
        f"{effect.step} more {way} about {thousandths(abs(effect.per_step_s))} thousandths "
        f"({interval(effect.low_s, effect.high_s)}).{_tangle(fit, effect)}"
    )


def _no_sign(fit: ResponseFit, effect: Effect) -> str:
    what, tangle = response_words(effect.response), _tangle(fit, effect)
    if effect.smallest_visible_s is None or effect.low_s is None or effect.high_s is None:
        tried_so_far = _tried_words(fit, effect)
        return f"Too little was tried to say what {effect.label} does to the {what}.{tried_so_far}{tangle}"
    if effect.is_hinted:
        return (
            f"Only a hint that {effect.label} moved the {what} ({interval(effect.low_s, effect.high_s)} "
            f"thousandths per {effect.step}); as much turns up by chance now and then.{tangle}"
        )
    least = thousandths(effect.smallest_visible_s)
    return (
        f"No sign that {effect.label} moved the {what}; an effect under about {least} thousandths "
        f"per {effect.step} would not have shown.{tangle}"
    )
