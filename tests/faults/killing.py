"""Start slipledger as its own process, kill it at a random instant, look at what is left."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import duckdb

# Columns that rightly differ from run to run: when something was done, not what was found.
# A page tells when it was made, so the digest of its file differs too.
CLOCK_COLUMNS = ("first_seen_at", "ingested_at", "generated_at", "made_at", "digests")


@dataclass(frozen=True, slots=True)
class Command:
    """One slipledger call on a logbook, with its store and its reports elsewhere."""

    verb: str
    logbook: Path
    store: Path
    out: Path
    fresh: bool = False

    def words(self) -> list[str]:
        words = [
            sys.executable,
            "-m",
            "pipeline.cli",
            self.verb,
            str(self.logbook),
            "--store",
            str(self.store),
        ]
        if self.verb not in {"ingest", "fit"}:
            words += ["--out", str(self.out)]
        return [*words, "--fresh"] if self.fresh else words

    def start(self) -> subprocess.Popen[str]:
        return subprocess.Popen(
            self.words(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=os.environ | {"OMP_NUM_THREADS": "1"},
        )

    def complete(self) -> float:
        """Run to the end and give the seconds it took."""
        begun = time.monotonic()
        process = self.start()
        _, errors = process.communicate(timeout=300)
        assert process.returncode == 0, errors
        return time.monotonic() - begun


def kill_at_random(command: Command, within_s: float, luck: random.Random) -> bool:
    """Start the command and end it with SIGKILL after a random part of ``within_s``.

    False when it was done before.
    """
    process = command.start()
    try:
        _, errors = process.communicate(timeout=luck.uniform(0.0, within_s))
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate(timeout=60)
        return True
    assert process.returncode == 0, errors
    return False


def contents(store: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every table and view of a store as sorted rows, less the columns that hold the clock."""
    with duckdb.connect(str(store), read_only=True) as con:
        names = [row[0] for row in con.execute("select table_name from information_schema.tables").fetchall()]
        return {name: _rows(con, name) for name in sorted(names)}


def _rows(con: duckdb.DuckDBPyConnection, name: str) -> list[tuple[object, ...]]:
    relation = con.table(name)
    kept = [column for column in relation.columns if column not in CLOCK_COLUMNS]
    if not kept:
        return []
    return sorted(relation.select(*(duckdb.ColumnExpression(column) for column in kept)).fetchall(), key=repr)
