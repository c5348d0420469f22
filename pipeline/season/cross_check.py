"""The plain fixed-effects regression beside ours.

Nothing else of the model is used in it, and fitting, verdicts and suggestions never need it. A test holds
it to statsmodels, which takes longer to load than all else of a season's review takes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.season.check_results import CrossCheckRow
from pipeline.season.effects import row_names
from pipeline.season.least_squares import (
    MOST_INFLATION,
    independent,
    ordinary_least_squares,
    variance_inflation,
)
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Effect
from pipeline.season.sums import Array
from pipeline.season.words import interval, sentence_case, thousandths

_LEAST_SPREAD = 1e-6
_LEAST_SPARE = 3


@dataclass(frozen=True, slots=True)
class _Plain:
    """The plain regression: effect, its limits and inflation by factor name."""

    effect: dict[str, tuple[float, float, float]]
    inflation: dict[str, float]


def cross_check(fit: ResponseFit, effects: tuple[Effect, ...]) -> tuple[CrossCheckRow, ...]:
    """Set the plain regression's effect of every row beside ours, and say where they differ.

    Notes
    -----
    Event dummies, every factor as a straight line, launch rpm squared and rpm x track temperature, by
    ordinary least squares; all runs count alike. Limits are the wider of the classical ones and those
    from errors clustered by event, t with n - k and G - 1 degrees of freedom. Inflation is computed after
    centring by event.
    """
    plain = _plain_regression(fit)
    ours = {effect.adjustment: effect for effect in effects}
    return tuple(_compare(fit, ours[name], plain) for name in row_names(fit) if name in ours)


def line_names(fit: ResponseFit) -> list[str]:
    """Name what has a straight line here.

    Wear and the age of a part grow with the run number, so within an event they are the clock and nothing
    else; and what only refines another (a lane at one strip) is left to our own model.
    """
    return [f.name for f in fit.spec.factors if f.varies and not f.kind.stays and not f.kind.is_refinement]


def _centred_by_event(fit: ResponseFit, columns: Array) -> Array:
    counts = np.bincount(fit.event, minlength=len(fit.events))
    sums = np.zeros((len(fit.events), columns.shape[1]))
    np.add.at(sums, fit.event, columns)
    return np.asarray(columns - (sums / counts[:, None])[fit.event])


def _plain_regression(fit: ResponseFit) -> _Plain:
    names = line_names(fit)
    state = fit.state[:, [fit.spec.index(name) for name in names]]
    within = _centred_by_event(fit, state)
    seen = within.std(0) > _LEAST_SPREAD
    names = [name for name, s in zip(names, seen, strict=True) if s]
    state, within = state[:, seen], within[:, seen]
    kept = independent(within)
    inflation = dict(zip(names, variance_inflation(within), strict=True)) if len(kept) else {}
    names, lines = [names[k] for k in kept], state[:, kept] - state[:, kept].mean(0)
    columns = np.column_stack([lines, _curves(names, lines)])
    columns = columns[:, independent(_centred_by_event(fit, columns))]
    dummies = (fit.event[:, None] == np.arange(len(fit.events))).astype(np.float64)
    if fit.runs.height < columns.shape[1] + dummies.shape[1] + _LEAST_SPARE or not names:
        return _Plain({}, {})
    found = ordinary_least_squares(np.column_stack([columns, dummies]), fit.observed_s, fit.event)
    effect = {
        name: (float(b), float(b - h), float(b + h))
        for name, b, h in zip(names, found.coefficients, found.half_widths, strict=False)
        if inflation[name] < MOST_INFLATION
    }
    return _Plain(effect, {name: float(v) for name, v in inflation.items()})


def _curves(names: list[str], lines: Array) -> Array:
    if "launch_rpm" not in names:
        return np.zeros((lines.shape[0], 0))
    rpm = lines[:, names.index("launch_rpm")]
    curves = [rpm**2]
    if "track_temp" in names:
        curves.append(rpm * lines[:, names.index("track_temp")])
    return np.column_stack(curves)


def _compare(fit: ResponseFit, ours: Effect, plain: _Plain) -> CrossCheckRow:
    found = plain.effect.get(ours.adjustment)
    agrees = found is None or ours.per_step_s is None or _overlap(ours, found)
    return CrossCheckRow(
        response=fit.response,
        adjustment=ours.adjustment,
        ours_s=ours.per_step_s,
        ours_low_s=ours.low_s,
        ours_high_s=ours.high_s,
        plain_s=found[0] if found else None,
        plain_low_s=found[1] if found else None,
        plain_high_s=found[2] if found else None,
        variance_inflation=plain.inflation.get(ours.adjustment),
        agrees=agrees,
        sentence=_sentence(fit, ours, plain, agrees),
    )


def _overlap(ours: Effect, plain: tuple[float, float, float]) -> bool:
    """Say whether either estimate lies inside the other's interval."""
    if ours.per_step_s is None or ours.low_s is None or ours.high_s is None:
        return True
    return ours.low_s <= plain[0] <= ours.high_s or plain[1] <= ours.per_step_s <= plain[2]


def _sentence(fit: ResponseFit, ours: Effect, plain: _Plain, agrees: bool) -> str:
    name, what = sentence_case(ours.label), response_words(fit.response)
    found = plain.effect.get(ours.adjustment)
    if not plain.inflation:
        return f"Too few runs for the plain regression of the {what}."
    if found is None and ours.adjustment in plain.inflation:
        return f"The plain regression cannot tell {ours.label} from what changed with it."
    if found is None:
        return f"{name} changed only between events, where the plain regression does not look."
    theirs = f"{thousandths(found[0])} thousandths per {ours.step} ({interval(found[1], found[2])})"
    if ours.per_step_s is None:
        return (
            f"The plain regression gives {ours.label} {theirs}; we print no number, as it hangs on few runs."
        )
    if agrees:
        return f"The plain regression agrees on {ours.label}: {theirs}."
    return (
        f"The plain regression disagrees on {ours.label}: {theirs}, where ours is "
        f"{thousandths(ours.per_step_s)}. It lets ruined runs count in full and sees only straight lines: "
        "look at the runs on the evidence page before acting on either."
    )
