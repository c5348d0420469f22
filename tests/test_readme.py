"""README.md tells the truth: its made parts are fresh and its commands exist."""

import re
from pathlib import Path

from pipeline.cautions import CAUTIONS
from tests.readme_blocks import README, demo_store, renewed

LAST_PLACE = 0.11  # of a printed thousandth: another machine's arithmetic may round the other way


def words_of(text: str) -> list[str]:
    return text.split()


def same(old: str, new: str) -> bool:
    if old == new:
        return True
    try:
        return abs(float(old) - float(new)) <= LAST_PLACE
    except ValueError:
        return False


def test_the_made_parts_are_fresh(tmp_path: Path) -> None:
    text = README.read_text(encoding="utf-8")
    stands, fresh = words_of(text), words_of(renewed(text, demo_store(tmp_path)))
    assert len(stands) == len(fresh), "run: python -m tests.readme_blocks"
    off = [(old, new) for old, new in zip(stands, fresh, strict=True) if not same(old, new)]
    assert off == [], "run: python -m tests.readme_blocks"


def test_the_two_commands_stand_near_the_top() -> None:
    top = README.read_text(encoding="utf-8").splitlines()[:40]
    commands = [line for line in top if line.startswith("python3 -m pip install uv")]
    assert len(commands) == 2
    assert any("slipledger season sample_timeslips/logbook" in line for line in commands)
    assert any("pytest" in line for line in commands)


def test_the_cautions_are_told() -> None:
    words = set(re.findall(r"[a-z]+", README.read_text(encoding="utf-8").casefold()))
    for caution in CAUTIONS:
        assert set(re.findall(r"[a-z]{5,}", caution.casefold())) <= words
