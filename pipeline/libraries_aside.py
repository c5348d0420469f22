"""Libraries that others load along and that no command needs: they cost more than half a second.

DuckDB would load pandas and pyarrow's data sets at the first frame it is given, if they can be found. altair
loads the way to its example data; scipy all that NumPy has, its testing tools and its Fortran among it, and
it writes into the documentation of ninety special functions which kinds of arrays each was tested with.
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
_UNDOCUMENTED = """
from scipy.special._ufuncs import *
from scipy.special._basic import *
from scipy.special._spfun_stats import *
"""
_SHORT = dict.fromkeys(("altair.datasets", "numpy.f2py", "numpy.matlib", "numpy.testing"), "") | {
    "scipy.special._support_alternative_backends": _UNDOCUMENTED
}
"""Loaded without a look; a module with nothing in it does as well, or with what it passes on unchanged."""


class _Short(MetaPathFinder, Loader):
    """Finds modules and makes them of what stands here."""

    def find_spec(self, fullname: str, *_where: object) -> ModuleSpec | None:
        """Answer for what shall be short, and for nothing else."""
        return ModuleSpec(fullname, self) if fullname in _SHORT else None

    def exec_module(self, module: ModuleType) -> None:
        """Put in what little it needs."""
        exec(_SHORT[module.__name__], vars(module))


_short = _Short()


@contextmanager
def libraries_aside() -> Iterator[None]:
    """Keep them from loading, unless they are loaded already."""
    hidden = [name for name in _HIDDEN if name not in _LOADED]
    _LOADED.update(dict.fromkeys(hidden))  # which Python reads as "there is none"
    sys.meta_path.insert(0, _short)
    try:
        yield
    finally:
        libraries_back()


def libraries_back() -> None:
    """Let them be found again."""
    for name in _HIDDEN:
        if _LOADED.get(name, sys) is None:
            del _LOADED[name]
    if _short in sys.meta_path:
        sys.meta_path.remove(_short)
    for name in _SHORT:
        if getattr(getattr(_LOADED.get(name), "__spec__", None), "loader", None) is _short:
            del _LOADED[name]
            package, _, own = name.rpartition(".")
            vars(_LOADED[package]).pop(own, None)
