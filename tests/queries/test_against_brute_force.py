"""queries/runs against a plain reading of the same rules and the physics, one run at a time."""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta
from typing import Any

import pytest

from pipeline.physics.air import density_simple
from pipeline.physics.atmosphere import density_altitude
from pipeline.physics.clutch import centrifugal_load, preload_from_turns
from pipeline.physics.constants import FOOT_M, GRAM_KG, INCH_M, INHG_PA, POUND_FORCE_N, kelvin_from_degf
from pipeline.physics.correction import j607_factor, j1349_factor
from pipeline.physics.vapor import vapor_pressure_from_humidity
from tests.queries.given import at, runs_of, store

AGREE = 1e-9  # SQL and Python, relative
AIR = ("air_density_kg_per_m3", "density_altitude_ft", "j607_factor", "j1349_factor")
WEATHER_REACH_H, TRACK_REACH_H, BRACKET_H = 3.0, 2.0, 12.0
SETTINGS = ("launch_rpm", "preload_turns", "counterweight_g", "tire_pressure_psi")
Rows = list[dict[str, Any]]


def season(seed: int) -> dict[str, Rows]:
    rng = random.Random(seed)
    cars, venues, lanes = ("Marigold", "Cobalt"), ("Cinder Flats", "Harrow"), ("left", "right", None)

    def moment() -> datetime:
        # Never noon, where a reading without a time of day stands.
        return at("00:00") + timedelta(days=rng.randrange(0, 9, 4), minutes=5 * rng.randrange(96, 240) + 1)

    def some(low: float, high: float, share: float = 0.5) -> float | None:
        return round(rng.uniform(low, high), 1) if rng.random() < share else None

    def settings(share: float) -> dict[str, Any]:
        ranges = ((5500, 7000), (1, 5), (0, 12), (8, 14))
        return {name: some(*limits, share) for name, limits in zip(SETTINGS, ranges, strict=True)}

    return {
        "timeslips": [
            {"car": rng.choice(cars), "venue": rng.choice(venues), "lane": rng.choice(lanes),
             "run_at": moment(), "entry_order": rng.randrange(10**6),
             "track_temp_degf": some(80, 140, 0.2), **settings(0.1)}
            for _ in range(80)
        ],
        "weather": [
            {"venue": rng.choice(venues), "read_at": moment(), "air_temp_degf": some(50, 100, 0.8),
             "pressure_inhg": some(28, 30, 0.8), "humidity_pct": some(20, 90, 0.8)}
            for _ in range(40)
        ],
        "track": [
            {"venue": rng.choice(venues), "read_at": moment(), "lane": rng.choice(lanes),
             "track_temp_degf": some(80, 140, 1.0)}
            for _ in range(40)
        ],
        "setups": [
            {"car": rng.choice(cars), "set_at": moment(), "entry_order": rng.randrange(10**6),
             **settings(0.4)}
            for _ in range(40)
        ],
    }  # fmt: skip


def hours(later: datetime, sooner: datetime) -> float:
    return (later - sooner).total_seconds() / 3600


def reading(found: list[tuple[datetime, float]], when: datetime, reach_h: float) -> float | None:
    """Give the value at a moment by the rule of domain.md: bracketed, else the nearest in reach."""
    at_times: dict[datetime, list[float]] = {}
    for moment, value in found:
        at_times.setdefault(moment, []).append(value)
    means = sorted((moment, sum(values) / len(values)) for moment, values in at_times.items())
    before = [pair for pair in means if pair[0] <= when][-1:]
    after = [pair for pair in means if pair[0] > when][:1]
    if before and after and hours(after[0][0], before[0][0]) <= BRACKET_H:
        share = hours(when, before[0][0]) / hours(after[0][0], before[0][0])
        return before[0][1] + share * (after[0][1] - before[0][1])
    near = sorted((abs(hours(when, moment)), value) for moment, value in before + after)
    return near[0][1] if near and near[0][0] <= reach_h else None


def of_venue(rows: Rows, slip: dict[str, Any], column: str) -> list[tuple[datetime, float]]:
    return [
        (row["read_at"], row[column])
        for row in rows
        if row["venue"] == slip["venue"] and row[column] is not None
    ]


def expected(sheets: dict[str, Rows], slip: dict[str, Any]) -> dict[str, float | None]:
    when = slip["run_at"]
    row: dict[str, float | None] = {
        "air_temp_degf": reading(of_venue(sheets["weather"], slip, "air_temp_degf"), when, WEATHER_REACH_H),
        "station_pressure_inhg": reading(
            of_venue(sheets["weather"], slip, "pressure_inhg"), when, WEATHER_REACH_H
        ),
    }
    own_lane = [one for one in sheets["track"] if slip["lane"] and one["lane"] == slip["lane"]]
    by_lane = reading(of_venue(own_lane, slip, "track_temp_degf"), when, TRACK_REACH_H)
    by_all = reading(of_venue(sheets["track"], slip, "track_temp_degf"), when, TRACK_REACH_H)
    row["track_temp_degf"] = next(
        (value for value in (slip["track_temp_degf"], by_lane, by_all) if value is not None), None
    )
    row |= air_of(row["air_temp_degf"], row["station_pressure_inhg"], damp(sheets, slip))
    for name in SETTINGS:
        entered = [
            ((one["set_at"], one["entry_order"]), one[name])
            for one in sheets["setups"]
            if one["car"] == slip["car"] and one["set_at"] <= when and one[name] is not None
        ]
        row[name] = slip[name] if slip[name] is not None else (max(entered)[1] if entered else None)
    return row | loads_of(slip["car"], row["preload_turns"], row["counterweight_g"], row["launch_rpm"])


def damp(sheets: dict[str, Rows], slip: dict[str, Any]) -> float | None:
    """Give the vapor pressure at a run [inHg], straight between the readings' own."""
    readings = []
    for one in sheets["weather"]:
        if one["air_temp_degf"] is not None and one["humidity_pct"] is not None:
            temp_k = kelvin_from_degf(one["air_temp_degf"])
            vapor_pa = vapor_pressure_from_humidity(temp_k, one["humidity_pct"] / 100)
            readings.append({**one, "vapor_inhg": vapor_pa / INHG_PA})
    return reading(of_venue(readings, slip, "vapor_inhg"), slip["run_at"], WEATHER_REACH_H)


def air_of(
    temp_degf: float | None, pressure_inhg: float | None, vapor_inhg: float | None
) -> dict[str, float | None]:
    if temp_degf is None or pressure_inhg is None or vapor_inhg is None:
        return {"vapor_pressure_inhg": vapor_inhg, **dict.fromkeys(AIR)}
    temp_k, pressure, vapor = kelvin_from_degf(temp_degf), pressure_inhg * INHG_PA, vapor_inhg * INHG_PA
    density = density_simple(temp_k, pressure, vapor)
    factors = (j607_factor(pressure - vapor, temp_k), j1349_factor(pressure - vapor, temp_k))
    values = (density, density_altitude(density) / FOOT_M, *factors)
    return {"vapor_pressure_inhg": vapor_inhg, **dict(zip(AIR, values, strict=True))}


def loads_of(
    car: str, turns: float | None, counterweight_g: float | None, rpm: float | None
) -> dict[str, float | None]:
    if car != "Marigold":  # the other car's clutch is not described
        return {"preload_lb": None, "centrifugal_lb": None}
    preload = None if turns is None else preload_from_turns(300.0, 6.0, [turns] * 8)
    if counterweight_g is None or rpm is None:
        return {"preload_lb": preload, "centrifugal_lb": None}
    load = centrifugal_load(6, 30 * GRAM_KG, counterweight_g * GRAM_KG, 3.5 * INCH_M, rpm) / POUND_FORCE_N
    return {"preload_lb": preload, "centrifugal_lb": load}


@pytest.mark.parametrize("seed", range(4))
def test_conditions_and_settings_at_every_run(seed: int) -> None:
    sheets = season(seed)
    wanted = sorted(sheets["timeslips"], key=lambda slip: (slip["car"], slip["run_at"], slip["entry_order"]))
    columns = list(expected(sheets, wanted[0]))
    found = runs_of(store(**sheets), ", ".join(columns))
    for slip, values in zip(wanted, found, strict=True):
        plain = pytest.approx(comparable(expected(sheets, slip)), rel=AGREE, abs=AGREE, nan_ok=True)
        assert comparable(dict(zip(columns, values, strict=True))) == plain, slip


def comparable(row: dict[str, float | None]) -> dict[str, float]:
    """Write what is missing as NaN, which approx can compare."""
    return {name: math.nan if value is None else value for name, value in row.items()}
