"""Each question of the three readers has a place on a page within two clicks, or a query to ask."""

import re
import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from pipeline.store.database import query_names
from reports import attached, clutch, evidence, fleet, handout, nightly, plan, season
from reports import next as next_card
from tests.reports import example_pages as pages

QUESTIONS = tomllib.loads(Path(__file__).with_name("questions_answered.toml").read_text(encoding="utf-8"))[
    "question"
]
PAGES: dict[str, Callable[[], str]] = {
    "season": lambda: season.render(pages.season_page()),
    "nightly": lambda: nightly.render(pages.nightly_page()),
    "evidence": lambda: evidence.render(pages.evidence_page()),
    "attached": lambda: attached.render(pages.attached_page()),
    "clutch": lambda: clutch.render(pages.clutch_page()),
    "fleet": lambda: fleet.render(pages.fleet_page()),
    "next": lambda: next_card.render(pages.next_page()),
    "handout": lambda: handout.render(pages.handout_page()),
    "plan": lambda: plan.render(pages.plan_page()),
}


@cache
def words_of(page: str) -> str:
    """Write a page once, without its scripts: their text is no place."""
    return re.sub(r"<script.*?</script>", "", PAGES[page](), flags=re.DOTALL)


@pytest.mark.parametrize("one", QUESTIONS, ids=[one["asks"] for one in QUESTIONS])
def test_a_question_is_answered_at_its_place(one: dict[str, str]) -> None:
    if "ask" in one:
        assert f"ask/{one['ask']}" in query_names("ask")
        return
    html = words_of(one["page"])
    before, found, after = html.partition(f'id="{one["place"]}"')
    assert found
    own = after.split("<section", 1)[0]
    assert "in-place" not in own.split("</figure>", 1)[0]
    parts = re.findall(r'<section class="part[^>]* id="([^"]+)"', before + found)
    assert parts, "the place is in no part of the page"
    assert f'href="#{parts[-1]}"' in html


def test_each_reader_asks_and_no_question_twice() -> None:
    readers = [one["reader"] for one in QUESTIONS]
    assert set(readers) == {"racer", "adviser", "statistician"}
    assert len({one["asks"] for one in QUESTIONS}) == len(QUESTIONS)
