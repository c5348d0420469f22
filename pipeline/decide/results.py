"""What decisions come to, as frozen records: suggestion, comparison, test plan. See ``season/results.py``."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pipeline.season.results import LIMIT_KINDS, ChangePart, Response, Risk, SafetyWarning

Outcome = Literal["stay", "change", "come_inside", "nothing"]


Purpose = Literal["60ft", "learning"]


PURPOSES: tuple[Purpose, ...] = ("60ft", "learning")
"""What test runs are for: the best next setting, or to know the effects."""


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
    times, with as many runs of the present setting about them, and where the mean difference is ``again_s``
    as often again; ``keep_s`` is the mean difference of all at which it is kept, ``keep_if`` that in words.
    ``is_guess``: it lies farther out than what was run.
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
    again_s: float
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
    ``gain_s`` out among the moves. ``untried`` says what of the change no run has had; empty when nothing is.
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
    untried: str = ""

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
