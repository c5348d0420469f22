"""Effect curves with their runs, before/after pairs, and the best launch rpm by track temperature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from pipeline.season import basis
from pipeline.season.check_results import BeforeAfter, PartialResidual
from pipeline.season.effect_words import NO_CHANGE
from pipeline.season.effects import row_names
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import CurvePoint, RpmPoint
from pipeline.season.season_change import paired_parts
from pipeline.season.sums import Array
from pipeline.season.words import listed

POINTS = 31
MARGIN = 0.1
"""Share of the tried range that a curve is drawn beyond it, marked as not supported."""

_DRAWS = 400
_SEED = 20310405
_RPM_POINTS = 81
_HEAT_STEP_DEGF = 5.0
_NEAR_DEGF = 6.0
_NEAR_RUNS = 3


def curves(fit: ResponseFit) -> tuple[CurvePoint, ...]:
    """Time against the median setting along each row's tried range, others at their medians."""
    return tuple(point for name in row_names(fit) for point in _curve(fit, name))


def _curve(fit: ResponseFit, name: str) -> list[CurvePoint]:
    i, factor = fit.spec.index(name), fit.spec.factor(name)
    low, high = float(fit.state[:, i].min()), float(fit.state[:, i].max())
    beyond = MARGIN * (high - low)
    at = np.linspace(low - beyond, high + beyond, POINTS)
    for end in (low, high):  # "never tried" begins at the very value tried last
        at[np.abs(at - end).argmin()] = end
    states = np.zeros((POINTS, fit.state.shape[1]))
    states[:, i] = at
    found = fit.difference(np.zeros((1, fit.state.shape[1])), states)
    return [
        CurvePoint(
            adjustment=name,
            response=fit.response,
            value=float(factor.reference + factor.step * at[j]),
            seconds=float(found.mean[j]),
            low_s=float(found.low[j]),
            high_s=float(found.high[j]),
            supported=bool(low - 1e-9 <= at[j] <= high + 1e-9),
        )
        for j in range(POINTS)
    ]


def partial_residuals(fit: ResponseFit) -> tuple[PartialResidual, ...]:
    """Every run on every row's curve: the curve at its setting plus the run's residual."""
    made = []
    ids = fit.runs["run_id"].to_list()
    for name in row_names(fit):
        i, factor = fit.spec.index(name), fit.spec.factor(name)
        states = np.zeros_like(fit.state)
        states[:, i] = fit.state[:, i]
        change = basis.design(fit.spec, states) - basis.design(fit.spec, np.zeros((1, states.shape[1])))
        height = fit.posterior.pad(change) @ fit.posterior.mean + fit.posterior.residuals
        made += [
            PartialResidual(
                adjustment=name,
                response=fit.response,
                run_id=int(ids[row]),
                value=float(factor.reference + factor.step * fit.state[row, i]),
                seconds=float(height[row]),
                weight=float(fit.posterior.run_weights[row]),
            )
            for row in range(len(ids))
        ]
    return tuple(made)


def before_after(fit: ResponseFit) -> tuple[BeforeAfter, ...]:
    """Neighbouring runs of one event between which an adjustment changed."""
    settings = [i for i, f in enumerate(fit.spec.factors) if f.is_setting and f.varies]
    later = np.flatnonzero(fit.event[1:] == fit.event[:-1]) + 1
    if not later.size or not settings:
        return ()
    parts = paired_parts(fit.spec, fit.state[later - 1], fit.state[later])
    seconds = parts @ fit.posterior.mean[: len(fit.spec.columns)]
    changed = np.abs(fit.state[later] - fit.state[later - 1]) > NO_CHANGE
    made = []
    for k, row in enumerate(later):
        moved = [i for i in settings if changed[k, i]]
        made += [_pair(fit, int(row), seconds[k], i, moved) for i in moved]
    return tuple(made)


def _pair(fit: ResponseFit, row: int, seconds: Array, i: int, moved: list[int]) -> BeforeAfter:
    """One change of factor ``i`` between a run and the one before it; ``seconds`` has shape (F,)."""
    factor = fit.spec.factors[i]
    difference = float(fit.observed_s[row] - fit.observed_s[row - 1])
    before, after = (float(factor.reference + factor.step * fit.state[at, i]) for at in (row - 1, row))
    return BeforeAfter(
        adjustment=factor.name,
        response=fit.response,
        event=fit.events[fit.event[row]],
        run_before=int(fit.runs["run_id"][row - 1]),
        run_after=int(fit.runs["run_id"][row]),
        value_before=before,
        value_after=after,
        difference_s=difference,
        adjusted_s=difference - float(seconds.sum() - seconds[i]),
        expected_s=float(seconds[i]),
        also_changed=tuple(fit.spec.factors[k].name for k in moved if k != i),
    )


def rpm_by_track_temp(
    fit: ResponseFit, *, at: Array | None = None, rpm_steps: Array | None = None
) -> tuple[RpmPoint, ...]:
    """Best launch rpm at each track temperature, other things at their medians or as given.

    Parameters
    ----------
    fit
        A fitted response.
    at
        State that holds the other things, in steps from the reference. shape (F,)
    rpm_steps
        Launch rpm to choose from, rising, in steps from the reference; what was tried when None. shape (m,)

    Notes
    -----
    At each temperature the fitted curve is searched over the rpm tried; the band is the middle 95 % of
    the best rpm over draws of the coefficients from a fixed seed. A temperature is supported when at
    least three runs were made within 6 degF of it and the best does not sit at an end of what was tried.
    It is settled unless the band is all there was to choose from.
    """
    if "launch_rpm" not in row_names(fit) or "track_temp" not in row_names(fit):
        return ()
    rpm_i, temp_i = fit.spec.index("launch_rpm"), fit.spec.index("track_temp")
    rpm, temp = fit.spec.factor("launch_rpm"), fit.spec.factor("track_temp")
    tried = fit.state[:, temp_i] * temp.step + temp.reference
    grid = np.linspace(fit.state[:, rpm_i].min(), fit.state[:, rpm_i].max(), _RPM_POINTS)
    grid = grid if rpm_steps is None else rpm_steps
    expected = ExpectedTime.of(fit)
    first, last = np.floor(tried.min() / _HEAT_STEP_DEGF), np.ceil(tried.max() / _HEAT_STEP_DEGF)
    heats = _HEAT_STEP_DEGF * np.arange(first, last + 1)
    cars = expected.possible(_DRAWS, _SEED)
    made = []
    for heat in heats:
        states = np.zeros((grid.size, fit.state.shape[1])) if at is None else np.tile(at, (grid.size, 1))
        states[:, rpm_i] = grid
        states[:, temp_i] = (heat - temp.reference) / temp.step
        best = int(expected.at(states).seconds.argmin())
        spread = grid[cars.at(states).argmin(axis=1)]
        low, high = np.percentile(spread, [2.5, 97.5])
        low, high = min(low, grid[best]), max(high, grid[best])
        near = int((np.abs(tried - heat) <= _NEAR_DEGF).sum())
        edge = _edge(best, grid.size) if near >= _NEAR_RUNS else None
        best_rpm, low_rpm, high_rpm = (float(rpm.reference + rpm.step * v) for v in (grid[best], low, high))
        settled = bool(low > grid[0] or high < grid[-1])
        supported = near >= _NEAR_RUNS and edge is None
        made.append(RpmPoint(float(heat), best_rpm, low_rpm, high_rpm, supported, settled, edge))
    return tuple(made)


def _edge(best: int, size: int) -> Literal["lowest", "highest"] | None:
    """Name the end of what there was to choose from that the best one is; None inside."""
    return "lowest" if best == 0 else "highest" if best == size - 1 else None


def edge_sentences(points: Sequence[RpmPoint]) -> tuple[str, ...]:
    """Say where the best launch rpm is the lowest or the highest that was tried."""
    said = []
    for edge, beyond in (("lowest", "lower"), ("highest", "higher")):
        heats = [point.track_temp_f for point in points if point.edge == edge]
        if heats:
            is_row = len(heats) > 2 and heats[-1] - heats[0] == _HEAT_STEP_DEGF * (len(heats) - 1)
            ends = f"{heats[0]:.0f} to {heats[-1]:.0f}"
            where = ends if is_row else listed([f"{heat:.0f}" for heat in heats])
            said.append(
                f"On a track at {where} degF the best launch rpm is the {edge} tried; "
                f"try {beyond}, inside your limits."
            )
    return tuple(said)
