"""A number from outside beside ours: what, the source, and how far the source was established.

Marks: seen (the published value was read), lib (a reference library implementing the standard gave it),
memory (source named from memory), derived (algebra from the stated formula), trade (common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import pytest

Mark = Literal["seen", "lib", "memory", "derived", "trade"]


@dataclass(frozen=True, slots=True)
class Check:
    what: str
    ours: Callable[[], Any]
    expected: float
    source: str
    mark: Mark
    rel: float = 0.0
    abs: float = 0.0

    def hold(self) -> None:
        assert self.rel > 0.0 or self.abs > 0.0
        assert self.ours() == pytest.approx(self.expected, rel=self.rel or None, abs=self.abs or 0.0), (
            self.source
        )


def each(checks: list[Check]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("check", checks, ids=[f"{check.what} [{check.mark}]" for check in checks])
