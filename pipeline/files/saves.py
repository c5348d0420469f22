"""Notice when a logbook's sheets or its garage.toml are saved, by looking at the folder again and again."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

from pipeline.files.sheets import find_sheets

LOOK_EVERY_S = 1.0
GARAGE_FILE = "garage.toml"
State = frozenset[tuple[str, int, int]]


def saves(root: Path, wait: Callable[[float], None] = time.sleep) -> Iterator[None]:
    """Yield at once, and again after every save that has come to rest: two looks see the same files.

    Parameters
    ----------
    root
        The logbook's folder; while it is out of reach it counts as empty.
    wait
        Called with the seconds between two looks.
    """
    done: State | None = None
    seen = _state(root)
    while True:
        if seen != done:
            done = seen  # as it was before the work: what is saved meanwhile is seen afterwards
            yield
        wait(LOOK_EVERY_S)
        before, seen = seen, _state(root)
        while seen != before:
            wait(LOOK_EVERY_S)
            before, seen = seen, _state(root)


def _state(root: Path) -> State:
    """Tell sheets and garage.toml by name, time of the last save and size."""
    found = set()
    for path in (*find_sheets(root).sheets, root / GARAGE_FILE):
        with suppress(OSError):  # gone since, or none
            known = path.stat()
            found.add((str(path), known.st_mtime_ns, known.st_size))
    return frozenset(found)
