"""Every page in a real browser: wide, on a phone and on paper, with no network at all."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import PAGES, Opened
from tests.reports.example_results import FORMULA_NOTE

pytestmark = pytest.mark.browser

Open = Callable[..., Opened]
WIDE, PHONE = 1280, 390
VIEWS = [(WIDE, "light"), (PHONE, "dark")]
SERIOUS = {"serious", "critical"}
CHARTLESS = {"empty-season", "attached", "handout", "empty-handout"}
MOST_SHEETS = {"season": 6, "handout": 1, "empty-handout": 1}
"""Paper that a page may take, where that is promised."""
MARKS = ", ".join(
    f"svg .role-mark.mark-{kind}"
    for kind in ("symbol path", "rect path", "line path", "rule line", "area path")
)


@pytest.mark.parametrize(("width", "scheme"), VIEWS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_opens_without_a_word_of_complaint_or_a_request(
    open_page: Open, name: str, width: int, scheme: str
) -> None:
    opened = open_page(name, width, color_scheme=scheme)
    assert opened.said == []
    assert [url for url in opened.asked if not url.startswith(("file:", "data:"))] == []
    widest = opened.page.evaluate("document.documentElement.scrollWidth")
    assert widest <= width


@pytest.mark.parametrize("width", [WIDE, PHONE])
@pytest.mark.parametrize("name", [name for name in PAGES if name not in CHARTLESS])
def test_every_chart_has_marks_inside_its_frame(open_page: Open, name: str, width: int) -> None:
    page = open_page(name, width).page
    holders = page.locator("[data-chart]")
    assert holders.count() >= 1
    for place in range(holders.count()):
        holder = holders.nth(place)
        key = holder.get_attribute("data-chart")
        assert holder.locator(MARKS).count() > 0, key
        frame, drawing = holder.bounding_box(), holder.locator("svg").bounding_box()
        assert frame is not None, key
        assert drawing is not None, key
        assert drawing["width"] <= frame["width"] + 1, key
        assert drawing["height"] > 40, key


def test_no_label_of_a_chart_is_cut_off(open_page: Open) -> None:
    for width in (WIDE, PHONE):
        page = open_page("season", width).page
        outside = page.evaluate(
            """() => [...document.querySelectorAll('.chart')].flatMap((holder) => {
                const frame = holder.getBoundingClientRect();
                return [...holder.querySelectorAll('svg text')].filter((text) => {
                    const box = text.getBoundingClientRect();
                    return box.width > 0 && (box.left < frame.left - 3 || box.right > frame.right + 3);
                }).map((text) => holder.dataset.chart + ': ' + text.textContent);
            })"""
        )
        assert outside == []


def test_hovering_a_run_names_it(open_page: Open) -> None:
    page = open_page("season").page
    dot = page.locator("[data-chart=consistency] .role-mark.mark-symbol path").first
    dot.scroll_into_view_if_needed()
    dot.hover(force=True)
    tip = page.locator("#vg-tooltip-element")
    tip.wait_for(state="visible")
    assert re.search(r"run \d+", tip.inner_text())
    assert "time" in tip.inner_text()


def test_the_track_temperature_slider_moves_the_chart_and_says_what_it_reads(open_page: Open) -> None:
    page = open_page("season").page
    slider, says = page.locator("#slide-rpm-by-track"), page.locator("#says-rpm-by-track")
    rule = page.locator("[data-chart=rpm-by-track] .role-mark.mark-rule line").first
    before, at = says.inner_text(), rule.get_attribute("transform")
    assert before.startswith("95 °F")
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert says.inner_text().startswith("105 °F: 6,270 rpm")
    assert slider.get_attribute("aria-valuetext") == says.inner_text()
    page.wait_for_function(
        "(before) => document.querySelector('[data-chart=rpm-by-track] .role-mark.mark-rule line')"
        ".getAttribute('transform') !== before",
        arg=at,
    )
    page.keyboard.press("Home")
    assert "never tried" in says.inner_text()


def test_picking_an_event_fades_the_others_in_every_chart(open_page: Open) -> None:
    page = open_page("season").page

    def faded() -> dict[str, int]:
        return page.evaluate(
            """() => Object.fromEntries([...document.querySelectorAll('[data-chart]')].map((holder) => [
                holder.dataset.chart,
                [...holder.querySelectorAll('.mark-symbol path')].filter((path) =>
                    Number(getComputedStyle(path).opacity) < 0.5).length]))"""
        )

    assert sum(faded().values()) == 0
    page.locator("#event-picker").select_option("Dry Grass")
    page.wait_for_timeout(200)
    after = faded()
    for key in ("rpm-by-track", "consistency", "nights", "wear"):
        assert after[key] > 0, key
    page.locator("#event-picker").select_option("")
    page.wait_for_timeout(200)
    assert sum(faded().values()) == 0


def test_clicking_a_run_picks_its_event(open_page: Open) -> None:
    page = open_page("season").page
    dot = page.locator("[data-chart=consistency] .role-mark.mark-symbol path").first
    dot.scroll_into_view_if_needed()
    dot.click(force=True)
    assert page.locator("#event-picker").input_value() != ""


@pytest.mark.parametrize(("width", "scheme"), VIEWS)
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing_serious(
    browser: Any, page_files: dict[str, Path], axe_script: str, name: str, width: int, scheme: str
) -> None:
    # The page's own policy would refuse a script it does not know; only here is it set aside.
    context = browser.new_context(
        viewport={"width": width, "height": 900}, offline=True, color_scheme=scheme, bypass_csp=True
    )
    page = context.new_page()
    page.goto(page_files[name].as_uri())
    page.wait_for_function("document.documentElement.dataset.ready === 'yes'")
    page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")
    page.add_script_tag(content=axe_script)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    context.close()
    bad = [
        {"id": one["id"], "on": [node["target"] for node in one["nodes"]][:3], "why": one["help"]}
        for one in found["violations"]
        if one["impact"] in SERIOUS
    ]
    assert bad == [], json.dumps(bad, indent=1)


@pytest.mark.parametrize("name", [name for name in PAGES if name not in ("empty-season", "clutch-bare")])
def test_a_page_prints_to_a_clean_pdf(open_page: Open, tmp_path: Path, name: str) -> None:
    opened = open_page(name, color_scheme="dark")
    content = opened.page.pdf(format="Letter", print_background=True)
    assert content.startswith(b"%PDF")
    sheets = len(re.findall(rb"/Type\s*/Page\b(?!s)", content))
    assert 1 <= sheets <= MOST_SHEETS.get(name, 14)
    opened.page.emulate_media(media="print")
    shown = opened.page.evaluate(
        """() => ({
            ground: getComputedStyle(document.querySelector('.sheet')).backgroundColor,
            nav: [...document.querySelectorAll('.toolbar')].map((bar) => getComputedStyle(bar).display),
            cautions: document.querySelectorAll('.cautions li').length,
        })"""
    )
    assert shown["ground"] == "rgb(255, 255, 255)"
    assert set(shown["nav"]) == {"none"}
    assert shown["cautions"] == 4
    assert opened.said == []


def test_what_was_typed_runs_nowhere(open_page: Open) -> None:
    for name in ("nightly-evil", "season", "evidence"):
        opened = open_page(name)
        dialogs: list[str] = []
        opened.page.on(
            "dialog", lambda dialog, dialogs=dialogs: (dialogs.append(dialog.message), dialog.dismiss())
        )
        opened.page.wait_for_timeout(50)
        assert dialogs == []
        ran = "[...document.scripts].filter((one) => !one.type && one.text.startsWith('alert')).length"
        assert opened.page.evaluate(ran) == 0
    assert FORMULA_NOTE in open_page("nightly-evil").page.inner_text("main")


FOCUSED = """(({activeElement: now}) => now.id || now.getAttribute('role') || now.tagName)(document)"""


def test_everything_can_be_reached_by_keyboard_in_order(open_page: Open) -> None:
    page = open_page("season").page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the answer"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#answer"
    reached = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.add(page.evaluate(FOCUSED))
    assert {"event-picker", "slide-rpm-by-track", "region", "SUMMARY"} <= reached


def test_a_page_works_when_its_policy_allows_only_its_own_scripts(open_page: Open) -> None:
    page = open_page("next").page
    refused = page.evaluate(
        """() => new Promise((resolve) => {
            document.addEventListener('securitypolicyviolation', () => resolve(true), {once: true});
            const script = document.createElement('script');
            script.textContent = 'window.slipped = true;';
            document.body.append(script);
            setTimeout(() => resolve(false), 500);
        })"""
    )
    assert refused
    assert page.evaluate("window.slipped === undefined")
