from __future__ import annotations

import pytest

from pipeline.garage.dictionary import RUNS, SHEET_TABLES
from tests.queries.given import GARAGE_TABLES, at, runs_of, store

SLIP = {"run_at": at("11:00")}


def test_runs_has_the_columns_of_the_dictionary() -> None:
    con = store(timeslips=[SLIP])
    runs_of(con, "run_id")
    made = con.sql("describe runs").fetchall()
    assert [(row[0], row[1]) for row in made] == [(column.name, column.sql_type) for column in RUNS.columns]


def test_one_row_a_slip_whatever_is_missing() -> None:
    con = store(
        timeslips=[
            SLIP,
            {"run_at": None},
            {"car": None, "run_at": at("12:00")},
            {"venue": None, "run_at": at("13:00")},
        ]
    )
    rows = runs_of(con, "run_id, car, run_at, left_out_reason")
    assert rows == [
        (1, "Marigold", at("11:00"), None),
        (2, "Marigold", at("13:00"), None),
        (3, "Marigold", None, "date is not known"),
        (4, None, at("12:00"), "car is not known"),
    ]


def test_sections() -> None:
    con = store(timeslips=[{**SLIP, "t660_s": 6.0, "t1000_s": 7.85, "t1320_s": 9.4}])
    row = runs_of(con, "t60_330_s, t330_660_s, t660_1000_s, t1000_1320_s")[0]
    assert row == pytest.approx((2.5, 2.1, 1.85, 1.55), abs=1e-12)


def test_the_temporary_steps_leave_nothing_in_the_store() -> None:
    con = store(timeslips=[SLIP])
    runs_of(con, "run_id")
    runs_of(con, "run_id")
    kept = con.sql("select table_name from duckdb_tables() where not temporary").fetchall()
    clutch = {"clutch_checks", "clutch_now", "ring_knots"}  # what the wear of now is read from
    assert {row[0] for row in kept} == {*SHEET_TABLES, *GARAGE_TABLES, "runs", *clutch}
