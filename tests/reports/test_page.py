import json
import re
from itertools import pairwise

import pytest
from markupsafe import Markup

from pipeline.cautions import CAUTIONS
from reports import clutch, evidence, fleet, next, nightly, page, plan, season
from tests.reports import example_pages as pages
from tests.reports.example_results import EVIL_NOTE, FORMULA_NOTE

TEN_CHART_BYTES = 1_300_000  # the bar for a page of ten charts


@pytest.fixture(scope="module")
def made() -> dict[str, str]:
    return {
        "season": season.render(pages.season_page()),
        "empty season": season.render(pages.empty_season_page()),
        "nightly": nightly.render(pages.nightly_page()),
        "nightly of the evil note": nightly.render(pages.nightly_page("Thaw Meet")),
        "evidence": evidence.render(pages.evidence_page()),
        "next": next.render(pages.next_page()),
        "plan": plan.render(pages.plan_page()),
        "clutch": clutch.render(pages.clutch_page()),
        "fleet": fleet.render(pages.fleet_page()),
    }


def outside_scripts(html: str) -> str:
    return re.sub(r"<script>.*?</script>", "", html, flags=re.DOTALL)


NAMES = (
    "season",
    "empty season",
    "nightly",
    "nightly of the evil note",
    "evidence",
    "next",
    "plan",
    "clutch",
    "fleet",
)


@pytest.mark.parametrize("name", NAMES)
def test_every_page_carries_every_caution(made: dict[str, str], name: str) -> None:
    for sentence in CAUTIONS:
        assert str(Markup.escape(sentence)) in made[name]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_asked_of_the_network(made: dict[str, str], name: str) -> None:
    words = outside_scripts(made[name])
    named = set(re.findall(r"https?://[^\"'\s<>)]+", words))
    assert {address for address in named if "vega.github.io/schema" not in address} == set()
    assert not re.search(r"<(link|img|iframe|object)\b|\ssrc=", words)
    assert "default-src 'none'" in made[name]
    assert "unsafe-eval" not in made[name]


@pytest.mark.parametrize("name", NAMES)
def test_what_a_person_typed_stays_text(made: dict[str, str], name: str) -> None:
    assert '<script>alert("x")' not in made[name]
    # As many elements end as begin: no typed text closed one.
    assert made[name].count("</script>") == len(re.findall(r"<script[ >]", made[name]))


def test_the_note_and_the_formula_are_shown_as_typed(made: dict[str, str]) -> None:
    assert str(Markup.escape(EVIL_NOTE)) in made["nightly of the evil note"]
    assert FORMULA_NOTE in made["season"]


@pytest.mark.parametrize("name", NAMES)
def test_headings_step_down_one_level_at_a_time(made: dict[str, str], name: str) -> None:
    levels = [int(level) for level in re.findall(r"<h([1-6])", made[name])]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", NAMES)
def test_every_table_has_a_caption_and_scoped_headings(made: dict[str, str], name: str) -> None:
    for table in re.findall(r"<table.*?</table>", outside_scripts(made[name]), flags=re.DOTALL):
        assert "<caption" in table
        assert not re.search(r"<th(?![^>]*scope=)[ >]", table)


@pytest.mark.parametrize("name", NAMES)
def test_ids_are_unique(made: dict[str, str], name: str) -> None:
    ids = re.findall(r'\sid="([^"]+)"', outside_scripts(made[name]))
    assert len(ids) == len(set(ids))


def test_a_ten_chart_page_is_small_enough_and_has_one_copy_of_the_scripts(made: dict[str, str]) -> None:
    assert made["season"].count('id="spec-') >= 10
    assert len(made["season"].encode()) <= TEN_CHART_BYTES
    assert made["season"].count("window.vegaEmbed = ") + made["season"].count("window.vegaEmbed=") == 1


def test_a_page_without_charts_carries_no_bundle(made: dict[str, str]) -> None:
    assert 'id="spec-' not in made["empty season"]
    assert "vegaEmbed = " not in made["empty season"]
    assert len(made["empty season"]) < 60_000


def test_the_same_results_give_the_same_page_to_the_byte(made: dict[str, str]) -> None:
    assert season.render(pages.season_page()) == made["season"]


def test_data_cannot_close_a_script_element() -> None:
    hostile = {"note": "</script><!-- &amp; \u2028"}
    text = str(page.as_data(hostile))
    assert "<" not in text
    assert ">" not in text
    assert json.loads(text) == hostile


def test_data_that_is_not_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        page.as_data({"x": float("nan")})


@pytest.mark.parametrize(("kind", "start"), [("png", b"\x89PNG"), ("svg", b"<svg"), ("pdf", b"%PDF")])
def test_charts_become_files_in_plain_colors(kind: page.FileKind, start: bytes) -> None:
    figure = next.figures(pages.next_page())[0]
    content = page.figure_files([figure], [kind])[f"choice.{kind}"]
    assert content.startswith(start)
    assert b"var(--" not in content


def test_a_figure_without_a_chart_becomes_no_file() -> None:
    empty = season.figures(pages.empty_season_page())
    assert page.figure_files(empty, ["svg"]) == {}
    assert all(figure.empty for figure in empty)
