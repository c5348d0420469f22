"""A season of an invented car, right in every cell: the ground the slips of the pen are put on.

Times come from a car of constant power behind a start held back by its tires, with what a season brings:
air that changes power, setups that change the start, spins, bogs, missed shifts, lifts near the stripe
(some of them never written down).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any

import numpy as np

Row = dict[str, Any]
CAR_NAMES = ("Marigold", "Tin Duchess", "Blue Heron", "Old Lantern", "Sparrow", "Copper Kettle")
VENUE_NAMES = ("Cinder Flats", "Larkfield", "Owl Creek", "Saltmarsh Strip", "Hobnail Park")
LEVERS = 6
SAFE_TURNS = 6.0
GRAMS_LIMIT = 12.0
RPM_LIMITS = (4500.0, 7400.0)
NUMBERS = ("t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph")
TICKETS = (NUMBERS, NUMBERS, NUMBERS, NUMBERS[:4], tuple(n for n in NUMBERS if n != "t1000_s"))
"""What the strips print: most the whole quarter, some an eighth, some no 1000 ft."""


@dataclass(frozen=True, slots=True)
class CarFacts:
    """What makes one car's numbers: its short time, sections as ratios, trap factors, usual settings."""

    name: str
    t60_s: float
    ratios: tuple[float, float, float, float]
    traps: tuple[float, float]
    rpm: float
    turns: float
    grams: float
    psi: float


@dataclass(slots=True)
class Season:
    """A clean logbook as rows of canonical columns, by kind of sheet."""

    cars: list[CarFacts]
    elevations_ft: dict[str, float]
    pressure_kind: str
    numbers: tuple[str, ...] = NUMBERS
    rows: dict[str, list[Row]] = field(default_factory=dict)
    events: list[tuple[dt.date, str]] = field(default_factory=list)


def make_season(rng: np.random.Generator) -> Season:
    """Make one season of one or two cars."""
    names = rng.permutation(CAR_NAMES)[: 1 + int(rng.random() < 0.3)]
    venues = rng.permutation(VENUE_NAMES)[: int(rng.integers(2, 4))]
    season = Season(
        cars=[_car(rng, str(name)) for name in names],
        elevations_ft={str(venue): float(rng.integers(30, 560) * 10) for venue in venues},
        pressure_kind="altimeter" if rng.random() < 0.25 else "station",
        numbers=TICKETS[int(rng.integers(len(TICKETS)))],
        rows={kind: [] for kind in ("timeslips", "weather", "track", "setups", "checks")},
    )
    day = dt.date(int(rng.integers(2021, 2026)), 4, int(rng.integers(1, 20)))
    settings = {car.name: _first_settings(car) for car in season.cars}
    rings = {car.name: 2.150 + 0.001 * float(rng.integers(0, 5)) for car in season.cars}
    for event in range(int(rng.integers(4, 8))):
        venue = str(rng.choice(list(season.elevations_ft)))
        season.events.append((day, venue))
        _event(rng, season, day, venue, event, settings, rings)
        day += dt.timedelta(days=int(rng.choice([7, 7, 14, 14, 21, 28])))
    return season


def _car(rng: np.random.Generator, name: str) -> CarFacts:
    t60 = float(rng.uniform(1.28, 1.75))
    return CarFacts(
        name,
        t60,
        (
            float(rng.uniform(1.60, 1.86)),
            float(rng.uniform(0.835, 0.872)),
            float(rng.uniform(0.856, 0.874)),
            float(rng.uniform(0.845, 0.862)),
        ),
        (float(rng.uniform(1.075, 1.105)), float(rng.uniform(1.026, 1.042))),
        float(rng.choice(np.arange(5400, 6900, 100))),
        float(rng.choice([1.5, 2.0, 2.5, 3.0, 3.5])),
        float(rng.choice([2.5, 3.5, 4.5, 6.0, 7.5])),
        float(rng.choice([10.0, 10.5, 11.0])),
    )


def _first_settings(car: CarFacts) -> Row:
    return {
        "preload_turns": car.turns,
        "counterweight_g": car.grams,
        "launch_rpm": car.rpm,
        "tire_pressure_psi": car.psi,
    }


def _event(
    rng: np.random.Generator,
    season: Season,
    day: dt.date,
    venue: str,
    number: int,
    settings: dict[str, Row],
    rings: dict[str, float],
) -> None:
    start_h = float(rng.choice([9.5, 10.5, 12.5, 15.5]))
    count = int(rng.integers(6, 11))
    hours = start_h + np.cumsum(rng.uniform(0.5, 0.95, count))
    noon_f, low_inhg, damp = (
        float(rng.uniform(62, 95)),
        float(rng.normal(0, 0.13)),
        float(rng.uniform(35, 75)),
    )
    _weather(rng, season, day, venue, hours, noon_f, low_inhg, damp)
    power = 1 + 0.010 * float(rng.normal()) - 0.0004 * (noon_f - 78)
    for car in season.cars:
        _setup(rng, season, car, day, start_h - 0.75, settings, first=number == 0)
        change_at = int(rng.integers(2, count - 2)) if rng.random() < 0.55 else -1
        for run in range(count):
            if run == change_at:
                _setup(rng, season, car, day, float(hours[run]) - 0.25, settings, first=False)
            _slip(
                rng, season, car, day, venue, number, run, count, float(hours[run]), power, settings[car.name]
            )
        _check(rng, season, car, day, float(hours[-1]) + 0.75, rings, count)


def _clock(hour: float) -> dt.time:
    minutes = round(hour * 60)
    return dt.time(minutes // 60 % 24, minutes % 60)


def _air(noon_f: float, hour: float) -> float:
    return noon_f - 0.55 * abs(hour - 14.5) ** 1.35


def _weather(
    rng: np.random.Generator,
    season: Season,
    day: dt.date,
    venue: str,
    hours: np.ndarray,
    noon_f: float,
    low_inhg: float,
    damp: float,
) -> None:
    feet = season.elevations_ft[venue]
    for hour in np.arange(hours[0] - 0.5, hours[-1] + 0.6, float(rng.uniform(1.0, 1.6))):
        air = _air(noon_f, float(hour)) + float(rng.normal(0, 0.5))
        sea = 29.98 + low_inhg - 0.006 * float(hour - 12) + float(rng.normal(0, 0.006))
        station = (sea**0.190263 - 29.9213**0.190263 * 6.8756e-6 * feet) ** (1 / 0.190263)
        humid = float(np.clip(damp - 1.3 * (air - noon_f) + rng.normal(0, 1.5), 12, 97))
        season.rows["weather"].append({
            "date": day, "time": _clock(float(hour)), "venue": venue, "air_temp_degf": round(air, 0),
            "pressure_inhg": round(station if season.pressure_kind == "station" else sea, 2),
            "pressure_kind": season.pressure_kind, "humidity_pct": round(humid, 0),
            "wind_speed_mph": round(abs(float(rng.normal(0, 4))), 0),
        })  # fmt: skip
    for hour in hours[::2]:
        sun = max(0.0, 1 - ((float(hour) - 13.2) / 6.2) ** 2)
        track = _air(noon_f, float(hour)) + 34 * sun + float(rng.normal(0, 1.5)) - 2 * (sun == 0)
        season.rows["track"].append(
            {
                "date": day,
                "time": _clock(float(hour) - 0.1),
                "venue": venue,
                "track_temp_degf": round(track, 0),
            }
        )


def _setup(
    rng: np.random.Generator,
    season: Season,
    car: CarFacts,
    day: dt.date,
    hour: float,
    settings: dict[str, Row],
    *,
    first: bool,
) -> None:
    row: Row = {"date": day, "time": _clock(hour), "car": car.name}
    now = settings[car.name]
    if first:
        row |= now
    else:
        changed = rng.permutation(["preload_turns", "counterweight_g", "launch_rpm", "tire_pressure_psi"])
        for name in changed[: int(rng.integers(1, 3))]:
            now[str(name)] = _step(rng, car, str(name), now[str(name)])
            row[str(name)] = now[str(name)]
    season.rows["setups"].append(row)


def _step(rng: np.random.Generator, car: CarFacts, name: str, value: float) -> float:
    centre, step, low, high = {
        "preload_turns": (car.turns, 0.5, 0.5, 4.5),
        "counterweight_g": (car.grams, 1.0, 1.0, 11.0),
        "launch_rpm": (car.rpm, 100.0, 4700.0, 7300.0),
        "tire_pressure_psi": (car.psi, 0.5, 8.5, 13.5),
    }[name]
    steps = [value + step * k for k in (-2, -1, 1, 2)]
    near = [v for v in steps if low <= v <= high and abs(v - centre) <= 4 * step]
    return float(rng.choice(near or [value + step]))


def _slip(
    rng: np.random.Generator,
    season: Season,
    car: CarFacts,
    day: dt.date,
    venue: str,
    event: int,
    run: int,
    count: int,
    hour: float,
    power: float,
    setting: Row,
) -> None:
    off = (
        abs(setting["launch_rpm"] - car.rpm) / 100 * 0.006 + abs(setting["preload_turns"] - car.turns) * 0.012
    )
    t60 = car.t60_s * (1 + 0.3 * (1 - power)) + off + float(rng.normal(0, 0.017))
    sections = [t60]
    for ratio, spread in zip(car.ratios, (0.009, 0.004, 0.002, 0.002), strict=True):
        base = car.t60_s if len(sections) == 1 else sections[-1]
        pull = 0.35 * (t60 - car.t60_s) if len(sections) == 1 else 0.0
        air = 1 + (1 - power) * (0.6 if len(sections) == 1 else 0.05)
        sections.append((base * ratio + pull) * air * (1 + float(rng.normal(0, spread))))
    traps = [
        225.0 * car.traps[0] / sections[2] * (1 + float(rng.normal(0, 0.0025))),
        218.18 * car.traps[1] / sections[4] * (1 + float(rng.normal(0, 0.002))),
    ]
    outcome = _spoil(rng, sections, traps, eliminations=run >= count - 2)
    splits = np.cumsum(sections)
    row: Row = {
        "date": day, "time": _clock(hour), "car": car.name, "venue": venue, "event": f"Meet {event + 1}",
        "round": f"T{run + 1}" if run < count - 2 else f"E{run - count + 3}",
        "lane": str(rng.choice(["left", "right"])), "reaction_s": round(float(rng.normal(0.12, 0.05)), 3),
        "t60_s": splits[0], "t330_s": splits[1], "t660_s": splits[2], "v660_mph": traps[0],
        "t1000_s": splits[3], "t1320_s": splits[4], "v1320_mph": traps[1],
        "launch_rpm": setting["launch_rpm"], "outcome": outcome,
    }  # fmt: skip
    for name in ("t60_s", "t330_s", "t660_s", "t1000_s", "t1320_s"):
        row[name] = round(float(row[name]), 3)
    for name in ("v660_mph", "v1320_mph"):
        row[name] = round(float(row[name]), 2)
    if outcome == "aborted":
        row |= dict.fromkeys(("t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph"))
    row |= dict.fromkeys(set(NUMBERS) - set(season.numbers))
    season.rows["timeslips"].append(row)


def _spoil(
    rng: np.random.Generator, sections: list[float], traps: list[float], *, eliminations: bool
) -> str | None:
    """Spoil some runs as seasons do; a third of the spoiled ones carry no word about it."""
    draw = rng.random()
    written = rng.random() < 0.67
    if draw < 0.05:
        sections[0] += float(rng.uniform(0.06, 0.4))
        sections[1] += float(rng.uniform(0.01, 0.1))
        return "spun" if written else None
    if draw < 0.08:
        sections[0] += float(rng.uniform(0.04, 0.25))
        return "bogged" if written else None
    if draw < 0.10:
        lost = float(rng.uniform(0.2, 0.8))
        sections[int(rng.integers(1, 3))] += lost
        traps[0] *= 1 - 0.02 * lost
        return "missed shift"
    if draw < (0.25 if eliminations else 0.11):
        slow = float(rng.uniform(0.02, 0.25))
        sections[4] *= 1 + slow
        traps[1] *= 1 - 1.6 * slow
        return "lifted" if written else None
    if draw > 0.985:
        return "aborted"
    return "clean" if rng.random() < 0.3 else None


def _check(
    rng: np.random.Generator,
    season: Season,
    car: CarFacts,
    day: dt.date,
    hour: float,
    rings: dict[str, float],
    runs: int,
) -> None:
    rings[car.name] += runs * float(rng.uniform(0.0002, 0.0006))
    row: Row = {
        "date": day, "time": _clock(hour), "car": car.name, "ring_height_in": round(rings[car.name], 3),
        "bearing_clearance_in": round(float(rng.normal(0.25, 0.004)), 3),
    }  # fmt: skip
    if rings[car.name] > 2.164:
        row["shim_removed_in"] = 0.010
        rings[car.name] -= 0.010
        row["ring_height_in"] = round(rings[car.name], 3)
    season.rows["checks"].append(row)
