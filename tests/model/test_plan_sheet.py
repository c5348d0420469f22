"""The sheet of a test plan: every heading is one ingest knows, and what was planned is read back."""

import csv
from datetime import datetime, timedelta

import pytest

from pipeline.ingest.load import ingest_logbook
from pipeline.logbook import Logbook
from pipeline.model.limits import car_limits, present_settings
from pipeline.model.plan_sheet import plan_sheet_rows
from pipeline.model.response_fit import fit_response
from pipeline.model.test_plan import plan_runs
from pipeline.store.database import open_store
from tests.model.decision_worlds import GARAGE
from tests.model.seasons import FACTS, season

GARAGE_TOML = """
[[car]]
name = "Marigold"
[[venue]]
name = "Cinder Flats"
[[adjustment]]
name = "shock_clicks"
label = "rear shock"
unit = "click"
"""


@pytest.fixture(scope="module")
def plan():
    fit = fit_response(season(2, runs=60, events=6), FACTS)
    present = present_settings(fit.runs, None, ["shock_clicks"])
    return plan_runs(fit, car_limits(GARAGE, "Marigold", fit.runs), present, 6)


@pytest.fixture(scope="module")
def rows(plan):
    return plan_sheet_rows(plan, car="Marigold", venue="Cinder Flats", labels={"shock_clicks": "rear shock"})


def test_one_row_a_run_with_its_settings_and_nothing_made_up(plan, rows):
    headings, *body = rows
    assert len(body) == len(plan.runs)
    assert all(len(row) == len(headings) for row in body)
    for row, run in zip(body, plan.runs, strict=True):
        typed = dict(zip(headings, row, strict=True))
        assert float(typed["preload turns"]) == run.settings["preload"]
        assert float(typed["launch rpm"]) == run.settings["launch_rpm"]
        assert float(typed["rear shock"]) == run.settings["shock_clicks"]
        assert typed["date"] == typed["60 ft (s)"] == typed["outcome"] == ""
        assert f"test run {run.order}," in typed["notes"]


def test_filled_in_it_is_read_back_as_planned(plan, rows, tmp_path):
    (tmp_path / "garage.toml").write_text(GARAGE_TOML, encoding="utf-8")
    headings, *body = rows
    at = datetime(2031, 9, 6, 10)
    with (tmp_path / "test-day.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(headings)
        for k, row in enumerate(body):
            typed = dict(zip(headings, row, strict=True))
            typed |= {
                "date": f"{at:%Y-%m-%d}",
                "time": f"{at + timedelta(minutes=40 * k):%H:%M}",
                "lane": "left",
            }
            typed |= {"track temp (F)": "95", "60 ft (s)": f"{1.45 + k / 1000:.3f}", "outcome": "clean"}
            writer.writerow(typed.values())
    with open_store(tmp_path / "store.duckdb") as con:
        ingest_logbook(con, Logbook.open(tmp_path))
        read = con.sql(
            "select preload_turns, counterweight_g, launch_rpm, tire_pressure_psi,"
            " extras['shock_clicks'] as shock_clicks, t60_s, notes from timeslips order by run_at"
        ).pl()
    assert read.height == len(plan.runs)
    for k, (row, run) in enumerate(zip(read.iter_rows(named=True), plan.runs, strict=True)):
        assert row["preload_turns"] == pytest.approx(run.settings["preload"])
        assert row["counterweight_g"] == pytest.approx(run.settings["counterweight"])
        assert row["launch_rpm"] == pytest.approx(run.settings["launch_rpm"])
        assert row["tire_pressure_psi"] == pytest.approx(run.settings["tire_pressure"])
        assert row["shock_clicks"] == pytest.approx(run.settings["shock_clicks"])
        assert row["t60_s"] == pytest.approx(1.45 + k / 1000)
        assert row["notes"].endswith(run.why)
