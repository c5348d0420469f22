"""What a mistyped number may have been: every text one slip of the pen away, and what that slip costs.

A cost is minus twice the logarithm of how likely the slip is beside the others, so that it can be added to a
squared distance in widths.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

LOOKALIKES = str.maketrans("OoQDlIi|!ZzSsGbBgq,;:", "000011111225566899...")
"""Letters that stand for a digit when a number is typed or read off a ticket; other marks for the point."""
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
LONGEST = 12
_WITH_UNIT = re.compile(
    r"^([-+]?[\dOoIlSB]*[.,:;][\dOoIlSB.,]*[\dOo])\s*(?:s|sec|secs|mph|km/?h|g|rpm|psi|%|ft)\.?$"
)
"""A number with its unit behind it; the letter of the unit is no digit."""
SECOND_SLIP, SECOND_TO_A_MARK = 18.0, 30.0
"""What another slip of the pen costs in a cell with a letter for a digit, or with another mark for the point:
that is one already."""
TEXTS_KEPT = 1000
"""A slip with two errors asks for the repairs of its cells again and again."""
A_DIGIT = 4.6
"""One digit of ten: minus twice the logarithm of a tenth."""


@dataclass(frozen=True, slots=True)
class Repair:
    """One reading of a mistyped number.

    Attributes
    ----------
    rule
        The slip of the pen that would explain it.
    number
        What was meant, in the unit it is typed in.
    cost
        How rare that slip is; 0 for the most common.
    places
        How many figures stand behind the point in what was meant.
    """

    rule: str
    number: float
    cost: float
    places: int = 0


def plain_number(text: str) -> float | None:
    """Return the number of a text once letters that look like digits are read as such.

    Parameters
    ----------
    text
        A cell as typed.

    Returns
    -------
    float or None
        None when there is no digit in it, or something that is neither a digit nor looks like one.

    Examples
    --------
    >>> plain_number("6.O86"), plain_number("1l2,38"), plain_number("spun")
    (6.086, 112.38, None)
    """
    read = _with_digits(text)
    if not re.search(r"\d", text) or NUMBER.fullmatch(read) is None:
        return None
    return float(read)


def _with_digits(text: str) -> str:
    """Write digits for letters that look like them, and one point for whatever stands in its place."""
    typed = re.sub(r"(?<=\d) (?=\d)", ".", text.strip()).translate(LOOKALIKES)
    return re.sub(r"\.{2,}", ".", typed)


@lru_cache(maxsize=TEXTS_KEPT)
def repairs(text: str) -> tuple[Repair, ...]:
    """List every number that one slip of the pen may have turned into this text, the likeliest slip each way.

    Parameters
    ----------
    text
        As typed, the unit left away.

    Returns
    -------
    tuple of Repair
        One a number with so many figures behind the point, in no order; empty where the text is too long.
    """
    typed = _with_digits(text)
    if not 0 < len(typed) <= LONGEST:
        return ()
    best: dict[tuple[float, int], Repair] = {}
    if found := _WITH_UNIT.match(text.strip()):
        text, typed = found[1], _with_digits(found[1])
    as_read = plain_number(text)
    if as_read is not None and text.strip() != typed:
        best[as_read, _places(typed)] = Repair("letter_for_digit", as_read, 0.0, _places(typed))
    has_mark = as_read is not None and re.search(r"[,;: ]|\.\.", text.strip()) is not None
    second = SECOND_SLIP if re.search(r"[^\W\d_]|[|!]", text) else SECOND_TO_A_MARK * has_mark
    for rule, changed, one in _edits(typed):
        if NUMBER.fullmatch(changed) is None:
            continue
        number, cost, places = float(changed), one + second, _places(changed)
        known = best.get((number, places))
        if number != as_read and (known is None or cost < known.cost):
            best[number, places] = Repair(rule, number, cost, places)
    return tuple(best.values())


def _places(text: str) -> int:
    return len(text.partition(".")[2])


def _edits(typed: str) -> Iterator[tuple[str, str, float]]:
    """Yield rule, text and cost of every edit of one character."""
    if typed.startswith("-"):
        yield "minus_sign", typed[1:], 0.0
    whole = typed.replace(".", "")
    for at in range(len(whole) + 1):
        yield "missing_decimal", f"{whole[:at]}.{whole[at:]}", 3.0 if "." in typed else 0.0
    yield "missing_decimal", f"{typed}0", 6.0
    yield "missing_decimal", f"{typed}00", 7.0
    for at, letter in enumerate(typed):
        before, after = typed[:at], typed[at + 1 :]
        yield "added_digit", before + after, 0.5 if before.endswith(letter) else 4.0 + A_DIGIT
        if letter.isdigit():
            for digit in "0123456789":
                yield "wrong_digit", before + digit + after, 8.0 + A_DIGIT
        if after and letter.isdigit() and after[0].isdigit():
            yield "swapped_digits", before + after[0] + letter + after[1:], 3.0
        elif len(after) > 1 and letter.isdigit() and after[0] == ".":
            yield "swapped_digits", f"{before}{after[1]}.{letter}{after[2:]}", 6.0
    for at in range(len(typed) + ("." not in typed)):  # a digit more at the end says nothing
        for digit in "0123456789":
            yield "dropped_digit", typed[:at] + digit + typed[at:], 2.0 + A_DIGIT
