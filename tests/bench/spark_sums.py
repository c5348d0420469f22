"""Sums of one fleet of shards by so many workers, in a process of its own whose memory can be measured.

Run as ``python -m tests.bench.spark_sums FOLDER WARMING WORKERS``; prints one line of JSON. The shards of
WARMING are summed up first, so that what is timed is not the workers' getting ready: how long they take for
that does not depend on how many they are. It takes about a million runs until Java has compiled what matters.
"""

from __future__ import annotations

import json
import os
import resource
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from pipeline.fleet import spark_session as sessions
from pipeline.fleet.pooling import pool_sums
from pipeline.fleet.shard_pooling import sum_shards
from tests.fleet.spark_cluster import workers

WORKER_MB = 3072
ONE_CORE = "-XX:ActiveProcessorCount=1"
"""What a container of one core tells Java by itself."""

WHOLE_HEAP = f"-Xms{WORKER_MB}m -XX:+AlwaysPreTouch -XX:+UseTransparentHugePages"
"""A worker's memory is its own from the start, as a cluster's owner sets it where a worker has it to itself;
else both workers wait for the machine to find it while the sums are made."""

HOT_ONLY = (
    "-XX:Tier4InvocationThreshold=30000 -XX:Tier4MinInvocationThreshold=3000 -XX:Tier4CompileThreshold=60000"
)
"""Spark writes much code that runs some thousand times: Java's second compiler takes what runs more."""

SETTINGS = {
    "spark.executor.extraJavaOptions": f"{ONE_CORE} {WHOLE_HEAP} {HOT_ONLY}",
    "spark.driver.host": "127.0.0.1",
    "spark.driver.bindAddress": "127.0.0.1",
    "spark.driver.memory": "640m",
    "spark.executor.memory": f"{WORKER_MB}m",
}


def told(_what: str, _share: float) -> None:
    """Nobody listens."""


def most_mb(pid: int) -> float:
    """Most memory that a process has held. [MB]."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM")) / 1024


def keep_to_one_core_each() -> None:
    """Give each worker a core of its own, which it cannot leave; this process takes what is free."""
    cores = sorted(os.sched_getaffinity(0))
    for number, pid in enumerate(workers()):
        for thread in Path(f"/proc/{pid}/task").iterdir():
            with suppress(ProcessLookupError):
                os.sched_setaffinity(int(thread.name), {cores[number % len(cores)]})


def main(folder: str, warming: str, count: int) -> dict[str, float]:
    sessions.AT_START.update(SETTINGS)
    with tempfile.TemporaryDirectory() as place:
        os.environ["SPARK_WORKER_DIR"] = place
        with sessions.spark_session(f"local-cluster[{count},1,{WORKER_MB}]") as session:
            sum_shards(session, warming, shared=False, progress=told)
            keep_to_one_core_each()
            start = time.perf_counter()
            summed, shards = sum_shards(session, folder, shared=False, progress=told)
            seconds = time.perf_counter() - start
            found = pool_sums(summed, share_out=None, share_in=(), said=())
            gateway: Any = session.sparkContext._gateway
            java_mb = most_mb(gateway.proc.pid)
    return {
        "seconds": seconds,
        "runs": shards.runs,
        "cars": sum(group.cars for group in found.fit.groups),
        "python_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "java_mb": java_mb,
    }


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1], sys.argv[2], int(sys.argv[3]))))  # noqa: T201
