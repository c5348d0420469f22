"""Where one call of slipledger works: a logbook, its store, its reports, and who is told of progress."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import duckdb

Progress = Callable[[str, float], None]


def _silent(_what: str, _share: float) -> None:
    """Tell nobody."""


class Session(ExitStack):
    """Holds a store open from a stage's reading to the keeping of its page, so that it is published once.

    Attributes
    ----------
    con
        The store.
    fitted
        Cars that were fitted meanwhile, by name, as :class:`CarData`.
    """

    con: duckdb.DuckDBPyConnection | None = None
    fitted: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Workspace:
    """The places one command reads and writes.

    Attributes
    ----------
    logbook, store, out
        The logbook folder, the store's file and the folder for reports.
    progress
        Told what is being done and the share done, 0 to 1.
    fresh
        Do everything anew, also what the store remembers.
    session
        Where the store that is opened stays open; None where it is closed as soon as it has been read.
    """

    logbook: Path
    store: Path
    out: Path
    progress: Progress
    fresh: bool = False
    session: Session | None = None

    @classmethod
    def of(
        cls,
        logbook: Path,
        *,
        store: Path | None,
        out: Path | None,
        progress: Progress | None = None,
        fresh: bool = False,
    ) -> Workspace:
        """Fill in the default places: the store and the reports live in the logbook."""
        return cls(
            logbook=logbook,
            store=store or logbook / "slipledger.duckdb",
            out=out or logbook / "reports",
            progress=progress or _silent,
            fresh=fresh,
        )


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command did: text for a person, a document for a program, files, entries to answer.

    ``left_out`` counts what was asked for and could not be used, such as a file that cannot be read.
    """

    text: str
    document: dict[str, Any]
    needs_answer: int = 0
    files: tuple[Path, ...] = field(default=())
    left_out: int = 0


@dataclass(frozen=True, slots=True)
class ForecastAsked:
    """A forecast as typed; whatever is None is taken from the last reading at the venue."""

    venue: str | None = None
    track_temp: str | None = None
    air_temp: str | None = None
    pressure: str | None = None
    humidity: str | None = None
