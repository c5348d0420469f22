"""What was attached to what: the rows each run took its setup, weather, track and wear from."""

from __future__ import annotations

import duckdb
import polars as pl

from pipeline.store.build_runs import Reach
from pipeline.store.database import query


def attached_to(con: duckdb.DuckDBPyConnection, car: str) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Return what each run of a car used, and what no run used.

    Parameters
    ----------
    con
        The connection on which the runs were built, with the usual reach: this reads their working tables.
    car
        The car's name as in the runs table.

    Returns
    -------
    tuple of polars.DataFrame
        Rows as ``queries/attached/uses_of_car.sql`` and ``unused_rows.sql`` say.
    """
    reach = Reach()
    con.execute(query("attached/attached_uses"))
    used = con.sql(query("attached/uses_of_car"), params={"car": car}).pl()
    given = {"car": car, "weather_reach_h": reach.weather_reach_h, "track_reach_h": reach.track_reach_h}
    return used, con.sql(query("attached/unused_rows"), params=given).pl()
