"""The invented season itself: where and when the car ran, in what air, with what settings.

Everything a person could have known is here, in true values; `sheets` writes it down with a
person's habits, `mess` with a person's mistakes.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

import numpy as np

from sample_timeslips.launch_simulation import GRIP_SCATTER, Conditions, Floats, Runs, Settings, simulate

SEED = 20250405
EVENT_SD_S = 0.006
DRIVER_SD_S = 0.007
DRIVER_SD_RPM = 40.0
GROWTH_PER_RUN_IN = 0.00024
NEW_RING_HEIGHT_IN = 2.200
SHIM_REMOVED_IN = 0.021
LAUNCH_RPM_LIMITS = (5000.0, 7800.0)
PAIR = ((3.0, 8.0), (4.5, 6.0), (6.0, 4.0))
"""Counterweight [g] and rear shock [clicks], never changed one without the other."""


@dataclass(frozen=True, slots=True)
class Venue:
    """An invented strip."""

    name: str
    elevation_ft: float
    length_ft: float
    as_typed: str


CINDER = Venue("Cinder Flats", 1250.0, 1320.0, "1/4 mile")
HARROW = Venue("Harrow Lane", 300.0, 660.0, "1/8 mile")
LANTERN = Venue("Lantern Mesa", 2900.0, 1320.0, "1/4 mile")
VENUES = (CINDER, HARROW, LANTERN)


@dataclass(frozen=True, slots=True)
class Event:
    """One day at a strip; temperatures are the morning's low and the afternoon's high [degF]."""

    name: str
    venue: Venue
    date: dt.date
    runs: int
    low_degf: float
    high_degf: float
    sun_degf: float
    dew_point_degf: float
    pressure_off_inhg: float


EVENTS = (
    Event("Spring Opener", CINDER, dt.date(2025, 4, 5), 14, 48, 70, 20, 40, 0.08),
    Event("Harrow Test and Tune", HARROW, dt.date(2025, 4, 26), 15, 55, 76, 24, 52, -0.10),
    Event("Cinder Points 1", CINDER, dt.date(2025, 5, 10), 14, 56, 80, 27, 49, 0.02),
    Event("Mesa Classic", LANTERN, dt.date(2025, 5, 31), 15, 52, 78, 30, 38, 0.11),
    Event("Eighth Mile Shootout", HARROW, dt.date(2025, 6, 14), 14, 66, 88, 27, 64, -0.04),
    Event("Cinder Points 2", CINDER, dt.date(2025, 6, 28), 15, 68, 93, 24, 60, -0.07),
    Event("Summer Twilight", CINDER, dt.date(2025, 7, 19), 15, 70, 90, 19, 66, 0.05),
    Event("Mesa Heat", LANTERN, dt.date(2025, 8, 9), 14, 62, 88, 28, 50, -0.02),
    Event("Harrow Points", HARROW, dt.date(2025, 8, 30), 15, 67, 85, 24, 66, 0.06),
    Event("Cinder Points 3", CINDER, dt.date(2025, 9, 20), 14, 57, 78, 21, 54, -0.05),
    Event("Season Closer", CINDER, dt.date(2025, 10, 18), 15, 46, 68, 22, 41, 0.10),
)
SERVICE_DATE = dt.date(2025, 7, 5)


@dataclass(frozen=True, slots=True)
class Air:
    """Air at one moment."""

    temp_degf: float
    dew_point_degf: float
    humidity_pct: float
    station_inhg: float
    density_kg_per_m3: float


def vapor_pressure_hpa(temp_degf: float) -> float:
    """Give water's vapor pressure at a dew point [hPa]; Bolton's 1980 formula, good to 0.3 % here."""
    celsius = (temp_degf - 32.0) / 1.8
    return float(6.112 * np.exp(17.67 * celsius / (celsius + 243.5)))


def air_at(event: Event, hour: float) -> Air:
    """Air at an hour of the event's day: warmest at four, pressure falling a little through the day."""
    shape = float(np.clip(np.sin(np.pi * (hour - 7.0) / 18.0), 0.0, 1.0))
    temp = event.low_degf + (event.high_degf - event.low_degf) * shape
    dew = event.dew_point_degf - 2.0 * (shape - 0.5)
    vapor = vapor_pressure_hpa(dew)
    sea_level = 29.92 + event.pressure_off_inhg - 0.008 * (hour - 12.0)
    station = sea_level * (1.0 - 6.8756e-6 * event.venue.elevation_ft) ** 5.2559
    kelvin = (temp - 32.0) / 1.8 + 273.15
    dry_hpa = station * 33.8638866667 - vapor
    density = 100.0 * (dry_hpa / 287.05 + vapor / 461.5) / kelvin
    return Air(temp, dew, 100.0 * vapor / vapor_pressure_hpa(temp), station, density)


def track_temp_degf(event: Event, hour: float) -> float:
    """Surface at the starting line: the air's, and what the sun adds around one o'clock."""
    sun = event.sun_degf * float(np.clip(np.cos(np.pi * (hour - 13.3) / 11.0), 0.0, 1.0))
    return air_at(event, hour).temp_degf + sun


@dataclass(slots=True)
class Run:
    """One true run: settings as set, conditions as they were, times as the clocks gave them."""

    event: Event
    number: int
    at: dt.datetime
    round: str
    lane: str
    preload_turns: float
    counterweight_g: float
    shock_clicks: float
    tire_pressure_psi: float
    launch_rpm: float
    track_temp_degf: float
    air: Air
    growth_in: float
    service_no: int
    reaction_s: float = 0.0
    times: dict[str, float] = field(default_factory=dict)
    outcome: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Season:
    """All runs in order, with the unseen parts that made them."""

    runs: tuple[Run, ...]
    event_effect_s: dict[str, float]


def settings_of(runs: tuple[Run, ...]) -> Settings:
    """Give the settings of the runs as arrays."""
    return Settings(
        *(
            np.array([getattr(run, name) for run in runs], dtype=np.float64)
            for name in (
                "preload_turns",
                "counterweight_g",
                "launch_rpm",
                "tire_pressure_psi",
                "shock_clicks",
            )
        )
    )


def conditions_of(runs: tuple[Run, ...]) -> Conditions:
    """Give the conditions of the runs as arrays, the unseen state of the track left at its middle."""
    return Conditions(
        track_temp_degf=np.array([run.track_temp_degf for run in runs]),
        air_density_kg_per_m3=np.array([run.air.density_kg_per_m3 for run in runs]),
        growth_in=np.array([run.growth_in for run in runs]),
        grip_factor=np.ones(len(runs)),
    )


def make(seed: int = SEED) -> Season:
    """Plan the season, run it down the strips, and let the clocks and the driver add their noise."""
    rng = np.random.default_rng(seed)
    runs = _plan(rng)
    effects = {event.name: float(rng.normal(0.0, EVENT_SD_S)) for event in EVENTS}
    settings, conditions = settings_of(runs), conditions_of(runs)
    settings.launch_rpm[:] += rng.normal(0.0, DRIVER_SD_RPM, len(runs))
    conditions.grip_factor[:] += np.clip(rng.normal(0.0, GRIP_SCATTER, len(runs)), -0.075, 0.075)
    simulated = simulate(settings, conditions)
    _clock(runs, simulated, effects, rng)
    return Season(runs, effects)


def _hours(event: Event) -> Floats:
    """Start times, about half an hour apart; the twilight race begins after noon."""
    first = 13.0 if "Twilight" in event.name else 9.5
    return first + 0.55 * np.arange(event.runs, dtype=np.float64)


def _round(event: Event, number: int) -> str:
    if "Test" in event.name:
        return "TT"
    if number <= 5:
        return "TT"
    return "Q" if number <= 9 else f"E{number - 9}"


def _plan(rng: np.random.Generator) -> tuple[Run, ...]:
    """Choose settings as a racer does: try things, answer the track, keep what seemed to work."""
    runs: list[Run] = []
    pressure = 10.0
    since_service, service_no = 0, 0
    for place, event in enumerate(EVENTS):
        if event.date > SERVICE_DATE and service_no == 0:
            service_no, since_service = 1, 0
        preload = night = _new_night_preload(place, rng)
        pair = (place + int(rng.integers(0, 2))) % len(PAIR)
        change_pair_at = int(rng.integers(4, 12))
        for number, hour in enumerate(_hours(event), start=1):
            if number > 1 and rng.random() < 0.4:
                preload = float(np.clip(night + rng.choice([-1.0, -0.5, 0.0, 0.5, 1.0]), 0.5, 3.5))
            if number == change_pair_at:
                pair = (pair + int(rng.integers(1, len(PAIR)))) % len(PAIR)
            if number == 1 or rng.random() < 0.45:
                pressure = float(rng.choice([9.0, 9.5, 10.0, 10.5, 11.0, 11.5, 12.0]))
            minutes = round(hour * 60 + rng.uniform(-6, 6))
            track = track_temp_degf(event, minutes / 60)
            rpm = 6600 + 20 * place - 16 * (track - 95) + rng.normal(0, 400)
            runs.append(
                Run(
                    event=event,
                    number=number,
                    at=dt.datetime.combine(event.date, dt.time()) + dt.timedelta(minutes=minutes),
                    round=_round(event, number),
                    lane=str(rng.choice(["left", "right"])),
                    preload_turns=preload,
                    counterweight_g=PAIR[pair][0],
                    shock_clicks=PAIR[pair][1],
                    tire_pressure_psi=pressure,
                    launch_rpm=float(np.clip(50 * round(rpm / 50), 5400, 7700)),
                    track_temp_degf=track,
                    air=air_at(event, minutes / 60),
                    growth_in=GROWTH_PER_RUN_IN * since_service,
                    service_no=service_no,
                )
            )
            since_service += 1
    return tuple(runs)


def _new_night_preload(place: int, rng: np.random.Generator) -> float:
    """Start loose in spring and tighter by autumn, with a look back now and then."""
    start = 1.25 + 1.5 * place / (len(EVENTS) - 1)
    return float(np.clip(0.5 * round((start + rng.normal(0, 0.35)) / 0.5), 1.0, 3.0))


SPLITS = ("t60_s", "t330_s", "t660_s", "t1000_s", "t1320_s")


def _clock(
    runs: tuple[Run, ...], simulated: Runs, effects: dict[str, float], rng: np.random.Generator
) -> None:
    """Write times and trap speeds onto the runs, with noise that carries on from split to split."""
    for i, run in enumerate(runs):
        late = effects[run.event.name]
        for name, sd in zip(SPLITS, (DRIVER_SD_S, 0.008, 0.006, 0.006, 0.006), strict=True):
            late += rng.normal(0.0, sd)
            run.times[name] = float(getattr(simulated, name)[i]) + late
        for name in ("v660_mph", "v1320_mph"):
            run.times[name] = float(getattr(simulated, name)[i]) + float(rng.normal(0.0, 0.12))
        run.reaction_s = float(np.clip(rng.normal(0.065, 0.035), 0.004, 0.3))
        if simulated.spun[i]:
            run.outcome = "spun"
        elif simulated.bogged[i]:
            run.outcome = "bogged"
