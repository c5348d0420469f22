"""Seeded seasons whose truth is known everywhere, to score suggestions and test plans.

Three kinds of world in turn: straight effects of the clutch with a launch-rpm optimum that moves with the
track; the squared distance of the plate load from a best one, by physics the model only nearly has (levers
a sixth lighter than it is told); and straight effects that differ from event to event, with ruined runs.
True effects differ from season to season (preload -4 +- 3 ms/turn, counterweight -3 +- 2 ms/g, often
none at all), and the car is often near its best already, so that staying can be right.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import polars as pl

from pipeline.garage.logbook import Garage
from pipeline.season.facts import CarFacts
from sample_timeslips.launch_simulation import Conditions, Settings
from tests.season.seasons import CLUTCH, Truth, season
from tests.simulation.launch_table import launch_table, points
from tests.simulation.seasons import POLICIES, simulated_season

GARAGE = Garage.model_validate(
    {
        "car": [
            {
                "name": "Marigold",
                "clutch": "eight",
                "launch_rpm_limits": [4500, 7400],
                "tire_pressure_limits": [8, 14],
            }
        ],
        "clutch": [
            {
                "name": "eight",
                "base_load": "300 lb",
                "least_base_load": "300 lb",
                "screws": 8,
                "spring_rate": "150 lb/in",
                "load_per_turn": "6.25 lb",
                "safe_turns": 6,
                "counterweight_limits": ["0 g", "12 g"],
            }
        ],
        "adjustment": [{"name": "shock_clicks", "label": "rear shock", "unit": "click", "limits": [0, 12]}],
    }
)
CHUNK = 512
SIZES = ((60, 8), (120, 10), (250, 15))


@dataclass(frozen=True)
class World:
    """A season and its truth: ``time(turns, grams, rpm, temp, shock)`` in s, without event and noise."""

    runs: pl.DataFrame
    time: Callable[..., float]
    temp_degf: float

    def true_change_s(self, before: dict[str, float], after: dict[str, float]) -> float:
        return self._at(after) - self._at(before)

    def _at(self, s: dict[str, float]) -> float:
        shock = s.get("shock_clicks", 6.0)
        return float(self.time(s["preload"], s["counterweight"], s["launch_rpm"], self.temp_degf, shock))


def world(seed: int) -> World:
    """Make the world of a seed; the forecast is a track somewhat like the last run's."""
    rng = np.random.default_rng(90_000 + seed)
    kind, (runs, events) = seed % 3, SIZES[(seed // 3) % 3]
    truth = Truth(
        preload=rng.normal(-0.004, 0.003) * (rng.random() < 0.7),
        counterweight=rng.normal(-0.003, 0.002) * (rng.random() < 0.7),
        rpm_curve=rng.uniform(0.0002, 0.0012),
        rpm=rng.normal(0.0, 0.0005),
        temp=rng.normal(0.003, 0.001),
        shock=rng.choice([0.0, rng.normal(0.0, 0.0015)]),
    )
    time = _load_truth(rng) if kind == 1 else truth.time
    frame = season(
        seed,
        runs=runs,
        events=events,
        truth=truth,
        time=time,
        slope_sd=0.001 if kind == 2 else 0.0,
        ruined=0.08 if kind == 2 else 0.0,
    )
    return World(frame, time, float(frame["track_temp_degf"][-1] + rng.normal(0, 6)))


def _load_truth(rng: np.random.Generator) -> Callable[..., float]:
    best, curve, by_temp = rng.normal(3.0, 1.2), rng.uniform(0.0002, 0.0012), rng.normal(-0.6, 0.2)
    rpm_best, rpm_curve = rng.normal(6050, 80), rng.uniform(0.0002, 0.001)
    levers_lb = CLUTCH.lb_per_g_rpm2 / CLUTCH.lb_per_turn

    def time(turns: float, grams: float, rpm: float, temp: float, _shock: float) -> float:
        hot = (temp - 95) / 10
        load = turns + levers_lb * ((25.0 + grams) * rpm**2 - 25.0 * 6000.0**2)
        away = load - best - by_temp * hot
        return 1.45 + curve * away**2 + rpm_curve * ((rpm - rpm_best) / 100 + 0.8 * hot) ** 2 + 0.003 * hot

    return time


def simulated_world(seed: int) -> tuple[World, CarFacts]:
    """Make a world of the launch simulation, its racers' policies in turn, with what the owner records.

    Its truth is no formula of the model's. The forecast is a track like the last run's, the season's
    middle air and a night like any other.
    """
    runs, events = SIZES[(seed // len(POLICIES)) % 3]
    made = simulated_season(seed, POLICIES[seed % len(POLICIES)], runs, events)
    last = made.frame.tail(1)
    temp = float(np.clip(last["track_temp_degf"][0] + np.random.default_rng(seed).normal(0, 6), 72, 120))
    air, growth = float(made.frame["air_density_kg_per_m3"].median()), float(last["wear_in"][0])

    def time(turns, grams, rpm, temp_degf, shock):
        one = np.broadcast_arrays(*(np.atleast_1d(np.float64(v)) for v in (turns, grams, rpm, shock)))
        setting = Settings(one[0], one[1], one[2], np.full(one[0].size, 10.0), one[3])
        place = Conditions(*(np.full(one[0].size, v) for v in (temp_degf, air, growth, 1.0)))
        at = points(setting, place)
        parts = [launch_table().times(at[i : i + CHUNK])[0] for i in range(0, len(at), CHUNK)]
        return np.concatenate(parts) if len(at) > 1 else float(parts[0][0])

    return World(made.frame, time, temp), made.facts
