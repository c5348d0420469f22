"""Tables under the same headings, a tab for each meeting, are read alike: the surest reading is for all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

LEAST_HEADINGS, LEAST_TABLES = 4, 2
"""So many headings tell that two tables are of one sort; so many tables are to agree."""
LEAST, SURE = 0.01, 1.0
"""A column that leads by so much is as sure as any; one in doubt still has a say."""


@dataclass(frozen=True, slots=True)
class Headed:
    """A table's headings with what each column was read as.

    Attributes
    ----------
    headings
        Folded, one a column.
    names
        Empty where nothing is read.
    leads
        By how much each beats the best other reading.
    """

    headings: tuple[str, ...]
    names: tuple[str, ...]
    leads: tuple[float, ...]


def agreement(tables: Sequence[Headed]) -> dict[tuple[str, ...], Headed]:
    """Find what tables under the same headings should be read as.

    Returns
    -------
    dict
        Headings -> for each column the name that is surest over all tables, as sure as the surest of them.
    """
    alike: dict[tuple[str, ...], list[Headed]] = {}
    for table in tables:
        if len(table.headings) >= LEAST_HEADINGS:
            alike.setdefault(table.headings, []).append(table)
    return {
        headings: Headed(headings, names := _surest(own), _leads(own, names))
        for headings, own in alike.items()
        if len(own) >= LEAST_TABLES
    }


def _leads(tables: Sequence[Headed], names: Sequence[str]) -> tuple[float, ...]:
    """Give for each column by how much its name leads where it leads most."""
    return tuple(
        max((table.leads[at] for table in tables if table.names[at] == name), default=0.0)
        for at, name in enumerate(names)
    )


def _surest(tables: Sequence[Headed]) -> tuple[str, ...]:
    votes = [_votes(tables, at) for at in range(len(tables[0].headings))]
    chosen = [max(own, key=lambda name: (own[name], name)) if own else "" for own in votes]
    for name in set(chosen) - {""}:
        places = [at for at, own in enumerate(chosen) if own == name]
        best = max(places, key=lambda at: votes[at][name])
        for at in places:
            chosen[at] = name if at == best else ""
    return tuple(chosen)


def _votes(tables: Sequence[Headed], at: int) -> Mapping[str, float]:
    """Add up how sure the tables are of each reading of a column; one that reads nothing has no say."""
    votes: dict[str, float] = {}
    for table in tables:
        if name := table.names[at]:
            votes[name] = votes.get(name, 0.0) + min(max(table.leads[at], LEAST), SURE)
    return votes
