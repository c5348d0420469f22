"""Two writers and some readers at once: nothing is corrupted and every refusal is explained."""

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


def write_again_and_again(logbook: str, store: str, times: int, _done: Any, said: Any) -> None:
    """Read all anew so many times; a writer that is refused tries again."""
    space = Workspace.of(Path(logbook), store=Path(store), out=None, fresh=True)
    written = 0
    while written < times:
        try:
            stages.ingest(space)
            written += 1
            said.put("wrote")
        except StoreError as refused:
            said.put(f"refused: {refused}")
        except BaseException as fault:
            said.put(f"FAULT {fault!r}")
            raise


def read_again_and_again(_logbook: str, store: str, _times: int, done: Any, said: Any) -> None:
    """Read until the writers are done, once at least."""
    last = False
    while not last:
        last = done.is_set()
        try:
            with read_store(Path(store)) as con:
                count = con.execute("select count(*) from runs").fetchall()[0]
            said.put(f"read {count}")
        except StoreError as refused:
            said.put(f"refused: {refused}")
        except BaseException as fault:
            said.put(f"FAULT {fault!r}")
            raise
        time.sleep(0.2)


def run_together(tmp_path: Path, times: int, readers: int, *left_out: str) -> list[str]:
    logbook, store = tmp_path / "logbook", tmp_path / "store.duckdb"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*", *left_out))
    space = Workspace.of(logbook, store=store, out=None)
    stages.ingest(space)
    expected = contents(store)
    context = multiprocessing.get_context("spawn")
    said, done = context.Queue(), context.Event()

    def start(job: Callable[..., None]) -> Any:
        person = context.Process(target=job, args=(str(logbook), str(store), times, done, said))
        person.start()
        return person

    reading = [start(read_again_and_again) for _ in range(readers)]
    writing = [start(write_again_and_again) for _ in range(2)]
    heard = []
    while any(person.is_alive() for person in (*writing, *reading)) or not said.empty():
        while not said.empty():
            heard.append(said.get())
        if not any(person.is_alive() for person in writing):
            done.set()
        time.sleep(0.05)
    for person in (*writing, *reading):
        person.join()
    assert contents(store) == expected
    return heard


def check(heard: list[str], times: int) -> None:
    assert [line for line in heard if line.startswith("FAULT")] == []
    assert heard.count("wrote") == 2 * times
    counts = {line for line in heard if line.startswith("read")}
    assert len(counts) == 1, counts
    for line in heard:
        if line.startswith("refused"):
            assert "Another slipledger" in line, line


def test_a_few_writings_together(tmp_path: Path) -> None:
    check(run_together(tmp_path, 1, 2, "clutch book.xlsx", "slips late season.csv"), 1)


@pytest.mark.long
def test_many_writings_together(tmp_path: Path) -> None:
    check(run_together(tmp_path, 40, 4), 40)
