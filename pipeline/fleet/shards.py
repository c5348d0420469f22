"""Parquet files of runs, wherever Spark reads them: which there are, which serve, which are copies."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from py4j.protocol import Py4JJavaError
from pyspark.errors import PySparkException
from pyspark.sql import DataFrame, SparkSession
from pyspark.sql import functions as sf
from pyspark.sql.types import StructType

from pipeline.errors import RequestError, SheetError
from pipeline.fleet.read import needed_columns, source_columns
from pipeline.garage.dictionary import TABLES
from pipeline.season.results import Response
from pipeline.store.database import query
from pipeline.store.fleet_tables import RESULT_TABLES

FAILURES = (PySparkException, Py4JJavaError)

_BESIDE_RUNS = frozenset({table.name for table in TABLES} | set(RESULT_TABLES)) - {"runs"}
"""What an export writes beside its runs, and a fleet has no use for."""

DAMAGED = "cannot be read (it is empty, cut short, damaged or no Parquet file)"

_GLOB = re.compile(r"([\[\]{}*?\\])")


class _Unreadable(Exception):
    """A shard, and why it is of no use."""


@dataclass(frozen=True, slots=True)
class Shards:
    """The runs of every shard that can be used.

    Attributes
    ----------
    frame
        Columns as ``queries/fleet/runs.sql`` reads them from ``fleet_source``.
    runs, files
        How many.
    left_out
        A sentence on each shard that could not be used.
    copies
        A sentence on each shard that repeats another.
    """

    frame: DataFrame
    runs: int
    files: int
    left_out: tuple[str, ...]
    copies: tuple[str, ...]


def read_shards(session: SparkSession, source: str, response: Response) -> Shards:
    """Find the shards, look each over, and give the runs of those that can be used.

    Parameters
    ----------
    session
        Of Spark.
    source
        A folder, one file, or an address that Spark can read.
    response
        The time explained.

    Raises
    ------
    RequestError
        When there is no shard there, or no shard has the headings.
    SheetError
        When no shard can be read.
    """
    place = f"file:{Path(source).resolve()}" if Path(source).exists() else source
    files = _listed(session, place)
    said: dict[str, str] = {}
    while files:
        try:
            frame = _opened(session, files, response)
            told = _looked_over(session, frame)
            unfit = _unfit(session, files, told, response)
        except _Unreadable as failed:
            unfit = dict([failed.args])
        except FAILURES as failed:
            unfit = {_named_in(failed, files, source): DAMAGED}
        if not unfit:
            break
        said |= {shard: f"{_short(shard, place)} {why}" for shard, why in unfit.items()}
        files = [file for file in files if file not in unfit]
    if not files:
        _refuse(source, list(said.values()), response)
    copies = _copies(told)
    kept = [file for file in files if file not in copies]
    return Shards(
        frame=(_opened(session, kept, response) if copies else frame).drop("shard"),
        runs=sum(row["runs"] for row in told if row["shard"] in kept),
        files=len(kept),
        left_out=tuple(f"{said[file]}; it is left out." for file in sorted(said)),
        copies=tuple(
            f"{_short(copy, place)} holds the same runs as {_short(first, place)}; they count once."
            for copy, first in sorted(copies.items())
        ),
    )


def first_line(failed: Exception) -> str:
    """Return what an engine says went wrong, without its trace."""
    text = str(getattr(failed, "java_exception", None) or failed)
    line = next((line for line in text.splitlines() if line.strip()), type(failed).__name__)
    return re.sub(r"^[\w.$]+(?:Exception|Error): |\s*SQLSTATE: \w+", "", line).strip().rstrip(".")[:200]


def _listed(session: SparkSession, place: str) -> list[str]:
    """Every Parquet file below a place but an export's other tables."""
    reader = session.read.format("binaryFile").option("recursiveFileLookup", True)
    try:
        found = reader.option("pathGlobFilter", "*.parquet").load(_plain(place)).inputFiles()
    except FAILURES as failed:
        raise RequestError(
            f"{place} cannot be looked through by Spark ({first_line(failed)}).",
            "Name a folder or an address of Parquet files of runs that Spark's workers can read.",
        ) from failed
    files = {_address(file) for file in found}
    folders = {file.rpartition("/")[0] for file in files if file.endswith("/runs.parquet")}
    kept = [
        file for file in files if not (_stem(file) in _BESIDE_RUNS and file.rpartition("/")[0] in folders)
    ]
    if not kept:
        raise RequestError(
            f"There is no Parquet file of runs in {place}.", "Its shards must be files named *.parquet."
        )
    return sorted(kept)


def _opened(session: SparkSession, files: Sequence[str], response: Response) -> DataFrame:
    """All shards as one frame, with the name of each run's shard; types that differ are read as text."""
    try:
        frames = [_read(session, files)]
    except FAILURES as failed:
        if "CANNOT_MERGE_SCHEMAS" not in str(failed):
            raise
        frames = [_read(session, group) for group in _alike(session, files)]
    renamed = source_columns(response)
    types: dict[str, set[str]] = {name: set() for name in renamed}
    for frame in frames:
        for field in frame.schema.fields:
            types.setdefault(field.name, set()).add(field.dataType.simpleString())
    shard = sf.col("_metadata.file_path").alias("shard")
    return reduce(
        DataFrame.union,
        (
            frame.select(
                *(
                    _cell(name, frame.schema, as_text=len(types[name]) != 1).alias(alias)
                    for name, alias in renamed.items()
                ),
                shard,
            )
            for frame in frames
        ),
    )


def _cell(name: str, schema: StructType, *, as_text: bool) -> Any:
    if name not in schema.names:
        return sf.lit(None).cast("string")
    return sf.col(f"`{name}`").cast("string") if as_text else sf.col(f"`{name}`")


def _read(session: SparkSession, files: Iterable[str]) -> DataFrame:
    return session.read.option("mergeSchema", True).parquet(*(_plain(file) for file in files))


def _alike(session: SparkSession, files: Iterable[str]) -> list[list[str]]:
    """Shards whose columns have the same types together."""
    groups: dict[str, list[str]] = {}
    for file in files:
        try:
            fields = _read(session, [file]).schema.fields
        except FAILURES as failed:
            raise _Unreadable(file, DAMAGED) from failed
        types = sorted((field.name, field.dataType.simpleString()) for field in fields)
        groups.setdefault(str(types), []).append(file)
    return list(groups.values())


def _looked_over(session: SparkSession, frame: DataFrame) -> list[dict[str, Any]]:
    """Read every cell, and tell what stands in each shard that has a run."""
    frame.createOrReplaceTempView("fleet_shards")
    found = session.sql(query("fleet/spark/shards")).toArrow().to_pylist()
    return [{**row, "shard": _address(row["shard"])} for row in found]


def _unfit(
    session: SparkSession, files: Sequence[str], told: Sequence[dict[str, Any]], response: Response
) -> dict[str, str]:
    """Shards of no use, and why: what has no run may be no Parquet, an empty column may be none."""
    needed = [source_columns(response)[name] for name in needed_columns(response)]
    filled = {row["shard"] for row in told if all(row[name] for name in needed)}
    unfit = {}
    for file in files:
        if file in filled:
            continue
        try:
            names = _read(session, [file]).schema.names
        except FAILURES:
            unfit[file] = DAMAGED
            continue
        missing = [name for name in needed_columns(response) if name not in names]
        if missing:
            unfit[file] = f"has no column {', '.join(missing)}"
    return unfit


def _copies(told: Sequence[dict[str, Any]]) -> dict[str, str]:
    """Shards with the very runs of another, and that other."""
    first: dict[tuple[int, ...], str] = {}
    copies = {}
    for row in sorted(told, key=lambda row: str(row["shard"])):
        same = first.setdefault((row["runs"], row["marks_apart"], row["marks_together"]), row["shard"])
        if same != row["shard"]:
            copies[row["shard"]] = same
    return copies


def _named_in(failed: Exception, files: Sequence[str], source: str) -> str:
    """Which of the files a failure is about."""
    said = _address(str(failed))
    found = [file for file in files if file in said]
    if not found:
        raise SheetError(
            f"The runs in {source} cannot be read ({first_line(failed)}).", "Look at Spark's own log."
        ) from failed
    return max(found, key=len)


def _refuse(source: str, said: Sequence[str], response: Response) -> None:
    more = f", nor any other of the {len(said)} there" if len(said) > 1 else ""
    if all(" has no column " in sentence for sentence in said):
        headings = ", ".join(needed_columns(response))
        raise RequestError(f"{said[0]}{more}.", f"A fleet's shard needs the headings {headings}.")
    raise SheetError(f"In {source}, {said[0]}{more}.", "Write the shards again, or name another place.")


def _address(named: str) -> str:
    """One spelling of an address, as Spark gives it in several."""
    return unquote(named).replace("file:///", "file:/")


def _plain(file: str) -> str:
    """Write an address so that its letters all stand for themselves."""
    return _GLOB.sub(r"\\\1", file)


def _stem(file: str) -> str:
    return file.rpartition("/")[2].removesuffix(".parquet")


def _short(file: str, place: str) -> str:
    return file.removeprefix(place).lstrip("/") or _stem(file) + ".parquet"
