"""Open a store with the logbook's present sheets in it: what every stage but the blank sheets begins with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook, is_small
from pipeline.store.build_runs import build_runs
from pipeline.store.database import open_store, publish, transaction
from pipeline.store.remembered import is_remembered, logbook_mark, remember
from pipeline.workspace import Progress

READING_SHARE = 0.3
"""Of a stage's work, what reading the sheets takes, for the bar."""


@contextmanager
def ingested(
    logbook: Logbook, store: Path, progress: Progress, *, fresh: bool = False, steps: bool = False
) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open the store, ingest, put every run on equal terms; publish it to readers afterwards.

    A logbook of which nothing changed since is not read again.

    Parameters
    ----------
    logbook
        The folder, opened.
    store
        The store's file.
    progress
        Told of each step, and of a wait for another writer.
    fresh
        Read everything again even so.
    steps
        Leave the tables that the runs were put together from on the connection.

    Yields
    ------
    duckdb.DuckDBPyConnection
        Writable.
    """
    with open_store(store, waiting=lambda sentence: progress(sentence, 0.0), small=is_small(logbook)) as con:
        mark = logbook_mark(logbook.root)
        if fresh or not is_remembered(con, "runs", mark):
            _read_anew(con, logbook, progress, mark, fresh=fresh)
        elif steps:
            with transaction(con):
                build_runs(con)
        try:
            yield con
        finally:
            publish(con, store)  # while the lock is still ours


def _read_anew(
    con: duckdb.DuckDBPyConnection, logbook: Logbook, progress: Progress, mark: str | None, *, fresh: bool
) -> None:
    """Read all sheets and build the runs; remember of what, unless a sheet was saved meanwhile."""
    ingest_logbook(con, logbook, lambda what, share: progress(what, READING_SHARE * share), mark, fresh=fresh)
    progress("putting runs on equal terms", READING_SHARE)
    with transaction(con):
        build_runs(con)
        remember(con, "runs", mark if mark == logbook_mark(logbook.root) else None)
