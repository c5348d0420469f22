"""A full disk, a place that cannot be written, a sheet that vanishes: one sentence, and nothing lost."""

import resource
import shutil
import subprocess
from pathlib import Path

import pytest

from pipeline import stages
from pipeline.errors import SlipledgerError, StoreError
from pipeline.garage.logbook import Logbook
from pipeline.store.database import open_store
from pipeline.workspace import Workspace
from tests.faults.killing import Command, contents

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    (tmp_path / "logbook").mkdir()
    for name in ("garage.toml", "slips spring.csv", "weather.csv"):  # a quick part of it
        shutil.copy(DEMO / name, tmp_path / "logbook")
    return tmp_path / "logbook"


def run_with_room_for(command: Command, room: int) -> subprocess.CompletedProcess[str]:
    """Run with a limit on every file's size: what a full disk does to a write."""
    return subprocess.run(
        command.words(),
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room)),
    )


def test_a_full_disk_is_one_sentence_and_the_store_stays_whole(logbook: Path, tmp_path: Path) -> None:
    command = Command("ingest", logbook, tmp_path / "store.duckdb", tmp_path / "out")
    command.complete()
    before = contents(command.store)
    slips = logbook / "slips spring.csv"
    slips.write_text(slips.read_text(encoding="utf-8") + "\n" * 3, encoding="utf-8")
    fresh = Command("ingest", logbook, tmp_path / "fresh.duckdb", tmp_path / "out")
    fresh.complete()
    for room in (100, 400_000):
        failed = run_with_room_for(command, room)
        assert failed.returncode == 2, failed.stderr
        assert failed.stderr.count("\n") == 1
        assert "The disk or memory failed" in failed.stderr
        assert "Free some space" in failed.stderr
        left = contents(command.store)  # opens, and holds what was committed last: the old rows or the new
        assert len(left["runs"]) == len(before["runs"])
    command.complete()
    assert contents(command.store)["runs"] == contents(fresh.store)["runs"]


def test_reports_that_can_not_be_written_say_where_else(logbook: Path, tmp_path: Path) -> None:
    blocked = tmp_path / "out"
    blocked.write_text("a file, not a folder", encoding="utf-8")
    with pytest.raises(StoreError, match="--out"):
        stages.export(Workspace.of(logbook, store=tmp_path / "s.duckdb", out=blocked), "csv")
    assert blocked.read_text(encoding="utf-8") == "a file, not a folder"


def test_a_store_in_an_impossible_place_says_so(logbook: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    space = Workspace.of(logbook, store=tmp_path / "file" / "s.duckdb", out=None)
    with pytest.raises(SlipledgerError, match="--store"):
        stages.ingest(space)


def test_a_sheet_that_vanishes_while_reading_is_named(
    logbook: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = Logbook.open(logbook)
    (logbook / "weather.csv").unlink()
    monkeypatch.setattr(Logbook, "open", lambda _root: opened)
    outcome = stages.ingest(Workspace.of(logbook, store=tmp_path / "s.duckdb", out=None))
    assert "weather.csv" in outcome.text
    assert any("weather.csv" in problem for problem in outcome.document["problems"])


def test_an_unreadable_file_does_not_stop_the_others(logbook: Path, tmp_path: Path) -> None:
    (logbook / "torn.xlsx").write_bytes(b"PK\x03\x04 torn in two")
    outcome = stages.ingest(Workspace.of(logbook, store=tmp_path / "s.duckdb", out=None))
    assert "torn.xlsx" in outcome.text
    with open_store(tmp_path / "s.duckdb") as con:
        assert con.execute("select count(*) > 70 from runs").fetchall()[0] == (True,)
