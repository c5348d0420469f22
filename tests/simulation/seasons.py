"""Seeded seasons of the launch simulation under five kinds of racer, each with its truth.

    season = simulated_season(seed=3, policy="follows_track")
    season.frame                      # rows of the `runs` table, clean
    season.facts                      # CarFacts, the clutch's recorded geometry a few per cent off
    season.truth.step_effects("t60")  # true average effect per practical step

Run noise has sd 9 ms, whole nights an unseen part with sd about 6 ms, as in the statistics page; the
60-330 ft section adds 8 ms of its own. Tire pressure is changed now and then and never does anything.

Policies
--------
free
    Settings wander; nothing answers anything but the track temperature.
follows_track
    Launch rpm and clutch answer the weather, the unseen state of the track (which also moves the night's
    times) and the last slip.
pair_locked
    Two adjustments are never changed one without the other; `pair` names them. As it comes, preload and the
    rear wing, which does nothing: to blame the wing is wrong.
drifting
    Counterweight and preload creep up through the season while the clutch wears, without a service.
placebo
    As free, with a rear wing that is moved as often as anything else and does nothing.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import polars as pl

from pipeline.garage.factors import Factor
from pipeline.season.facts import CarFacts
from sample_timeslips.launch_simulation import CAR, Car, Conditions, Floats, Settings
from tests.simulation.launch_table import launch_table, points
from tests.simulation.runs_frame import SHOCK, WING, runs_frame, true_clutch
from tests.simulation.truth import Truth

Policy = Literal["free", "follows_track", "pair_locked", "drifting", "placebo"]
POLICIES: tuple[Policy, ...] = ("free", "follows_track", "pair_locked", "drifting", "placebo")

RUN_NOISE_S = 0.009
SECTION_NOISE_S = 0.008
EVENT_SEEN_S, EVENT_OTHER_S = 0.0045, 0.0035
EVENT_GRIP = 0.005
AIR_SD = 0.02
GROWTH_PER_RUN_IN = 0.00012

RANGES = {
    "preload_turns": (1.0, 4.2),
    "counterweight_g": (1.5, 8.5),
    "launch_rpm": (5400.0, 7500.0),
    "tire_pressure_psi": (9.0, 12.0),
    "shock_clicks": (2.0, 10.0),
    "wing_hole": (0.0, 6.0),
}
GRAIN = {
    "preload_turns": 0.25,
    "counterweight_g": 0.5,
    "launch_rpm": 50.0,
    "tire_pressure_psi": 0.5,
    "shock_clicks": 1.0,
    "wing_hole": 1.0,
}
MOVE = {
    "preload_turns": 0.6,
    "counterweight_g": 1.1,
    "launch_rpm": 260.0,
    "tire_pressure_psi": 1.0,
    "shock_clicks": 1.6,
    "wing_hole": 1.6,
}
CHANGES = {
    "preload_turns": 0.25,
    "counterweight_g": 0.2,
    "launch_rpm": 0.7,
    "tire_pressure_psi": 0.25,
    "shock_clicks": 0.2,
    "wing_hole": 0.3,
}
"""Chance that an adjustment is changed before a run."""


@dataclass(frozen=True, slots=True)
class SimulatedSeason:
    """One season: what the model sees, and what is so."""

    frame: pl.DataFrame
    facts: CarFacts
    truth: Truth


@dataclass(frozen=True, slots=True)
class _Nights:
    """Per run: event number, track temperature, air density; per event: its unseen state and effect."""

    event: np.ndarray
    track_temp_degf: Floats
    air_density: Floats
    unseen: Floats
    effect_s: Floats


def simulated_season(
    seed: int,
    policy: Policy = "free",
    n_runs: int = 120,
    n_events: int = 10,
    *,
    pair: tuple[str, str] = ("preload_turns", "wing_hole"),
    geometry_error: float = 0.1,
) -> SimulatedSeason:
    """Make one season.

    Parameters
    ----------
    seed
        Same seed, same policy: the same season.
    policy
        See the module's page.
    n_runs, n_events
        Runs in all, spread evenly over the events.
    pair
        The two adjustments that `pair_locked` moves together, names of `RANGES`.
    geometry_error
        Relative sd of the recorded lever mass against the true one; half of it for the springs.
    """
    rng = np.random.default_rng([seed, POLICIES.index(policy)])
    nights = _nights(rng, n_runs, n_events)
    noise = rng.normal(0, RUN_NOISE_S, n_runs)
    values = _settings(rng, policy, nights, noise, pair)
    growth = GROWTH_PER_RUN_IN * (2 if policy == "drifting" else 1) * np.arange(n_runs)
    settings = Settings(*(values[name] for name in Settings.__slots__))
    conditions = Conditions(
        nights.track_temp_degf, nights.air_density, growth, 1.0 - EVENT_GRIP * nights.unseen[nights.event]
    )
    effect = nights.effect_s[nights.event]
    t60, t330 = launch_table().times(points(settings, conditions)) + effect + noise
    t330 = t330 + rng.normal(0, SECTION_NOISE_S, n_runs)
    extras = [SHOCK, WING] if _has_wing(policy, pair) else [SHOCK]
    recorded = _recorded(rng, geometry_error)
    frame = _frame(values, conditions, t60, t330, nights, extras, recorded, rng)
    facts = CarFacts("Marigold", true_clutch(recorded), tuple(extras))
    return SimulatedSeason(frame, facts, Truth(settings, conditions, effect, _nulls(extras), nights.event))


def _has_wing(policy: Policy, pair: tuple[str, str]) -> bool:
    return policy == "placebo" or (policy == "pair_locked" and "wing_hole" in pair)


def _nulls(extras: list[Factor]) -> frozenset[str]:
    return frozenset({"tire_pressure"} | {extra.name for extra in extras if extra is WING})


def _recorded(rng: np.random.Generator, error: float) -> Car:
    """The car as its owner believes it to be."""
    levers, springs = 1.0 + error * np.clip(rng.normal(size=2), -2, 2) * (1.0, 0.5)
    return replace(
        CAR,
        lever_mass_g=CAR.lever_mass_g * levers,
        spring_rate_lb_per_in=CAR.spring_rate_lb_per_in * springs,
    )


def _nights(rng: np.random.Generator, n_runs: int, n_events: int) -> _Nights:
    """Weather that differs more between events than within, and the part nobody sees."""
    event = np.arange(n_runs) * n_events // n_runs
    place = np.zeros(n_runs)
    for e in range(n_events):
        count = int((event == e).sum())
        place[event == e] = np.linspace(-1, 1, count) if count > 1 else 0.0
    temp = rng.normal(96, 9, n_events)[event] + 7 * (0.7 - place**2) + rng.normal(0, 1.5, n_runs)
    density = rng.normal(1.125, AIR_SD, n_events)[event] * (1 - 0.006 * (1 - place**2))
    unseen = np.clip(rng.normal(size=n_events), -2.2, 2.2)
    effect = EVENT_SEEN_S * unseen + rng.normal(0, EVENT_OTHER_S, n_events)
    return _Nights(event, np.clip(temp, 70, 122), np.clip(density, 1.03, 1.2), unseen, effect)


def _settings(
    rng: np.random.Generator, policy: Policy, nights: _Nights, noise: Floats, pair: tuple[str, str]
) -> dict[str, Floats]:
    """Walk through the season, changing settings as this kind of racer does."""
    n = nights.event.size
    home = {name: low + (high - low) * rng.uniform(0.3, 0.65) for name, (low, high) in RANGES.items()}
    now = dict(home)
    out = {name: np.empty(n) for name in RANGES}
    last_bad = 0.0
    for i in range(n):
        new_night = i == 0 or nights.event[i] != nights.event[i - 1]
        aim = _aim(home, policy, nights, i, last_bad)
        _change(rng, now, aim, new_night, policy, pair)
        for name in RANGES:
            out[name][i] = now[name]
        last_bad = noise[i] / RUN_NOISE_S + 0.7 * nights.unseen[nights.event[i]]
    return out


def _aim(
    home: dict[str, float], policy: Policy, nights: _Nights, i: int, last_bad: float
) -> dict[str, float]:
    """Where this racer would like the settings to be for this run."""
    aim = dict(home)
    hot = (nights.track_temp_degf[i] - 96) / 10
    aim["launch_rpm"] -= 60 * hot
    if policy == "follows_track":
        slick = nights.unseen[nights.event[i]]
        aim["launch_rpm"] -= 60 * hot + 110 * slick + 60 * last_bad
        aim["preload_turns"] -= 0.35 * slick
        aim["counterweight_g"] -= 0.4 * slick + 0.2 * hot
    if policy == "drifting":
        through = i / nights.event.size - 0.5
        aim["counterweight_g"] += 3.0 * through
        aim["preload_turns"] += 0.8 * through
    return aim


def _change(
    rng: np.random.Generator,
    now: dict[str, float],
    aim: dict[str, float],
    new_night: bool,
    policy: Policy,
    pair: tuple[str, str],
) -> None:
    """Change some settings in place; preload and counterweight often together, a locked pair always."""
    changes = {name: new_night or rng.random() < chance for name, chance in CHANGES.items()}
    if changes["preload_turns"] and rng.random() < 0.4:
        changes["counterweight_g"] = True
    moves = rng.normal(size=len(RANGES))
    for move, name in zip(moves, RANGES, strict=True):
        if changes[name]:
            now[name] = _on_grid(name, aim[name] + MOVE[name] * move)
    if policy == "pair_locked":
        leader, follower = pair
        low, high = RANGES[leader]
        part = (now[leader] - low) / (high - low)
        start, end = RANGES[follower]
        now[follower] = start + (end - start) * part


def _on_grid(name: str, value: float) -> float:
    low, high = RANGES[name]
    return float(np.clip(GRAIN[name] * round(value / GRAIN[name]), low, high))


def _frame(
    values: dict[str, Floats],
    conditions: Conditions,
    t60: Floats,
    t330: Floats,
    nights: _Nights,
    extras: list[Factor],
    recorded: Car,
    rng: np.random.Generator,
) -> pl.DataFrame:
    names = [f"Night {e + 1:02d}" for e in nights.event]
    start = dt.datetime(2025, 3, 1, 9)
    run_at = [
        start + dt.timedelta(days=14 * int(e), minutes=25 * i % 600) for i, e in enumerate(nights.event)
    ]
    columns = {name: values[name] for name in values if name not in {"shock_clicks", "wing_hole"}}
    columns |= {
        "t60_s": t60.round(4),
        "t330_s": t330.round(4),
        "track_temp_degf": conditions.track_temp_degf,
        "air_density_kg_per_m3": conditions.air_density_kg_per_m3,
        "wear_in": conditions.growth_in,
    }
    return runs_frame(
        columns,
        events=names,
        run_at=run_at,
        lanes=list(rng.choice(["left", "right"], len(names))),
        extras={extra.name: values[extra.name] for extra in extras},
        car=recorded,
    )
