"""Every adjustment and condition, once: its names, its place, and what model and limits take it for.

Ingest, doubts, runs, model, limits, plan, pages and README read it from here. An adjustment of garage.toml
becomes a record of the same kind (:func:`extra_factor`), so that nothing downstream tells them apart.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal

from pipeline.garage.columns import Column, Kind
from pipeline.garage.dictionary import SETUPS, TIMESLIPS

MS = 1e-3
"""One thousandth of a second [s]; the priors below are written in it."""


@dataclass(frozen=True, slots=True)
class Factor:
    """One thing that can differ between runs: a setting a person makes, or a condition.

    Attributes
    ----------
    name
        As in JSON and on the command line.
    column
        Where it stands in ``runs`` and, when typed, on the sheets; empty for one of garage.toml, which is a
        key of ``extras``.
    label
        As spoken.
    unit, plural
        Unit of its numbers, for one and for several.
    step, step_words
        Practical step, in ``unit`` and in words; the model's effects are per step.
    prior_s
        Prior sd of its straight-line effect [s per step], beside the plate load when that is known; nil when
        it only alters others.
    bend_s
        Prior sd of its square [s per step squared]; None when it enters as a straight line.
    prior_without_load_s, bend_without_load_s
        The same when plate load cannot be computed; None when that makes no difference.
    is_setting
        Whether a person sets it; else it is a condition.
    is_shown
        Whether its effect is a row of the tables; else it is only allowed for.
    is_share
        Whether ``step`` is a share of the season's middle value.
    unknown_is_usual
        Whether an unknown value counts as the season's middle; else the run is left out of the fit.
    decimals
        How many are printed.
    grid, reach
        Finest setting a person can make, and how far from the present setting one suggestion goes, in
        ``unit``. [judgement]
    limits_key, limits_part
        The line of garage.toml with its limits, and the part it stands in.
    is_quick
        Whether it can be changed between rounds. [common practice]
    slack_low, slack_high
        By what share a past entry may lie outside the limits before it is asked about. [judgement]
    far
        How far from all the car has had an entry is asked about; 0 = two fifths of the usual. [judgement]
    part, part_label
        The part of a change of the times it belongs to, and that as spoken, if not ``name`` and ``label``.
        The night's step is the usual length of a night (``pipeline/season/nights.py``).
    is_told
        Whether it is shown only where the runs say something of it: a row where it moved the times, a part
        of a change where that is no nil; else it is allowed for and stands among the smaller things.
    by, times, category
        The column of ``runs`` of which each value has an effect of its own, the condition that this effect
        multiplies (none: it is a level), and the value, when it is one of these (:func:`of_category`).
    moves
        The times it can move; empty = all.
    put_on_new
        For one that counts runs on a part: the words for that part in a note (a pattern).
    stands_in_for
        The condition that tells the same better: where that is known, this one is left aside.
    alters, alters_s
        Those of these of which there is an effect are altered by it, by so much each. [s per step]
    written_as
        How a person writes it down, in words; empty for a setting.
    stays
        Whether tonight it is what it was at the last run; else it is the season's middle.
    """

    name: str
    column: str
    label: str
    unit: str
    step: float
    step_words: str
    prior_s: float
    bend_s: float | None = None
    prior_without_load_s: float | None = None
    bend_without_load_s: float | None = None
    plural: str = ""
    is_setting: bool = True
    is_shown: bool = True
    is_share: bool = False
    unknown_is_usual: bool = False
    decimals: int = 1
    grid: float = 0.0
    reach: float = 0.0
    limits_key: str = ""
    limits_part: Literal["car", "clutch", "adjustment"] = "car"
    is_quick: bool = False
    slack_low: float = 0.3
    slack_high: float = 0.3
    far: float = 0.0
    part: str = ""
    part_label: str = ""
    is_told: bool = False
    by: str = ""
    times: str = ""
    category: str = ""
    moves: tuple[str, ...] = ()
    put_on_new: str = ""
    stands_in_for: str = ""
    alters: tuple[str, ...] = ()
    alters_s: float = 0.0
    written_as: str = ""
    stays: bool = False

    @property
    def typed_on(self) -> tuple[Kind, ...]:
        """Kinds of sheet on which it may be entered: those whose table has its column."""
        kinds: tuple[tuple[Kind, tuple[Column, ...]], ...] = (
            ("timeslips", TIMESLIPS.columns),
            ("setups", SETUPS.columns),
        )
        return tuple(kind for kind, columns in kinds if any(c.name == self.column for c in columns))

    @property
    def is_refinement(self) -> bool:
        """Whether it only refines another: has a part with it, or alters what others do."""
        return (bool(self.part) and self.part != self.name.partition(":")[0]) or bool(self.alters)

    @property
    def part_name(self) -> str:
        """The part of a change of the times that it belongs to."""
        return self.part or self.name

    @property
    def part_spoken(self) -> str:
        """That part as spoken."""
        return self.part_label or self.label

    def of_category(self, value: str, against: str = "") -> Factor:
        """Return the record of one value of a factor that has an effect for each, or against another."""
        label = self.label.format(value) + (f" (against {against})" if against else "")
        return replace(self, name=f"{self.name}: {value}", label=label, category=value, part=self.part_name)

    def spoken(self, value: float) -> str:
        """Return a value with its unit, such as ``3.5 turns`` or ``1 click``."""
        return f"{value:g} {self.unit if value == 1 else self.plural or self.unit}".strip()

    def prior(self, *, with_load: bool) -> float:
        """Return the prior sd of the straight-line effect [s per step], with plate load or without."""
        if with_load or self.prior_without_load_s is None:
            return self.prior_s
        return self.prior_without_load_s

    def bend(self, *, with_load: bool) -> float | None:
        """Return the prior sd of the square [s per step squared]; None for a straight line."""
        if with_load or self.bend_without_load_s is None:
            return self.bend_s
        return self.bend_without_load_s


ADJUSTMENTS: tuple[Factor, ...] = (
    Factor(
        "preload", "preload_turns", "preload", "turn", 1.0, "1 turn", 4 * MS, bend_s=1 * MS,
        prior_without_load_s=10 * MS, bend_without_load_s=3 * MS, plural="turns", decimals=2,
        grid=0.25, reach=1.5, limits_key="safe_turns", limits_part="clutch",
        slack_low=0.0, slack_high=0.0,
    ),
    Factor(
        "counterweight", "counterweight_g", "counterweight", "g", 1.0, "1 g", 4 * MS, bend_s=1 * MS,
        prior_without_load_s=10 * MS, bend_without_load_s=3 * MS,
        grid=0.5, reach=2.0, limits_key="counterweight_limits", limits_part="clutch",
        slack_low=0.0, slack_high=0.0,
    ),
    Factor(
        "launch_rpm", "launch_rpm", "launch rpm", "rpm", 100.0, "100 rpm", 10 * MS, bend_s=3 * MS,
        decimals=0, grid=50.0, reach=300.0, limits_key="launch_rpm_limits", is_quick=True,
        slack_low=0.2, slack_high=0.0, far=1500.0,
    ),
    Factor(
        "tire_pressure", "tire_pressure_psi", "tire pressure", "psi", 1.0, "1 psi", 6 * MS, bend_s=1 * MS,
        grid=0.5, reach=1.0, limits_key="tire_pressure_limits", is_quick=True,
    ),
)  # fmt: skip
"""What a person can set, in the order of every list."""


def _told(*facts: Any, **more: Any) -> Factor:
    """Return the record of something written down beside: shown where the runs say something of it."""
    factor = Factor(*facts, **more)
    return replace(factor, is_setting=False, is_shown=False, unknown_is_usual=True, is_told=True)


CONDITIONS: tuple[Factor, ...] = (
    Factor(
        "track_temp", "track_temp_degf", "track temperature", "degF", 10.0, "10 degF", 10 * MS, bend_s=2 * MS,
        is_setting=False, decimals=0, written_as="on the track sheet or the slip",
    ),
    Factor(
        "air_density", "air_density_kg_per_m3", "air density", "kg/m3", 0.01, "1 %", 10 * MS,
        is_setting=False, is_share=True, decimals=3,
        written_as="temperature, pressure and humidity on the weather sheet",
    ),
    Factor(
        "wear", "wear_in", "clutch wear", "in", 0.010, "0.010 in", 6 * MS,
        is_setting=False, is_shown=False, unknown_is_usual=True, decimals=4, stays=True,
        written_as="ring heights on the check sheet",
    ),
    Factor(
        "night", "", "how far the night had gone", "h", 1.0, "1 h", 16 * MS,
        is_setting=False, is_shown=False, unknown_is_usual=True, part_label="as the night went on",
        written_as="the time of day of each run",
    ),
    _told(
        "heat", "", "heat left from the run before", "", 1.0, "a run half an hour after another", 8 * MS,
        written_as="the time of day of each run",
    ),
    _told(
        "heat_long", "", "heat left from the run before", "", 1.0, "a run half an hour after another", 8 * MS,
        part="heat", written_as="the time of day of each run",
    ),
    _told(
        "lane", "lane", "right lane", "", 1.0, "a run there", 6 * MS, part_label="lane",
        written_as="the lane on the slip",
    ),
    _told(
        "lane_by_strip", "", "right lane at {}", "", 1.0, "a run there", 6 * MS,
        by="venue", times="lane", part="lane", part_label="lane",
        written_as="the lane and the strip on the slip",
    ),
    _told(
        "tire_runs", "runs_on_tires", "runs on the tires", "run", 10.0, "10 runs", 5 * MS, plural="runs",
        decimals=0, put_on_new="(tire|tyre|slick)s?", stays=True,
        written_as="`new tires` or the like in the notes of a slip, setup or check, which starts the count",
    ),
    _told(
        "disc_runs", "runs_on_disc", "runs on the disc", "run", 10.0, "10 runs", 4 * MS, plural="runs",
        decimals=0, put_on_new="dis[ck]s?", stands_in_for="wear", stays=True,
        written_as="`new disc` or the like in such notes; used where ring heights are not known",
    ),
    _told(
        "bedding", "", "first runs after a service", "", 1.0, "the first of them", 15 * MS,
        written_as="the service on the check sheet",
    ),
    _told(
        "service", "", "between services, stretch {}", "", 1.0, "a run there", 0.0,
        by="service_no", part_label="what a service changed", alters=("strain", "preload"),
        alters_s=4 * MS, written_as="the service on the check sheet: plate load may act otherwise after it",
    ),
    _told(
        "headwind", "headwind_mph", "headwind", "mph", 10.0, "10 mph", 4 * MS, moves=("t60_330", "t330"),
        written_as="wind with its side by the strip, on the weather sheet",
    ),
    _told(
        "driver", "", "driver {}", "", 1.0, "a run by this one", 8 * MS, by="driver", part_label="driver",
        written_as="a column `driver` on the slips",
    ),
    _told(
        "launch_style", "", "launch style {}", "", 1.0, "a run so", 8 * MS,
        by="launch_style", part_label="launch style", written_as="a column `launch style` on the slips",
    ),
)  # fmt: skip
"""What nobody can set, and the model allows for."""

FACTORS: tuple[Factor, ...] = (*ADJUSTMENTS, *CONDITIONS)
BY_NAME: dict[str, Factor] = {factor.name: factor for factor in FACTORS}
BY_COLUMN: dict[str, Factor] = {factor.column: factor for factor in FACTORS if factor.column}

EXTRA_PRIOR_S = 6 * MS
EXTRA_BEND_S = 1 * MS
EXTRA_REACH_STEPS = 2
"""How far one suggestion goes for an adjustment of garage.toml, in its own steps. [judgement]"""


def extra_factor(name: str, label: str, unit: str, step: float, *, is_quick: bool = False) -> Factor:
    """Return the record of an adjustment named in garage.toml.

    Examples
    --------
    >>> extra_factor("shock_clicks", "rear shock", "click", 2.0).spoken(6)
    '6 clicks'
    """
    takes_s = len(unit) > 3 and not unit.endswith("s")
    return Factor(
        name, "", label, unit, step, f"{step:g} {unit}".strip(), EXTRA_PRIOR_S, bend_s=EXTRA_BEND_S,
        plural=f"{unit}s" if takes_s else "", grid=step, reach=EXTRA_REACH_STEPS * step,
        limits_key="limits", limits_part="adjustment", is_quick=is_quick,
    )  # fmt: skip


def columns_of(factors: Iterable[Factor]) -> dict[str, str]:
    """Return where factors stand in ``runs``: column by name, those of garage.toml left out."""
    return {factor.name: factor.column for factor in factors if factor.column}


def extras_of(cell: Any) -> dict[str, float]:
    """Return what a cell of the map ``extras`` holds, value by adjustment; it comes as pairs or as a dict."""
    pairs = cell.items() if isinstance(cell, dict) else ((pair["key"], pair["value"]) for pair in cell or ())
    return {key: value for key, value in pairs if value is not None}
