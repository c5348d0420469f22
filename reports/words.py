"""The words of the reports: verdicts, settings, responses, and lists a person would say aloud."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pipeline.garage.factors import FACTORS, Factor, columns_of, extra_factor
from pipeline.season.results import Effect, SafetyWarning, Spread
from pipeline.season.season_fit import SeasonFit
from reports.numbers import UNKNOWN, fixed

RESPONSE_NAMES: dict[str, str] = {"t60": "60 ft", "t60_330": "60 to 330 ft", "t330": "330 ft"}
"""How a response is called on a page."""
LEAST_CHANCE = {"cautious": "nine chances in ten", "even": "an even chance"}
"""What a change needs of being quicker, by the risk that was asked for."""

RUN_MARKS = (("run", "a run"), ("spun", "spun"), ("bogged", "bogged"))
"""Marks of a chart of runs, with their words."""

EDGE_WORDS = {
    "lowest": "the lowest tried; try lower, inside your limits",
    "highest": "the highest tried; try higher, inside your limits",
    "limit": "your limit; nothing past it is suggested",
}
"""What is said of a best value at an end of what there was to choose from."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How one adjustment is called and written: its label, its unit, its decimals."""

    label: str
    unit: str
    decimals: int
    plural: str = ""

    def text(self, value: float | None) -> str:
        """Write a value with its unit, such as ``3.25 turns``."""
        if value is None:
            return UNKNOWN
        number = fixed(value, self.decimals)
        unit = self.plural if self.plural and abs(value) != 1 else self.unit
        return f"{number} {unit}".strip()

    def bare(self, value: float | None) -> str:
        """Write a value without its unit."""
        return fixed(value, self.decimals)


def _words_of(factor: Factor) -> Setting:
    return Setting(factor.label, plain(factor.unit), factor.decimals, factor.plural)


def plain(words: str) -> str:
    """Write units in a sentence of the model's as the page writes them."""
    return words.replace("degF", "°F").replace("kg/m3", "kg/m³")


SETTINGS: dict[str, Setting] = {factor.name: _words_of(factor) for factor in FACTORS if factor.is_shown}
_EVERY: dict[str, Setting] = {factor.name: _words_of(factor) for factor in FACTORS}
COLUMNS: dict[str, str] = columns_of(factor for factor in FACTORS if factor.is_shown)
"""Where an adjustment stands in the ``runs`` table; any other is a key of ``extras``."""


def settings_of(
    fit: SeasonFit | None, extras: Mapping[str, tuple[str, str]] | None = None
) -> dict[str, Setting]:
    """Return every adjustment's words.

    Parameters
    ----------
    fit
        The extra adjustments named in ``garage.toml`` are learnt from its effects.
    extras
        Or told: label and unit by name.

    Returns
    -------
    dict
        By the adjustment's name.
    """
    described = dict(extras or {})
    for effect in fit.effects if fit is not None else ():
        described.setdefault(effect.adjustment, (effect.label, effect.step.partition(" ")[2]))
    own = {
        name: _words_of(extra_factor(name, label, unit, 1.0))
        for name, (label, unit) in described.items()
        if name not in SETTINGS
    }
    return SETTINGS | own


def setting(adjustment: str, known: Mapping[str, Setting]) -> Setting:
    """Return an adjustment's or condition's words, plain ones when nobody described it."""
    return known.get(adjustment) or _EVERY.get(adjustment) or Setting(adjustment.replace("_", " "), "", 2)


def listed(parts: Iterable[str], last: str = "and") -> str:
    """Join as spoken: ``a``, ``a and b``, ``a, b and c``.

    Examples
    --------
    >>> listed(["air", "track", "wear"]), listed(["air", "track"], "or"), listed([])
    ('air, track and wear', 'air or track', '')
    """
    words = [part for part in parts if part]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capital(text: str) -> str:
    """Start a sentence: the first letter large, the rest as it is."""
    return text[:1].upper() + text[1:]


def verdict_words(effect: Effect, known: Mapping[str, Setting]) -> str:
    """Put a verdict in plain words."""
    if effect.verdict == "moved":
        return "moved it"
    if effect.verdict == "likely":
        return "likely moved it"
    if effect.verdict == "inseparable":
        partners = listed((setting(name, known).label for name in effect.confounded_with), "or")
        return f"can’t be told apart from {partners}" if partners else "can’t be told apart"
    if effect.per_step_s is None:
        return "too little tried to say"
    if effect.is_hinted:
        return "only a hint of it"
    return "no sign of it"


def spread_label(one: Spread, known: Mapping[str, Setting]) -> str:
    """Name what made a spread: an adjustment as the garage calls it, the rest by its own label."""
    return known[one.adjustment].label if one.adjustment in known else one.label


def step_words(effect: Effect, known: Mapping[str, Setting]) -> str:
    """Write ``preload, 1 turn``: an adjustment with its practical step."""
    return f"{setting(effect.adjustment, known).label}, {plain(effect.step)}"


def per_step(step: str) -> str:
    """Write a step as said after ``per``: ``turn``, ``100 rpm``, ``10 °F``.

    Examples
    --------
    >>> per_step("1 turn"), per_step("100 rpm"), per_step("1 %")
    ('turn', '100 rpm', '1 %')
    """
    number, _, unit = step.partition(" ")
    return unit if number == "1" and unit not in {"", "%"} else plain(step)


def responses_in(fit: SeasonFit) -> list[str]:
    """Return the responses that a fit speaks of, 60 ft first."""
    have = {effect.response for effect in fit.effects} | {facts.response for facts in fit.facts}
    return [response for response in RESPONSE_NAMES if response in have]


def warning_lines(warnings: Sequence[SafetyWarning]) -> list[str]:
    """List the warnings that head an answer, with a blank line below; empty when there is none."""
    if not warnings:
        return []
    return ["See to this first:", *(f"  ! {warning.text}" for warning in warnings), ""]
