"""Words that stand one way in the whole tree."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("pipeline", "queries", "reports", "sample_timeslips", "tests")
KINDS = {".py", ".sql", ".html", ".js", ".css", ".toml", ".md", ".json"}


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
