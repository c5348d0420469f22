"""Advice on the next setting, kept as it was given: what, when, what was expected of it, how sure."""

from __future__ import annotations

import json
from dataclasses import asdict

import duckdb

from pipeline.season.results import GivenAdvice
from pipeline.store.database import query, transaction

LIKE_TRACK_DEGF = 15.0
"""Advice for a track further off than this was for other conditions. [judgement]"""


def note_advice(con: duckdb.DuckDBPyConnection, car: str, given: GivenAdvice) -> None:
    """Keep one piece of advice, in place of any that was given after the same run for like conditions.

    Parameters
    ----------
    con
        A writable store, outside a transaction.
    car
        The car's name.
    given
        The advice.
    """
    row = asdict(given) | {"stay": json.dumps(given.stay), "settings": json.dumps(given.settings)}
    with transaction(con):
        con.execute(query("advice/table"))
        like = {name: row[name] for name in ("after_run_at", "venue", "track_temp_degf")}
        con.execute(query("advice/outdated"), {"car": car, **like, "like_track_degf": LIKE_TRACK_DEGF})
        con.execute(query("advice/note"), {"car": car, **row})


def advice_of(con: duckdb.DuckDBPyConnection, car: str) -> tuple[GivenAdvice, ...]:
    """Read what a car was advised, in order; nothing from a store made before there was advice in it.

    Parameters
    ----------
    con
        An open store.
    car
        The car's name.
    """
    try:
        rows = con.sql(query("advice/of_car"), params={"car": car}).pl().to_dicts()
    except duckdb.CatalogException:
        return ()
    return tuple(
        GivenAdvice(**row | {"stay": json.loads(row["stay"]), "settings": json.loads(row["settings"])})
        for row in rows
    )
