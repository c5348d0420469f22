"""One fleet from a CSV to pooled estimates in a process of its own, so that its memory can be measured.

Run as ``python tests/bench/fleet_end_to_end.py FILE``; prints one line of JSON.
"""

from __future__ import annotations

import itertools
import json
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from pipeline.fleet.engine import KnownCars, OneMachine
from pipeline.fleet.findings import fleet_fit, typing_trouble_in_table
from pipeline.fleet.model import fit_fleet, sum_fleet
from pipeline.fleet.read import load_table, scratch_database


def main(path: Path) -> dict[str, float]:
    stamps = [time.perf_counter()]
    with scratch_database() as con:
        load_table(con, path)
        stamps.append(time.perf_counter())
        engine = OneMachine(con)
        known = KnownCars.of(engine)
        sums = sum_fleet(engine, known)
        stamps.append(time.perf_counter())
        trouble = typing_trouble_in_table(known)
    models, said = fit_fleet({kind: [each] for kind, each in sums.items()})
    stamps.append(time.perf_counter())
    found = fleet_fit(models, "t60", typing_trouble=trouble, sentences=said)
    stamps.append(time.perf_counter())
    read, summed, solved, told = (after - before for before, after in itertools.pairwise(stamps))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {
        "seconds": stamps[-1] - stamps[0],
        "read_s": read,
        "sums_s": summed,
        "solve_s": solved,
        "tell_s": told,
        "peak_mb": peak,
        "cars": found.groups[0].cars,
        "runs": found.groups[0].runs,
    }


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]))))  # noqa: T201
