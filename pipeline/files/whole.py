"""A file written whole or not at all: never half of one, whatever stops the writing."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pipeline.errors import StoreError

ROOM = "Free some space or name another folder with --out."


@contextmanager
def whole_file(
    path: Path, remedy: str = ROOM, *, failures: tuple[type[Exception], ...] = ()
) -> Iterator[Path]:
    """Lend a place beside ``path`` to write to; what stands there takes its place when the block ends well.

    Parameters
    ----------
    path
        The file; its folder is made when missing.
    remedy
        What to do when it cannot be written.
    failures
        Exceptions besides OSError with which a library says so.

    Yields
    ------
    pathlib.Path
        Where to write; hidden, and no other process uses it.

    Raises
    ------
    StoreError
        When the file cannot be written; what stood at ``path`` stands there still.
    """
    partial = path.with_name(f".{path.name}.{os.getpid()}.part")
    known: tuple[type[Exception], ...] = (OSError, *failures)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        yield partial
        partial.replace(path)
    except known as refused:
        reason = getattr(refused, "strerror", None) or str(refused).partition("\n")[0][:160]
        raise StoreError(f"{path} cannot be written ({reason}).", remedy) from refused
    finally:
        with suppress(OSError):
            partial.unlink()


def write_whole(path: Path, content: bytes, remedy: str = ROOM) -> Path:
    """Write bytes as :func:`whole_file` does, and give the path back."""
    with whole_file(path, remedy) as partial:
        partial.write_bytes(content)
    return path
