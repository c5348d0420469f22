"""What the model says, as frozen records: the only thing reports read besides tables.

Times are in seconds, temperatures in degF, loads in lb, lengths in inches and masses
in grams, unless a name says otherwise. Every interval has ``level`` (0.95) unless stated.
Field names equal the keys of ``season.json`` wherever that file carries the same thing.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, field
from typing import Literal

Response = Literal["t60", "t60_330", "t330"]
RESPONSES: tuple[Response, ...] = ("t60", "t60_330", "t330")
Verdict = Literal["moved", "likely", "no_sign", "inseparable"]
WarningKind = Literal[
    "in_question",
    "safe_turns",
    "least_base_load",
    "past_limit",
    "uneven_screws",
    "torque_capacity",
    "bearing_clearance",
    "service_due",
    "not_measured",
    "hotter_than_run",
]
"""What a warning is about, in the order in which warnings are said."""
LIMIT_KINDS: tuple[WarningKind, ...] = ("safe_turns", "least_base_load", "past_limit")
"""Warnings of a present setting that is past a limit: it cannot simply stay."""
Outcome = Literal["stay", "change", "come_inside", "nothing"]


@dataclass(frozen=True, slots=True)
class SafetyWarning:
    """One thing to see to before the next run; it is said before any time."""

    kind: WarningKind
    text: str


Regime = Literal["clean", "spin", "bog"]
Risk = Literal["cautious", "even"]
RISKS: tuple[Risk, ...] = ("cautious", "even")
Purpose = Literal["60ft", "learning"]
PURPOSES: tuple[Purpose, ...] = ("60ft", "learning")
"""What test runs are for: the best next setting, or to know the effects."""


@dataclass(frozen=True, slots=True)
class JointEffect:
    """The effect of stepping a tangled pair (or more) together, as they were run.

    ``adjustments`` are the members; ``step`` is in words; the effect is in s for that step.
    """

    adjustments: tuple[str, ...]
    step: str
    per_step_s: float
    low_s: float
    high_s: float


@dataclass(frozen=True, slots=True)
class Effect:
    """One adjustment's (or condition's) average effect on one response, per practical step.

    ``per_step_s``, ``low_s``, ``high_s`` are None when the data hold almost nothing on it.
    ``confounded_with`` names the partners it cannot be told from; tables and JSON call it ``apart_from``.
    ``is_setting`` is False for
    conditions (track temperature, air density). ``at_cool`` and ``at_hot`` are
    (effect, low, high) per step at the 15th and 85th percentile of track temperature,
    given for launch rpm. ``sentence`` says it all in plain words.
    """

    response: Response
    adjustment: str
    label: str
    step: str
    per_step_s: float | None
    low_s: float | None
    high_s: float | None
    level: float
    verdict: Verdict
    confounded_with: tuple[str, ...] = field(metadata={"column": "apart_from"})
    smallest_visible_s: float | None
    runs_used: int
    is_setting: bool
    p_value: float | None
    p_holm: float | None
    joint: JointEffect | None
    at_cool: tuple[float, float, float] | None
    at_hot: tuple[float, float, float] | None
    sentence: str

    @property
    def is_hinted(self) -> bool:
        """Whether its interval leaves out nil though no verdict rests on it."""
        low, high = self.low_s, self.high_s
        return self.verdict == "no_sign" and low is not None and high is not None and not low <= 0 <= high


@dataclass(frozen=True, slots=True)
class Spread:
    """How much of the run-to-run spread one adjustment or condition made: sd of its shares, in seconds.

    ``rank`` counts from 1, the largest; ``tied_with`` names those the runs do not put clearly above or below.
    """

    response: Response
    adjustment: str
    label: str
    is_setting: bool
    seconds: float
    low_s: float
    high_s: float
    rank: int
    tied_with: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RegimeEffect:
    """What one step of an adjustment (or condition) did to the chance of spinning or of bogging.

    ``chance_per_step``, ``low`` and ``high`` are differences of a chance (0.06 = 6 in 100 more), None when
    the runs hold almost nothing on it. ``launches`` is how many launches went wrong that way, by the slips
    and, where they say nothing, by their chance.
    """

    response: Response
    adjustment: str
    label: str
    step: str
    regime: Regime
    chance_per_step: float | None
    low: float | None
    high: float | None
    verdict: Verdict
    launches: float
    sentence: str


@dataclass(frozen=True, slots=True)
class LaunchChance:
    """Chance of spinning and of bogging at one launch rpm and track temperature, other things as now."""

    track_temp_f: float
    launch_rpm: float
    p_spin: float
    p_bog: float


@dataclass(frozen=True, slots=True)
class Period:
    """A set of runs that a change is measured from or to."""

    first_date: str
    last_date: str
    runs: int
    mean_s: float


@dataclass(frozen=True, slots=True)
class ChangePart:
    """What one factor contributed to a change of the mean time, in seconds (minus = quicker)."""

    factor: str
    label: str
    seconds: float
    low_s: float
    high_s: float


@dataclass(frozen=True, slots=True)
class SeasonChange:
    """The waterfall: ``total_s`` = sum of ``parts`` + ``unexplained_s`` to 1e-12."""

    response: Response
    title: str
    from_period: Period
    to_period: Period
    total_s: float
    parts: tuple[ChangePart, ...]
    unexplained_s: float


Split = Literal["t60", "t330", "t660", "t1320"]
SPLITS: tuple[Split, ...] = ("t60", "t330", "t660", "t1320")
"""Times from the start that are put on equal air: 60 ft, 330 ft, the eighth and the quarter mile."""


@dataclass(frozen=True, slots=True)
class AirEffect:
    """What 1 % more air density did to one split: by this car's own runs, and by the published correction.

    ``own_s`` is None with too few events to tell. ``runs`` and ``events`` are those it rests on.
    """

    split: Split
    own_s: float | None
    low_s: float | None
    high_s: float | None
    published_s: float | None
    runs: int
    events: int


@dataclass(frozen=True, slots=True)
class AirTime:
    """One event's typical time of one split: as run, and in the season's middle air in both ways.

    ``air_pct`` is by how much its air was denser than that; clean launches and whole passes only.
    """

    split: Split
    event: str
    date: str
    runs: int
    air_pct: float
    density_altitude_ft: float | None
    as_run_s: float
    own_s: float | None
    published_s: float | None


@dataclass(frozen=True, slots=True)
class SplitSpread:
    """How far the runs of one event strayed from each other, one split: robust sd, in seconds.

    ``split`` is one of ``SPLITS`` or ``reaction``.
    """

    split: str
    event: str
    date: str
    runs: int
    sd_s: float


@dataclass(frozen=True, slots=True)
class SpreadCause:
    """How much of the straying inside events one cause made: sd of its part, and its share of the squares."""

    response: Response
    cause: str
    label: str
    seconds: float
    share: float


@dataclass(frozen=True, slots=True)
class DialIn:
    """Expected time of one clean pass in given air, settings as run, with the interval of one run."""

    split: Split
    air_pct: float
    density_altitude_ft: float
    expected_s: float
    low_s: float
    high_s: float
    runs: int
    events: int


@dataclass(frozen=True, slots=True)
class EventChange:
    """From one event to the next: the change of the mean time part by part, and what the settings gave of it.

    ``settings`` is what all settings that differ were expected to do together, None when none differs.
    ``tau_s`` is the sd of whole nights, by which two nights differ with nothing changed.
    """

    event_before: str
    event: str
    change: SeasonChange
    settings: ChangePart | None
    tau_s: float


@dataclass(frozen=True, slots=True)
class RpmPoint:
    """Best launch rpm at one track temperature; ``supported`` False where nothing stands behind it.

    That is where too few runs were made, or where the best is the ``edge`` of what there was to choose from:
    the lowest or highest rpm tried, beyond which the best may lie, or the car's limit. ``settled`` is False
    where the band is all there was to choose from: any rpm fits the runs.
    """

    track_temp_f: float
    launch_rpm: float
    low_rpm: float
    high_rpm: float
    supported: bool
    settled: bool = True
    edge: Literal["lowest", "highest", "limit"] | None = None


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One point of an effect curve: time against the middle setting, others at their medians."""

    adjustment: str
    response: Response
    value: float
    seconds: float
    low_s: float
    high_s: float
    supported: bool


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


Prediction = Literal["ours", "challenger", "alike"]


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


@dataclass(frozen=True, slots=True)
class ModelFacts:
    """Size and spreads of one response's fit: sd of run noise, of events, of slopes."""

    response: Response
    runs_used: int
    events: int
    sigma_s: float
    tau_s: float
    omega_s: float
    uses_plate_load: bool
    dropped: tuple[str, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GivenAdvice:
    """Advice on the next setting as it was given, after the run of ``after_run_at``.

    ``stay`` is the setting then in force, ``settings`` the one advised, the same where the advice was to
    stay; ``gain_s`` what the change promised (minus = quicker). ``venue`` is the strip it was asked for, and
    ``risk`` how the chance of going wrong was to weigh (None = not kept then).
    """

    given_on: dt.date
    after_run_at: dt.datetime
    stay: dict[str, float]
    settings: dict[str, float]
    expected_s: float
    gain_s: float
    p_better: float | None
    track_temp_degf: float | None
    air_density_kg_per_m3: float | None
    venue: str | None = None
    risk: Risk | None = "cautious"


@dataclass(frozen=True, slots=True)
class Advice:
    """Advice that runs were made after: whether it was followed, and what a change that was brought.

    ``gain_s`` was promised and ``came_s`` is expected of it now, with the runs made since (minus = quicker).
    ``event`` is that of the first run after.
    """

    date: str
    settings: dict[str, float]
    expected_s: float
    gain_s: float
    p_better: float | None
    followed: bool
    came_s: float | None
    event: str | None = None


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


@dataclass(frozen=True, slots=True)
class Forecast:
    """Conditions a suggestion is for.

    ``filled_from`` says in words where missing parts came from and how a doubtful part was read.
    """

    venue: str | None
    track_temp_degf: float | None
    air_temp_degf: float | None
    station_pressure_inhg: float | None
    humidity_pct: float | None
    air_density_kg_per_m3: float | None
    density_altitude_ft: float | None
    filled_from: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SettingChoice:
    """A whole setting with its expected time and the interval of one run.

    ``settings`` maps adjustment to value in its own unit (turns, g, rpm, psi, ...). ``expected_s`` counts
    what spinning or bogging costs by its chance, ``p_spin`` or ``p_bog``.
    """

    settings: dict[str, float]
    expected_s: float
    low_s: float
    high_s: float
    p_spin: float | None = None
    p_bog: float | None = None


@dataclass(frozen=True, slots=True)
class Trial:
    """The one setting worth a try where no change is sure enough; for a time trial or a test session.

    ``expected_gain_s`` is of trying it and then keeping or undoing it, each run to come (minus = quicker);
    ``change_s`` of the setting itself, with ``low_s`` and ``high_s`` its 95 % limits. It is run ``runs``
    times, with as many runs of the present setting about them; ``keep_s`` is the mean difference at which it
    is kept, ``keep_if`` that in words. ``is_guess``: it lies farther out than what was run.
    """

    settings: dict[str, float]
    expected_gain_s: float
    change_s: float
    low_s: float
    high_s: float
    p_better: float
    p_spin: float
    p_bog: float
    runs: int
    keep_s: float
    keep_if: str
    sentence: str
    is_guess: bool = False


@dataclass(frozen=True, slots=True)
class NextSetting:
    """Stay or change, side by side. ``change_to`` is None when nothing is to be changed, or may be said.

    ``gain_s`` is expected (change minus stay; minus = quicker); where the present setting is past a limit
    it is counted from ``smallest_legal``, the present setting with only that brought inside, and
    ``p_better`` is None when ``change_to`` is no more than that. ``limited_by`` names limits that
    stopped the suggestion; ``no_suggestion_for`` says which line of garage.toml to add.
    ``torque_capacity`` says what of it was checked. ``warnings`` are those of the setting and its limits;
    with an entry in question ``stay`` lacks what is not known, and has no time (nan). ``p_spin`` and
    ``p_bog`` are those of what is advised; ``risk`` is what was asked for. ``trial`` is given only where the
    advice is to stay. ``since_last`` says how the advice differs from the last one, and why. ``parts`` share
    ``gain_s`` out among the moves.
    """

    response: Response
    forecast: Forecast
    stay: SettingChoice
    change_to: SettingChoice | None
    gain_s: float
    gain_low_s: float
    gain_high_s: float
    p_better: float | None
    limited_by: tuple[str, ...]
    no_suggestion_for: tuple[str, ...]
    quick_only: bool
    sentence: str
    smallest_legal: SettingChoice | None = None
    torque_capacity: str = ""
    warnings: tuple[SafetyWarning, ...] = ()
    p_spin: float | None = None
    p_bog: float | None = None
    risk: Risk = "cautious"
    trial: Trial | None = None
    since_last: str = ""
    parts: tuple[ChangePart, ...] = ()

    @property
    def outcome(self) -> Outcome:
        """What the answer comes to: stay, change, come inside a limit first, or nothing may be suggested."""
        if self.change_to is not None:
            return "change" if self.smallest_legal is None else "come_inside"
        held = math.isnan(self.stay.expected_s) or any(one.kind in LIMIT_KINDS for one in self.warnings)
        return "nothing" if held else "stay"


@dataclass(frozen=True, slots=True)
class Compared:
    """One of two settings: its times, what was asked for (the rest is in force), what speaks against it."""

    choice: SettingChoice
    asked: tuple[str, ...]
    against: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two settings under one forecast. ``difference_s`` is A less B (minus = A is quicker).

    ``p_a_quicker`` is None for one setting given twice; with an entry in question there is no time (nan).
    """

    response: Response
    forecast: Forecast
    a: Compared
    b: Compared
    difference_s: float
    low_s: float
    high_s: float
    p_a_quicker: float | None
    sentence: str
    warnings: tuple[SafetyWarning, ...] = ()


@dataclass(frozen=True, slots=True)
class PhoneModel:
    """What the phone page computes with, as JSON; see ``pipeline.decide.phone_model``."""

    document: str


@dataclass(frozen=True, slots=True)
class PlannedRun:
    """One run of the test plan, in order.

    ``block`` counts clutch settings; ``changed`` names what differs from the run before, and of the first
    from the present setting. ``minutes`` are what must pass before it, where garage.toml says how long
    things take.
    """

    order: int
    block: int
    settings: dict[str, float]
    why: str
    changed: tuple[str, ...] = ()
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class ExpectedPrecision:
    """Standard error of one step effect now and after the plan, in s per step."""

    adjustment: str
    step: str
    now_s: float
    after_s: float


@dataclass(frozen=True, slots=True)
class TestPlan:
    """The test runs worth making, with what they would teach.

    ``worth_s`` is by how much the setting chosen after them is expected to beat the one chosen now, each run;
    ``price_s`` what one of them is expected to lose. Both are None for a plan to learn.
    """

    __test__ = False

    response: Response
    runs: tuple[PlannedRun, ...]
    precision: tuple[ExpectedPrecision, ...]
    limited_by: tuple[str, ...]
    no_suggestion_for: tuple[str, ...]
    sentence: str
    purpose: Purpose = "learning"
    worth_s: float | None = None
    price_s: float | None = None
    is_worth_it: bool = True


@dataclass(frozen=True, slots=True)
class LoadsThatHold:
    """Plate loads that hold the engine's greatest torque: by the most friction given, and the least."""

    engine_lb_ft: float
    rpm: float
    from_lb: float
    to_lb: float


@dataclass(frozen=True, slots=True)
class WearService:
    """One stretch between services."""

    service_no: int
    first_date: str
    last_date: str
    runs: int
    ring_height_start_in: float | None
    ring_height_end_in: float | None
    growth_in_per_run: float | None
    shim_removed_in: float | None


@dataclass(frozen=True, slots=True)
class Wear:
    """Wear state now, and what it has cost; the keys of ``season.json``'s ``wear`` plus history.

    ``preload_lost_lb`` is what ``grown_since_set_in`` has cost: load as set less load left.
    ``runs_to_service`` counts from ``grown_since_service_in``; ``low`` and ``high`` are its ends at the fast
    and slow end of the growth, ``high`` None when no end can be said.
    """

    ring_height_in: float | None
    growth_in_per_run: float | None
    growth_low_in_per_run: float | None
    growth_high_in_per_run: float | None
    preload_lost_lb: float | None
    runs_to_service: float | None
    shim_to_remove_in: float | None
    shims: tuple[float, ...]
    services: tuple[WearService, ...]
    sentence: str
    grown_since_set_in: float | None = None
    grown_since_service_in: float | None = None
    runs_to_service_low: float | None = None
    runs_to_service_high: float | None = None
