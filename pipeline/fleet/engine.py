"""Where a fleet's sums are made: one set of queries for this machine and for engines that others run.

Every file of ``queries/fleet/`` but ``keys.sql`` keeps to what DuckDB and Spark both read, so that each
step is written once. A file either leaves a table or a view of the name in its first line, or answers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import duckdb
import numpy as np
import numpy.typing as npt
import polars as pl

from pipeline.store.database import lend, query

Columns = Mapping[str, npt.NDArray[Any]]

_LEAVES = re.compile(r"create or replace (?:temp )?(table|view) (\w+) as\n(.*?);?\s*\Z", re.DOTALL)


class Engine(Protocol):
    """What carries out the fleet's queries.

    Attributes
    ----------
    batch_cars
        Cars summed up at once.
    """

    batch_cars: int

    def make(self, name: str, **values: float | None) -> None:
        """Carry out a query of ``queries/fleet/`` that leaves a table or a view."""

    def columns(self, name: str, **values: float | None) -> Columns:
        """Answer a query of ``queries/fleet/`` with its columns; there must be few rows."""

    def give(self, table: str, rows: pl.DataFrame) -> None:
        """Hand over a small table."""


@dataclass(frozen=True, slots=True)
class KnownCars:
    """What an engine knows of each car besides its sums, asked for once.

    Attributes
    ----------
    columns
        Of ``queries/fleet/numbers.sql``, in order of ``car_no``.
    """

    columns: Columns

    @classmethod
    def of(cls, engine: Engine) -> KnownCars:
        """Ask an engine."""
        found = engine.columns("numbers")
        order = np.argsort(found["car_no"])
        return cls({name: values[order] for name, values in found.items()})

    @property
    def numbers(self) -> npt.NDArray[np.int64]:
        """Cars' numbers, increasing. shape (K,)."""
        return self.columns["car_no"]

    def names(self, numbers: npt.NDArray[Any]) -> npt.NDArray[Any]:
        """Name the cars of some numbers. Same shape."""
        named: npt.NDArray[Any] = self.columns["car"][np.searchsorted(self.numbers, numbers)]
        return named


class OneMachine:
    """The engine in this process: DuckDB.

    Parameters
    ----------
    con
        A scratch database.
    """

    batch_cars = 10_000

    def __init__(self, con: duckdb.DuckDBPyConnection) -> None:
        self.con = con

    def make(self, name: str, **values: float | None) -> None:
        """See :class:`Engine`."""
        self.con.execute(query(f"fleet/{name}"), values or None)

    def columns(self, name: str, **values: float | None) -> Columns:
        """See :class:`Engine`."""
        found: Columns = self.con.execute(query(f"fleet/{name}"), values or None).fetchnumpy()
        return found

    def give(self, table: str, rows: pl.DataFrame) -> None:
        """See :class:`Engine`."""
        lend(self.con, table, rows)


def what_it_leaves(sql: str) -> tuple[str, str, str]:
    """Split a query into what it leaves, ``table`` or ``view``, its name, and the select alone."""
    found = _LEAVES.search(sql)
    return found.group(1, 2, 3) if found else ("", "", sql.rstrip().removesuffix(";"))  # type: ignore[return-value]


def in_order(columns: Columns, of: npt.NDArray[np.bool_]) -> dict[str, npt.NDArray[Any]]:
    """Keep some rows of columns of numbers, in order of car number."""
    chosen = np.flatnonzero(of)
    order = chosen[np.argsort(columns["car_no"][chosen])]
    return {
        name: np.asarray(values)[order].astype(np.int64 if name == "car_no" else np.float64)
        for name, values in columns.items()
    }
