"""Seeded fleets of cars with one kind of clutch, after the design's description of the simulated racer.

Settings answer the weather, the unseen state of the track and chance; two in five changes move preload and
counterweight together; counterweight creeps up; effects differ from car to car.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

MEAN_MS = np.array([-4.0, -3.0, 0.0, 3.0, 2.0, 1.2, -0.8])
SPREAD_MS = np.array([3.0, 2.0, 2.5, 2.0, 2.0, 0.5, 0.5])
"""preload /turn, counterweight /g, rpm /100, track /10 degF, air /%, rpm^2, rpm x track: mean and sd."""


@dataclass(frozen=True)
class Fleet:
    """Runs in the shape of the runs table, and each car's true coefficients about its own usual rpm.

    ``effects`` has shape (K, 7) [s per step], in the order of ``MEAN_MS``; ``centre`` (K, 2) holds how far
    the mean rpm and track temperature of its runs lie from there, in steps.
    """

    runs: pl.DataFrame
    effects: np.ndarray
    centre: np.ndarray

    def true_effects(self) -> np.ndarray:
        """Straight effects of the five factors about each car's own centre. Shape (K, 5). [s per step]."""
        rpm, track = self.centre.T
        out = self.effects[:, :5].copy()
        out[:, 2] += 2 * self.effects[:, 5] * rpm + self.effects[:, 6] * track
        out[:, 3] += self.effects[:, 6] * rpm
        return out


def fleet(
    seed: int,
    cars: int,
    *,
    runs: int = 100,
    events: int | None = None,
    noise_ms: float = 9.0,
    event_ms: float = 6.0,
    ruined: float = 0.0,
    odd: tuple[int, float] | None = None,
    prefix: str = "car",
) -> Fleet:
    """Draw a fleet.

    ``odd`` = (coefficient, sds): the first car lies that many fleet sds out in that coefficient.
    """
    rng = np.random.default_rng(seed)
    events = events or max(2, runs // 10)
    effects = (MEAN_MS + SPREAD_MS * rng.normal(size=(cars, 7))) * 1e-3
    if odd is not None:
        effects[0, odd[0]] = (MEAN_MS[odd[0]] + odd[1] * SPREAD_MS[odd[0]]) * 1e-3
    own = 1.45 + rng.normal(0, 0.05, cars)
    turns = 3 + rng.choice([-0.5, 0.0, 0.5], cars)
    grams = 4 + rng.choice([-1.0, 0.0, 1.0], cars)
    base_rpm = 6000 + rng.normal(0, 300, cars)
    columns: dict[str, list[np.ndarray]] = {name: [] for name in ("t", "g", "r", "k", "a", "y", "e")}
    sizes = np.full(events, runs // events)
    sizes[: runs % events] += 1
    for e, size in enumerate(sizes):
        level = rng.normal(0, event_ms * 1e-3, cars)
        day = 95 + rng.normal(0, 12, cars)
        air = 1.18 * np.exp(rng.normal(0, 0.02, cars))
        rpm = base_rpm - 60 * (day - 95) / 10 + rng.normal(0, 120, cars) + 10000 * level
        grams = np.clip(grams + np.where(rng.random(cars) < 0.5, rng.choice([0.5, 1, -0.5], cars), 0), 0, 12)
        for i in range(size):
            track = day + 8 * np.sin(2.5 * i / size) + rng.normal(0, 1.5, cars)
            step = rng.choice([-1.0, -0.5, 0.5, 1.0], cars)
            changed = rng.random(cars) < 0.45
            both, first = rng.random(cars) < 0.4, rng.random(cars) < 0.5
            turns = np.clip(turns + np.where(changed & (both | first), step, 0), 1, 5)
            more = step * rng.choice([1.0, 2.0], cars)
            grams = np.clip(grams + np.where(changed & (both | ~first), more, 0), 0, 12)
            rpm = np.clip(
                rpm + rng.choice([-200, -100, 0, 0, 100, 200], cars), base_rpm - 800, base_rpm + 800
            )
            air = air * np.exp(0.001 + rng.normal(0, 0.002, cars))
            rr, tt = (rpm - base_rpm) / 100, (track - 95) / 10
            basis = np.stack([turns - 3, grams - 4, rr, tt, 100 * np.log(air / 1.2), rr**2, rr * tt])
            y = own + (effects.T * basis).sum(0) + level + rng.normal(0, noise_ms * 1e-3, cars)
            y = y + np.where(rng.random(cars) < ruined, rng.uniform(0.05, 0.25, cars), 0.0)
            for name, values in zip(columns, (turns, grams, rpm, track, air, y, None), strict=True):
                columns[name].append(np.full(cars, e) if values is None else values.astype(np.float64))
    stacked = {name: np.stack(values, axis=1).ravel() for name, values in columns.items()}
    names = np.array([f"{prefix} {number:06d}" for number in range(1, cars + 1)])
    frame = pl.DataFrame(
        {
            "car": np.repeat(names, runs),
            "event": pl.Series(stacked["e"].astype(np.int64)).cast(pl.String).str.zfill(3),
            "t60_s": stacked["y"].round(3),
            "preload_turns": stacked["t"],
            "counterweight_g": stacked["g"],
            "launch_rpm": stacked["r"].round(-1),
            "track_temp_degf": stacked["k"].round(0),
            "air_density_kg_per_m3": stacked["a"].round(4),
        }
    )
    centre = np.column_stack(
        [
            (stacked["r"].reshape(cars, runs).mean(1) - base_rpm) / 100,
            (stacked["k"].reshape(cars, runs).mean(1) - 95) / 10,
        ]
    )
    return Fleet(frame, effects, centre)
