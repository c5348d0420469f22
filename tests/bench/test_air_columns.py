"""The eight air columns of ``runs`` in bulk, against DuckDB's own copy of eight columns."""

from __future__ import annotations

import time
from pathlib import Path

import duckdb
import pytest

from pipeline.store.database import query

# The bar: at most this many times a plain copy, both in one run on one machine. Processor time is counted,
# not the clock on the wall: waiting for the disk or for other programs says nothing of the formulas.
MOST_TIMES_A_COPY = 1.6

READINGS = """
create table readings as
select
    20 + 95 * random() as air_temp_degf,
    26 + 5 * random() as pressure_inhg,
    case when random() < 0.5 then 'station' else 'altimeter' end as pressure_kind,
    100 * random() as humidity_pct,
    6000 * random() as elevation_ft
from range($rows)
"""
AIR_COLUMNS = """
create or replace table air as
with si as (
    select
        air_temp_degf,
        humidity_pct,
        kelvin(air_temp_degf) as temp_k,
        case pressure_kind
            when 'station' then pressure_inhg * 3386.388640341
            else station_from_altimeter_pa(pressure_inhg * 3386.388640341, elevation_ft * 0.3048)
        end as pressure_pa,
        humidity_pct / 100.0 * saturation_vapor_pressure_pa(kelvin(air_temp_degf)) as vapor_pa
    from readings
)

select
    air_temp_degf,
    humidity_pct,
    pressure_pa / 3386.388640341 as station_pressure_inhg,
    vapor_pa / 3386.388640341 as vapor_pressure_inhg,
    density_simple(temp_k, pressure_pa, vapor_pa) as air_density_kg_per_m3,
    density_altitude_m(density_simple(temp_k, pressure_pa, vapor_pa)) / 0.3048 as density_altitude_ft,
    j607(pressure_pa - vapor_pa, temp_k) as j607_factor,
    j1349(pressure_pa - vapor_pa, temp_k) as j1349_factor
from si
"""
COPY = "create or replace table air_copy as select * from air"


def seconds(con: duckdb.DuckDBPyConnection, sql: str) -> float:
    started = time.process_time()
    con.execute(sql)
    return time.process_time() - started


def times_a_copy(path: Path, rows: int, rounds: int) -> float:
    """Give the ratio of the best times; the two take turns, so a busy machine slows both."""
    with duckdb.connect(str(path)) as con:
        con.execute(query("runs/air_formulas"))
        con.execute(READINGS, {"rows": rows})
        pairs = [(seconds(con, AIR_COLUMNS), seconds(con, COPY)) for _ in range(rounds)]
        assert con.sql("select count(*) from air_copy where j607_factor > 0").fetchall() == [(rows,)]
    ours, copied = (min(times) for times in zip(*pairs, strict=True))
    print(f"{rows} rows: air columns {ours:.2f} s, copy {copied:.2f} s, {ours / copied:.2f} times")  # noqa: T201
    return ours / copied


def test_air_columns_cost_little_more_than_a_copy(tmp_path: Path) -> None:
    assert times_a_copy(tmp_path / "air.duckdb", rows=1_000_000, rounds=3) <= MOST_TIMES_A_COPY


@pytest.mark.long
def test_air_columns_over_ten_million_rows(tmp_path: Path) -> None:
    assert times_a_copy(tmp_path / "air.duckdb", rows=10_000_000, rounds=3) <= MOST_TIMES_A_COPY
