"""What the doubts cost: processor time of all rules over DuckDB's own typed reading of the slips."""

from pathlib import Path

import duckdb
import pytest

from pipeline.ingest.doubts import judge, load_givens
from tests.bench.yardstick import spent_s, work
from tests.ingest.doubt_cases import GARAGE, empty_store

MOST_TIMES_TYPED = 1.6  # measured 0.6 to 0.9 at a million rows; a small sheet carries the fixed cost
FIXED_YARDSTICKS = 20.0  # planning some ninety statements, whatever the size; measured 5 to 8


def season(rows: int, cars: int) -> duckdb.DuckDBPyConnection:
    """Typed slips of cars whose numbers hold together, one in a thousand without its decimal point."""
    con = empty_store()
    con.execute("select setseed(0.330)")
    con.execute(
        """
        insert into typed_timeslips by name
        with drawn as (
            select
                i, i % $cars as car_no, 1.38 + 0.002 * (i % $cars % 97) + 0.06 * random() as t60,
                random() as r1, random() as r2, random() as r3, random() as r4, random() as r5
            from range($rows) as numbered (i)
        ),

        second as (select *, t60 * (1.65 + 0.03 * r1) as s2 from drawn),

        third as (select *, s2 * (0.85 + 0.008 * r2) as s3 from second),

        fourth as (select *, s3 * (0.864 + 0.004 * r3) as s4 from third),

        fifth as (select *, s4 * (0.851 + 0.004 * r4) as s5 from fourth)

        select
            i as slip_id, 'slips.csv' as file, '' as sheet, (i + 2)::integer as row, i as entry_order,
            'Car ' || car_no as car, 'Strip ' || (i // 800 % 7) as venue, true as has_time,
            timestamp '2005-03-01' + to_days((i // ($cars * 8))::integer)
                + to_minutes((600 + i // $cars % 8 * 55)::bigint) as run_at,
            0.12 as reaction_s, if(i % 1000 = 7, round(t60 * 1000), round(t60, 3)) as t60_s,
            round(t60 + s2, 3) as t330_s, round(t60 + s2 + s3, 3) as t660_s,
            round(245 / s3 * (1 + 0.004 * r5), 2) as v660_mph, round(t60 + s2 + s3 + s4, 3) as t1000_s,
            round(t60 + s2 + s3 + s4 + s5, 3) as t1320_s,
            round(226 / s5 * (1 + 0.004 * r1), 2) as v1320_mph, 6400 as launch_rpm,
            95 + (i % 20) as track_temp_degf, 0 as short_splits
        from fifth
        """,
        {"rows": rows, "cars": cars},
    )
    return con


def typed_reading_s(con: duckdb.DuckDBPyConnection, folder: Path) -> float:
    path = str(folder / "slips.csv")
    con.execute("copy (select * exclude (extras) from typed_timeslips) to $path (header)", {"path": path})
    return min(
        spent_s(
            lambda: con.execute("create or replace temp table read as from read_csv($path)", {"path": path})
        )
        for _ in range(2)
    )


def hold(rows: int, cars: int, folder: Path) -> float:
    con = season(rows, cars)
    reading = typed_reading_s(con, folder)
    load_givens(con, GARAGE)
    spent = spent_s(lambda: judge(con))
    found = con.execute("select count(*) from questions where rule = 'missing_decimal'").fetchall()[0]
    con.close()
    assert found == (len(range(7, rows, 1000)),)
    fixed = FIXED_YARDSTICKS * min(spent_s(work) for _ in range(3))
    assert spent <= MOST_TIMES_TYPED * reading + fixed, (spent, reading)
    return spent / reading


@pytest.mark.parametrize("cars", [12, 1000])
def test_the_rules_cost_about_one_more_reading(cars: int, tmp_path: Path) -> None:
    hold(100_000, cars, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("cars", [12, 10_000])
def test_a_million_rows(cars: int, tmp_path: Path) -> None:
    ratio = hold(1_000_000, cars, tmp_path)
    assert ratio <= MOST_TIMES_TYPED
