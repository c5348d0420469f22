"""A session of Spark for one command: started quietly, told to keep a car's runs together, and stopped."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pyspark.errors import PySparkException
from pyspark.sql import SparkSession

from pipeline.errors import RequestError

JAVA = "java"

_SUBMIT = "SPARK_SUBMIT_OPTS"

AT_START = {
    "spark.app.name": "slipledger fleet",
    "spark.ui.enabled": "false",
    "spark.ui.showConsoleProgress": "false",
}

QUICK = "-XX:TieredStopAtLevel=1"
"""This process's Java plans for a minute and computes nothing: Java's second compiler would take longer than
it saves, on cores that the workers may need."""

PER_SESSION = {
    # A shard that cannot be read is to be named, not passed over in silence.
    "spark.sql.files.ignoreCorruptFiles": "false",
    "spark.sql.files.ignoreMissingFiles": "false",
    # Runs are spread over the workers by car, once; everything after that stays where it is. Nothing as
    # large as the fleet goes through this process, and sums are made in one order, whoever makes them.
    "spark.sql.adaptive.enabled": "false",
    "spark.sql.autoBroadcastJoinThreshold": "-1",
    "spark.sql.requireAllClusterKeysForCoPartition": "false",
    "spark.sql.execution.replaceHashWithSortAgg": "true",
    "spark.sql.codegen.maxFields": "200",
    # Numbers hardly shrink, and looking whether they do takes a quarter of the workers' time.
    "spark.sql.inMemoryColumnarStorage.compressed": "false",
    "spark.sql.session.timeZone": "UTC",
    "spark.sql.ansi.enabled": "true",
}


@contextmanager
def spark_session(master: str | None) -> Iterator[SparkSession]:
    """Open a session of its own in the running Spark, or in one started for it and stopped afterwards.

    Parameters
    ----------
    master
        Address of the cluster; None leaves it to Spark's own configuration, and to this machine without one.

    Raises
    ------
    RequestError
        When there is no Java, or Spark does not start.
    """
    running = SparkSession.getActiveSession()
    if running is None:
        _need_java()
    with tempfile.TemporaryDirectory(prefix="slipledger-spark-") as folder:
        root = running or _started(master, Path(folder))
        try:
            session = root.newSession()
            for name, value in PER_SESSION.items():
                session.conf.set(name, value)
            yield session
        finally:
            if running is None:
                root.stop()


def _need_java() -> None:
    home = os.environ.get("JAVA_HOME")
    if home and not (Path(home) / "bin" / "java").is_file():
        raise RequestError(
            f"--engine spark needs Java, and JAVA_HOME names {home}, where there is none.",
            "Install a Java runtime of version 17 or newer, and set JAVA_HOME to its folder.",
        )
    if not home and shutil.which(JAVA) is None:
        raise RequestError(
            f"--engine spark needs Java, and no program {JAVA} is found on this machine.",
            "Install a Java runtime of version 17 or newer, or set JAVA_HOME to its folder.",
        )


def _started(master: str | None, folder: Path) -> SparkSession:
    log = folder / "spark.log"
    settings = SparkSession.builder.config("spark.sql.warehouse.dir", str(folder / "tables"))
    for name, value in AT_START.items():
        settings = settings.config(name, value)
    if master is not None:
        settings = settings.master(master)
    try:
        with _errors_into(log), _java_options(QUICK if _on_other_processes(master) else ""):
            return settings.getOrCreate()
    except PySparkException as failed:
        asked = f" at {master}" if master else ""
        raise RequestError(
            f"Spark does not start{asked} ({_why(log, failed)}).",
            "Check --master, and that Java is of version 17 or newer.",
        ) from failed


def _on_other_processes(master: str | None) -> bool:
    """Whether the work is done elsewhere than in this process's own Java, as far as the address tells."""
    return master is not None and re.match(r"local($|\[)", master) is None


@contextmanager
def _java_options(options: str) -> Iterator[None]:
    """Start Java with options beside those that Spark's configuration gives it."""
    before = os.environ.get(_SUBMIT)
    os.environ[_SUBMIT] = f"{options} {before or ''}".strip()
    try:
        yield
    finally:
        os.environ.pop(_SUBMIT)
        if before is not None:
            os.environ[_SUBMIT] = before


@contextmanager
def _errors_into(log: Path) -> Iterator[None]:
    """Let a process started meanwhile write what it has to say into a file instead of on the terminal."""
    kept = os.dup(2)
    with log.open("wb") as file:
        os.dup2(file.fileno(), 2)
        try:
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)


def _why(log: Path, failed: Exception) -> str:
    said = log.read_text(encoding="utf-8", errors="replace").splitlines() if log.is_file() else []
    telling = [line for line in said if "Exception" in line or "Error" in line]
    return (telling or str(failed).splitlines() or ["no reason given"])[0].strip()[:200]
