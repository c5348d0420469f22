"""Runs typed at the track in a real browser: checked, kept through everything, saved and read again."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from pipeline import stages
from pipeline.store.database import read_store
from pipeline.workspace import Workspace
from reports.trackside import render_trackside

pytestmark = pytest.mark.browser

WIDE, PHONE = 1280, 390
FIRST = {"60 ft": "1.423", "330 ft": "3.911", "launch rpm": "6800", "preload turns": "3.5"}


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("trackside") / "trackside.html"
    made.write_text(render_trackside(), encoding="utf-8")
    return made


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    made = browser.new_context(viewport={"width": PHONE, "height": 800}, offline=True, accept_downloads=True)
    yield made
    made.close()


@pytest.fixture
def open_page(context: BrowserContext, file: Path) -> Iterator[Callable[[], Page]]:
    said: list[str] = []

    def open_one() -> Page:
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(file.as_uri())
        return page

    yield open_one
    assert said == []


def fill(page: Page, values: dict[str, str]) -> None:
    for label, text in values.items():
        page.get_by_label(label, exact=True).fill(text)


def add(page: Page) -> None:
    page.locator("#add").click()


def value(page: Page, label: str) -> str:
    return page.get_by_label(label, exact=True).input_value()


def times(page: Page) -> set[str]:
    return {word for told in page.locator("#runs span").all_inner_texts() for word in told.split()}


def saved(page: Page, folder: Path) -> list[dict[str, str]]:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save", exact=True).click()
    place = folder / download.value.suggested_filename
    download.value.save_as(place)
    return list(csv.DictReader(place.read_text(encoding="utf-8-sig").splitlines()))


def test_runs_typed_are_read_by_the_logbook(open_page: Callable[[], Page], tmp_path: Path) -> None:
    page = open_page()
    fill(page, {"date": "2031-05-17", "strip": "Cinder Flats", "event": "Thaw, Meet", "car": "Marigold"})
    fill(page, {**FIRST, "time of day": "10:15", "notes": "=spun, a bit"})
    add(page)
    assert value(page, "60 ft") == ""
    assert value(page, "launch rpm") == "6800"
    fill(page, {"60 ft": "1,419", "330 ft": "3.905", "launch rpm": "6900", "time of day": "11:40"})
    page.get_by_label("lane", exact=True).select_option("left")
    add(page)
    assert page.locator("#count").inner_text() == "2 runs"
    rows = saved(page, tmp_path)
    assert [(row["60 ft (s)"], row["launch rpm"], row["preload turns"]) for row in rows] == [
        ("1.423", "6800", "3.5"), ("1.419", "6900", "3.5"),
    ]  # fmt: skip
    assert rows[0]["notes"] == "'=spun, a bit"
    space = Workspace.of(tmp_path, store=None, out=None)
    assert stages.questions(space).document["questions"] == []
    slips = next(one for one in stages.ingest(space).document["sheets"] if one["kind"] == "timeslips")
    assert (slips["kept"], slips["questioned"], slips["rejected"]) == (2, 0, 0)
    with read_store(space.store) as con:
        runs = con.execute(
            "select t60_s, launch_rpm, preload_turns, event from runs order by run_at"
        ).fetchall()
    assert runs == [(1.423, 6800.0, 3.5, "Thaw, Meet"), (1.419, 6900.0, 3.5, "Thaw, Meet")]


def test_nothing_typed_is_lost_on_reloading_closing_and_beside_another_tab(
    open_page: Callable[[], Page], context: BrowserContext, tmp_path: Path
) -> None:
    page = open_page()
    fill(page, FIRST)
    add(page)
    fill(page, {"60 ft": "1.4", "notes": "half typed"})
    page.reload()
    assert page.locator("#runs li").count() == 1
    assert (value(page, "60 ft"), value(page, "notes")) == ("1.4", "half typed")
    page.close()
    wait_until_kept("half typed", context, tmp_path)
    first, second = open_page(), open_page()
    assert value(first, "notes") == "half typed"
    fill(first, {"60 ft": "1.431"})
    add(first)
    fill(second, {"60 ft": "1.432", "notes": ""})
    add(second)
    third = open_page()
    assert third.locator("#count").inner_text() == "3 runs"
    assert {"1.423", "1.431", "1.432"} <= times(third)


def wait_until_kept(text: str, context: BrowserContext, folder: Path) -> None:
    """Wait until a page that writes nothing sees it: a closed page is kept a moment later."""
    blank = folder / "blank.html"
    blank.write_text("<!doctype html><title>blank</title>", encoding="utf-8")
    witness = context.new_page()
    witness.goto(blank.as_uri())
    witness.wait_for_function(
        "text => (localStorage.getItem('slipledger trackside') || '').includes(text)", arg=text
    )
    witness.close()


@pytest.mark.parametrize(
    ("typed", "label", "said", "meant"),
    [
        ({"60 ft": "1.423", "330 ft": "1.39"}, "330 ft", "330 ft of 1.39 is outside 2.2 to 20", ""),
        ({"330 ft": "3.9", "660 ft": "3.85"}, "660 ft", "660 ft of 3.85 is not after 330 ft, 3.9", ""),
        ({"60 ft": "1423"}, "60 ft", "60 ft of 1423 is outside", "1.423"),
        ({"60 ft": "1.423", "330 ft": "3911"}, "330 ft", "330 ft of 3911 is outside", "3.911"),
        ({"60 ft": "1.4x"}, "60 ft", "60 ft 1.4x is no number", ""),
    ],
)
def test_what_is_odd_is_said_while_typing_and_can_be_kept(
    open_page: Callable[[], Page], typed: dict[str, str], label: str, said: str, meant: str
) -> None:
    page = open_page()
    fill(page, typed)
    page.keyboard.press("Tab")
    field = page.get_by_label(label, exact=True)
    assert field.get_attribute("aria-invalid") == "true"
    place = page.locator(f"#{field.get_attribute('aria-describedby')}")
    assert said in place.inner_text()
    if meant:
        place.get_by_role("button", name=f"Use {meant}").click()
        assert field.input_value() == meant
        assert place.inner_text() == ""
        return
    add(page)
    assert page.locator("#runs li").count() == 0
    assert page.locator("#add").inner_text() == "Add as typed"
    add(page)
    assert page.locator("#runs li").count() == 1


def test_a_run_is_changed_taken_out_and_brought_back(open_page: Callable[[], Page]) -> None:
    page = open_page()
    for time in ("1.423", "1.424"):
        fill(page, {"60 ft": time})
        add(page)
    fill(page, {"60 ft": "1.5"})
    page.get_by_role("button", name="Change run 1").click()
    fill(page, {"60 ft": "1.444"})
    add(page)
    assert value(page, "60 ft") == "1.5"
    page.get_by_role("button", name="Take out run 2").click()
    assert page.locator("#runs li").count() == 1
    page.get_by_role("button", name="Undo").click()
    page.reload()
    assert page.locator("#count").inner_text() == "2 runs"
    assert {"1.444", "1.424"} <= times(page)


def test_several_events_stay_apart(open_page: Callable[[], Page], tmp_path: Path) -> None:
    page = open_page()
    fill(page, {"event": "Thaw Meet", "date": "2031-05-17", **FIRST})
    add(page)
    page.get_by_role("button", name="New event").click()
    fill(page, {"event": "Last Light", "date": "2031-06-01"})
    assert value(page, "launch rpm") == "6800"
    fill(page, {"60 ft": "1.5"})
    add(page)
    assert [row["event"] for row in saved(page, tmp_path)] == ["Last Light"]
    page.get_by_label("which one").select_option(label="2031-05-17 Thaw Meet")
    assert [row["60 ft (s)"] for row in saved(page, tmp_path)] == ["1.423"]


FULL = """() => {
    for (let size = 1 << 20; size >= 1; size >>= 1) {
        const piece = "x".repeat(size);
        try {
            for (let k = 0; ; k += 1) localStorage.setItem("fill" + size + "-" + k, piece);
        } catch (full) { /* on to smaller pieces */ }
    }
}"""


ROOM = """() => {
    for (const key of Object.keys(localStorage)) if (key.startsWith("fill")) localStorage.removeItem(key);
}"""


def test_a_full_storage_is_said_and_the_run_is_saved(open_page: Callable[[], Page], tmp_path: Path) -> None:
    page = open_page()
    fill(page, FIRST)
    add(page)
    page.evaluate(FULL)
    fill(page, {"60 ft": "1.431", "notes": "a long note that no longer fits"})
    add(page)
    assert "press Save now" in page.locator("#kept").inner_text()
    assert [row["60 ft (s)"] for row in saved(page, tmp_path)] == ["1.423", "1.431"]
    page.evaluate(ROOM)
    fill(page, {"60 ft": "1.5"})
    assert "Kept in this browser" in page.locator("#kept").inner_text()
    page.reload()
    assert page.locator("#count").inner_text() == "2 runs"


def test_without_storage_it_says_so_asks_before_leaving_and_saves(
    open_page: Callable[[], Page], context: BrowserContext, tmp_path: Path
) -> None:
    context.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('refused'); }})"
    )
    page = open_page()
    fill(page, FIRST)
    add(page)
    assert "press Save now" in page.locator("#kept").inner_text()
    assert len(saved(page, tmp_path)) == 1
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    page.close(run_before_unload=True)
    page.wait_for_timeout(500)
    assert asked == ["beforeunload"]


def test_by_keyboard_a_run_is_added_with_enter(open_page: Callable[[], Page]) -> None:
    page = open_page()
    page.get_by_label("60 ft", exact=True).focus()
    page.keyboard.type("1.423")
    page.keyboard.press("Tab")
    page.keyboard.type("3.911")
    page.keyboard.press("Enter")
    assert page.locator("#count").inner_text() == "1 run"
    assert page.evaluate("document.activeElement.id") == "f-t60_s"
    assert page.get_by_label("60 ft", exact=True).get_attribute("inputmode") == "decimal"


@pytest.mark.parametrize("width", [WIDE, PHONE])
def test_it_fits_has_large_targets_prints_the_sheet_and_axe_finds_nothing_serious(
    browser: Browser, file: Path, axe_script: str, width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, offline=True, bypass_csp=True)
    page = context.new_page()
    page.goto(file.as_uri())
    fill(page, {"60 ft": "1423"})
    page.keyboard.press("Tab")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    boxes: list[Any] = [
        one.bounding_box() for one in page.locator("input:visible, select:visible, button:visible").all()
    ]
    assert min(box["height"] for box in boxes) >= 44
    page.add_script_tag(content=axe_script)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    bad = [one for one in found["violations"] if one["impact"] in {"serious", "critical"}]
    assert bad == [], json.dumps(bad, indent=1)[:3000]
    assert page.locator(".paper").is_hidden()
    page.emulate_media(media="print")
    assert page.locator(".paper").is_visible()
    assert page.locator(".entry").is_hidden()
    context.close()
