"""Effect of each adjustment and condition per practical step, with its verdict in plain words."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pipeline.season import basis
from pipeline.season.average_effect import on_average
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Effect, JointEffect
from pipeline.season.spec import NIGHT
from pipeline.season.sums import Array
from pipeline.season.verdicts import (
    LITTLE_LEARNT,
    LOCKED,
    TANGLED,
    Judgement,
    correlation,
    judge,
    smallest_shown,
)
from pipeline.season.words import interval, listed, multiple, sentence_case, thousandths

LEVEL = 0.95
COOL_PERCENTILE, HOT_PERCENTILE = 15.0, 85.0
NO_CHANGE = 1e-9
"""Two runs nearer than this stood at one setting. [steps]"""
OF_NOTE_S = 1e-3
"""What going wrong adds to an effect is told from here on. [judgement]"""
_PERCENTILES = (10.0, 50.0, 90.0)


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of the table before it is put in words."""

    name: str
    slope: Array
    tested: Array
    whole: Array


def row_names(fit: ResponseFit) -> tuple[str, ...]:
    """List adjustments, then conditions, that varied and so have a row in the table."""
    varying = [f for f in fit.spec.factors if f.varies and f.kind.is_shown]
    return tuple(f.name for f in sorted(varying, key=lambda f: not f.is_setting))


def effects(fit: ResponseFit) -> tuple[Effect, ...]:
    """Every row's effect per step, interval, verdict and sentence; of smaller things those that moved it.

    Notes
    -----
    The effect is the average over the runs used of the slope times the step. The verdict is not a test
    of that slope (near its best value launch rpm matters much and its average slope is nil) but of the
    changes 10th -> 50th -> 90th percentile as tried, others at their medians.
    """
    rows = [_row(fit, name) for name in row_names(fit)]
    settings = [fit.state[:, fit.spec.index(row.name)] for row in rows]
    locked = np.abs(np.corrcoef(settings)) > LOCKED if len(rows) > 1 else None
    judged, told = _judged(fit, rows, locked), _told_rows(fit)
    made = [_effect(fit, rows, j, judged[j]) for j in range(len(rows))]
    for j, judgement in enumerate(_judged(fit, told)):
        made += [_effect(fit, told, j, judgement)] if judgement.verdict == "moved" else []
    return tuple(made)


def _judged(
    fit: ResponseFit, rows: list[_Row], locked: npt.NDArray[np.bool_] | None = None
) -> list[Judgement]:
    """Judge rows together."""
    if not rows:
        return []
    posterior = fit.posterior
    negative = posterior.contrast(np.vstack([r.slope for r in rows])).prob_negative
    return judge(
        [r.tested for r in rows],
        np.vstack([r.whole for r in rows]),
        posterior.mean,
        posterior.cov,
        np.maximum(negative, 1 - negative),
        locked,
    )


def _told_rows(fit: ResponseFit) -> list[_Row]:
    """Rows of what is shown only where the runs say something of it; a lane's at each strip is its whole."""
    made = []
    for indices in fit.spec.parts.values():
        factors = [fit.spec.factors[i] for i in indices if fit.spec.factors[i].prior_s > 0]
        slopes = {factor.name: fit.slope(factor.name) for factor in factors if factor.kind.is_told}
        by_value = [factor.kind for factor in factors if factor.kind.category]
        whole = {kind.name: slopes[kind.name] + slopes.get(kind.times, 0.0) for kind in by_value}
        if slopes and not by_value:
            whole = {factors[0].name: np.sum(list(slopes.values()), axis=0)}
        for name, slope in whole.items():
            along = slope * np.ptp(tried(fit, name))
            made.append(_Row(name, slope, along, along))
    return made


def _row(fit: ResponseFit, name: str) -> _Row:
    return _Row(name, fit.slope(name), verdict_contrasts(fit, name), whole_contrast(fit, name))


def tried(fit: ResponseFit, name: str) -> Array:
    """10th, 50th, 90th percentile of a factor as tried, in steps; its ends when those coincide. (3,)."""
    values = fit.state[:, fit.spec.index(name)]
    at: Array = np.percentile(values, _PERCENTILES)
    if at[2] - at[0] < 1e-9:
        at = np.array([values.min(), at[1], values.max()])
    return at


def temperatures(fit: ResponseFit) -> tuple[float, float] | None:
    """Cool and hot track (15th, 85th percentile), in steps; None when the track's heat is not used."""
    if "track_temp" not in fit.spec.names or not fit.spec.factor("track_temp").varies:
        return None
    values = fit.state[:, fit.spec.index("track_temp")]
    cool, hot = np.percentile(values, [COOL_PERCENTILE, HOT_PERCENTILE])
    return float(cool), float(hot)


def verdict_contrasts(fit: ResponseFit, name: str) -> Array:
    """Contrasts of a row's verdict; launch rpm is asked at a cool and at a hot track. (2 or 4, p)."""
    heats = temperatures(fit) if name == "launch_rpm" else None
    if heats is None:
        return _along(fit, name, np.zeros(len(fit.spec.factors)))
    pieces = []
    for heat in heats:
        at = np.zeros(len(fit.spec.factors))
        at[fit.spec.index("track_temp")] = heat
        pieces.append(_along(fit, name, at))
    return np.vstack(pieces)


def _along(fit: ResponseFit, name: str, at: Array) -> Array:
    states = np.tile(at, (3, 1))
    states[:, fit.spec.index(name)] = tried(fit, name)
    return fit.posterior.pad(np.diff(basis.design(fit.spec, states), axis=0))


def whole_contrast(fit: ResponseFit, name: str) -> Array:
    """Contrast from the 10th to the 90th percentile as tried, others at their medians. (1, p)."""
    pieces = _along(fit, name, np.zeros(len(fit.spec.factors)))
    return np.asarray(pieces.sum(0, keepdims=True))


def holds_little(fit: ResponseFit, slope: Array) -> bool:
    """Say whether the data have hardly narrowed the prior on a step effect."""
    white, _, prior_sd = fit.posterior.whitened(slope)
    before = float(np.sqrt(((white * prior_sd) ** 2).sum()))
    after = float(fit.posterior.contrast(slope).sd[0])
    return after > LITTLE_LEARNT * before


def _effect(fit: ResponseFit, rows: list[_Row], j: int, judgement: Judgement) -> Effect:
    row = rows[j]
    factor = fit.spec.factor(row.name)
    step = fit.posterior.contrast(row.slope, level=LEVEL)
    mean, low, high = (float(v[0]) for v in (step.mean, step.low, step.high))
    little = holds_little(fit, row.slope) and judgement.verdict not in {"moved", "likely"}
    partners = tuple(rows[k].name for k in judgement.partners)
    if judgement.verdict in {"likely", "no_sign"}:
        partners += _hidden_partners(fit, row)
    joint = _joint(fit, (row.name, *partners)) if judgement.verdict == "inseparable" else None
    cool_hot = _cool_hot(fit) if row.name == "launch_rpm" and not little else (None, None)
    effect = Effect(
        response=fit.response,
        adjustment=row.name,
        label=factor.label,
        step=factor.step_words,
        per_step_s=None if little else mean,
        low_s=None if little else low,
        high_s=None if little else high,
        level=LEVEL,
        verdict=judgement.verdict,
        confounded_with=partners,
        smallest_visible_s=None if little else _smallest_visible_s(fit, row, len(rows)),
        runs_used=fit.runs.height,
        is_setting=factor.is_setting,
        p_value=judgement.p_value,
        p_holm=judgement.p_holm,
        joint=joint,
        at_cool=cool_hot[0],
        at_hot=cool_hot[1],
        sentence="",
        on_average=None if little else on_average(fit, row.name, step),
    )
    return _with_sentence(fit, effect)


def _smallest_visible_s(fit: ResponseFit, row: _Row, rows: int) -> float | None:
    """Return the effect per step that would have been called moved four times in five; None for none. [s]."""
    white, _, prior_sd = fit.posterior.whitened(row.whole)
    before = float(np.sqrt(((white * prior_sd) ** 2).sum()))
    after = float(np.sqrt(max(0.0, (row.whole @ fit.posterior.cov @ row.whole.T).item())))
    at = tried(fit, row.name)
    pieces = int(np.linalg.matrix_rank(row.tested))
    least = smallest_shown(pieces, rows, after, before) / float(at[2] - at[0])
    return least if np.isfinite(least) else None


def _hidden_partners(fit: ResponseFit, row: _Row) -> tuple[str, ...]:
    """Return what has no row of its own (wear, lane) and yet cannot be told from this row."""
    partners = []
    for factor in fit.spec.factors:
        if factor.varies and not factor.kind.is_shown:
            both = np.vstack([row.whole, whole_contrast(fit, factor.name)])
            if abs(correlation(both, fit.posterior.cov)[0, 1]) > TANGLED:
                partners.append(factor.name)
    return tuple(partners)


def _joint(fit: ResponseFit, names: tuple[str, ...]) -> JointEffect:
    """Effect of stepping tangled adjustments together, in the proportions they were run in."""
    states = [fit.state[:, fit.spec.index(name)] for name in names]
    lead = states[0] - states[0].mean()
    contrast, words = np.zeros((1, fit.posterior.prior.size)), []
    for name, values in zip(names, states, strict=True):
        away = values - values.mean()
        sign = -1.0 if float(lead @ away) < 0 else 1.0
        times = sign * float(f"{away.std() / lead.std():.2g}")
        contrast += times * fit.slope(name)
        factor = fit.spec.factor(name)
        direction = " more" if times > 0 else " less"
        words.append(f"{multiple(factor.step_words, abs(times))}{direction} {factor.label}")
    found = fit.posterior.contrast(contrast)
    mean, low, high = (float(v[0]) for v in (found.mean, found.low, found.high))
    return JointEffect(names, " with ".join(words), mean, low, high)


def _cool_hot(
    fit: ResponseFit,
) -> tuple[tuple[float, float, float] | None, tuple[float, float, float] | None]:
    """(effect, low, high) of launch rpm at a cool and a hot track."""
    heats = temperatures(fit)
    if heats is None:
        return None, None
    cool, hot = (_at_heat(fit, heat) for heat in heats)
    return cool, hot


def _at_heat(fit: ResponseFit, heat: float) -> tuple[float, float, float]:
    state = fit.state.copy()
    state[:, fit.spec.index("track_temp")] = heat
    found = fit.posterior.contrast(fit.slope("launch_rpm", over=state))
    return float(found.mean[0]), float(found.low[0]), float(found.high[0])


def _with_sentence(fit: ResponseFit, effect: Effect) -> Effect:
    build = {"moved": _moved, "likely": _likely, "inseparable": _inseparable, "no_sign": _no_sign}
    return replace(effect, sentence=build[effect.verdict](fit, effect) + _average_words(effect))


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
