"""In which order queries of one step run: each says in its header what it reads.

``-- Reads: a, b`` names tables and macros, or another query of the folder that must have run before;
``-- Makes: x, y`` stands where a query makes something else than its file is called.
"""

from __future__ import annotations

from collections.abc import Iterable
from graphlib import CycleError, TopologicalSorter

from pipeline.errors import StoreError
from pipeline.store.database import query


def stated(name: str, word: str) -> tuple[str, ...]:
    """Return what a header line of a query lists, such as ``-- Reads: settings, days``.

    Parameters
    ----------
    name
        Name as for :func:`pipeline.store.database.query`.
    word
        The word before the colon.
    """
    mark = f"-- {word}: "
    listed = [line.removeprefix(mark) for line in query(name).splitlines() if line.startswith(mark)]
    return tuple(each.strip() for line in listed for each in line.split(",") if each.strip())


def made_by(name: str) -> tuple[str, ...]:
    """Return the tables and macros a query makes: its own name unless its header says otherwise."""
    return stated(name, "Makes") or (name.rpartition("/")[2],)


def ordered(names: Iterable[str], word: str = "Reads") -> list[str]:
    """Return queries in an order in which each comes after those that its header line names.

    Parameters
    ----------
    names
        Names as for :func:`pipeline.store.database.query`.
    word
        The header line to go by.

    Raises
    ------
    StoreError
        When they wait for each other in a circle.
    """
    names = sorted(names)
    makers: dict[str, set[str]] = {}
    for name in names:
        for made in {*made_by(name), name.rpartition("/")[2]}:
            makers.setdefault(made, set()).add(name)
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for name in names:
        before = {maker for read in stated(name, word) for maker in makers.get(read, ())}
        sorter.add(name, *sorted(before - {name}))
    try:
        return list(sorter.static_order())
    except CycleError as circle:
        raise StoreError(
            f"The queries {', '.join(circle.args[1])} wait for each other.",
            "This is a fault in slipledger: please report it.",
        ) from circle
