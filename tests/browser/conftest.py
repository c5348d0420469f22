"""A real Chromium without a network, and every page opened from a file as a reader would."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from reports import attached, clutch, evidence, fleet, handout, nightly, plan, season
from reports import next as next_card
from tests.reports import example_pages as pages
from tests.reports import example_results as ex

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_ARGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
ROOT = Path(__file__).parents[2]
READY = "document.documentElement.dataset.ready === 'yes'"

PAGES: dict[str, Callable[[], str]] = {
    "season": lambda: season.render(pages.season_page()),
    "empty-season": lambda: season.render(pages.empty_season_page()),
    "nightly": lambda: nightly.render(pages.nightly_page()),
    "nightly-evil": lambda: nightly.render(pages.nightly_page("Thaw Meet")),
    "evidence": lambda: evidence.render(pages.evidence_page()),
    "evidence-rpm": lambda: evidence.render(pages.evidence_page("launch_rpm")),
    "next": lambda: next_card.render(pages.next_page()),
    "plan": lambda: plan.render(pages.plan_page()),
    "clutch": lambda: clutch.render(pages.clutch_page()),
    "handout": lambda: handout.render(pages.handout_page()),
    "empty-handout": lambda: handout.render(pages.empty_handout_page()),
    "attached": lambda: attached.render(pages.attached_page()),
    "fleet": lambda: fleet.render(pages.fleet_page()),
    "next-all-tried": lambda: next_card.render(pages.next_page(stay=True, dash=ex.example_rpm()[3:-3])),
    "clutch-bare": lambda: clutch.render(pages.clutch_page(**pages.bare_card())),
}


@dataclass
class Opened:
    """A page that is open, and everything it complained of or asked for."""

    page: Page
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


def chromium_path() -> str:
    given = os.environ.get("SLIPLEDGER_CHROMIUM")
    found = given or next((path for path in map(shutil.which, CHROMIUM_NAMES) if path), None)
    if not found:
        pytest.fail("No Chromium found: install it, or name it in SLIPLEDGER_CHROMIUM.")
    return found


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGS)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def page_files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    for name, make in PAGES.items():
        (folder / f"{name}.html").write_text(make(), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in PAGES}


@pytest.fixture
def open_page(browser: Browser, page_files: dict[str, Path]) -> Iterator[Callable[..., Opened]]:
    contexts = []

    def open_one(name: str, width: int = 1280, *, height: int = 900, **options: Any) -> Opened:
        context = browser.new_context(viewport={"width": width, "height": height}, offline=True, **options)
        contexts.append(context)
        opened = Opened(context.new_page())
        opened.page.on("console", lambda message: opened.said.append(f"{message.type}: {message.text}"))
        opened.page.on("pageerror", lambda error: opened.said.append(f"error: {error}"))
        opened.page.on("request", lambda request: opened.asked.append(request.url))
        opened.page.goto(page_files[name].as_uri())
        opened.page.wait_for_function(READY, timeout=30_000)
        return opened

    yield open_one
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def axe_script() -> str:
    """The text of axe-core, from SLIPLEDGER_AXE or the tools folder that .ci/run fills."""
    path = Path(os.environ.get("SLIPLEDGER_AXE") or ROOT / ".cache-tools/node_modules/axe-core/axe.min.js")
    if not path.is_file():
        pytest.fail(
            f"axe-core is not at {path}: run 'npm install --prefix .cache-tools axe-core' or name "
            "its axe.min.js in SLIPLEDGER_AXE."
        )
    return path.read_text(encoding="utf-8")
