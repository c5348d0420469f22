"""A fleet's results written to a store and read back equal."""

import duckdb
import pytest

from pipeline.fleet.results import (
    CarEffect,
    FleetEffect,
    FleetFit,
    FleetGroup,
    FleetPriorRow,
    OddCar,
    ServiceDue,
    TypingTrouble,
)
from pipeline.store.fleet_tables import FLEET_TABLES, write_fleet
from pipeline.store.records import records_of

KIND = "ten-spring single disc"


def a_fit(response: str, cars: int) -> FleetFit:
    step = ("preload", "preload", "1 turn")
    return FleetFit(
        response=response,
        groups=(FleetGroup(KIND, response, cars, 120, 14, cars, 0.009, 0.006, "said"),),
        prior=(
            FleetPriorRow(KIND, response, "preload", -0.004, 0.003, (9e-6, 1e-6)),
            FleetPriorRow(KIND, response, "counterweight", -0.003, 0.002, (1e-6, 4e-6)),
        ),
        effects=(FleetEffect(KIND, response, *step, -0.004, -0.005, -0.003, 0.003, cars),),
        odd_cars=(OddCar(KIND, response, "Clover", 40, *step, 0.01, 0.009, -0.004, 4.2, 0.93, "said"),),
        typing_trouble=(TypingTrouble("Clover", 400, 30, 0.075, 0.01, "said"),),
        service_due=(ServiceDue("Clover", 0.018, 0.020, None, "said"),),
        car_effects=tuple(
            CarEffect(KIND, response, car, 40, *step, -0.004, -0.01, 0.002, -0.0041, -0.007, -0.001, 0.02)
            for car in ("Marigold", "Clover")
        ),
        sentences=("one", "two"),
    )


def stored(con: duckdb.DuckDBPyConnection, table: str) -> tuple[object, ...]:
    return records_of(FLEET_TABLES[table][1], con.table(table).pl())


@pytest.mark.parametrize("table", list(FLEET_TABLES))
def test_every_record_comes_back_equal(table: str) -> None:
    fit = a_fit("t60", 5)
    with duckdb.connect() as con:
        write_fleet(con, fit)
        assert stored(con, table) == getattr(fit, FLEET_TABLES[table][0])


def test_a_second_writing_replaces_the_first() -> None:
    with duckdb.connect() as con:
        write_fleet(con, a_fit("t60", 5))
        write_fleet(con, a_fit("t60", 9))
        assert stored(con, "fleet_groups") == a_fit("t60", 9).groups


def test_a_fleet_with_nothing_to_tell_leaves_empty_tables() -> None:
    empty = FleetFit("t60", (), (), (), (), (), (), (), ())
    with duckdb.connect() as con:
        write_fleet(con, empty)
        assert [con.table(table).fetchall() for table in FLEET_TABLES] == [[]] * len(FLEET_TABLES)
