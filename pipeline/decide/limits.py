"""What may be suggested at all: the limits of garage.toml, on the grid a person can set.

Without a limit there is no suggestion: the adjustment is left where it is, and a sentence says which
line of garage.toml to add. A limit holds whether or not something may be suggested of its adjustment.
All screws are always set alike.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import polars as pl

from pipeline.decide.lever_stacks import hardware_stacks
from pipeline.garage.factors import ADJUSTMENTS, Factor
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Car, Clutch
from pipeline.physics.clutch import EVEN_TURNS
from pipeline.season.in_force import COLUMNS, after_the_runs, last_known
from pipeline.season.results import SafetyWarning, WarningKind
from pipeline.season.wear_state import load_lost_lb

SAME = 1e-9
"""Settings nearer than this are one."""


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
        return self.low - SAME <= value <= self.high + SAME

    def nearest(self, value: float) -> float:
        """Return the value itself, or the limit it is past."""
        return min(max(value, self.low), self.high)

    def spoken(self, value: float) -> str:
        """Write a value with its unit, such as ``3.5 turns`` or ``6 clicks``."""
        unit = self.unit
        if unit == "turns" and value == 1:
            unit = "turn"
        elif self.name not in COLUMNS and len(unit) > 3 and value != 1 and not unit.endswith("s"):
            unit += "s"
        return f"{value:g} {unit}".strip()

    def spoken_end(self, value: float) -> str:
        """Write one of its ends, to hundredths rounded inwards: one worked out has more decimals."""
        if not math.isfinite(value):
            return self.spoken(value)
        hundredths = round(100 * value, 6)
        return self.spoken((math.ceil if value == self.low else math.floor)(hundredths) / 100)

    def pieces(self, value: float) -> str:
        """Name the hardware that makes a value, such as ``bolt and nut``; empty when any mass can be set."""
        stack = (self.stacks or {}).get(round(value, 2), ())
        return " and ".join(stack)

    def move(self, before: float, after: float) -> str:
        """Say a change in words, such as ``raise preload from 3 to 3.5 turns``; empty when there is none."""
        if abs(after - before) <= SAME:
            return ""
        verb = "raise" if after > before else "lower"
        pieces = self.pieces(after)
        hung = f" ({pieces} on each lever)" if pieces else ""
        return f"{verb} {self.label} from {before:g} to {self.spoken(after)}{hung}"

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
        inside = [value for value in known if abs(value - middle) <= reach + SAME and self.allows(value)]
        if self.allows(centre) and all(abs(value - centre) > SAME for value in inside):
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
    """All limits of one car, and the sentences about what has none.

    Attributes
    ----------
    by_name
        The adjustments of which something may be suggested.
    missing
        Why nothing is suggested of another.
    bounds
        Every limit that is known, of those and of the others.
    """

    by_name: dict[str, Limit]
    missing: dict[str, str]
    bounds: dict[str, Limit] = field(default_factory=dict)

    def allows(self, settings: Mapping[str, float]) -> bool:
        """Whether every named setting that has limits is inside them."""
        return not self.broken(settings)

    def broken(self, settings: Mapping[str, float]) -> dict[str, SafetyWarning]:
        """Find the given settings that are past a limit, each with its warning."""
        found: dict[str, SafetyWarning] = {}
        for name, limit in (self.bounds or self.by_name).items():
            value = settings.get(name)
            if value is None or limit.allows(value):
                continue
            is_low = value < limit.low
            side, bound = ("below", limit.low) if is_low else ("above", limit.high)
            words = limit.low_words if is_low else limit.high_words
            kind: WarningKind = "past_limit"
            if name == "preload":
                kind = "least_base_load" if is_low else "safe_turns"
            text = (
                f"The present {limit.label} of {limit.spoken(value)} is {side} {limit.spoken_end(bound)} "
                f"({words}): bring it inside before anything else."
            )
            found[name] = SafetyWarning(kind, text)
        return found

    def passed(self, settings: Mapping[str, float]) -> tuple[str, ...]:
        """Say which of the given settings are past a limit, in sentences."""
        return tuple(warning.text for warning in self.broken(settings).values())

    def without_preload(self, why: str) -> Limits:
        """Leave preload out of what may be suggested, where its least turns cannot be known."""
        left = {name: limit for name, limit in self.by_name.items() if name != "preload"}
        why = f"No suggestion for preload: {why}."
        return replace(self, by_name=left, missing={**self.missing, "preload": why})

    def smallest_legal(
        self, settings: Mapping[str, float], *, quick_only: bool = False
    ) -> dict[str, float] | None:
        """Bring what is past a limit to the nearest value that can be set; None where that cannot be.

        Parameters
        ----------
        settings
            The present setting, in own units.
        quick_only
            Whether only what can be changed between rounds may be brought inside.
        """
        legal = dict(settings)
        for name in self.broken(settings):
            limit = self.by_name.get(name)
            if limit is None or (quick_only and not limit.is_quick):
                return None
            legal[name] = min(limit.settable(legal[name]), key=lambda at: abs(at - settings[name]))
        return legal if self.allows(legal) else None


def car_limits(
    garage: Garage,
    car: str,
    runs: pl.DataFrame | None = None,
    setups: pl.DataFrame | None = None,
    *,
    wear_in: float | None = None,
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
    wear_in
        Growth of the ring since the preload was set, as it is now [in]; None takes the last run's.

    Notes
    -----
    Least turns: base load + turns x lb per turn x screws - load lost to wear >= least base load. A gain of
    load by wear is never counted on.
    """
    described, clutch = garage.car(car), garage.clutch_of(car)
    worn_in = max(0.0, (last_known(runs, "wear_in") if wear_in is None else wear_in) or 0.0)
    bounds: dict[str, Limit] = {}
    missing: dict[str, str] = {}
    for factor in (*ADJUSTMENTS, *(item.factor for item in garage.adjustments)):
        if factor.name == "preload":
            limit = None if clutch is None else _turns_held(factor, clutch, worn_in)
            why = _no_preload(clutch, described, worn_in, screws_apart(runs, setups))
        else:
            limit, why = _held(factor, garage, described)
        if limit is not None:
            bounds[factor.name] = limit
        if why:
            missing[factor.name] = why
    return Limits({name: limit for name, limit in bounds.items() if name not in missing}, missing, bounds)


def screws_apart(runs: pl.DataFrame | None, setups: pl.DataFrame | None) -> float:
    """Measure how far apart the screws stand now, in turns; 0 when a hand can miss it or nothing is known."""
    spread = _screw_spread(runs, setups)
    return spread if spread > EVEN_TURNS + SAME else 0.0


def _screw_spread(runs: pl.DataFrame | None, setups: pl.DataFrame | None) -> float:
    later = None if runs is None else after_the_runs(runs, setups)
    if later is not None and "preload_screws" in later.columns:
        for turns, screws in later.select("preload_turns", "preload_screws").reverse().iter_rows():
            if screws or turns is not None:
                return float(max(screws) - min(screws)) if screws else 0.0
    return last_known(runs, "preload_spread_turns") or 0.0


# --- the limits that hold


def _least_turns(clutch: Clutch, worn_in: float) -> float | None:
    """Return the turns that keep the least base load with the wear there is; None where that is not known."""
    base, least, per_screw = clutch.base_load_lb, clutch.least_base_load_lb, clutch.load_per_turn_lb
    if base is None or least is None or not per_screw or clutch.screws is None:
        return None
    lost = max(0.0, load_lost_lb(clutch, worn_in) or 0.0)
    return max(0.0, (least - base + lost) / (per_screw * clutch.screws))


def _limit(
    factor: Factor, low: float, high: float, low_words: str, high_words: str,
    stacks: Mapping[float, tuple[str, ...]] | None = None,
) -> Limit:  # fmt: skip
    unit = factor.plural if factor.name in COLUMNS and factor.plural else factor.unit
    return Limit(
        factor.name, factor.label, unit, low, high, low_words, high_words,
        factor.grid, factor.reach, factor.is_quick, stacks,
    )  # fmt: skip


def _turns_held(factor: Factor, clutch: Clutch, worn_in: float) -> Limit | None:
    least, safe = _least_turns(clutch, worn_in), clutch.safe_turns
    if least is None and safe is None:
        return None
    worn = (load_lost_lb(clutch, worn_in) or 0.0) > 0.0
    low_words = f"least_base_load {clutch.least_base_load_lb or 0.0:g} lb"
    low_words += " with the wear there is now" if worn else ""
    most = math.inf if safe is None else safe
    return _limit(factor, least or 0.0, most, low_words, f"safe_turns {most:g}")


def _held(factor: Factor, garage: Garage, car: Car) -> tuple[Limit | None, str]:
    """Return the limit of any adjustment but the preload, and why nothing is suggested of it."""
    clutch = garage.clutch_of(car.name)
    limits = garage.limits_of(car.name, factor)
    if limits is not None:
        whose = f" of {factor.label}" if factor.limits_part == "adjustment" else ""
        unit = "" if factor.unit in factor.limits_key.split("_") else f" {factor.unit}"
        words = f"{factor.limits_key} {limits[0]:g} to {limits[1]:g}{whose or unit}"
        hung = factor.name == "counterweight" and clutch is not None and clutch.counterweight_hardware_g
        return _limit(factor, *limits, words, words, hardware_stacks(hung) if hung else None), ""
    if factor.limits_part == "adjustment":
        return None, (
            f"No suggestion for {factor.label}: garage.toml gives no limit. "
            f"Add '{factor.limits_key}' to the [[adjustment]] part of {factor.name}."
        )
    if factor.limits_part == "clutch":
        if clutch is None:
            return None, _no_clutch(factor.label, car, factor.limits_key)
        return None, _no_line(factor.label, [factor.limits_key], "[[clutch]]")
    why = _no_line(factor.label, [factor.limits_key], f"[[car]] {car.name}")
    most = car.engine_rpm_limit
    if factor.name != "launch_rpm" or most is None:
        return None, why
    words = f"engine_rpm_limit {most:g}"
    return _limit(factor, 0.0, most, words, words), why


# --- why nothing is suggested


def _no_line(what: str, missing: list[str], table: str) -> str:
    lines = " and ".join(f"'{line}'" for line in missing)
    return f"No suggestion for {what}: garage.toml gives no limit. Add {lines} to the {table} part."


def _no_clutch(what: str, car: Car, lines: str) -> str:
    return (
        f"No suggestion for {what}: garage.toml does not describe the clutch of {car.name}. "
        f"Add a [[clutch]] part with {lines}, and name it in the car's 'clutch' line."
    )


def _no_preload(clutch: Clutch | None, car: Car, worn_in: float, spread_turns: float) -> str:
    if clutch is None:
        return _no_clutch("preload", car, "screws, safe_turns, base_load and least_base_load")
    if spread_turns:
        return (
            f"No suggestion for preload: the screws stand {spread_turns:g} turn apart. "
            "Set them all alike first; the ring sits crooked as it is."
        )
    wanted = {
        "screws": clutch.screws,
        "safe_turns": clutch.safe_turns,
        "base_load": clutch.base_load_lb,
        "least_base_load": clutch.least_base_load_lb,
        "load_per_turn": clutch.load_per_turn_lb or None,
    }
    lacking = [line for line, value in wanted.items() if value is None]
    if lacking:
        return _no_line("preload", lacking, "[[clutch]]")
    if worn_in > 0.0 and load_lost_lb(clutch, worn_in) is None and clutch.growth_effect == "less load":
        return (
            f"No suggestion for preload: the ring has grown {worn_in:.4f} in and what that costs is not "
            "known. Add 'spring_rate' to the [[clutch]] part."
        )
    least_turns, safe = _least_turns(clutch, worn_in), clutch.safe_turns
    if least_turns is not None and safe is not None and least_turns > safe:
        return (
            f"No suggestion for preload: {clutch.least_base_load_lb:g} lb (least_base_load) would need "
            f"{least_turns:.2f} turns with the wear there is now, past safe_turns {safe:g}. "
            "The clutch wants service."
        )
    return ""
