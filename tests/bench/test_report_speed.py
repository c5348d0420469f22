"""How long a page takes once the process is warm, in processor time of our own code."""

from __future__ import annotations

import time

from reports import season
from reports.scripts import chart_bundle
from tests.reports.example_pages import season_page

WARM_S = 0.150  # the bar for rendering a warm ten-chart page
ROUNDS = 7


def test_a_warm_ten_chart_page_is_rendered_in_time() -> None:
    page = season_page()
    html = season.render(page)
    assert html.count('id="spec-') >= 10
    spent = []
    for _ in range(ROUNDS):
        start = time.process_time()
        season.render(page)
        spent.append(time.process_time() - start)
    best = min(spent)
    print(f"\nwarm ten-chart page: {1000 * best:.0f} ms at best, {1000 * max(spent):.0f} ms at worst")  # noqa: T201
    assert best <= WARM_S


def test_the_scripts_are_read_once_a_process() -> None:
    assert chart_bundle() is chart_bundle()
