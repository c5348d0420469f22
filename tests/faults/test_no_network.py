"""Nothing is fetched, ever: the main job runs with every socket refused."""

import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline import stages
from pipeline.workspace import Workspace

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"


def refuse(*_: object, **__: object) -> None:
    raise AssertionError("slipledger tried to open a socket")


ALONE = ("unshare", "--map-root-user", "--net")  # a network of its own, with nothing in it


def can_be_alone() -> bool:
    """Say whether this system can start a process without any network."""
    tool = shutil.which(ALONE[0])
    return (
        tool is not None
        and subprocess.run([*ALONE, "true"], capture_output=True, check=False).returncode == 0
    )


def assert_fetches_nothing(path: Path) -> None:
    page = path.read_text(encoding="utf-8")
    assert 'src="http' not in page
    assert 'href="http' not in page


@pytest.mark.skipif(can_be_alone(), reason="here the whole command runs without a network, which tells more")
def test_the_main_job_opens_no_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    logbook = tmp_path / "logbook"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*"))
    for name in ("connect", "connect_ex", "bind", "sendto"):
        monkeypatch.setattr(socket.socket, name, refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    outcome = stages.season(Workspace.of(logbook, store=None, out=tmp_path / "out"), car=None)
    assert_fetches_nothing(outcome.files[0])


@pytest.mark.skipif(not can_be_alone(), reason="this system cannot start a process without a network")
def test_a_command_ends_well_where_there_is_no_network(tmp_path: Path) -> None:
    """Libraries that open sockets of their own, past Python's, would fail here."""
    logbook = tmp_path / "logbook"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*"))
    words = [*ALONE, sys.executable, "-m", "pipeline.cli", "season", str(logbook), "--format", "png"]
    done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert_fetches_nothing(logbook / "reports" / "season.html")


def test_no_pickle_is_read_or_written() -> None:
    root = Path(__file__).parents[2]
    for folder in ("pipeline", "reports"):
        for path in (root / folder).rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            assert "pickle" not in text, path
            assert "joblib" not in text, path
