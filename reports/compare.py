"""Two settings side by side, as rows of text and as a document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.decide.results import Compared, Comparison
from reports.numbers import fixed, interval, percent, thousandths
from reports.page import Page
from reports.words import Setting, setting


@dataclass(frozen=True, slots=True)
class ComparePage(Page):
    """A comparison of one car, with what every document is headed by."""

    car: str
    comparison: Comparison


def compare_rows(found: Comparison, names: Mapping[str, Setting]) -> list[tuple[str, str, str]]:
    """Return a row for every setting and every figure: what it is, and that of A and of B.

    Parameters
    ----------
    found
        The comparison.
    names
        How adjustments are called.
    """
    sides = (found.a, found.b)
    given = dict.fromkeys([*found.a.choice.settings, *found.b.choice.settings])
    rows = [(setting(name, names).label, *(_value(side, name, names) for side in sides)) for name in given]
    choices = [side.choice for side in sides]
    rows.append(("expected 60 ft", *(fixed(c.expected_s, 3) for c in choices)))
    rows.append(("19 runs in 20", *(interval(c.low_s, c.high_s) for c in choices)))
    if any(c.p_spin is not None for c in choices):
        rows.append(("spins", *(percent(c.p_spin) for c in choices)))
        rows.append(("bogs", *(percent(c.p_bog) for c in choices)))
    return [(what, a, b) for what, a, b in rows]


def _value(side: Compared, name: str, names: Mapping[str, Setting]) -> str:
    text = setting(name, names).text(side.choice.settings.get(name))
    return text if name in side.asked else f"{text}, as it is"


def difference_sentence(found: Comparison) -> str:
    """Say the difference with its interval and chance; empty when there is none to say."""
    if found.p_a_quicker is None:
        return ""
    return (
        f"A less B: {thousandths(found.difference_s)} thousandths "
        f"({interval(found.low_s, found.high_s, 1, scale=1000)}); "
        f"chance that A beats B: {percent(found.p_a_quicker)}."
    )
