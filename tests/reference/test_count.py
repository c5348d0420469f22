"""The bar: at least 150 values from outside, each with its source and its confidence mark."""

from __future__ import annotations

import importlib
from pathlib import Path

from tests.reference.checks import Check

LEAST = 150


def outside_values() -> list[Check]:
    found: list[Check] = []
    for file in sorted(Path(__file__).parent.glob("test_*.py")):
        module = importlib.import_module(f"tests.reference.{file.stem}")
        lists = [value for value in vars(module).values() if isinstance(value, list)]
        found += [item for items in lists for item in items if isinstance(item, Check)]
    return found


def test_there_are_enough_values_with_source_and_mark() -> None:
    checks = outside_values()
    assert len({id(check) for check in checks}) >= LEAST
    assert all(check.source and check.mark for check in checks)
    marks = {check.mark for check in checks}
    assert marks == {"seen", "lib", "memory", "derived", "trade"}
