"""Working tables that are made when they are first asked for, each once.

To a database a statement over no rows costs nearly as much as one over a hundred, so what nobody reads is not
made, and a query whose header says ``-- Needs: a, b or c`` is passed by where ``a``, or both ``b`` and ``c``,
hold no row: it would find nothing there.
"""

from __future__ import annotations

from collections.abc import Iterable

import duckdb

from pipeline.store.database import has_rows, query
from pipeline.store.order import made_by, stated


class WorkingTables:
    """The tables and macros that a folder of queries makes, on one connection.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's; what the queries read besides stands there.
    names
        The queries that make them, named as for :func:`pipeline.store.database.query`.
    """

    def __init__(self, con: duckdb.DuckDBPyConnection, names: Iterable[str]) -> None:
        self._con = con
        self._maker = {made: name for name in names for made in made_by(name)}
        self._done: set[str] = set()
        self._held: dict[str, bool] = {}

    def make(self, *tables: str) -> None:
        """Make tables or macros and all that they read; those that no query here makes are taken as there."""
        for table in tables:
            name = self._maker.get(table)
            if name is not None and name not in self._done:
                self._done.add(name)
                self.run(name)

    def run(self, name: str) -> None:
        """Run a query after making what it reads."""
        self.make(*stated(name, "Reads"))
        self._con.execute(query(name))

    def has_rows(self, table: str) -> bool:
        """Say whether a table holds any row; it is made to see, unless what it needs holds none."""
        if table not in self._held:
            maker = self._maker.get(table)
            could = maker is None or self.may_find(maker)
            if could:
                self.make(table)
            self._held[table] = could and has_rows(self._con, table)
        return self._held[table]

    def may_find(self, name: str) -> bool:
        """Say whether a query can find anything, by what its header says it needs."""
        return all(any(map(self.has_rows, each.split(" or "))) for each in stated(name, "Needs"))
