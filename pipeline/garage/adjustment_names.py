"""What a person may call an adjustment: its name, label, column, or a heading of their own."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from pipeline.errors import RequestError
from pipeline.garage.dictionary import SETTING_WORDS, TIMESLIPS
from pipeline.garage.factors import ADJUSTMENTS, FACTORS
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded


def adjustment_names(garage: Garage) -> list[str]:
    """Return every adjustment a person can set: the usual ones, then those of garage.toml."""
    return [*(factor.name for factor in ADJUSTMENTS), *(item.name for item in garage.adjustments)]


def adjustment_spellings(garage: Garage) -> dict[str, str]:
    """Return the adjustment or condition behind every spelling that is known here.

    Parameters
    ----------
    garage
        For the extra adjustments and the person's own headings.

    Returns
    -------
    dict
        Spelling as written to the adjustment's name, such as ``"preload_turns"`` to ``"preload"``.
    """
    shown = [factor for factor in FACTORS if factor.is_shown]
    meant = {spelling: f.name for f in shown for spelling in (f.name, f.label, f.column)}
    headed = {column.name: (column.heading, *column.aliases) for column in TIMESLIPS.columns}
    for factor in shown:
        for spelling in (*headed.get(factor.column, ()), *SETTING_WORDS.get(factor.column, ())):
            meant.setdefault(spelling, factor.name)
    for item in garage.adjustments:
        meant |= dict.fromkeys((item.name, item.spoken, *item.also), item.name)
    by_folded = {folded(spelling): name for spelling, name in meant.items()}
    for own, canonical in garage.headings.items():
        if folded(canonical) in by_folded:
            meant.setdefault(own, by_folded[folded(canonical)])
    return meant


def find_adjustment(wanted: str, garage: Garage, known: Sequence[str]) -> str:
    """Return the adjustment a person means, by any of its spellings.

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
