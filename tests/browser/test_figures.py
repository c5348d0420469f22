"""Every figure of every page: a chart with its table, or a sentence in its place."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser.conftest import Opened

pytestmark = pytest.mark.browser

Open = Callable[..., Opened]
FIGURES = """() => Object.fromEntries([...document.querySelectorAll('figure.figure-block')].map((it) => [
    it.id.replace('figure-', ''), {
        drawn: it.querySelectorAll('.chart svg').length,
        rows: it.querySelectorAll('table tbody tr').length,
        instead: (it.querySelector('.in-place') || {textContent: ''}).textContent.trim(),
    }]))"""
YOUNG = {
    "season": {"equal-air", "causes-t60", "causes-t330", "spread-t60"},
    "nightly": {"since-last"},
}
"""Figures that have to be drawn, with a table."""
THIN = {
    "empty-season": {"equal-air", "causes-t60", "causes-t330"},
    "nightly-evil": {"since-last"},
}
"""Figures of pages with too little for them."""


@pytest.mark.parametrize("name", YOUNG)
def test_a_figure_is_drawn_and_has_its_numbers_in_a_table(open_page: Open, name: str) -> None:
    found = open_page(name).page.evaluate(FIGURES)
    assert YOUNG[name] <= set(found)
    for key in YOUNG[name]:
        assert found[key]["drawn"] == 1, key
        assert found[key]["rows"] > 0, key
        assert found[key]["instead"] == "", key


@pytest.mark.parametrize("name", THIN)
def test_a_figure_without_enough_says_so_in_its_place(open_page: Open, name: str) -> None:
    found = open_page(name).page.evaluate(FIGURES)
    for key in THIN[name]:
        assert found[key]["drawn"] == 0, key
        assert found[key]["instead"].endswith("."), key


def test_the_table_of_a_folded_figure_opens_by_keyboard(open_page: Open) -> None:
    page = open_page("season").page
    fold = page.locator("#figure-equal-air details")
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    assert fold.get_attribute("open") is not None
    assert "1/8 mile own" in fold.locator("thead").inner_text()
