"""One car's part of the store, and what the model has to know of it."""

import duckdb
import pytest

from pipeline.garage.logbook import Garage
from pipeline.ingest.garage_tables import write_garage
from pipeline.season.car_data import car_facts

DESCRIBED = {
    "name": "eight",
    "screws": 8,
    "base_load": 300,
    "load_per_turn": "8 lb",
    "threads_per_inch": 25,
    "levers": 6,
    "lever_mass": 27,
    "lever_radius": 3.5,
    "lever_ratio": 0.8,
}
RATE_LB_PER_IN = 8 * 25  # the load of one turn, over the pitch of one turn


def garage(**clutch: object) -> Garage:
    parts = {"car": [{"name": "Marigold", "clutch": "eight"}], "clutch": [DESCRIBED | clutch]}
    return Garage.model_validate(parts)


def test_the_rate_of_a_spring_follows_from_the_load_of_a_turn_and_the_thread() -> None:
    facts = car_facts(garage(), "Marigold").clutch
    assert facts is not None
    assert facts.spring_rate_lb_per_in == pytest.approx(8 * RATE_LB_PER_IN)
    assert garage(spring_rate=190).clutches[0].spring_rate_lb_per_in == 190


def test_the_store_has_the_same_rate() -> None:
    with duckdb.connect() as con:
        write_garage(con, garage())
        told = con.execute("select spring_rate_lb_per_in from clutches").fetchall()[0]
    assert told == (pytest.approx(RATE_LB_PER_IN),)
