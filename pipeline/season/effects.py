"""Effect of each adjustment and condition per practical step, with its verdict in plain words."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pipeline.season import basis
from pipeline.season.average_effect import on_average
from pipeline.season.effect_words import sentence_of, temperatures
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Effect, JointEffect
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
from pipeline.season.words import multiple

LEVEL = 0.95
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
    judged, told, hidden = _judged(fit, rows, locked), _told_rows(fit), _hidden(fit)
    made = [_effect(fit, rows, j, judged[j], hidden) for j in range(len(rows))]
    for j, judgement in enumerate(_judged(fit, told)):
        made += [_effect(fit, told, j, judgement, hidden)] if judgement.verdict == "moved" else []
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


def _effect(
    fit: ResponseFit, rows: list[_Row], j: int, judgement: Judgement, hidden: dict[str, Array]
) -> Effect:
    row = rows[j]
    factor = fit.spec.factor(row.name)
    step = fit.posterior.contrast(row.slope, level=LEVEL)
    mean, low, high = (float(v[0]) for v in (step.mean, step.low, step.high))
    little = holds_little(fit, row.slope) and judgement.verdict not in {"moved", "likely"}
    partners = tuple(rows[k].name for k in judgement.partners)
    if judgement.verdict in {"likely", "no_sign"}:
        partners += _hidden_partners(fit, row, hidden)
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
    return replace(effect, sentence=sentence_of(fit, effect))


def _smallest_visible_s(fit: ResponseFit, row: _Row, rows: int) -> float | None:
    """Return the effect per step that would have been called moved four times in five; None for none. [s]."""
    white, _, prior_sd = fit.posterior.whitened(row.whole)
    before = float(np.sqrt(((white * prior_sd) ** 2).sum()))
    after = float(np.sqrt(max(0.0, (row.whole @ fit.posterior.cov @ row.whole.T).item())))
    at = tried(fit, row.name)
    pieces = int(np.linalg.matrix_rank(row.tested))
    least = smallest_shown(pieces, rows, after, before) / float(at[2] - at[0])
    return least if np.isfinite(least) else None


def _hidden(fit: ResponseFit) -> dict[str, Array]:
    """Return what varied and has no row of its own (wear, lane), with its whole-range contrast."""
    kinds = {f.name: f.kind for f in fit.spec.factors if f.varies}
    unseen = (name for name, kind in kinds.items() if not (kind.is_shown or kind.is_refinement))
    return {name: whole_contrast(fit, name) for name in unseen}


def _hidden_partners(fit: ResponseFit, row: _Row, hidden: dict[str, Array]) -> tuple[str, ...]:
    """Return what has no row of its own and yet cannot be told from this row."""
    both = correlation(np.vstack([row.whole, *hidden.values()]), fit.posterior.cov)[0, 1:]
    return tuple(name for name, tangled in zip(hidden, both, strict=True) if abs(tangled) > TANGLED)


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
