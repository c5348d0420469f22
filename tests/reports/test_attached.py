from __future__ import annotations

import pytest

from pipeline.terminal import attached_text
from reports import attached
from tests.reports import example_pages as pages
from tests.reports.test_season import words_of

EXTRAS = {"shock_clicks": ("rear shock", "click")}


def test_each_run_names_the_rows_it_used_and_how_far_off_they_are() -> None:
    text = words_of(attached.render(pages.attached_page(extras=EXTRAS)))
    for words in (
        "1. 11:00, slips.csv row 2",
        "on the slip: launch rpm",
        "book.xlsx (Setups) row 4, 2 days before: preload and rear shock; an entry in it is in question",
        "weather.csv row 7, 30 min before: air temp and humidity",
        "weather.csv row 8, 2.0 h after: air temp and humidity",
        "book.xlsx (Checks) row 3, just before it: ring height",
        "1 run without a date",
    ):
        assert words in text


def test_the_head_says_what_runs_lack_and_how_much_lies_idle() -> None:
    text = words_of(attached.render(pages.attached_page()))
    lacking = "setup for 1 run, weather for 1 run, track temperature for 4 runs and clutch check for 2 runs"
    assert f"4 runs. Not found: {lacking}." in text
    assert "2 rows are used by no run; the list says why for each." in text
    assert "&lt;b&gt;track&lt;/b&gt;.csv row 3" in text
    whole = words_of(attached.render(pages.attached_page(unused=pages.unused_rows().clear())))
    assert "Nothing lies idle." in whole


def test_an_events_line_gives_the_farthest_of_the_nearest_rows() -> None:
    rows = {row[0]: row[1:] for row in attached.event_table(pages.attached_page()).rows}
    assert rows == {
        "Jun 14 Thaw Meet (2 runs)": ("all, 2 days", "all, 30 min", "none", "1 of 2, 0 runs"),
        "Jul 5 Last Light (1 run)": ("all, 2 days", "all, 30 min", "none", "all, 0 runs"),
    }


def test_the_terminal_is_short_and_names_one_events_runs_when_asked() -> None:
    page = pages.attached_page()
    short = attached_text(page, None)
    assert "Thaw Meet" in short
    assert "weather.csv" not in short
    assert "  <b>track</b>.csv row 3, track temperature, June 15, 2025, Mesa: no run near it; " in short
    assert "the nearest is 23.0 h off." in short
    one = attached_text(page, "Last Light")
    assert "weather.csv row 7" in one
    assert "slips.csv row 2" not in one


@pytest.mark.parametrize(
    ("kind", "off_h", "off_runs", "words"),
    [
        ("weather", None, None, "same day"),
        ("weather", 0.0, None, "at the same time"),
        ("track", -0.25, None, "15 min before"),
        ("setup", -24.0 * 9, None, "9 days before"),
        ("check", -50.0, -1, "1 run before"),
        ("check", 50.0, 7, "7 runs after"),
    ],
)
def test_a_distance_is_said_as_a_person_would(
    kind: str, off_h: float | None, off_runs: int | None, words: str
) -> None:
    assert attached.off_words({"kind": kind, "off_h": off_h, "off_runs": off_runs}) == words
