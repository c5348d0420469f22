"""The sheet of a test plan, filled in and put in the logbook: ingest reads back what was planned."""

import csv
import io
from datetime import datetime, timedelta

import pytest

from pipeline.decide.limits import car_limits
from pipeline.decide.test_plan import plan_runs
from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from pipeline.store.database import open_store
from reports.plan import PlanPage, sheet_csv
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, season

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
    page = PlanPage(car="Marigold", plan=plan, store_version="1", generated_at="2031-09-06T08:00:00")
    return list(csv.DictReader(io.StringIO(sheet_csv(page))))


def test_one_row_a_run_with_its_settings_and_nothing_made_up(plan, rows):
    assert len(rows) == len(plan.runs)
    for row, run in zip(rows, plan.runs, strict=True):
        assert float(row["preload turns"]) == run.settings["preload"]
        assert float(row["launch rpm"]) == run.settings["launch_rpm"]
        assert float(row["shock_clicks"]) == run.settings["shock_clicks"]
        assert row["date"] == row["60 ft"] == row["outcome"] == ""


def test_filled_in_it_is_read_back_as_planned(plan, rows, tmp_path):
    (tmp_path / "garage.toml").write_text(GARAGE_TOML, encoding="utf-8")
    at = datetime(2031, 9, 6, 10)
    with (tmp_path / "test-day.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        for k, row in enumerate(rows):
            when = at + timedelta(minutes=40 * k)
            filled = {
                "date": f"{when:%Y-%m-%d}",
                "time": f"{when:%H:%M}",
                "venue": "Cinder Flats",
                "lane": "left",
            }
            writer.writerow(row | filled | {"track temp": "95", "60 ft": f"{1.45 + k / 1000:.3f}"})
    with open_store(tmp_path / "store.duckdb") as con:
        ingest_logbook(con, Logbook.open(tmp_path))
        read = con.sql(
            "select preload_turns, counterweight_g, launch_rpm, tire_pressure_psi,"
            " extras['shock_clicks'] as shock_clicks , t60_s from timeslips order by run_at"
        ).pl()
    assert read.height == len(plan.runs)
    for k, (row, run) in enumerate(zip(read.iter_rows(named=True), plan.runs, strict=True)):
        assert row["preload_turns"] == pytest.approx(run.settings["preload"])
        assert row["counterweight_g"] == pytest.approx(run.settings["counterweight"])
        assert row["launch_rpm"] == pytest.approx(run.settings["launch_rpm"])
        assert row["tire_pressure_psi"] == pytest.approx(run.settings["tire_pressure"])
        assert row["shock_clicks"] == pytest.approx(run.settings["shock_clicks"])
        assert row["t60_s"] == pytest.approx(1.45 + k / 1000)


def test_before_anything_is_typed_its_runs_are_planned_ones(rows, tmp_path):
    (tmp_path / "garage.toml").write_text(GARAGE_TOML, encoding="utf-8")
    with (tmp_path / "plan-sheet.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    with open_store(tmp_path / "store.duckdb") as con:
        report = ingest_logbook(con, Logbook.open(tmp_path))
    (counts,) = report.sheets
    assert (counts.kind, counts.set_aside) == ("timeslips", len(rows) + 1)
    assert report.problems == ()
