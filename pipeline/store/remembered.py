"""What the store remembers by content: sheets read, cars fitted, pages written; nothing is done twice.

A mark is a digest of everything a result is made of: the sheets and garage.toml byte for byte, slipledger's
own files, the libraries that do its sums. Each mark is written in the transaction that writes what it vouches
for. This module is all that a command with nothing new to do needs, so it imports little.
"""

from __future__ import annotations

import filecmp
import hashlib
import json
import os
import sys
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from functools import cache
from importlib import metadata, resources
from pathlib import Path
from typing import Any

import duckdb

from pipeline.files.sheets import find_sheets
from pipeline.store.database import first_row, published, query, run_queries, transaction
from pipeline.workspace import Outcome, Workspace

OURS = ("pipeline", "queries", "reports")
LIBRARIES = (
    "altair",
    "duckdb",
    "fastexcel",
    "jinja2",
    "numpy",
    "polars",
    "pyarrow",
    "pydantic",
    "scikit-learn",
    "scipy",
    "statsmodels",
    "vl-convert-python",
)
"""Whose version may change a figure or a page."""

GARAGE_FILE = "garage.toml"
MEMORY = ("tables/remembered", "tables/written_pages")


@cache
def program_mark() -> str:
    """Return the digest of slipledger itself and of the libraries that do its sums."""
    found = hashlib.sha256(sys.version.encode())
    for library in LIBRARIES:
        installed = metadata.distribution(library)
        # As text: to read a version out of it takes longer than all the rest.
        found.update((installed.read_text("METADATA") or f"{library} {installed.version}").encode())
    for package in OURS:
        root = str(resources.files(package))
        for folder, folders, files in os.walk(root):
            folders[:] = sorted(name for name in folders if name != "__pycache__")
            for name in sorted(files):
                content = Path(folder, name).read_bytes()
                found.update(f"{folder.removeprefix(root)}/{name} {len(content)}\n".encode())
                found.update(content)
    return found.hexdigest()


def logbook_mark(root: Path) -> str | None:
    """Return the digest of all a logbook's results are made of; None when a file of it cannot be read.

    Parameters
    ----------
    root
        The logbook's folder.
    """
    found = hashlib.sha256(program_mark().encode())
    sheets = find_sheets(root)
    garage = root / GARAGE_FILE
    try:
        for path in (*([garage] if garage.is_file() else ()), *sheets.sheets):
            found.update(f"{path.relative_to(root).as_posix()}\n{digest_of(path)}\n".encode())
    except (OSError, UnicodeEncodeError):
        return None
    for name, why in sheets.passed_over:
        found.update(f"{name}\n{why}\n".encode(errors="backslashreplace"))
    return found.hexdigest()


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file's content."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


# --- the tables of a stage


def is_remembered(con: duckdb.DuckDBPyConnection, stage: str, mark: str | None) -> bool:
    """Say whether a stage's tables, of all cars, were made of just this content.

    Parameters
    ----------
    con
        A writable store.
    stage
        ``"runs"`` or ``"fit"``.
    mark
        From :func:`logbook_mark`.
    """
    run_queries(con, MEMORY)
    return mark is not None and mark_of(con, stage) == mark


def mark_of(con: duckdb.DuckDBPyConnection, stage: str, car: str = "") -> str | None:
    """Return what a stage's tables were made of, or one car's part of them; None when that is not known."""
    row = first_row(con.execute(query("remember/mark_of"), {"stage": stage, "car": car}))
    return None if row is None else str(row[0])


def forget(con: duckdb.DuckDBPyConnection, stage: str, mark: str | None) -> None:
    """Forget what a stage's tables were made of unless it is this; in the transaction that changes them."""
    run_queries(con, MEMORY)
    con.execute(query("remember/forget"), {"stage": stage, "car": "", "mark": mark or ""})


def remember(con: duckdb.DuckDBPyConnection, stage: str, mark: str | None, car: str = "") -> None:
    """Note what a stage's tables are made of, in the transaction that writes them; None = it is not known."""
    con.execute(query("remember/forget"), {"stage": stage, "car": car, "mark": mark or ""})
    if mark is not None:
        con.execute(query("remember/keep"), {"stage": stage, "car": car, "mark": mark})


def fitted_marks(con: duckdb.DuckDBPyConnection) -> dict[str, str]:
    """Return what each car's fit in the store was made of, by car."""
    run_queries(con, MEMORY)
    return {str(car): str(mark) for car, mark in con.execute(query("remember/cars")).fetchall()}


def remember_fits(con: duckdb.DuckDBPyConnection, mark: str | None, cars: Mapping[str, str]) -> None:
    """Note what the fits of all cars are made of, in the transaction that writes them.

    Parameters
    ----------
    con
        A writable store, inside a transaction.
    mark
        Of the whole logbook, from :func:`logbook_mark`.
    cars
        Mark of each car.
    """
    con.execute(query("remember/forget_fits"))
    remember(con, "fit", mark)
    for car, own in cars.items():
        remember(con, "fit", own, car)


# --- pages


def recall(space: Workspace, request: str, inputs: str | None) -> Outcome | None:
    """Return what a request gave before, when nothing it is made of has changed and its files still stand.

    Parameters
    ----------
    space
        Where to work.
    request
        The command with its options.
    inputs
        From :func:`logbook_mark`.

    Returns
    -------
    Outcome or None
        None when it has to be made anew, also when the store is in use.
    """
    if inputs is None or not space.store.is_file() or _is_behind(space):
        return None
    asked = (_whole_request(space, request), inputs)
    try:
        with duckdb.connect(str(space.store), read_only=True) as con:
            pages = con.execute(query("remember/pages")).fetchall()
    except duckdb.Error:
        return None
    row = next((page[2:] for page in pages if page[:2] == asked), None)
    if row is None or not filecmp.cmp(space.store, published(space.store), shallow=False):
        return None
    said, document, waiting, files, digests = row
    paths = [Path(file) for file in files]
    try:
        if [digest_of(path) for path in paths] != digests:
            return None
        if document is None:
            document = next(path for path in paths if path.suffix == ".json").read_text(encoding="utf-8")
    except OSError:
        return None
    return Outcome(said, json.loads(document), int(waiting), tuple(paths))


def _is_behind(space: Workspace) -> bool:
    """Say whether a sheet was saved after the store was published: then it is not opened twice in vain.

    A sheet saved with nothing changed is looked at with the rest, once; one saved in the future, by a clock
    that is wrong, says nothing.
    """
    try:
        published_ns, now_ns = published(space.store).stat().st_mtime_ns, time.time_ns()
        sheets = (*find_sheets(space.logbook).sheets, space.logbook / GARAGE_FILE)
        saved_ns = [path.stat().st_mtime_ns for path in sheets if path.is_file()]
        return any(published_ns < saved <= now_ns for saved in saved_ns)
    except OSError:
        return True


def keep_page(
    con: duckdb.DuckDBPyConnection, space: Workspace, request: str, inputs: str, outcome: Outcome
) -> None:
    """Note what a request gave, for :func:`recall`; a store that cannot be written notes nothing.

    Parameters
    ----------
    con
        The store, open to write; whoever opened it publishes it.
    space
        Where to work.
    request, inputs
        As for :func:`recall`.
    outcome
        What was said; its files have been written.
    """
    in_json = any(path.suffix == ".json" for path in outcome.files)
    row: dict[str, Any] = {
        "request": _whole_request(space, request),
        "inputs": inputs,
        "said": outcome.text,
        "document": None if in_json else json.dumps(outcome.document, ensure_ascii=False),
        "waiting": outcome.needs_answer,
        "files": [str(path) for path in outcome.files],
    }
    with suppress(duckdb.Error, OSError):
        row["digests"] = [digest_of(path) for path in outcome.files]
        with transaction(con):
            run_queries(con, MEMORY)
            con.execute(query("remember/forget_pages"), {key: row[key] for key in ("request", "inputs")})
            con.execute(query("remember/keep_page"), row)


def _whole_request(space: Workspace, request: str) -> str:
    return json.dumps([request, str(space.logbook), str(space.out)])


def frames_mark(parts: Iterable[object]) -> str:
    """Return the digest of frames and of plain values, such as all that one car's fit is made of.

    Parameters
    ----------
    parts
        Frames, by their rows and columns, and values whose ``repr`` tells them apart.
    """
    found = hashlib.sha256(program_mark().encode())
    for part in parts:
        rows = getattr(part, "rows", None)
        # Not the frame's bytes in memory: those differ with how it was cut into pieces.
        content = repr(part if rows is None else (part.schema, rows())).encode()  # type: ignore[attr-defined]
        found.update(f"{len(content)}\n".encode())
        found.update(content)
    return found.hexdigest()
