"""Whether pandas can be found: DuckDB would load it at the first value it is given, for half a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

_LOADED: dict[str, Any] = sys.modules


@contextmanager
def pandas_aside() -> Iterator[None]:
    """Hide pandas, unless it is loaded already."""
    hidden = "pandas" not in _LOADED
    if hidden:
        _LOADED["pandas"] = None  # which Python reads as "there is none"
    try:
        yield
    finally:
        if hidden:
            pandas_back()


def pandas_back() -> None:
    """Let pandas be found again."""
    if _LOADED.get("pandas", sys) is None:
        del _LOADED["pandas"]
