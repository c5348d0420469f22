"""The dash sheet: best launch rpm by track temperature for the clutch as it is set now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pipeline.decide.limits import Limits
from pipeline.decide.next_setting import present_state
from pipeline.season.curves import rpm_by_track_temp
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import RpmPoint
from pipeline.season.sums import Array


def dash_sheet(fit: ResponseFit, limits: Limits, present: Mapping[str, float]) -> tuple[RpmPoint, ...]:
    """List the best launch rpm by track temperature, inside the limits and what was tried.

    Parameters
    ----------
    fit
        The fitted response, usually the 60 ft time.
    limits
        Of the car; without a limit for launch rpm there is no sheet.
    present
        The setting in force, in own units.

    Returns
    -------
    tuple of RpmPoint
        Whole multiples of 50 rpm, every 5 degF that was run on; empty when launch rpm has no limit, or was
        never changed, or the track temperature is not recorded. The ``edge`` is the limit
        where that comes before the end of what was tried.
    """
    choices = rpm_to_choose(fit, limits)
    if choices is None:
        return ()
    points = rpm_by_track_temp(fit, at=present_state(fit, present), rpm_steps=choices.steps)
    return tuple(
        replace(point, edge="limit") if point.edge and choices.held[point.edge] else point for point in points
    )


@dataclass(frozen=True, slots=True)
class RpmChoices:
    """Launch rpm to choose from, rising, in steps; whether a limit is what ends them, at either end."""

    steps: Array
    held: dict[str, bool]


def rpm_to_choose(fit: ResponseFit, limits: Limits) -> RpmChoices | None:
    """Return the launch rpm inside the limits and what was tried; None where there is none."""
    limit = limits.by_name.get("launch_rpm")
    if limit is None or "launch_rpm" not in fit.spec.names:
        return None
    factor, i = fit.spec.factor("launch_rpm"), fit.spec.index("launch_rpm")
    tried = factor.reference + factor.step * fit.state[:, i]
    low, high = max(limit.low, float(tried.min())), min(limit.high, float(tried.max()))
    settable = np.arange(np.ceil(low / limit.grid), np.floor(high / limit.grid) + 0.5) * limit.grid
    held = {"lowest": limit.low >= float(tried.min()), "highest": limit.high <= float(tried.max())}
    return RpmChoices((settable - factor.reference) / factor.step, held) if settable.size else None
