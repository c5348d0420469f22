"""All that the modelling stage found for one car, as one frozen record."""

from __future__ import annotations

from dataclasses import dataclass, field

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


@dataclass(frozen=True, slots=True)
class SeasonFit:
    """Everything the modelling stage found for one car; each tuple is one results table."""

    car: str
    facts: tuple[ModelFacts, ...]
    effects: tuple[Effect, ...]
    changes: tuple[SeasonChange, ...]
    rpm_by_track_temp: tuple[RpmPoint, ...]
    curves: tuple[CurvePoint, ...]
    partial_residuals: tuple[PartialResidual, ...]
    before_after: tuple[BeforeAfter, ...]
    run_checks: tuple[RunCheck, ...]
    nights: tuple[NightCheck, ...]
    held_out: tuple[HeldOutCheck, ...]
    cross_check: tuple[CrossCheckRow, ...]
    sensitivity: tuple[Sensitivity, ...]
    sentences: tuple[str, ...] = field(default=())
    spread: tuple[Spread, ...] = field(default=())
    regime_effects: tuple[RegimeEffect, ...] = ()
    launch_chances: tuple[LaunchChance, ...] = ()
    event_changes: tuple[EventChange, ...] = ()
    air_effects: tuple[AirEffect, ...] = ()
    air_times: tuple[AirTime, ...] = ()
    split_spreads: tuple[SplitSpread, ...] = ()
    spread_causes: tuple[SpreadCause, ...] = ()
    dial_in: tuple[DialIn, ...] = ()
    advice: tuple[Advice, ...] = ()
