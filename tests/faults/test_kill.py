"""SIGKILL at any instant: the store opens, holds the last committed state, and completes the same.

Three kills of ingest, where the tables are, in every run; the long version makes 300, also of fit and season.
"""

import random
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tests.faults.killing import Command, contents, kill_at_random

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"
SEED = 20310417


def sheets_of(logbook: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(logbook)): path.read_bytes()
        for path in sorted(logbook.rglob("*"))
        if path.is_file() and path.suffix != ".duckdb" and "reports" not in path.parts
    }


def kill_again_and_again(tmp_path: Path, verb: str, kills: int, *left_out: str) -> None:
    logbook, out = tmp_path / "logbook", tmp_path / "out"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*", *left_out))
    before = sheets_of(logbook)
    undisturbed = Command(verb, logbook, tmp_path / "undisturbed.duckdb", out)
    seconds = undisturbed.complete()
    expected = contents(undisturbed.store)
    luck = random.Random(SEED)
    store = tmp_path / "killed.duckdb"
    command = Command(verb, logbook, store, out)
    killed = opened = completed = 0
    is_whole = False
    while killed < kills:
        if luck.random() < 0.3:  # start from nothing at times, else from what the last kill left
            for leftover in tmp_path.glob("killed.*"):
                leftover.unlink()
            is_whole = False
        # Half the time all is done anew, so that the kill meets work also where everything is remembered.
        if not kill_at_random(replace(command, fresh=luck.random() < 0.5), seconds, luck):
            continue
        killed += 1
        if store.exists():
            left = contents(store)  # opens and reads whole
            opened += 1
            assert not is_whole or left == expected, f"kill {killed} lost what was committed"
        if killed % 5 == 0 or killed == kills:
            command.complete()
            completed, is_whole = completed + 1, True
            assert contents(store) == expected, f"kill {killed} left another result"
    assert sheets_of(logbook) == before
    print(f"\n{verb}: {killed} killed, {opened} stores opened, {completed} completed the same")  # noqa: T201


def test_a_few_kills_lose_nothing(tmp_path: Path) -> None:
    kill_again_and_again(tmp_path, "ingest", 3, "clutch book.xlsx", "slips spring.csv")


@pytest.mark.long
@pytest.mark.parametrize(("verb", "kills"), [("ingest", 150), ("fit", 75), ("season", 75)])
def test_three_hundred_kills_lose_nothing(tmp_path: Path, verb: str, kills: int) -> None:
    kill_again_and_again(tmp_path, verb, kills)
