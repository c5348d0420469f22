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


def agreement(tables: Sequence[Headed]) -> dict[tuple[str, ...], tuple[str, ...]]:
    """Find what tables under the same headings should be read as where they differ.

    Returns
    -------
    dict
        Headings -> a name for each column, of those that are surest over all tables.
    """
    alike: dict[tuple[str, ...], list[Headed]] = {}
    for table in tables:
        if len(table.headings) >= LEAST_HEADINGS:
            alike.setdefault(table.headings, []).append(table)
    return {
        headings: _surest(own)
        for headings, own in alike.items()
        if len(own) >= LEAST_TABLES and len({table.names for table in own}) > 1
    }


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
