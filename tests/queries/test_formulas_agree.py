"""SQL and Python are two hands writing one formula: they agree over the whole plausible box."""

from __future__ import annotations

from collections.abc import Iterator

import duckdb
import numpy as np
import polars as pl
import pytest
from numpy.typing import NDArray

from pipeline.physics import air, atmosphere, clutch, correction, vapor, wet_bulb
from pipeline.physics.constants import (
    FOOT_M,
    GRAM_KG,
    INCH_M,
    INHG_PA,
    POUND_FORCE_N,
    POUND_PER_INCH_N_PER_M,
    kelvin_from_degf,
)
from pipeline.store.database import query

Array = NDArray[np.float64]
AGREE = 1e-9
# Density altitude crosses zero: there the density's agreement of 1e-9 is worth this much height.
AGREE_M = 1e-4
ROWS = 20_000


@pytest.fixture(scope="module")
def box() -> dict[str, Array]:
    rng = np.random.default_rng(20260502)
    temp_degf = rng.uniform(10, 130, ROWS)
    pressure_inhg = rng.uniform(20, 32, ROWS)
    humidity = rng.uniform(0, 1, ROWS)
    temp_k = kelvin_from_degf(temp_degf)
    pressure_pa = pressure_inhg * INHG_PA
    vapor_pa = vapor.vapor_pressure_from_humidity(temp_k, humidity)
    return {
        "temp_degf": temp_degf,
        "temp_k": temp_k,
        "pressure_pa": pressure_pa,
        "humidity": humidity,
        "vapor_pa": vapor_pa,
        "density": air.density_simple(temp_k, pressure_pa, vapor_pa),
        "wet_bulb_k": wet_bulb.wet_bulb(temp_k, vapor_pa, pressure_pa),
        "altimeter_pa": rng.uniform(27, 32, ROWS) * INHG_PA,
        "elevation_m": rng.uniform(-300, 8000, ROWS) * FOOT_M,
        "ratio": rng.uniform(0, 0.04, ROWS),
        "damp_pa": rng.uniform(20, 19_000, ROWS),
        "turns": rng.uniform(0, 8, ROWS),
        "growth_in": rng.uniform(-0.05, 0.2, ROWS),
        "rate_lb_per_in": rng.uniform(50, 900, ROWS),
        "counterweight_g": rng.uniform(0, 120, ROWS),
        "rpm": rng.uniform(0, 12_000, ROWS),
    }


@pytest.fixture(scope="module")
def con(box: dict[str, Array]) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect() as made:
        made.execute(query("runs/air_formulas"))
        made.execute(query("runs/clutch_formulas"))
        made.register("box", pl.DataFrame(box))
        yield made


def dry(b: dict[str, Array]) -> Array:
    return b["pressure_pa"] - b["vapor_pa"]


FORMULAS = [
    ("kelvin(temp_degf)", lambda b: kelvin_from_degf(b["temp_degf"])),
    ("saturation_vapor_pressure_pa(temp_k)", lambda b: vapor.saturation_vapor_pressure(b["temp_k"])),
    ("dew_point_k(damp_pa)", lambda b: vapor.dew_point(b["damp_pa"])),
    (
        "humidity_ratio(vapor_pa, pressure_pa)",
        lambda b: vapor.humidity_ratio(b["vapor_pa"], b["pressure_pa"]),
    ),
    (
        "vapor_from_ratio_pa(ratio, pressure_pa)",
        lambda b: vapor.vapor_pressure_from_humidity_ratio(b["ratio"], b["pressure_pa"]),
    ),
    (
        "density_simple(temp_k, pressure_pa, vapor_pa)",
        lambda b: air.density_simple(b["temp_k"], b["pressure_pa"], b["vapor_pa"]),
    ),
    (
        "station_from_altimeter_pa(altimeter_pa, elevation_m)",
        lambda b: atmosphere.station_from_altimeter(b["altimeter_pa"], b["elevation_m"]),
    ),
    ("j607(pressure_pa - vapor_pa, temp_k)", lambda b: correction.j607_factor(dry(b), b["temp_k"])),
    ("j1349(pressure_pa - vapor_pa, temp_k)", lambda b: correction.j1349_factor(dry(b), b["temp_k"])),
    (
        "centrifugal_load_lb(6, 30.0, counterweight_g, 3.5, 1.2, rpm)",
        lambda b: clutch.centrifugal_load(
            6, 30 * GRAM_KG, b["counterweight_g"] * GRAM_KG, 3.5 * INCH_M, b["rpm"], 1.2
        ) / POUND_FORCE_N,
    ),
]  # fmt: skip


@pytest.mark.parametrize(("sql", "python"), FORMULAS, ids=[sql for sql, _ in FORMULAS])
def test_sql_and_python_agree(sql: str, python: object, con: duckdb.DuckDBPyConnection, box: object) -> None:
    ours = con.sql(f"select {sql} as value from box").pl()["value"].to_numpy()
    np.testing.assert_allclose(ours, python(box), rtol=AGREE)  # type: ignore[operator]


def test_density_altitude_agrees(con: duckdb.DuckDBPyConnection, box: dict[str, Array]) -> None:
    ours = con.sql("select density_altitude_m(density) as value from box").pl()["value"].to_numpy()
    np.testing.assert_allclose(ours, atmosphere.density_altitude(box["density"]), rtol=AGREE, atol=AGREE_M)


def test_the_wet_bulb_path_agrees(con: duckdb.DuckDBPyConnection, box: dict[str, Array]) -> None:
    # Near dry air the difference of two large terms loses digits: relative to saturation, then.
    sql = "select vapor_from_wet_bulb_pa(temp_k, wet_bulb_k, pressure_pa) as value from box"
    ours = con.sql(sql).pl()["value"].to_numpy()
    scale = vapor.saturation_vapor_pressure(box["temp_k"])
    assert np.max(np.abs(ours - box["vapor_pa"]) / scale) < AGREE


@pytest.mark.parametrize("effect", clutch.GROWTH_EFFECTS)
def test_preload_agrees(
    effect: clutch.GrowthEffect, con: duckdb.DuckDBPyConnection, box: dict[str, Array]
) -> None:
    set_lb = con.sql(
        "select preload_when_set_lb(300.0, rate_lb_per_in / 20, 8, turns) as value from box"
    ).pl()
    when_set = 300 + 8 * box["rate_lb_per_in"] / 20 * box["turns"]
    np.testing.assert_allclose(set_lb["value"].to_numpy(), when_set, rtol=AGREE)
    sql = "select preload_after_wear_lb(900.0, 6, rate_lb_per_in, growth_in, $effect) as value from box"
    ours = con.sql(sql, params={"effect": effect}).pl()["value"].to_numpy()
    ones = [
        clutch.preload_after_wear(
            900 * POUND_FORCE_N, 6, rate * POUND_PER_INCH_N_PER_M, growth * INCH_M, effect
        ) / POUND_FORCE_N
        for rate, growth in zip(box["rate_lb_per_in"][:2000], box["growth_in"][:2000], strict=True)
    ]  # fmt: skip
    np.testing.assert_allclose(ours[:2000], ones, rtol=AGREE, atol=1e-9)
    assert effect == "more load" or (np.min(ours) == 0.0 < np.max(ours))
