"""Whether pandas and pyarrow's data sets can be found: DuckDB would load both at the first frame it is given.

It needs neither, and they cost half a second.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

_LOADED: dict[str, Any] = sys.modules
_ASIDE = ("pandas", "pyarrow.dataset")


@contextmanager
def pandas_aside() -> Iterator[None]:
    """Hide both, unless they are loaded already."""
    hidden = [name for name in _ASIDE if name not in _LOADED]
    _LOADED.update(dict.fromkeys(hidden))  # which Python reads as "there is none"
    try:
        yield
    finally:
        _back(hidden)


def pandas_back() -> None:
    """Let them be found again."""
    _back(_ASIDE)


def _back(names: Iterable[str]) -> None:
    for name in names:
        if _LOADED.get(name, sys) is None:
            del _LOADED[name]
