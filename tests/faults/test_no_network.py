"""Nothing is fetched, ever: the main job runs with every socket refused."""

import shutil
import socket
from pathlib import Path

import pytest

from pipeline import stages
from pipeline.workspace import Workspace

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"


def refuse(*_: object, **__: object) -> None:
    raise AssertionError("slipledger tried to open a socket")


def test_the_main_job_opens_no_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    logbook = tmp_path / "logbook"
    shutil.copytree(DEMO, logbook, ignore=shutil.ignore_patterns("reports", "*.duckdb*"))
    for name in ("connect", "connect_ex", "bind", "sendto"):
        monkeypatch.setattr(socket.socket, name, refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    outcome = stages.season(Workspace.of(logbook, store=None, out=tmp_path / "out"), car=None)
    page = outcome.files[0].read_text(encoding="utf-8")
    assert 'src="http' not in page
    assert 'href="http' not in page


def test_no_pickle_is_read_or_written() -> None:
    root = Path(__file__).parents[2]
    for folder in ("pipeline", "reports"):
        for path in (root / folder).rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            assert "pickle" not in text, path
            assert "joblib" not in text, path
