"""Small pieces of plain sentences: thousandths, steps, lists."""

from __future__ import annotations

MINUS = "−"


def thousandths(seconds: float) -> str:
    """Write a time in thousandths of a second with a real minus sign.

    Examples
    --------
    >>> thousandths(-0.0042)
    '−4.2'
    """
    value = round(seconds * 1000, 1) + 0.0
    return f"{MINUS if value < 0 else ''}{abs(value):.1f}"


def interval(low: float, high: float) -> str:
    """Write an interval in thousandths, as ``−7.1 to −2.7``."""
    return f"{thousandths(low)} to {thousandths(high)}"


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Join words as a person would.

    Examples
    --------
    >>> listed(["preload", "counterweight", "wear"])
    'preload, counterweight and wear'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def multiple(step_words: str, times: float) -> str:
    """Multiply a step in words.

    Examples
    --------
    >>> multiple("100 rpm", 1.5)
    '150 rpm'
    """
    number, _, unit = step_words.partition(" ")
    amount = float(f"{float(number) * times:.2g}")
    return f"{amount:g} {unit}".strip()


def sentence_case(words: str) -> str:
    """Words with the first letter large and the rest as they are."""
    return words[:1].upper() + words[1:]
