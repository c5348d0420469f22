"""Two writers and four readers at once: nothing is corrupted and every refusal is explained."""

import multiprocessing
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pipeline import stages
from pipeline.errors import StoreError
from pipeline.store.database import read_store
from pipeline.workspace import Workspace
from tests.faults.killing import contents

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"


def write_again_and_again(logbook: str, store: str, until: float, said: Any) -> None:
    space = Workspace.of(Path(logbook), store=Path(store), out=None)
    while time.time() < until:
        try:
            stages.ingest(space)
            said.put("wrote")
        except StoreError as refused:
            said.put(f"refused: {refused}")
        except BaseException as fault:
            said.put(f"FAULT {fault!r}")
            raise


def read_again_and_again(_logbook: str, store: str, until: float, said: Any) -> None:
    while time.time() < until:
        try:
            with read_store(Path(store)) as con:
                count = con.execute("select count(*) from runs").fetchall()[0]
            said.put(f"read {count}")
        except StoreError as refused:
            said.put(f"refused: {refused}")
        except BaseException as fault:
            said.put(f"FAULT {fault!r}")
            raise
        time.sleep(0.05)


def run_together(tmp_path: Path, seconds: float) -> list[str]:
    logbook, store = tmp_path / "logbook", tmp_path / "store.duckdb"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*"))
    space = Workspace.of(logbook, store=store, out=None)
    stages.ingest(space)
    expected = contents(store)
    context = multiprocessing.get_context("spawn")
    said = context.Queue()
    jobs: list[Callable[..., None]] = [write_again_and_again] * 2 + [read_again_and_again] * 4
    until = time.time() + seconds
    people = [context.Process(target=job, args=(str(logbook), str(store), until, said)) for job in jobs]
    for person in people:
        person.start()
    heard = []
    while any(person.is_alive() for person in people) or not said.empty():
        while not said.empty():
            heard.append(said.get())
        time.sleep(0.05)
    for person in people:
        person.join(60)
    assert contents(store) == expected
    return heard


def check(heard: list[str]) -> None:
    assert [line for line in heard if line.startswith("FAULT")] == []
    assert any(line == "wrote" for line in heard)
    counts = {line for line in heard if line.startswith("read")}
    assert len(counts) == 1, counts
    for line in heard:
        if line.startswith("refused"):
            assert "Another slipledger" in line, line


def test_a_few_seconds_together(tmp_path: Path) -> None:
    check(run_together(tmp_path, 4.0))


@pytest.mark.long
def test_a_minute_together(tmp_path: Path) -> None:
    check(run_together(tmp_path, 60.0))
