"""The fleet's queries carried out by Spark: runs stay with its workers, sums of cars come here."""

from __future__ import annotations

import re
from typing import Any

import polars as pl
from pyspark import StorageLevel
from pyspark.sql import DataFrame, SparkSession

from pipeline.fleet.engine import Columns, what_it_leaves
from pipeline.store.database import query

RUNS_TOGETHER = 1_000_000
"""Runs that one task works on, about. [judgement]"""

_VALUE = re.compile(r"\$(\w+)")
_NAME = re.compile(r"\bfleet_\w+")
_NUMBERS = ("seconds", "preload_turns", "counterweight_g", "launch_rpm", "track_temp_degf")
ARRANGED = {
    "fleet_runs": ("car_no", "event_key", *_NUMBERS, "air_density_kg_per_m3"),
    "fleet_rows": ("car_no", "event_key", "seconds", "turns", "grams", "rpm", "track", "air"),
}
"""Tables whose rows are put in one order within each car, so that sums come out the same to the last digit,
also when a worker is lost and another makes its part again."""


class SparkEngine:
    """See :class:`pipeline.fleet.engine.Engine`.

    Parameters
    ----------
    session
        A session of its own.
    runs
        How many runs there are, about.

    Notes
    -----
    Tables are kept on the workers, spread by car, and made when they are first needed; one that is made
    again gets a new name, for Spark drops what it holds of a view that is replaced.
    """

    batch_cars = 100_000

    def __init__(self, session: SparkSession, runs: int) -> None:
        self._session = session
        self._known: dict[str, str] = {}
        self._held: dict[str, DataFrame] = {}
        self._done_with: list[str] = []
        self._made = 0
        self._parts = max(2 * session.sparkContext.defaultParallelism, -(-runs // RUNS_TOGETHER))
        session.conf.set("spark.sql.shuffle.partitions", str(self._parts))
        for statement in query("fleet/spark/keys").split(";"):
            if statement.strip():
                session.sql(statement)

    def make(self, name: str, **values: float | None) -> None:
        """Leave a table, kept on the workers, or a view."""
        kind, table, select = what_it_leaves(query(f"fleet/{name}"))
        frame = self._asked(select, values)
        if table == "fleet_runs":
            frame = frame.repartition(self._parts, "car_no")
        if table in ARRANGED:
            frame = frame.sortWithinPartitions(*ARRANGED[table])
        self.leave(table, frame, kept=kind == "table")

    def columns(self, name: str, **values: float | None) -> Columns:
        """Answer with columns; what was replaced before is let go of now that nothing waits for it."""
        _, _, select = what_it_leaves(query(f"fleet/{name}"))
        found = self._asked(select, values).toArrow()
        while self._done_with:
            self._let_go(self._done_with.pop())
        return {column: found[column].to_numpy() for column in found.column_names}

    def give(self, table: str, rows: pl.DataFrame) -> None:
        """Hand over a small table."""
        self.leave(table, self._session.createDataFrame(rows.to_arrow()))

    def leave(self, table: str, frame: DataFrame, *, kept: bool = False) -> None:
        """Let the queries find a frame under the name of a table, kept on the workers or made when asked."""
        if table in self._known:
            self._done_with.append(self._known[table])
        self._made += 1
        name = f"{table}_{self._made}"
        (self._on_the_workers(frame) if kept else frame).createOrReplaceTempView(name)
        self._known[table], self._held[name] = name, frame

    def _on_the_workers(self, frame: DataFrame) -> DataFrame:
        """Keep a frame's rows, and give them as a table that is planned no further back than themselves.

        Otherwise every plan holds all plans before it, twice where a table is joined with what was made of
        it, until planning costs more than the sums. How to make lost rows again is known all the same.
        """
        java: Any = self._session._jvm
        plan = frame.persist(StorageLevel.MEMORY_AND_DISK)._jdf.queryExecution().withCachedData()
        datasets = java.org.apache.spark.sql.classic.Dataset
        return DataFrame(datasets.ofRows(self._session._jsparkSession, plan), self._session)

    def close(self) -> None:
        """Let go of everything."""
        for name in list(self._held):
            self._let_go(name)

    def _let_go(self, name: str) -> None:
        self._held.pop(name).unpersist()
        self._session.catalog.dropTempView(name)

    def _asked(self, select: str, values: dict[str, float | None]) -> DataFrame:
        here = _NAME.sub(lambda found: self._known.get(found[0], found[0]), select)
        return self._session.sql(_VALUE.sub(r":\1", here), args=values)
