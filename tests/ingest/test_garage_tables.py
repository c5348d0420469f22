"""garage.toml as tables."""

import duckdb

from pipeline.garage.logbook import Garage
from pipeline.ingest.garage_tables import write_garage


def test_how_long_changes_take_stands_beside_the_car():
    garage = Garage.model_validate(
        {
            "car": [
                {"name": "Marigold", "change_minutes": {"preload": 20}, "cooling_minutes": 40},
                {"name": "Juniper"},
            ]
        }
    )
    with duckdb.connect() as con:
        write_garage(con, garage)
        rows = con.execute("select car, change_minutes, cooling_minutes from cars").fetchall()
    assert rows == [("Marigold", [{"adjustment": "preload", "minutes": 20.0}], 40.0), ("Juniper", [], None)]
