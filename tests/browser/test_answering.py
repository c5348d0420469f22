"""The questions answered by clicking, in a real browser: saved, put into the folder and read again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from pipeline import stages
from pipeline.workspace import Workspace

pytestmark = pytest.mark.browser

SHEET = (
    "date,time,car,venue,60 ft,330 ft,notes\n"
    "2026-05-02,10:00,Marigold,Mesa,1.4x2,3.901,\n"
    "2026-05-02,11:00,Marigold,Mesa,abc,3.905,=1+1\n"
    '2026-05-02,12:00,Marigold,Mesa,1.405,zzz,"spun, a bit"\n'
    "2026-05-02,13:00,Marigold,Mesa,qqq,3.907,<b>bold</b>\n"
)
WIDE, PHONE = 1280, 390


@pytest.fixture
def space(tmp_path: Path) -> Workspace:
    (tmp_path / "slips.csv").write_text(SHEET, encoding="utf-8")
    space = Workspace.of(tmp_path, store=None, out=None)
    stages.questions(space)
    return space


@pytest.fixture
def opened(browser: Browser, space: Workspace, request: pytest.FixtureRequest) -> Iterator[Page]:
    width = getattr(request, "param", PHONE)
    context = browser.new_context(
        viewport={"width": width, "height": 800}, offline=True, accept_downloads=True, bypass_csp=False
    )
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto((space.out / "questions.html").as_uri())
    yield page
    context.close()
    assert said == []


def saved(page: Page, place: Path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save questions.csv").click()
    assert download.value.suggested_filename == "questions.csv"
    download.value.save_as(place)
    return place


def question(page: Page, row: int) -> Any:
    return page.locator("fieldset", has=page.locator("legend", has_text=f"Row {row},"))


def test_saved_without_an_answer_the_file_is_the_one_that_was_written(
    opened: Page, space: Workspace, tmp_path: Path
) -> None:
    assert saved(opened, tmp_path / "again.txt").read_bytes() == (tmp_path / "questions.csv").read_bytes()


def test_answers_clicked_and_typed_count_when_the_file_is_put_back(
    opened: Page, space: Workspace, tmp_path: Path
) -> None:
    assert opened.evaluate("document.documentElement.scrollWidth") <= PHONE
    assert opened.locator("#progress").inner_text() == "0 of 4 answered"
    question(opened, 3).locator(".own-value").fill("1.411")
    question(opened, 4).get_by_label("leave this entry out").check()
    question(opened, 5).get_by_label("leave the whole row out").check()
    opened.get_by_role("button", name="Next without an answer").click()
    focused = "document.activeElement.closest('fieldset').querySelector('legend').textContent"
    assert opened.evaluate(focused).startswith("Row 2,")
    question(opened, 2).locator(".own-value").fill("1.412")
    assert opened.locator("#progress").inner_text() == "4 of 4 answered"
    opened.reload()
    assert opened.locator("#progress").inner_text() == "4 of 4 answered"
    saved(opened, tmp_path / "questions.csv")
    told = stages.questions(space)
    assert told.needs_answer == 0
    answers = {one["row"]: one["answer"] for one in told.document["questions"]}
    assert answers == {2: "1.412", 3: "1.411", 4: "leave out", 5: "leave out row"}
    ingested = stages.ingest(space).document["sheets"]
    slips = next(sheet for sheet in ingested if sheet["kind"] == "timeslips")
    assert (slips["kept"], slips["questioned"], slips["set_aside"]) == (3, 0, 2)


def test_a_formula_typed_as_an_answer_is_no_formula_in_the_file(opened: Page, tmp_path: Path) -> None:
    question(opened, 2).locator(".own-value").fill("=1+1")
    question(opened, 3).locator(".own-value").fill("-0.05")
    text = saved(opened, tmp_path / "again.txt").read_text(encoding="utf-8-sig")
    assert ",'=1+1," in text
    assert ",-0.05," in text


def test_without_storage_the_page_says_so_and_still_saves(opened: Page, tmp_path: Path) -> None:
    opened.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('refused'); }})"
    )
    opened.reload()
    question(opened, 2).get_by_label("leave this entry out").check()
    assert "press Save before you close" in opened.locator("#kept-note").inner_text()
    assert ",leave out," in saved(opened, tmp_path / "again.txt").read_text(encoding="utf-8-sig")


def test_one_answer_can_be_given_to_all_of_one_cause_by_keyboard(opened: Page) -> None:
    button = opened.get_by_role("button", name="keep each as typed").first
    button.focus()
    opened.keyboard.press("Enter")
    assert opened.locator("#progress").inner_text() == "3 of 4 answered"
    last = question(opened, 4).get_by_label("keep zzz")
    last.focus()
    opened.keyboard.press("Space")
    assert opened.locator("#progress").inner_text() == "4 of 4 answered"


@pytest.mark.parametrize(("width", "scheme"), [(WIDE, "light"), (PHONE, "dark")])
def test_axe_finds_nothing_serious(
    browser: Browser, space: Workspace, axe_script: str, width: int, scheme: Any
) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 900}, offline=True, color_scheme=scheme, bypass_csp=True
    )
    page = context.new_page()
    page.goto((space.out / "questions.html").as_uri())
    page.add_script_tag(content=axe_script)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    context.close()
    bad = [one for one in found["violations"] if one["impact"] in {"serious", "critical"}]
    assert bad == [], json.dumps(bad, indent=1)[:3000]
