"""SIGKILL at any instant: the store opens, holds the last committed state, and completes the same.

The bounded version makes a few kills in every test run; the long one makes 300.
"""

import random
import shutil
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


def kill_again_and_again(tmp_path: Path, kills: int) -> None:
    logbook = tmp_path / "logbook"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*"))
    before = sheets_of(logbook)
    undisturbed = Command("season", logbook, tmp_path / "undisturbed.duckdb", tmp_path / "out")
    seconds = undisturbed.complete()
    expected = contents(undisturbed.store)
    luck = random.Random(SEED)
    for number in range(kills):
        store = tmp_path / f"store-{number}.duckdb"
        command = Command(luck.choice(("ingest", "fit", "season")), logbook, store, tmp_path / "out")
        if luck.random() < 0.5:
            shutil.copy(undisturbed.store, store)  # a store with a season in it already
        kill_at_random(command, seconds, luck)
        if store.exists():
            contents(store)  # opens and reads whole
        Command("season", logbook, store, tmp_path / "out").complete()
        assert contents(store) == expected, f"kill {number} left another result"
        for leftover in tmp_path.glob(f"store-{number}.duckdb*"):
            leftover.unlink()
    assert sheets_of(logbook) == before


def test_a_few_kills_lose_nothing(tmp_path: Path) -> None:
    kill_again_and_again(tmp_path, kills=5)


@pytest.mark.long
def test_three_hundred_kills_lose_nothing(tmp_path: Path) -> None:
    kill_again_and_again(tmp_path, kills=300)
