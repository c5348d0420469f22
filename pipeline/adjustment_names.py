"""What a person may call an adjustment: its name, label, column, or a heading of their own."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from pipeline.errors import RequestError
from pipeline.garage.logbook import Garage, folded
from pipeline.ingest.headings import vocabulary
from reports.words import COLUMNS, SETTINGS

CONDITIONS = ("track_temp", "air_density")
"""What the model judges like an adjustment, and nobody can set."""


def adjustment_names(garage: Garage) -> list[str]:
    """Name every adjustment a person can set: the usual ones, then those of garage.toml."""
    return [
        *(name for name in SETTINGS if name not in CONDITIONS),
        *(item.name for item in garage.adjustments),
    ]


def adjustment_spellings(garage: Garage) -> dict[str, str]:
    """Give the adjustment behind every spelling that is known here.

    Parameters
    ----------
    garage
        For the extra adjustments and the person's own headings.

    Returns
    -------
    dict
        Spelling as written to the adjustment's name, such as ``"preload_turns"`` to ``"preload"``.
    """
    found = {name: name for name in SETTINGS} | {words.label: name for name, words in SETTINGS.items()}
    found |= {column: name for name, column in COLUMNS.items()}
    by_column = {column: name for name, column in COLUMNS.items()}
    by_column |= {f"extra:{item.name}": item.name for item in garage.adjustments}
    for column, words in vocabulary("timeslips", garage).items():
        if column in by_column:
            for spelling in (words.heading, *words.aliases):
                found.setdefault(spelling, by_column[column])
    return found


def find_adjustment(wanted: str, garage: Garage, known: Sequence[str]) -> str:
    """Find the adjustment a person means, by any of its spellings.

    Parameters
    ----------
    wanted
        As typed; case, spaces and punctuation do not matter.
    garage
        For the extra adjustments and the person's own headings.
    known
        Names of the adjustments that something can be said of.

    Raises
    ------
    RequestError
        When no adjustment goes by that name, or nothing is known of the one that does.
    """
    spellings = adjustment_spellings(garage)
    meant = next((name for spelling, name in spellings.items() if folded(spelling) == folded(wanted)), None)
    here = f"Known here: {', '.join(known)}."
    if meant is not None and meant in known:
        return meant
    if meant is not None:
        raise RequestError(f"Nothing can be said of {wanted!r}: too few runs say what it was.", here)
    by_case = {spelling.casefold(): spelling for spelling, name in spellings.items() if name in known}
    close = difflib.get_close_matches(wanted.casefold(), by_case, n=1)
    hint = f"Did you mean {by_case[close[0]]!r}? " if close else ""
    raise RequestError(f"There is no adjustment {wanted!r}.", hint + here)
