"""Libraries that others load along and that no command needs: they cost more than half a second.

DuckDB would load pandas and pyarrow's data sets at the first frame it is given, if they can be found. altair
loads the way to its example data, and scipy all that NumPy has, its testing tools and its Fortran among it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType
from typing import Any

_LOADED: dict[str, Any] = sys.modules
_HIDDEN = ("pandas", "pyarrow.dataset")
"""Looked for, and done without."""
_EMPTY = ("altair.datasets", "numpy.f2py", "numpy.matlib", "numpy.testing")
"""Loaded without a look; a module with nothing in it does as well."""


class _Empty(MetaPathFinder, Loader):
    """Finds and makes modules with nothing in them."""

    def find_spec(self, fullname: str, *_where: object) -> ModuleSpec | None:
        """Answer for what shall be empty, and for nothing else."""
        return ModuleSpec(fullname, self) if fullname in _EMPTY else None

    def exec_module(self, module: ModuleType) -> None:
        """Leave it empty."""


_empty = _Empty()


@contextmanager
def libraries_aside() -> Iterator[None]:
    """Keep them from loading, unless they are loaded already."""
    hidden = [name for name in _HIDDEN if name not in _LOADED]
    _LOADED.update(dict.fromkeys(hidden))  # which Python reads as "there is none"
    sys.meta_path.insert(0, _empty)
    try:
        yield
    finally:
        libraries_back()


def libraries_back() -> None:
    """Let them be found again."""
    for name in _HIDDEN:
        if _LOADED.get(name, sys) is None:
            del _LOADED[name]
    if _empty in sys.meta_path:
        sys.meta_path.remove(_empty)
    for name in _EMPTY:
        if getattr(getattr(_LOADED.get(name), "__spec__", None), "loader", None) is _empty:
            del _LOADED[name]
            package, _, own = name.rpartition(".")
            vars(_LOADED[package]).pop(own, None)
