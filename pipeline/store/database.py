"""The store: one DuckDB file, one writer at a time, SQL loaded by name.

DuckDB itself locks the file of a writer; a second one waits with a message and then gives up
clearly. Readers use a published copy, so they disturb no writer.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Container, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any

import duckdb
from jinja2 import UndefinedError

from pipeline.errors import StoreError
from pipeline.files.whole import whole_file
from pipeline.garage.dictionary import KINDS
from pipeline.store.templates import rendered

if TYPE_CHECKING:
    import polars as pl

STORE_VERSION = 2
WAIT_S = 20.0
_CONFIG = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "preserve_insertion_order": "true",
}
_SMALL = {"default_block_size": "16384"}
_MOST_MEMORY = (
    "900MB"  # of DuckDB's own while writing; past it DuckDB works on disk. 1e7 slips peak at 1.4 GB
)

_FAILURES = (
    duckdb.IOException,
    duckdb.OutOfMemoryException,
    duckdb.FatalException,
    duckdb.InternalException,
    duckdb.SerializationException,
)
# What DuckDB's messages say, in lower case; their classes do not tell these apart.
_DAMAGE = ("corrupt", "could not read enough bytes", "not a valid duckdb")
_FULL = ("could not write", "could not fsync", "no space left")
_LOCKED = ("could not set lock on", "used by another process")


@cache
def query(name: str, of: str = "", has: frozenset[str] | None = None) -> str:
    """Return a file of ``queries/`` by its folder and name, such as ``"runs/air"``, filled in for one table.

    Parameters
    ----------
    name
        Folder and file.
    of
        The kind of sheet, or the table, that a query with marks is filled in for.
    has
        Columns of the one sheet that it is filled in for; None = all of its kind.

    Raises
    ------
    StoreError
        When there is no such file, or it is to be filled in for something that does not fit it.
    """
    folder, _, file = name.rpartition("/")
    path = resources.files("queries").joinpath(folder, f"{file}.sql")
    if not path.is_file():
        raise StoreError(f"There is no query {name!r}.", "This is a fault in slipledger: please report it.")
    try:
        return rendered(path.read_text(encoding="utf-8"), of, has)
    except UndefinedError as missing:
        raise StoreError(
            f"The query {name!r} cannot be filled in for {of or 'no table'!r}: {missing}.",
            f"It is for one of {', '.join(KINDS)}.",
        ) from missing


def query_names(folder: str) -> list[str]:
    """Return the names of the queries in a folder of ``queries/``, in order."""
    files = resources.files("queries").joinpath(folder).iterdir()
    return sorted(
        f"{folder}/{file.name.removesuffix('.sql')}" for file in files if file.name.endswith(".sql")
    )


def run_queries(
    con: duckdb.DuckDBPyConnection, names: Iterable[str], parameters: Mapping[str, Any] | None = None
) -> None:
    """Run queries by name, in order; each gets those of the parameters that it mentions.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    names
        Names as for :func:`query`.
    parameters
        Values for ``$name`` placeholders.
    """
    for name in names:
        sql = query(name)
        used = {key: value for key, value in (parameters or {}).items() if f"${key}" in sql}
        con.execute(sql, used or None)


def run_for_each_kind(
    con: duckdb.DuckDBPyConnection, *names: str, kinds: Container[str] = frozenset(KINDS)
) -> None:
    """Run queries by name, in order, each filled in for every kind of sheet in turn.

    Parameters
    ----------
    con
        A writable store, inside a transaction of the caller's.
    names
        Names as for :func:`query`.
    kinds
        Only for these; a statement that finds no row costs as much as one that finds some.
    """
    for name in names:
        for kind in KINDS:
            if kind in kinds:
                con.execute(query(name, kind))


def has_rows(con: duckdb.DuckDBPyConnection, table: str) -> bool:
    """Say whether a table or view of the store holds any row."""
    return bool(con.execute(query("tables/a_row", table)).fetchall())


def lend(con: duckdb.DuckDBPyConnection, name: str, frame: pl.DataFrame) -> None:
    """Let queries read a frame as a table of this name, until it is unregistered.

    Given as Arrow: of a polars frame DuckDB 1.5 forgets the first filter of a process in which pandas cannot
    be found.
    """
    con.register(name, frame.to_arrow())


def first_row(asked: duckdb.DuckDBPyConnection) -> tuple[Any, ...] | None:
    """Return the first row of an answer, or None; the answer is read to its end, as DuckDB 2 wants it."""
    rows = asked.fetchall()
    return rows[0] if rows else None


@contextmanager
def transaction(con: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """Commit all of a block or none of it."""
    con.begin()
    try:
        yield
    except BaseException:
        con.rollback()
        raise
    con.commit()


@contextmanager
def open_store(
    path: Path, *, wait_s: float = WAIT_S, waiting: Any | None = None, small: bool = False
) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open the store for writing, waiting a while if someone else is at it.

    Parameters
    ----------
    path
        The store's file; made when missing.
    wait_s
        How long to wait for another writer.
    waiting
        Called with a sentence when the wait begins.
    small
        Make a store that is not there yet of small blocks: an eighth of the size, where there are few rows.

    Yields
    ------
    duckdb.DuckDBPyConnection

    Raises
    ------
    StoreError
        When the store is in use, not readable, from a newer version, or its disk fails.
    """
    con = _connect_waiting(path, wait_s, waiting, small=small)
    try:
        with translated(path):
            version = _version(con, path)
            if version < STORE_VERSION:
                con.close()  # which leaves everything in the one file
                backup = _back_up(path, version)
                con = _connect_waiting(path, wait_s, waiting)
                _migrate(con, path, backup)
            yield con
    finally:
        con.close()


@contextmanager
def read_store(path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open a store to read only: the published copy when there is one, so no writer is disturbed.

    Raises
    ------
    StoreError
        When there is no store, or it cannot be read.
    """
    copy = published(path)
    source = copy if copy.is_file() else path
    if not source.is_file():
        raise StoreError(f"There is no store at {path}.", "Run 'slipledger ingest LOGBOOK' first.")
    with translated(source), duckdb.connect(str(source), read_only=True, config=dict(_CONFIG)) as con:
        yield con


def published(path: Path) -> Path:
    """Return the place of the copy that readers use."""
    return path.with_name(f"{path.stem}.read{path.suffix}")


def publish(con: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Copy the store to where readers look, in one step that no reader can see half of.

    The caller still holds the store, so no other writer can touch it meanwhile.
    """
    con.execute("checkpoint")
    with whole_file(published(path), "Free some disk space; the store itself is whole.") as partial:
        shutil.copyfile(path, partial)


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Turn DuckDB's errors into one sentence about the store at ``path``."""
    try:
        yield
    except duckdb.Error as failed:
        if isinstance(failed, _FAILURES) or _says(failed, _FULL + _DAMAGE):
            raise _told(path, failed) from failed
        raise


def _says(failed: duckdb.Error, signs: tuple[str, ...]) -> bool:
    return any(sign in str(failed).lower() for sign in signs)


def _told(path: Path, failed: duckdb.Error) -> StoreError:
    if _says(failed, _DAMAGE):
        return _damaged(path, failed)
    if _says(failed, _LOCKED):
        return StoreError(
            f"Another slipledger has {path} open.", "Let it finish, or close it, and run the command again."
        )
    if _says(failed, _FULL) or isinstance(failed, duckdb.IOException | duckdb.OutOfMemoryException):
        return StoreError(
            f"The disk or memory failed while working on {path} ({_first_line(failed)}).",
            "Free some space and run the command again; what was finished before is kept.",
        )
    return _damaged(path, failed)


def _connect_waiting(
    path: Path, wait_s: float, waiting: Any | None, *, small: bool = False
) -> duckdb.DuckDBPyConnection:
    config: dict[str, Any] = {**_CONFIG, "memory_limit": _MOST_MEMORY, **(_SMALL if small else {})}
    deadline = time.monotonic() + wait_s
    told = False
    _make_parent(path)
    while True:
        try:
            return duckdb.connect(str(path), config=config)
        except duckdb.Error as refused:
            if not any(sign in str(refused).lower() for sign in _LOCKED):
                raise _unopenable(path, refused) from refused
            if time.monotonic() >= deadline:
                raise StoreError(
                    f"Another slipledger has {path} open, and did not finish within {wait_s:g} s.",
                    "Let it finish, or close it, and run the command again.",
                ) from refused
        if waiting is not None and not told:
            waiting(f"Waiting for another slipledger that has {path.name} open.")
            told = True
        time.sleep(0.1)


def _make_parent(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as refused:
        raise StoreError(
            f"The folder {path.parent} cannot be made ({refused.strerror or refused}).",
            "Name another place with --store.",
        ) from refused


def _unopenable(path: Path, refused: duckdb.Error) -> StoreError:
    if path.is_file() and not isinstance(refused, duckdb.IOException | duckdb.PermissionException):
        return _damaged(path, refused)
    if path.is_file() and any(sign in str(refused).lower() for sign in (*_DAMAGE, "version")):
        return _damaged(path, refused)
    return StoreError(
        f"The store {path} cannot be opened ({_first_line(refused)}).",
        "Name a place you may write to with --store.",
    )


def _damaged(path: Path, cause: BaseException) -> StoreError:
    return StoreError(
        f"The store {path} is damaged or not a store ({_first_line(cause)}).",
        "Move it away and run 'slipledger ingest LOGBOOK': your sheets rebuild it whole.",
    )


def _first_line(error: BaseException) -> str:
    return str(error).strip().splitlines()[0][:160] if str(error).strip() else type(error).__name__


def _version(con: duckdb.DuckDBPyConnection, path: Path) -> int:
    """Return the version of the store's layout, this one's when it is new; refuse what is none of ours."""
    tables = {str(row[0]) for row in con.execute(query("tables/table_names")).fetchall()}
    if tables and "store_facts" not in tables:
        raise StoreError(
            f"{path} is a database but not a slipledger store (it holds {', '.join(sorted(tables)[:3])}).",
            "Name another file with --store; this one was left as it is.",
        )
    if not tables:
        with transaction(con):
            con.execute(query("tables/store_facts"), {"version": str(STORE_VERSION)})
    found = first_row(con.execute(query("tables/store_version")))
    version = int(found[0]) if found else STORE_VERSION
    if version > STORE_VERSION:
        raise StoreError(
            f"The store {path} was written by a newer slipledger (store version {version}, this one knows "
            f"{STORE_VERSION}).",
            "Use the newer slipledger, or name another file with --store.",
        )
    return version


def _back_up(path: Path, version: int) -> Path:
    """Copy an older store beside itself; held open to read meanwhile, so that nobody writes to it."""
    backup = path.with_name(f"{path.stem}.version-{version}{path.suffix}")
    remedy = (
        "A copy of the store is needed before it is brought up to date: free some space; it is as it was."
    )
    with (
        whole_file(backup, remedy) as partial,
        duckdb.connect(str(path), read_only=True, config=dict(_CONFIG)),
    ):
        shutil.copyfile(path, partial)
    return backup


def _migrate(con: duckdb.DuckDBPyConnection, path: Path, backup: Path) -> None:
    """Bring an older store up to date; everything but the raw sheets is rebuilt by the next ingest."""
    version = _version(con, path)  # again: another slipledger may have been first
    try:
        with transaction(con):
            run_queries(con, [f"tables/migrate_{step}" for step in range(version + 1, STORE_VERSION + 1)])
            con.execute(query("tables/set_store_version"), {"version": str(STORE_VERSION)})
    except duckdb.Error as failed:
        raise StoreError(
            f"The store {path} could not be brought from version {version} to {STORE_VERSION} "
            f"({_first_line(failed)}); it is as it was, and {backup.name} is a copy of it.",
            "Move it away and run 'slipledger ingest LOGBOOK': your sheets rebuild it whole.",
        ) from failed
