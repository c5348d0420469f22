"""The chance of spinning and of bogging, as a racer says it."""

from __future__ import annotations

from pipeline.decide.results import SettingChoice
from pipeline.season.words import listed

SPOKEN = 0.03
"""A chance of going wrong below this is not spoken of. [judgement]"""

ROUNDED_ABOVE = 10
"""One launch in more than so many is said to the nearest five. [judgement]"""
_LAST_ONE_IN, _FROM_SIX_IN_TEN = 0.4, 0.57


def chance_words(choice: SettingChoice) -> str:
    """Return how likely a launch at a setting spins or bogs; nothing when it hardly ever does.

    Examples
    --------
    >>> chance_words(SettingChoice({}, 1.4, 1.38, 1.5, p_spin=0.34, p_bog=0.01))
    ' There about 1 launch in 3 spins.'
    """
    said = [
        _said(chance, what)
        for chance, what in ((choice.p_spin, "spin"), (choice.p_bog, "bog"))
        if chance is not None and chance >= SPOKEN
    ]
    return f" There about {listed(said)}." if said else ""


def _said(chance: float, what: str) -> str:
    if chance <= _LAST_ONE_IN:
        one_in = max(round(1 / chance), 2)
        return f"1 launch in {one_in if one_in <= ROUNDED_ABOVE else 5 * round(one_in / 5)} {what}s"
    if chance < _FROM_SIX_IN_TEN:
        return f"every second launch {what}s"
    return f"{min(round(10 * chance), 9)} launches in 10 {what}"
