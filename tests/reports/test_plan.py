import csv
import io
from dataclasses import replace

from reports import plan
from tests.reports import example_pages as pages
from tests.reports.test_season import words_of


def test_the_card_lists_runs_in_order_with_what_they_teach() -> None:
    text = words_of(plan.render(pages.plan_page()))
    assert "8 runs in 3 clutch settings, in the order to make them" in text
    assert "preload from 2.2 to 1.4 per turn" in text
    assert "splits preload from counterweight" in text


def test_without_a_plan_the_page_says_why() -> None:
    text = words_of(plan.render(pages.plan_page(plan=None, why_not="No limits are given.")))
    assert "No test is planned. No limits are given." in text
    assert "The sheet comes with a plan." in text


def test_the_sheet_has_settings_filled_in_and_slips_left_blank() -> None:
    rows = list(csv.DictReader(io.StringIO(plan.sheet_csv(pages.plan_page()))))
    assert len(rows) == 8
    assert rows[0]["launch rpm"] == "6300"
    assert rows[0]["preload turns"] == "3"
    assert rows[0]["counterweight"] == "8.2"
    assert rows[0]["car"] == "Marigold"
    assert {row["60 ft"] for row in rows} == {""}
    assert plan.sheet_csv(pages.plan_page(plan=None)).count("\n") == 1


def test_what_changes_from_run_to_run_is_marked_and_the_minutes_before_it_are_said() -> None:
    given = pages.plan_page()
    runs = tuple(replace(run, changed=("launch_rpm",), minutes=42.0) for run in given.plan.runs)
    text = words_of(plan.render(replace(given, plan=replace(given.plan, runs=runs))))
    assert "▸ 6,300 rpm" in text
    assert "▸ 3" not in text
    assert "min before" in text
    assert " 42 " in text
