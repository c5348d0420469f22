"""Every rule is a small file that says why, how strongly and what it suggests, and is run."""

import re
from pathlib import Path

import pytest

from pipeline.ingest.doubts import LAST_GUESSES, PREPARE, RANKING, RULES, SLIP_GUESSES
from pipeline.store.database import query, query_names

FILES = [name for name in query_names("doubts") if name.count("/") == 1]
CASES = ("test_doubts_days.py", "test_doubts_sheets.py", "test_doubts_slips.py")
GIVEN_AND_EXPECTED = "".join(Path(__file__).with_name(name).read_text(encoding="utf-8") for name in CASES)
RUN = (*SLIP_GUESSES, *LAST_GUESSES, *RULES)


def test_every_rule_file_is_run_once() -> None:
    assert sorted(RUN) == sorted(name.removeprefix("doubts/") for name in FILES)
    assert len(PREPARE) == len(set(PREPARE))


def test_every_rule_has_its_place_in_the_ranking() -> None:
    assert sorted(RANKING) == sorted(RUN)


@pytest.mark.parametrize("name", FILES)
def test_a_rule_says_why_how_strongly_and_what_it_suggests(name: str) -> None:
    header = [line for line in query(name).splitlines() if line.startswith("--")]
    told = "\n".join(header)
    for part in ("Reason", "Severity", "Suggests"):
        assert re.search(rf"\b{part}\b[^:]*: \w", told), (name, part)


@pytest.mark.parametrize("name", RUN)
def test_every_rule_has_a_given_and_an_expected(name: str) -> None:
    assert f'"{name}"' in GIVEN_AND_EXPECTED
