"""What may be suggested at all: the limits of garage.toml, on the grid a person can set.

Without a limit there is no suggestion: the adjustment is left where it is, and a sentence says which
line of garage.toml to add. All screws are always set alike.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import polars as pl

from pipeline.garage.logbook import Adjustment, Car, Clutch, Garage
from pipeline.physics.clutch import EVEN_TURNS

QUICK = ("launch_rpm", "tire_pressure")
"""What can be changed between rounds, besides extra adjustments marked ``quick``. [common practice]"""

TURNS_GRID, GRAMS_GRID, RPM_GRID, PSI_GRID = 0.25, 0.5, 50.0, 0.5
REACH = {"preload": 1.5, "counterweight": 2.0, "launch_rpm": 300.0, "tire_pressure": 1.0}
"""How far from the present setting one suggestion goes, in own units: small, so that a mistake is small.
The first three are the design's; the tire's is a judgement, as are two steps of an extra."""

EXTRA_REACH_STEPS = 2

_MOST_PIECES = 3  # on one lever besides its bolt; more do not fit a 1/4-20 bolt. [judgement]
_SAME = 1e-9
COLUMNS = {
    "preload": "preload_turns",
    "counterweight": "counterweight_g",
    "launch_rpm": "launch_rpm",
    "tire_pressure": "tire_pressure_psi",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """Where one adjustment may go.

    Attributes
    ----------
    name, label, unit
        As in the model's factors; ``unit`` is the unit of every number here.
    low, high
        Never passed.
    low_words, high_words
        The line of garage.toml each comes from, for the person.
    grid
        Practical step: values are whole multiples of it.
    stacks
        The only settable values with the pieces that make each, when hardware decides; else None.
    reach
        How far from the present value one suggestion goes.
    is_quick
        Whether it can be changed between rounds.
    """

    name: str
    label: str
    unit: str
    low: float
    high: float
    low_words: str
    high_words: str
    grid: float
    reach: float
    is_quick: bool
    stacks: Mapping[float, tuple[str, ...]] | None = None

    def allows(self, value: float) -> bool:
        """Whether a value lies inside the limits."""
        return self.low - _SAME <= value <= self.high + _SAME

    def nearest(self, value: float) -> float:
        """Give the value itself, or the limit it is past."""
        return min(max(value, self.low), self.high)

    def spoken(self, value: float) -> str:
        """Write a value with its unit, such as ``3.5 turns`` or ``6 clicks``."""
        unit = self.unit
        if unit == "turns" and value == 1:
            unit = "turn"
        elif self.name not in COLUMNS and len(unit) > 3 and value != 1 and not unit.endswith("s"):
            unit += "s"
        return f"{value:g} {unit}".strip()

    def pieces(self, value: float) -> str:
        """Name the hardware that makes a value, such as ``bolt and nut``; empty when any mass can be set."""
        stack = (self.stacks or {}).get(round(value, 2), ())
        return " and ".join(stack)

    def settable(self, centre: float, reach: float | None = None) -> tuple[float, ...]:
        """List the values that can be set within reach of a value, inside the limits, rising.

        Parameters
        ----------
        centre
            The present value. When it is inside the limits it is in the list, on the grid or not.
        reach
            In own units; the limit's own when None.

        Returns
        -------
        tuple of float
            Never empty: past a limit, the settable value nearest to it stands alone.
        """
        reach = self.reach if reach is None else reach
        middle = self.nearest(centre)
        known = self._grid_between(middle - reach, middle + reach)
        inside = [value for value in known if abs(value - middle) <= reach + _SAME and self.allows(value)]
        if self.allows(centre) and all(abs(value - centre) > _SAME for value in inside):
            inside.append(centre)
        if not inside:
            whole = [value for value in self._grid_between(self.low, self.high) if self.allows(value)]
            inside = [min(whole, key=lambda value: abs(value - middle), default=middle)]
        return tuple(sorted(inside))

    def _grid_between(self, low: float, high: float) -> Iterable[float]:
        if self.stacks is not None:
            return self.stacks
        first, last = math.ceil(low / self.grid - 1e-6), math.floor(high / self.grid + 1e-6)
        return (round(k * self.grid, 6) for k in range(first, last + 1))


@dataclass(frozen=True, slots=True)
class Limits:
    """All limits of one car, and the sentences about what has none."""

    by_name: dict[str, Limit]
    missing: dict[str, str]

    def allows(self, settings: Mapping[str, float]) -> bool:
        """Whether every named setting that has limits is inside them."""
        return all(self.by_name[name].allows(v) for name, v in settings.items() if name in self.by_name)

    def passed(self, settings: Mapping[str, float]) -> tuple[str, ...]:
        """Say which of the given settings are past a limit, in sentences."""
        said = []
        for name, limit in self.by_name.items():
            value = settings.get(name)
            if value is None or limit.allows(value):
                continue
            side, words = ("below", limit.low_words) if value < limit.low else ("above", limit.high_words)
            bound = limit.low if value < limit.low else limit.high
            said.append(
                f"The present {limit.label} of {limit.spoken(value)} is {side} {limit.spoken(bound)} "
                f"({words}): bring it inside before anything else."
            )
        return tuple(said)


def car_limits(
    garage: Garage, car: str, runs: pl.DataFrame | None = None, setups: pl.DataFrame | None = None
) -> Limits:
    """Gather a car's limits from garage.toml.

    Parameters
    ----------
    garage
        What garage.toml says.
    car
        The car's name.
    runs
        Its runs, for the wear and the evenness of the screws now; None leaves both out of account.
    setups
        Its changes of the setup: one after the last run says how the screws stand now.

    Notes
    -----
    Least turns: base load + turns x lb per turn x screws - load lost to wear >= least base load, with
    the load lost by the last run that knows it. A gain of load by wear is never counted on.
    """
    described, clutch = garage.car(car), garage.clutch_of(car)
    wear_in = max(0.0, _last_known(runs, "wear_in") or 0.0)
    spread = _screws_apart(runs, setups)
    found = (
        _preload(clutch, described, wear_in, spread),
        _counterweight(clutch, described),
        _launch_rpm(described),
        _tire_pressure(described),
        *(_extra(item) for item in garage.adjustments),
    )
    by_name = {limit.name: limit for limit in found if isinstance(limit, Limit)}
    missing = dict(pair for pair in found if not isinstance(pair, Limit))
    return Limits(by_name, missing)


def present_settings(
    runs: pl.DataFrame, setups: pl.DataFrame | None = None, extras: Iterable[str] = ()
) -> dict[str, float]:
    """Read the setting in force now, in own units.

    Parameters
    ----------
    runs
        One car's runs; each adjustment's last known value counts.
    setups
        Its changes of the setup, when known: those after the last run override it.
    extras
        Names of the extra adjustments.
    """
    present: dict[str, float] = {}
    frames = [runs.sort("run_at", "run_id", nulls_last=False)]
    later = _after_the_runs(runs, setups)
    if later is not None:
        frames.append(later)
    for frame in frames:
        for name, column in COLUMNS.items():
            value = _last_known(frame, column)
            if value is not None:
                present[name] = value
        present |= _last_extras(frame, set(extras))
    return present


def _after_the_runs(runs: pl.DataFrame, setups: pl.DataFrame | None) -> pl.DataFrame | None:
    """Pick the changes of the setup made since the last run, in order; None when there can be none."""
    if setups is None or setups.is_empty() or not runs["run_at"].drop_nulls().len():
        return None
    order = [name for name in ("set_at", "entry_order") if name in setups.columns]
    return setups.filter(pl.col("set_at") > runs["run_at"].max()).sort(order)


def _screws_apart(runs: pl.DataFrame | None, setups: pl.DataFrame | None) -> float:
    """Measure how far apart the screws stand now, in turns; 0 when nothing is known."""
    later = None if runs is None else _after_the_runs(runs, setups)
    if later is not None and "preload_screws" in later.columns:
        for turns, screws in later.select("preload_turns", "preload_screws").reverse().iter_rows():
            if screws or turns is not None:
                return float(max(screws) - min(screws)) if screws else 0.0
    return _last_known(runs, "preload_spread_turns") or 0.0


def _last_extras(frame: pl.DataFrame, names: set[str]) -> dict[str, float]:
    found: dict[str, float] = {}
    if "extras" not in frame.columns:
        return found
    for entry in frame["extras"].to_list():
        pairs = entry.items() if isinstance(entry, dict) else ((e["key"], e["value"]) for e in entry or ())
        found |= {key: float(value) for key, value in pairs if key in names and value is not None}
    return found


def _last_known(frame: pl.DataFrame | None, column: str) -> float | None:
    if frame is None or column not in frame.columns:
        return None
    order = [name for name in ("run_at", "run_id") if name in frame.columns]
    values = (frame.sort(order) if order else frame)[column].cast(pl.Float64).drop_nulls().drop_nans()
    return float(values[-1]) if values.len() else None


def _lines(what: str, missing: list[str], table: str) -> tuple[str, str]:
    """Name the lines to add, as (adjustment, sentence)."""
    lines = " and ".join(f"'{line}'" for line in missing)
    return what, (
        f"No suggestion for {what.replace('_', ' ')}: garage.toml gives no limit. "
        f"Add {lines} to the {table} part."
    )


def _preload(clutch: Clutch | None, car: Car, wear_in: float, spread_turns: float) -> Limit | tuple[str, str]:
    if clutch is None:
        return "preload", _no_clutch("preload", car, "safe_turns, base_load and least_base_load")
    if spread_turns > EVEN_TURNS + _SAME:
        return "preload", (
            f"No suggestion for preload: the screws stand {spread_turns:g} turn apart. "
            "Set them all alike first; the ring sits crooked as it is."
        )
    base, least, per_screw = clutch.base_load_lb, clutch.least_base_load_lb, clutch.load_per_turn_lb
    safe = clutch.safe_turns
    if base is None or least is None or per_screw is None or safe is None or per_screw <= 0:
        wanted = {
            "safe_turns": safe,
            "base_load": base,
            "least_base_load": least,
            "load_per_turn": per_screw or None,
        }
        return _lines("preload", [line for line, value in wanted.items() if value is None], "[[clutch]]")
    lost = 0.0
    if clutch.growth_effect == "less load":
        rate = clutch.spring_rate_lb_per_in
        if rate is None and wear_in > 0.0:
            return "preload", (
                f"No suggestion for preload: the ring has grown {wear_in:.4f} in and what that costs is not "
                "known. Add 'spring_rate' to the [[clutch]] part."
            )
        lost = (rate or 0.0) * clutch.spring_count * wear_in
    least_turns = max(0.0, (least - base + lost) / (per_screw * clutch.screws))
    if least_turns > safe:
        return "preload", (
            f"No suggestion for preload: {least:g} lb (least_base_load) would need {least_turns:.2f} turns "
            f"with the wear there is now, past safe_turns {safe:g}. The clutch wants service."
        )
    low_words = f"least_base_load {least:g} lb" + (" with the wear there is now" if lost else "")
    return Limit(
        "preload", "preload", "turns", least_turns, safe,
        low_words, f"safe_turns {safe:g}", TURNS_GRID, REACH["preload"], is_quick=False,
    )  # fmt: skip


def _no_clutch(what: str, car: Car, lines: str) -> str:
    return (
        f"No suggestion for {what}: garage.toml does not describe the clutch of {car.name}. "
        f"Add a [[clutch]] part with {lines}, and name it in the car's 'clutch' line."
    )


def _counterweight(clutch: Clutch | None, car: Car) -> Limit | tuple[str, str]:
    if clutch is None:
        return "counterweight", _no_clutch("counterweight", car, "counterweight_limits")
    if clutch.counterweight_limits_g is None:
        return _lines("counterweight", ["counterweight_limits"], "[[clutch]]")
    low, high = clutch.counterweight_limits_g
    words = f"counterweight_limits {low:g} to {high:g} g"
    stacks = hardware_stacks(clutch.counterweight_hardware_g) or None
    return Limit(
        "counterweight", "counterweight", "g", low, high,
        words, words, GRAMS_GRID, REACH["counterweight"], is_quick=False, stacks=stacks,
    )  # fmt: skip


def hardware_stacks(pieces_g: Mapping[str, float]) -> dict[float, tuple[str, ...]]:
    """List what can be hung on a lever from the pieces at hand: mass [g] -> names of the pieces.

    Parameters
    ----------
    pieces_g
        Mass of each kind of piece; any number of each is at hand.

    Notes
    -----
    A lever takes nothing, or one bolt and up to three other pieces on it; when no piece is called a
    bolt, screw or stud, up to three pieces. Masses to 0.01 g; of equal masses, the fewest pieces.

    Examples
    --------
    >>> sorted(hardware_stacks({"bolt": 8.0, "nut": 3.5}))
    [0.0, 8.0, 11.5, 15.0, 18.5]
    """
    if not pieces_g:
        return {}
    bolts = [name for name in pieces_g if any(word in name.casefold() for word in ("bolt", "screw", "stud"))]
    others = [name for name in pieces_g if name not in bolts]
    stacks: dict[float, tuple[str, ...]] = {0.0: ()}
    for count in range(_MOST_PIECES + 1):
        for loose in itertools.combinations_with_replacement(others, count):
            for stack in ((bolt, *loose) for bolt in bolts) if bolts else (loose,):
                stacks.setdefault(round(sum(pieces_g[name] for name in stack), 2), stack)
    return stacks


def _launch_rpm(car: Car) -> Limit | tuple[str, str]:
    if car.launch_rpm_limits is None:
        return _lines("launch_rpm", ["launch_rpm_limits"], f"[[car]] {car.name}")
    low, high = car.launch_rpm_limits
    words = f"launch_rpm_limits {low:g} to {high:g}"
    return Limit(
        "launch_rpm", "launch rpm", "rpm", low, high,
        words, words, RPM_GRID, REACH["launch_rpm"], is_quick=True,
    )  # fmt: skip


def _tire_pressure(car: Car) -> Limit | tuple[str, str]:
    if car.tire_pressure_limits_psi is None:
        return _lines("tire_pressure", ["tire_pressure_limits"], f"[[car]] {car.name}")
    low, high = car.tire_pressure_limits_psi
    words = f"tire_pressure_limits {low:g} to {high:g} psi"
    return Limit(
        "tire_pressure", "tire pressure", "psi", low, high,
        words, words, PSI_GRID, REACH["tire_pressure"], is_quick=True,
    )  # fmt: skip


def _extra(item: Adjustment) -> Limit | tuple[str, str]:
    if item.limits is None:
        return item.name, (
            f"No suggestion for {item.spoken}: garage.toml gives no limit. "
            f"Add 'limits' to the [[adjustment]] part of {item.name}."
        )
    low, high = item.limits
    words = f"limits {low:g} to {high:g} of {item.spoken}"
    return Limit(
        item.name, item.spoken, item.unit, low, high,
        words, words, item.step, EXTRA_REACH_STEPS * item.step, is_quick=item.quick,
    )  # fmt: skip
