"""A fleet's results written to a store and read back equal."""

import duckdb
import pytest

from pipeline.model.fleet_results import (
    CarEffect,
    FleetEffect,
    FleetFit,
    FleetGroup,
    FleetPriorRow,
    OddCar,
    ServiceDue,
    TypingTrouble,
)
from pipeline.store.fleet_tables import read_fleet_fits, write_fleet_fits

KIND = "six-spring single disc"


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


def test_fits_come_back_equal_and_in_order() -> None:
    fits = (a_fit("t60", 5), a_fit("t330", 4))
    with duckdb.connect() as con:
        write_fleet_fits(con, fits)
        assert read_fleet_fits(con) == fits


def test_a_second_writing_replaces_the_first() -> None:
    with duckdb.connect() as con:
        write_fleet_fits(con, [a_fit("t60", 5), a_fit("t330", 4)])
        write_fleet_fits(con, [a_fit("t60", 9)])
        assert read_fleet_fits(con) == (a_fit("t60", 9),)


@pytest.mark.parametrize("table", ["fleet_groups", "fleet_car_effects", "fleet_sentences"])
def test_no_fits_leave_empty_tables(table: str) -> None:
    with duckdb.connect() as con:
        write_fleet_fits(con, [])
        assert con.table(table).fetchall() == []
        assert read_fleet_fits(con) == ()
