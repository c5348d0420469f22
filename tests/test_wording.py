"""Words that stand one way in the whole tree, and figures that stand in one place alone."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("pipeline", "queries", "reports", "sample_timeslips", "tests")
KINDS = {".py", ".sql", ".html", ".js", ".css", ".toml", ".md", ".json", ".csv"}


def texts() -> Iterator[tuple[str, str]]:
    """Each text of the tree that a person wrote or reads, with its place."""
    paths = [path for room in ROOMS for path in (ROOT / room).rglob("*")] + list(ROOT.glob("*.md"))
    for path in sorted(paths):
        if path.suffix in KINDS and path != Path(__file__):
            yield path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8")


@pytest.mark.parametrize("spelling", [r"\bcan(?:\"\s+f?\")?\s+not\b"])
def test_the_tree_spells_it_one_way(spelling: str) -> None:
    found = [place for place, text in texts() if re.search(spelling, text, re.IGNORECASE)]
    assert not found


@pytest.mark.parametrize(
    "word", [r"\(VIF\)", r"\} ms\b", r"parts them", r"\{\w+(?:\.height)?\} entries wait"]
)
def test_what_a_person_reads_is_in_plain_words(word: str) -> None:
    rooms = ("pipeline", "reports")
    found = [place for place, text in texts() if place.startswith(rooms) and re.search(word, text)]
    assert not found


# Figures of one particular unit (common practice, no source), with the word that gives each its meaning.
THAT_UNIT = {
    "six springs or screws": r"\bsix[- ](?:spring|screw)|\bsprings?\W{1,4}6\b|\bscrews\W{1,4}6\b",
    "base load": r"base_load\w*\W{1,6}360\b|\b360(?:\.0)? lb\b",
    "thread": r"threads_per_inch\W{1,6}24\b|\b24 tpi\b|\b24 threads",
    "safe turns": r"safe_turns\W{1,6}5\b|safe limit, 5\b",
    "turns to the end": r"reach_turns\W{1,6}7\b",
    "ring height": r"\b1\.950? ?in\b|ring_height\w*\W{1,6}1\.95",
    "growth": r"service_growth\W{1,6}0\.0[12]0?\b",
    "clearance": r"clearance\w*\W{1,6}0\.25\b|,0\.25,",
    "disc": r"diameter\w*\W{1,6}(?:10|6)\.5\b",
    "bolts and nuts": r"\b(?:85|35) lb-ft\b|torque\w*\W{1,6}(?:85|35)\b",
}
ITS_PLACE = "tests/reference/test_trade.py"


@pytest.mark.parametrize("meaning", THAT_UNIT)
def test_no_figure_of_one_particular_unit_stands_anywhere_else(meaning: str) -> None:
    found = [
        f"{place}: {match[0]}"
        for place, text in texts()
        if place != ITS_PLACE
        for match in re.finditer(THAT_UNIT[meaning], text, re.IGNORECASE)
    ]
    assert not found
