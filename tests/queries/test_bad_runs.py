from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.store.build_runs import build_runs
from pipeline.store.database import open_store, query
from tests.queries.given import runs_of, store
from tests.queries.test_against_brute_force import season


def test_the_sample_logbook_breaks_no_rule(tmp_path: Path) -> None:
    logbook = Logbook.open(Path(str(resources.files("sample_timeslips") / "logbook")))
    with open_store(tmp_path / "store.duckdb") as con:
        ingest_logbook(con, logbook)
        build_runs(con)
        slips = con.sql("select count(*) from timeslips").fetchall()[0]
        assert con.sql("select count(*) from runs").fetchall()[0] == slips
        assert con.execute(query("runs/checks/bad_runs")).fetchall() == []


def test_a_random_season_breaks_no_rule() -> None:
    con = store(**season(11))
    runs_of(con, "run_id")
    assert con.execute(query("runs/checks/bad_runs")).fetchall() == []


BROKEN = [
    ("t60_s = null", "a split that counts is written down"),
    ("left_out_reason = 'because'", "a run left out of a split says why, and no other does"),
    ("plate_load_lb = preload_lb + centrifugal_lb + 1", "plate load is static and centrifugal"),
    ("humidity_pct = 101", "humidity lies between 0 and 100 %"),
    ("questioned = ['t330_s']", "what is under question is not used as a time"),
    ("run_id = 7", "a run stands once"),
]


@pytest.mark.parametrize(("change", "rule"), BROKEN)
def test_a_broken_rule_is_found(change: str, rule: str) -> None:
    sheets = season(11)
    sheets["setups"] = [
        {"car": car, "set_at": min(slip["run_at"] for slip in sheets["timeslips"]), "preload_turns": 3.0,
         "counterweight_g": 5.0, "launch_rpm": 6000.0}
        for car in ("Marigold", "Cobalt")
    ]  # fmt: skip
    con = store(**sheets)
    runs_of(con, "run_id")
    con.execute(f"update runs set {change}")
    assert rule in {row[1] for row in con.execute(query("runs/checks/bad_runs")).fetchall()}
