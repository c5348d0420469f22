"""What may be turned to try something, and which settings may be run at all."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt

from pipeline.decide.holding import Holding
from pipeline.decide.limits import Limit, Limits
from pipeline.decide.prospects import Movable
from pipeline.season.response_fit import ResponseFit
from pipeline.season.sums import Array
from pipeline.season.verdicts import TANGLED, correlation


def known_limits(fit: ResponseFit, limits: Limits, *, quick_only: bool = False) -> tuple[Limit, ...]:
    """Return the limits of what the runs record, with room between them."""
    return tuple(
        limit
        for name, limit in limits.by_name.items()
        if name in fit.spec.names and limit.high > limit.low and (limit.is_quick or not quick_only)
    )


def never_changed(fit: ResponseFit, limits: tuple[Limit, ...]) -> tuple[str, ...]:
    """Name those among them that never changed."""
    return tuple(limit.name for limit in limits if not fit.spec.factor(limit.name).varies)


def dials_of(
    fit: ResponseFit, limits: tuple[Limit, ...], present: Mapping[str, float]
) -> tuple[Movable, ...]:
    """Return a dial for each limit: every settable value as far as one suggestion goes."""
    out = []
    for limit in limits:
        factor = fit.spec.factor(limit.name)
        values = np.array(limit.settable(present[limit.name]))
        steps = (values - factor.reference) / factor.step
        out.append(Movable(limit.name, fit.spec.index(limit.name), steps, limit.is_quick))
    return tuple(out)


def settings_of_state(
    fit: ResponseFit, limits: tuple[Limit, ...], present: Mapping[str, float], here: Array, state: Array
) -> dict[str, float]:
    """Return the settings of a state in own units; values not moved stay exactly as they were."""
    out = dict(present)
    for limit in limits:
        i, factor = fit.spec.index(limit.name), fit.spec.factor(limit.name)
        if abs(state[i] - here[i]) > 1e-9:
            out[limit.name] = limit.nearest(round(factor.reference + factor.step * float(state[i]), 6))
    return out


def held_states(
    fit: ResponseFit, holding: Holding | None, whole: Mapping[str, float]
) -> Callable[[Array], npt.NDArray[np.bool_]]:
    """Return which states hold the engine's greatest torque, as far as it is checked.

    Parameters
    ----------
    holding
        None where it is not checked.
    whole
        The present setting, for what no factor says.
    """

    def own(states: Array, name: str) -> Array | float:
        if name not in fit.spec.names:
            return whole[name]
        factor = fit.spec.factor(name)
        return np.asarray(factor.reference + factor.step * states[:, fit.spec.index(name)])

    def holds(states: Array) -> npt.NDArray[np.bool_]:
        if holding is None or not {"preload", "counterweight"} <= {*fit.spec.names, *whole}:
            return np.ones(len(states), np.bool_)
        held = holding.lb_ft(own(states, "preload"), own(states, "counterweight"))
        return np.broadcast_to(held >= holding.engine_lb_ft - 1e-9, len(states))

    return holds


def tangled_settings(fit: ResponseFit) -> tuple[int, ...]:
    """Return settings, by index in the state, whose effects the runs cannot tell from another one's."""
    which = [i for i in fit.spec.slope_factors if fit.spec.factors[i].varies]
    if len(which) < 2:
        return ()
    slopes = np.vstack([fit.slope(fit.spec.factors[i].name)[0] for i in which])
    joined = np.abs(correlation(slopes, fit.posterior.cov)) > TANGLED
    together = np.abs(np.corrcoef(fit.state[:, which], rowvar=False)) > TANGLED
    near = (joined | together) & ~np.eye(len(which), dtype=bool)
    return tuple(i for i, row in zip(which, near, strict=True) if row.any())
