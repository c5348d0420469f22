"""Quick seeded seasons with a truth written down in formulas (no clutch physics), for the model's tests.

The racer: settings answer the unseen track, changes of preload and counterweight often come
together, counterweight creeps up over the season, preload falls with wear.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
import polars as pl

from pipeline.garage.factors import extra_factor
from pipeline.season.facts import CarFacts, ClutchFacts

CLUTCH = ClutchFacts(360.0, 50.0, 1200.0, 6, 30.0, 3.5, 1.0, -1.0)
FACTS = CarFacts("Marigold", CLUTCH, (extra_factor("shock_clicks", "rear shock", "click", 1.0),))
FACTS_WITHOUT_GEOMETRY = CarFacts("Marigold", None, FACTS.extras)


@dataclass(frozen=True)
class Truth:
    """True effects in s per practical step, at reference 3 turns, 4 g, 6000 rpm, 95 degF."""

    preload: float = -0.004
    counterweight: float = -0.003
    rpm_curve: float = 0.0012
    rpm_by_temp: float = -0.0010
    rpm: float = 0.0
    temp: float = 0.003
    shock: float = 0.0

    def time(self, turns, grams, rpm, temp, shock):
        r, t = (rpm - 6000) / 100, (temp - 95) / 10
        return (
            1.45
            + self.preload * (turns - 3)
            + self.counterweight * (grams - 4)
            + self.rpm * r
            + self.rpm_curve * (r + 0.8 * t) ** 2
            + self.temp * t
            + self.shock * (shock - 6)
        )


def season(
    seed: int,
    *,
    runs: int = 120,
    events: int = 10,
    truth: Truth | None = None,
    noise: float = 0.009,
    event_sd: float = 0.006,
    slope_sd: float = 0.0,
    locked: bool = False,
    ruined: float = 0.0,
    time: Callable[..., float] | None = None,
) -> pl.DataFrame:
    """One simulated season in the shape of the ``runs`` table (the columns the model reads)."""
    rng = np.random.default_rng(seed)
    truth = truth or Truth()
    sizes = np.full(events, runs // events)
    sizes[: runs % events] += 1
    turns, grams, rpm, shock, wear = 3.0, 4.0, 6000.0, 6.0, 0.0
    rows = []
    for e, size in enumerate(sizes):
        level = rng.normal(0, event_sd)
        slopes = rng.normal(0, slope_sd, 3) if slope_sd else np.zeros(3)
        base = 95 + rng.normal(0, 12)
        air = 1.16 + rng.normal(0, 0.02)
        rpm = 6000 - 60 * (base - 95) / 10 + rng.normal(0, 120) + 15000 * level
        if rng.random() < 0.5:
            grams = float(np.clip(grams + rng.choice([0.5, 1.0, -0.5]), 0, 9))
        for i in range(size):
            temp = base + 8 * np.sin(2.5 * i / size) + rng.normal(0, 1.5)
            if rng.random() < 0.45:
                step = float(rng.choice([-1.0, -0.5, 0.5, 1.0]))
                if locked:
                    turns = float(np.clip(turns + step, 1, 5))
                    grams = 4 + 1.5 * (turns - 3)
                else:
                    if rng.random() < 0.7:
                        turns = float(np.clip(turns + step, 1, 5))
                    if rng.random() < 0.6:
                        grams = float(np.clip(grams + step * rng.choice([1.0, 2.0]), 0, 9))
            rpm = float(np.clip(rpm + rng.choice([-200, -100, 0, 0, 100, 200]), 5300, 6700))
            if rng.random() < 0.3:
                shock = float(np.clip(shock + rng.choice([-1, 1]), 2, 10))
            wear += 0.00015
            t60 = (time or truth.time)(turns, grams, rpm, temp, shock) + level
            t60 += slopes @ np.array([turns - 3, grams - 4, (rpm - 6000) / 100])
            t60 += rng.normal(0, noise)
            outcome = "clean"
            if rng.random() < ruined:
                t60 += rng.uniform(0.05, 0.25)
                outcome = "spun" if rng.random() < 0.75 else "clean"
            rows.append(
                {
                    "run_id": len(rows) + 1,
                    "event": f"Event {e + 1:02d}",
                    "run_date": date(2031, 4, 5) + timedelta(days=14 * e),
                    "run_at": datetime.fromisoformat("2031-04-05T10:00")
                    + timedelta(days=14 * e, minutes=40 * i),
                    "venue": f"Strip {e % 3}",
                    "run_of_event": i + 1,
                    "lane": "left" if rng.random() < 0.5 else "right",
                    "t60_s": round(t60, 3),
                    "t60_330_s": round(2.6 + 0.3 * (t60 - 1.45) + rng.normal(0, 0.01), 3),
                    "launch_rpm": round(rpm, -1),
                    "preload_turns": turns,
                    "counterweight_g": grams,
                    "tire_pressure_psi": 10.0,
                    "extras": [{"key": "shock_clicks", "value": shock}],
                    "track_temp_degf": round(temp, 0),
                    "air_density_kg_per_m3": round(air + 0.001 * i + rng.normal(0, 0.002), 4),
                    "wear_in": wear,
                    "runs_since_service": len(rows),
                    "service_no": 0,
                    "outcome": outcome,
                    "use_t60": True,
                    "use_t60_330": True,
                    "use_t330": True,
                    "left_out_reason": None,
                    "questioned": [],
                }
            )
    frame = pl.DataFrame(
        rows, schema_overrides={"left_out_reason": pl.String, "questioned": pl.List(pl.String)}
    )
    return frame.with_columns(t330_s=(pl.col("t60_s") + pl.col("t60_330_s")).round(3))
