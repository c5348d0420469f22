"""The table of every run, sorted and filtered as a reader would, by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Opened

pytestmark = pytest.mark.browser

Open = Callable[..., Opened]
SHOWN = "[...document.querySelectorAll('#every-run tbody tr')].filter((row) => !row.hidden)"


def column(page: Page, heading: str) -> list[str]:
    return page.evaluate(
        f"""(heading) => {{
            const place = [...document.querySelectorAll('#every-run thead th')]
                .findIndex((head) => head.textContent.trim() === heading);
            return {SHOWN}.map((row) => row.cells[place].textContent.trim());
        }}""",
        heading,
    )


def figures(texts: list[str]) -> list[float]:
    return [float(text.replace("−", "-").replace(",", "")) for text in texts if text != "–"]


def test_a_heading_sorts_by_keyboard_and_again_the_other_way(open_page: Open) -> None:
    opened = open_page("season")
    page = opened.page
    as_run = column(page, "run")
    head = page.locator("#every-run thead th", has_text="off by, s")
    head.locator("button").focus()
    page.keyboard.press("Enter")
    found = column(page, "off by, s")
    assert figures(found) == sorted(figures(found))
    assert head.get_attribute("aria-sort") == "ascending"
    page.keyboard.press("Enter")
    found = column(page, "off by, s")
    assert figures(found) == sorted(figures(found), reverse=True)
    assert found[-1] == "–" or "–" not in found
    page.locator("#every-run thead th button").first.click()
    assert column(page, "run") == as_run
    assert opened.said == []


def test_words_and_picks_leave_the_runs_that_fit(open_page: Open) -> None:
    page = open_page("season").page
    everything = len(column(page, "run"))
    page.locator("#which-runs").select_option("o")
    reasons = column(page, "left out, and why")
    assert 0 < len(reasons) < everything
    assert all(reasons)
    assert page.locator("#runs-shown").inner_text() == f"{len(reasons)} of {everything} runs"
    page.locator("#which-runs").select_option("b")
    assert set(column(page, "own bar")) <= {"slower", "quicker"}
    page.locator("#which-runs").select_option("")
    page.locator("#find-run").fill("last light spun")
    events, outcomes = column(page, "event"), column(page, "how it went")
    assert set(events) == {"Last Light"}
    assert set(outcomes) == {"spun"}
    page.locator("#find-run").fill("no such word")
    assert page.locator("#runs-shown").inner_text() == f"0 of {everything} runs"


def test_a_season_without_a_run_says_so_in_its_place(open_page: Open) -> None:
    opened = open_page("empty-season")
    assert opened.page.locator("#runs .in-place").inner_text() == "No run is written down yet."
    assert opened.page.locator("#every-run").count() == 0
    assert opened.said == []
