"""Events: when the runs are made, the weather, the lanes, the wear of the disc, and what nobody sees."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from tests.simulation.worlds.frame import NEVER, Floats, Whole

VENUES = ("Strip A", "Strip B", "Strip C", "Strip D")
DRIVERS = ("Ann", "Bo")
MORNING, EVENING = 10.0, 17.0


@dataclass(frozen=True, slots=True)
class Climate:
    """What a season's events have in common."""

    air_mean: float
    venue_air: tuple[float, ...]
    coolest: float
    sun: float
    growth_in: float
    service_every: int
    tires_every: int
    gun_degf: tuple[float, ...] = (0.0,) * len(VENUES)
    """By how much the track's temperature is read too high at each strip."""
    misnoted: float = 0.0
    """Chance that a run's preload is written down wrong."""
    evenings: bool = False
    """All events are in the evening; track and air fall together through each."""

    @classmethod
    def draw(cls, rng: np.random.Generator) -> Climate:
        """Draw a season's climate and the life of its disc and tires."""
        return cls(
            air_mean=float(rng.uniform(1.09, 1.15)),
            venue_air=tuple(rng.normal(0, 0.015, len(VENUES)).tolist()),
            coolest=float(rng.uniform(68, 82)),
            sun=float(rng.uniform(22, 40)),
            growth_in=float(rng.uniform(0.0001, 0.0003)),
            service_every=int(rng.integers(25, 50)),
            tires_every=int(rng.integers(32, 55)),
        )


@dataclass(slots=True)
class Life:
    """Age of disc and tires, carried from event to event."""

    service_no: int = 1
    since_service: int = 0
    wear_in: float = 0.0
    tire_runs: int = 0


@dataclass(frozen=True, slots=True)
class Night:
    """One event of n runs.

    Attributes
    ----------
    starts
        First run of the first and, if there is one, of the second day.
    slick
        The state of the track that no gun shows, in sd; positive = less grip.
    level_s
        The event's own part of the times beside ``slick``.
    drift_s_per_h
        How the track comes and goes with the hours of the night.
    gun_degf, turns_off
        By how much track temperature and each run's preload are written down too high.
    """

    name: str
    venue: int
    run_at: tuple[dt.datetime, ...]
    starts: tuple[np.datetime64, np.datetime64]
    track_temp: Floats
    air_density: Floats
    right: Floats
    wear: Floats
    service: Whole
    since_service: Whole
    gap_min: Floats
    tire_runs: Floats
    headwind: Floats
    driver: Whole
    slick: float
    level_s: float
    drift_s_per_h: float
    gun_degf: float
    turns_off: Floats

    @property
    def runs(self) -> int:
        """How many runs the event has."""
        return len(self.run_at)

    @property
    def part(self) -> Floats:
        """How far the night has gone at each run, 0 to 1."""
        at = np.array(self.run_at, dtype="datetime64[us]").astype(np.float64)
        return (at - at[0]) / max(at[-1] - at[0], 1.0)


def make_night(
    rng: np.random.Generator,
    number: int,
    runs: int,
    climate: Climate,
    life: Life,
    drift_s: tuple[float, float],
    days: int = 1,
) -> Night:
    """Make one event; ``life`` is carried on.

    Parameters
    ----------
    drift_s
        Mean and sd over events of the change from the first to the last run of a night.
    days
        Over how many days the runs are spread.
    """
    evening = rng.random() < 0.6 or climate.evenings
    first = EVENING if evening else MORNING
    day = dt.datetime(2025, 3, 1) + dt.timedelta(days=9 * number)
    longest = (400.0 if evening else 720.0) / max(runs / days - 1, 1)
    typical = float(rng.uniform(28, max(29.0, min(62.0, longest))))
    gaps = np.clip(rng.normal(typical, 9, runs), 25, 70).round()
    minutes = np.concatenate([[0.0], np.cumsum(gaps[1:])]) + 60 * first + float(rng.integers(-20, 21))
    second = runs if days == 1 else (runs + 1) // 2
    if second < runs:
        minutes[second:] += 1440 + minutes[0] - minutes[second]
    gaps[0] = 600.0
    gaps[second : second + 1] = 600.0
    run_at = tuple(day + dt.timedelta(minutes=float(m)) for m in minutes)
    late = np.datetime64(run_at[second], "us") if second < runs else NEVER
    hour = minutes % 1440 / 60
    sunshine = np.exp(-(((hour - 14.5) / 4.2) ** 2))
    venue = int(rng.integers(len(VENUES)))
    base = climate.coolest + rng.normal(0, 5)
    track = base + climate.sun * rng.uniform(0.75, 1.2) * sunshine + rng.normal(0, 1.2, runs)
    air = climate.air_mean + climate.venue_air[venue] + rng.normal(0, 0.013) - 0.018 * sunshine
    if climate.evenings:
        gone = np.clip((hour - hour[0]) / 5, 0, 1)
        track, air = track.mean() - 24 * gone + rng.normal(0, 1.2, runs), air.mean() + 0.035 * gone
    length_h = max((minutes[second - 1] - minutes[0]) / 60, 1.0)
    service, since, wear, tires = _ageing(runs, climate, life)
    aside = np.random.default_rng([number, runs, *gaps[1:3].astype(int)])  # other draws stay as they were
    return Night(
        name=f"Event {number + 1:02d}",
        venue=venue,
        run_at=run_at,
        starts=(np.datetime64(run_at[0], "us"), late),
        track_temp=np.clip(track, 58, 132).round(1),
        air_density=np.clip(air + rng.normal(0, 0.0015, runs), 0.98, 1.24),
        right=(rng.random(runs) < rng.uniform(0.3, 0.7)).astype(float),
        wear=wear,
        service=service,
        since_service=since,
        gap_min=gaps,
        tire_runs=tires,
        headwind=(aside.normal(0, 6) + aside.normal(0, 2.5, runs)).round(1),
        driver=(aside.random(runs) < aside.uniform(0.1, 0.6)).astype(np.intp),
        slick=float(np.clip(rng.normal(), -2.2, 2.2)),
        level_s=float(rng.normal()),
        drift_s_per_h=float(rng.normal(*drift_s) / length_h),
        gun_degf=climate.gun_degf[venue],
        turns_off=aside.choice([-1.0, -0.5, 0.5, 1.0], runs) * (aside.random(runs) < climate.misnoted),
    )


def _ageing(runs: int, climate: Climate, life: Life) -> tuple[Whole, Whole, Floats, Floats]:
    """Services and new tires come between events, when due."""
    if life.since_service >= climate.service_every:
        life.service_no, life.since_service, life.wear_in = life.service_no + 1, 0, 0.0
    if life.tire_runs >= climate.tires_every:
        life.tire_runs = 0
    count = np.arange(runs)
    service = np.full(runs, life.service_no)
    since = life.since_service + count
    wear = life.wear_in + climate.growth_in * count
    tires = (life.tire_runs + count).astype(float)
    life.since_service += runs
    life.wear_in += climate.growth_in * runs
    life.tire_runs += runs
    return service, since, wear.round(5), tires
