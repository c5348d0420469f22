"""What the model says, as frozen records: the only thing reports read besides tables.

Times are in seconds, temperatures in degF, loads in lb, lengths in inches and masses
in grams, unless a name says otherwise. Every interval has ``level`` (0.95) unless stated.
Field names equal the keys of ``season.json`` wherever that file carries the same thing.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from statistics import NormalDist
from typing import Literal

Z95 = NormalDist().inv_cdf(0.975)
"""Half the width of a 95 % interval, in standard deviations of a normal."""

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


@dataclass(frozen=True, slots=True)
class SafetyWarning:
    """One thing to see to before the next run; it is said before any time."""

    kind: WarningKind
    text: str


Regime = Literal["clean", "spin", "bog"]
Risk = Literal["cautious", "even"]
RISKS: tuple[Risk, ...] = ("cautious", "even")


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
    ``is_setting`` is False for conditions. ``at_cool`` and ``at_hot`` are (effect, low, high) per step at the
    15th and 85th percentile of track temperature, given for launch rpm; ``on_average`` is the same on the
    mean time, launches that go wrong counted in. ``sentence`` says it all in plain words.
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
    on_average: tuple[float, float, float] | None = None

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


Prediction = Literal["ours", "challenger", "alike"]


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
