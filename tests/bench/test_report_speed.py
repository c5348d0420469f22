"""What a page costs once the process is warm."""

from __future__ import annotations

from reports import season
from reports.scripts import chart_bundle
from tests.bench.yardstick import times_the_yardstick
from tests.reports.example_pages import season_page

MOST_YARDSTICKS = 6.0  # measured 2 to 3


def test_a_warm_ten_chart_page_is_rendered_in_time() -> None:
    page = season_page()
    html = season.render(page)
    assert html.count('id="spec-') >= 10
    times = times_the_yardstick(lambda: season.render(page))
    print(f"\nwarm ten-chart page: {times:.1f} yardsticks")  # noqa: T201
    assert times <= MOST_YARDSTICKS


def test_the_scripts_are_read_once_a_process() -> None:
    assert chart_bundle() is chart_bundle()
