"""Sums of one fleet of shards by so many workers, in a process of its own whose memory can be measured.

Run as ``python -m tests.bench.spark_sums FOLDER WARMING WORKERS``; prints one line of JSON. The shards of
WARMING are summed up first, so that what is timed is not the workers' getting ready.
"""

from __future__ import annotations

import json
import os
import resource
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from pipeline.fleet import spark_session as sessions
from pipeline.fleet.pooling import pool_sums
from pipeline.fleet.shard_pooling import sum_shards

WORKER_MB = 3072
SETTINGS = {
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


def main(folder: str, warming: str, workers: int) -> dict[str, float]:
    sessions.AT_START.update(SETTINGS)
    with tempfile.TemporaryDirectory() as place:
        os.environ["SPARK_WORKER_DIR"] = place
        with sessions.spark_session(f"local-cluster[{workers},1,{WORKER_MB}]") as session:
            sum_shards(session, warming, shared=False, progress=told)
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
