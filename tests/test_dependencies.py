"""What is installed beside slipledger is bounded from below and above, so that no upgrade comes unasked."""

import re
import tomllib
from pathlib import Path

import pytest

PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))
NEEDED = [
    *PROJECT["project"]["dependencies"],
    *PROJECT["project"]["optional-dependencies"]["spark"],
    *PROJECT["dependency-groups"]["dev"],
    *PROJECT["build-system"]["requires"],
]


@pytest.mark.parametrize("needed", NEEDED)
def test_a_dependency_has_both_bounds_and_a_registry(needed: str) -> None:
    assert re.fullmatch(r"[a-z0-9-]+>=[0-9.]+,<[0-9.]+", needed)
