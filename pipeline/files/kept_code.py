"""What Python makes of text in every process anew, kept as a file: patterns, and the functions of records.

A command compiles five hundred patterns and fifteen hundred short functions of dataclasses, ours and those of
libraries: as much work as to import polars twice. What comes out depends on the text and on Python alone. It
is kept in the folder for such things of the person who runs slipledger; where that cannot be written, or
Python works otherwise than known here, nothing is kept and everything is as it would be.
"""

from __future__ import annotations

import dataclasses
import importlib
import marshal
import os
import sys
from array import array
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from pathlib import Path
from types import CodeType, SimpleNamespace
from typing import Any

import platformdirs

FOLDER = Path(platformdirs.user_cache_dir("slipledger"))
NAME = f"code-{sys.implementation.cache_tag}-{sys.hexversion:x}.kept"
MOST_KEPT = 5000
"""Past this only what the present process used stays: patterns may be made of what a logbook says."""


class KeptCode:
    """Compiled patterns and functions by a digest of their text.

    Parameters
    ----------
    path
        The file; it need not be there.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._known: dict[bytes, bytes] = {}
        self._used: set[bytes] = set()
        self._news = False
        with suppress(OSError, EOFError, ValueError, TypeError):
            found = marshal.loads(path.read_bytes())
            self._known = found if isinstance(found, dict) else {}

    def found(self, mark: bytes) -> Any:
        """Return what is kept under a mark; None for nothing, or nothing that can be read."""
        self._used.add(mark)
        with suppress(KeyError, EOFError, ValueError, TypeError):
            return marshal.loads(self._known[mark])
        return None

    def keep(self, mark: bytes, made: Any) -> None:
        """Keep something from now on."""
        self._known[mark] = marshal.dumps(made)
        self._news = True

    def write(self) -> None:
        """Write the file where there is anything new, whole and beside the old one."""
        if not self._news:
            return
        if len(self._known) > MOST_KEPT:
            self._known = {mark: made for mark, made in self._known.items() if mark in self._used}
        partial = self._path.with_name(f".{self._path.name}.{os.getpid()}.part")
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            partial.write_bytes(marshal.dumps(self._known))
            partial.replace(self._path)


@contextmanager
def kept_code(folder: Path | None = None) -> Iterator[None]:
    """Let patterns and records be made of what is kept, and keep what is new at the end of the block.

    Parameters
    ----------
    folder
        Where the file is; None for the usual place.
    """
    compiler: Any = importlib.import_module("re._compiler")
    records: Any = dataclasses
    if sys.implementation.name != "cpython" or not hasattr(compiler, "_sre"):
        yield
        return
    kept = KeptCode((folder or FOLDER) / NAME)
    compiled, engine = compiler.compile, compiler._sre
    patterns = _Patterns(kept, compiled, engine)
    compiler.compile, compiler._sre = patterns.compile, patterns.listening
    records.exec = _runner(kept)
    try:
        yield
    finally:
        compiler.compile, compiler._sre = compiled, engine
        del records.exec
        kept.write()


class _Patterns:
    """Stands in for the compiler of ``re``, which hands what it made of a pattern to ``_sre.compile``."""

    def __init__(self, kept: KeptCode, compiled: Any, engine: Any) -> None:
        self._kept = kept
        self._compile = compiled
        self._engine = engine
        self._handed: tuple[Any, ...] = ()
        self.listening = SimpleNamespace(**vars(engine) | {"compile": self._listen})

    def _listen(self, *made: Any) -> Any:
        self._handed = made
        return self._engine.compile(*made)

    def compile(self, pattern: Any, flags: int = 0) -> Any:
        """Compile a pattern, or take it as kept."""
        if type(pattern) not in (str, bytes):
            return self._compile(pattern, flags)
        mark = _mark(f"{type(pattern).__name__} {int(flags)}", pattern)
        if (found := self._kept.found(mark)) is not None:
            with suppress(RuntimeError, TypeError, ValueError):  # what is no code for this engine
                flags_found, code, *groups = found
                return self._engine.compile(pattern, flags_found, array("I", code).tolist(), *groups)
        self._handed = ()
        made = self._compile(pattern, flags)
        if self._handed:
            _, all_flags, code, many, by_name, names = self._handed
            as_bytes = array("I", code).tobytes()
            self._kept.keep(mark, (int(all_flags), as_bytes, many, dict(by_name), names))
        return made


def _runner(kept: KeptCode) -> Any:
    """Stand in for ``exec``, as dataclasses runs the text of its functions."""

    def run(text: str, *spaces: dict[str, Any]) -> None:
        mark = _mark("function", text)
        code = kept.found(mark)
        if not isinstance(code, CodeType):
            code = compile(text, "<string>", "exec", dont_inherit=True)
            kept.keep(mark, code)
        exec(code, *spaces)

    return run


def _mark(kind: str, text: str | bytes) -> bytes:
    content = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    return blake2b(kind.encode() + b"\0" + content, digest_size=16).digest()
