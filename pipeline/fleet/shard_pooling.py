"""The fleet stage where the runs lie in shards and Spark makes the sums; pooling is the one machine's."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from pyspark.sql import SparkSession

from pipeline.errors import SheetError, ThinData
from pipeline.fleet.engine import KnownCars
from pipeline.fleet.pooling import RESPONSE, Fleet, Summed, pool_sums, sum_up
from pipeline.fleet.read import plausible
from pipeline.fleet.shards import FAILURES, Shards, first_line, read_shards
from pipeline.fleet.spark_engine import SparkEngine
from pipeline.fleet.spark_session import spark_session
from pipeline.workspace import Progress


def pool_shards(
    source: str,
    *,
    master: str | None,
    share_out: Path | None,
    share_in: Sequence[Path],
    progress: Progress,
) -> Fleet:
    """Pool every car whose runs lie in the shards of one place.

    Parameters
    ----------
    source
        A folder, one file, or an address of Parquet files that Spark can read.
    master
        Address of the cluster; None as Spark's configuration says.
    share_out, share_in, progress
        See :func:`pipeline.fleet.pooling.pool_fleet`.

    Raises
    ------
    RequestError
        When there is no Java, no Spark, no shard, or none with the headings.
    SheetError
        When no shard can be read, or one changes while it is read.
    ThinData
        When no run can be used, or no clutch type has cars enough.
    """
    progress("starting Spark", 0.0)
    shared = share_out is not None or bool(share_in)
    with spark_session(master) as session:
        summed, shards = sum_shards(session, source, shared=shared, progress=progress)
    said = (*shards.left_out, *shards.copies)
    found = pool_sums(summed, share_out=share_out, share_in=share_in, said=said)
    return replace(found, left_out=shards.left_out)


def sum_shards(
    session: SparkSession, source: str, *, shared: bool, progress: Progress
) -> tuple[Summed, Shards]:
    """Look over the shards and let the workers sum up the cars in them; see :func:`pool_shards`."""
    progress("looking over the shards", 0.0)
    shards = read_shards(session, source, RESPONSE)
    try:
        with closing(SparkEngine(session, shards.runs)) as engine:
            engine.leave("fleet_source", shards.frame)
            engine.make("runs", **plausible(RESPONSE))
            engine.make("cars")
            known = KnownCars.of(engine)
            if not known.numbers.size:
                raise ThinData(
                    f"No run of {source} can be used for the {RESPONSE} time.",
                    "A run needs a car, an event and a time within the plausible range.",
                )
            return sum_up(engine, known, shared=shared, progress=progress), shards
    except FAILURES as failed:
        raise SheetError(
            f"Spark gave up on the runs in {source} ({first_line(failed)}).",
            "Look at the workers' logs; a shard that was changed meanwhile can be read by asking again.",
        ) from failed
