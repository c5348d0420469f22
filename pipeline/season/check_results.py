"""What checks of the model say, as frozen records. See ``results.py``."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.season.results import Prediction, Response


@dataclass(frozen=True, slots=True)
class PartialResidual:
    """One run on an effect curve: the curve's value at its setting plus its residual."""

    adjustment: str
    response: Response
    run_id: int
    value: float
    seconds: float
    weight: float


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """Two neighbouring runs of one event between which one adjustment changed.

    ``difference_s`` is after minus before as run; ``adjusted_s`` takes off what the model
    gives to everything else that changed; ``expected_s`` is what the model gives to this change.
    """

    adjustment: str
    response: Response
    event: str
    run_before: int
    run_after: int
    value_before: float
    value_after: float
    difference_s: float
    adjusted_s: float
    expected_s: float
    also_changed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RunCheck:
    """One run against what its setting, air and track led us to expect.

    ``expected_s`` includes the event's own level; ``z`` is the standardised residual.
    ``reason`` is a probable cause in words when ``flagged``.
    """

    response: Response
    run_id: int
    observed_s: float
    expected_s: float
    low_s: float
    high_s: float
    z: float
    weight: float
    flagged: bool
    reason: str


@dataclass(frozen=True, slots=True)
class NightCheck:
    """``the whole night``: one event's level against the car's usual, with its spread.

    ``night_s`` is the event effect (minus = quicker than the car's usual), ``tau_s`` the sd of
    such effects, ``spread_s`` the robust sd of the runs round expectation.
    """

    response: Response
    event: str
    date: str
    runs: int
    best_s: float
    typical_s: float
    expected_s: float
    expected_low_s: float
    expected_high_s: float
    night_s: float
    night_low_s: float
    night_high_s: float
    tau_s: float
    spread_s: float
    sentence: str


@dataclass(frozen=True, slots=True)
class HeldOutCheck:
    """Leave-one-event-out prediction: share of runs inside their intervals, and typical miss."""

    response: Response
    events: int
    runs: int
    cover_90: float
    cover_95: float
    rmse_s: float
    naive_rmse_s: float


@dataclass(frozen=True, slots=True)
class ChallengerCheck:
    """Typical miss of clean launches at unseen events: ours beside a learner that knows no clutches.

    ``better`` is who predicts clearly better; ``leans_on`` is then what our form may have wrong.
    """

    response: Response
    events: int
    runs: int
    ours_rmse_s: float
    challenger_rmse_s: float
    better: Prediction
    leans_on: str
    sentence: str


@dataclass(frozen=True, slots=True)
class MixedCheck:
    """One effect by a mixed model of straight lines with a level for each event. [s per step]."""

    response: Response
    adjustment: str
    effect_s: float
    low_s: float
    high_s: float
    agrees: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class SecondOpinions:
    """What two general libraries make of the same runs, where that was asked for."""

    challenger: tuple[ChallengerCheck, ...] = ()
    mixed_model: tuple[MixedCheck, ...] = ()


@dataclass(frozen=True, slots=True)
class CrossCheckRow:
    """The plain fixed-effects regression beside ours for one adjustment, per step."""

    response: Response
    adjustment: str
    ours_s: float | None
    ours_low_s: float | None
    ours_high_s: float | None
    plain_s: float | None
    plain_low_s: float | None
    plain_high_s: float | None
    variance_inflation: float | None
    agrees: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """An effect again with spun and bogged runs left out."""

    response: Response
    adjustment: str
    all_runs_s: float | None
    without_spun_bogged_s: float | None
    runs_left_out: int
