"""All that the modelling stage found for one car, as one frozen record."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

from pipeline.season.check_results import (
    BeforeAfter,
    CrossCheckRow,
    HeldOutCheck,
    NightCheck,
    PartialResidual,
    RunCheck,
    Sensitivity,
)
from pipeline.season.results import (
    Advice,
    CurvePoint,
    Effect,
    LaunchChance,
    ModelFacts,
    RegimeEffect,
    RpmPoint,
    SeasonChange,
    Spread,
)
from pipeline.season.whole_run_results import (
    AirEffect,
    AirTime,
    DialIn,
    EventChange,
    SplitSpread,
    SpreadCause,
)

IN_JSON = {"in_json": True}
"""Marks what stands in ``season.json`` under its own name, record by record."""


def _told() -> Any:
    """Make a field that stands in ``season.json``, and is empty in a store made before it."""
    return field(default=(), metadata=IN_JSON)


@dataclass(frozen=True, slots=True)
class SeasonFit:
    """Everything the modelling stage found for one car; each tuple is one results table."""

    car: str
    facts: tuple[ModelFacts, ...]
    effects: tuple[Effect, ...]
    changes: tuple[SeasonChange, ...]
    rpm_by_track_temp: tuple[RpmPoint, ...] = field(metadata=IN_JSON)
    curves: tuple[CurvePoint, ...]
    partial_residuals: tuple[PartialResidual, ...]
    before_after: tuple[BeforeAfter, ...]
    run_checks: tuple[RunCheck, ...]
    nights: tuple[NightCheck, ...] = field(metadata=IN_JSON)
    held_out: tuple[HeldOutCheck, ...]
    cross_check: tuple[CrossCheckRow, ...]
    sensitivity: tuple[Sensitivity, ...]
    sentences: tuple[str, ...] = ()
    spread: tuple[Spread, ...] = _told()
    regime_effects: tuple[RegimeEffect, ...] = ()
    launch_chances: tuple[LaunchChance, ...] = _told()
    event_changes: tuple[EventChange, ...] = ()
    air_effects: tuple[AirEffect, ...] = ()
    air_times: tuple[AirTime, ...] = ()
    split_spreads: tuple[SplitSpread, ...] = ()
    spread_causes: tuple[SpreadCause, ...] = ()
    dial_in: tuple[DialIn, ...] = ()
    advice: tuple[Advice, ...] = _told()

    @classmethod
    def empty(cls, car: str) -> SeasonFit:
        """Return the fit of a car of which nothing was found, or not looked for yet."""
        return cls(car, *(() for _ in fields(cls)[1:]))
