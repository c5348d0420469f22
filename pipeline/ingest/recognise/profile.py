"""What stands in a column: numbers with their units, dates, times of day, words, ticks."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pipeline.ingest.clocks import ALONE
from pipeline.ingest.month_names import month_in_date, plain_month
from pipeline.ingest.values import is_nothing
from pipeline.ingest.weekdays import weekday_of

NUMBER = re.compile(r"^[~<>≈]?\s*([+\-−]?(?:\d{1,3}(?:[ ']\d{3})+|\d+)?(?:[.,·]\d+)?)\s*([^\d\s.,][^\d]*)?$")
_FRACTION = re.compile(r"^(\d+)?[\s-]*(\d)\s*/\s*([248]|16)$|^(\d+)\s*([½¼¾])$")
_DATE = re.compile(
    r"^(?!1899-|1900-)(?:[^\W\d_]{2,13}(?:-feira)?\.?,?\s+)?(?:\d{4}(?:\.\s?|[-/])\d{1,2}(?:\.\s?|[-/])\d{1,2}\.?"
    r"|\d{1,2}(?:\.\s?|[-/])\d{1,2}(?:\.\s?|[-/])(?:\d{4}|\d{2})"
    r"|(?:[1-9]|0[1-9]|[12]\d|3[01])[/-](?:[1-9]|0[1-9]|[12]\d|3[01])|\d{1,2}\.\d{1,2}\."
    r"|[^\W\d_]{3,10}\.?[\s-]+\d{1,2}(?:st|nd|rd|th)?\.?(?:[\s,-]+'?(?:\d{4}|\d{2}))?"
    r"|\d{1,2}(?:st|nd|rd|th)?[\s.-]*(?:de\s+)?[^\W\d_]{3,10}\.?(?:[\s,-]+(?:de\s+)?'?(?:\d{4}|\d{2}))?)"
    r"(?:[T ,]+\d{1,2}[:.h]\d{2}.*)?$",
    re.IGNORECASE,
)
_CLOCK_OF_A_WORKBOOK = re.compile(r"^(?:1899-12-3[01]|1900-01-0\d)[ T]\d{2}:\d{2}:\d{2}")
_DOTTED_CLOCK = re.compile(r"^(?:[01]?\d|2[0-3])[. -][0-5]\d$")
_BARE_CLOCK = re.compile(r"^(?:0[5-9]|1\d|2[0-3])[0-5]\d$")
_TICK = re.compile(r"^(?:x|xx|✓|✔|√|•|\*|y|yes|ja|si|sí|1|true)$", re.IGNORECASE)
_LINKING = frozenset({"the", "and", "feira"})
_SEVERAL = re.compile(r"^\d+(?:[.,]\d+)?(?:[\s/;|]+\d+(?:[.,]\d+)?){2,}$")
MOSTLY = 0.9
TEXTS_KEPT = 16384
"""Texts whose looks are remembered; the cells of a logbook repeat each other."""
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75}


@dataclass(frozen=True, slots=True)
class Profile:
    """A sample of one column, looked at.

    Attributes
    ----------
    filled
        Cells of the sample in which something stands, nothing-words left out.
    total
        Rows of the sample.
    numbers
        What reads as a finite number, as typed.
    written
        Cells that are not empty, whatever they say.
    units
        Unit texts behind numbers and how often.
    dates, clocks, dotted_clocks, bare_clocks, ticks, several
        How many cells look so.
    words
        Distinct texts and how often.
    whole_share
        Share of the numbers that are whole.
    """

    filled: int
    total: int
    written: int
    numbers: np.ndarray
    units: Counter[str]
    dates: int
    clocks: int
    dotted_clocks: int
    bare_clocks: int
    ticks: int
    several: int
    words: Counter[str]
    whole_share: float

    @property
    def is_ticks(self) -> bool:
        """Tell whether nothing but marks such as ``x`` stands here, and blanks among them."""
        return 0 < self.ticks == self.written

    def share(self, count: int) -> float:
        """Give a count as a share of the filled cells."""
        return count / self.filled if self.filled else 0.0

    @property
    def middle(self) -> float:
        """Median of the numbers; NaN without any."""
        return float(np.median(self.numbers)) if self.numbers.size else float("nan")

    @property
    def number_share(self) -> float:
        """Share of the filled cells that are numbers."""
        return self.share(int(self.numbers.size))


def share_of(marks: NDArray[np.bool_]) -> float:
    """Give the share of marks that hold; as ``mean``, and quick for a few."""
    return int(np.count_nonzero(marks)) / marks.size


@lru_cache(maxsize=TEXTS_KEPT)
def number_of(text: str) -> tuple[float, str] | None:
    """Read a number and the unit text behind it; None when the text is something else.

    Examples
    --------
    >>> number_of("1,482"), number_of("10.0 lb"), number_of("3 1/2"), number_of(".052"), number_of("n/a")
    ((1.482, ''), (10.0, 'lb'), (3.5, ''), (0.052, ''), None)
    """
    text = text.strip()
    if found := _FRACTION.match(text):
        whole = float(found[1] or found[4] or 0)
        return whole + (_PARTS[found[5]] if found[5] else float(found[2]) / float(found[3])), ""
    found = NUMBER.match(text)
    if found is None or not any(letter.isdigit() for letter in found[1]):
        return None
    digits = found[1].replace(" ", "").replace("'", "").replace("−", "-").replace(",", ".").replace("·", ".")
    return float(digits), (found[2] or "").strip()


@lru_cache(maxsize=TEXTS_KEPT)
def is_date(text: str) -> bool:
    """Tell whether a text looks like a date, with or without its year; its words are a month and a weekday.

    Examples
    --------
    >>> [is_date(text) for text in ("Sat May 3", "3.5.2031", "10 psi", "12.6", "2031-05-03 14:00")]
    [True, True, False, False, True]
    """
    text = plain_month(text)
    if _DATE.match(text) is None:
        return False
    words = re.findall(r"[^\W\d_]{3,}", text.casefold())
    is_known = (month_in_date(word) or word[:3] in _LINKING or weekday_of(word) is not None for word in words)
    return all(is_known) and (
        not words or "/" in text or "-" in text or any(month_in_date(word) for word in words)
    )


_MONTH, _DAY_NUMBER = r"(?P<m>0[1-9]|1[0-2])", r"(?P<d>0[1-9]|[12]\d|3[01])"
_PACKED = tuple(
    re.compile(order)
    for order in (
        rf"(?P<y>\d{{2}}){_MONTH}{_DAY_NUMBER}",
        rf"{_DAY_NUMBER}{_MONTH}(?P<y>\d{{2}})",
        rf"{_MONTH}{_DAY_NUMBER}(?P<y>\d{{2}})",
    )
)
"""Six figures of a date in the orders people write them, the likeliest first."""


def is_short_packed(text: str) -> bool:
    """Tell whether six figures are a date, such as ``310503`` or ``051631``."""
    return any(order.fullmatch(text) for order in _PACKED)


def unpacked(texts: Sequence[str]) -> dict[str, str]:
    """Write dates of six figures out in the one order that reads nearly all of them; empty when none does.

    Of several orders the one with the fewest years is taken, then year, month and day.

    Examples
    --------
    >>> unpacked(["310503", "310517"]), unpacked(["051631", "052331"])
    ({'310503': '2031-05-03', '310517': '2031-05-17'}, {'051631': '2031-05-16', '052331': '2031-05-23'})
    """
    texts = sorted(set(texts))
    best: dict[str, str] = {}
    years = len(texts) + 1
    for order in _PACKED:
        found = {text: seen for text in texts if (seen := order.fullmatch(text))}
        if len(found) >= MOSTLY * len(texts) and len(own := {seen["y"] for seen in found.values()}) < years:
            best = {text: f"20{seen['y']}-{seen['m']}-{seen['d']}" for text, seen in found.items()}
            years = len(own)
    return best


def profile(cells: Sequence[str]) -> Profile:
    """Look at the cells of one column.

    Parameters
    ----------
    cells
        Texts of a sample of rows; empty where nothing stands.
    """
    texts = [text.strip() for text in cells]
    filled = [text for text in texts if not is_nothing(text)]
    seen = [looks(text) for text in filled]
    numbers = [each.number[0] for each in seen if each.number and math.isfinite(each.number[0])]
    units = Counter(each.number[1] for each in seen if each.number and each.number[1])
    return Profile(
        len(filled), len(texts), sum(map(bool, texts)), np.array(numbers), units,
        sum(each.is_date for each in seen), sum(each.is_clock for each in seen),
        sum(each.is_dotted_clock for each in seen), sum(each.is_bare_clock for each in seen),
        sum(_TICK.match(text) is not None for text in texts), sum(each.is_several for each in seen),
        Counter(filled), sum(map(float.is_integer, numbers)) / len(numbers) if numbers else 0.0,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Looks:
    """What one text, stripped, looks like."""

    number: tuple[float, str] | None
    is_date: bool
    is_clock: bool
    is_dotted_clock: bool
    is_bare_clock: bool
    is_several: bool


@lru_cache(maxsize=TEXTS_KEPT)
def looks(text: str) -> Looks:
    """Look at one text, stripped."""
    return Looks(
        number_of(text),
        is_date(text),
        ALONE.match(text) is not None or _CLOCK_OF_A_WORKBOOK.match(text) is not None,
        _DOTTED_CLOCK.match(text) is not None,
        _BARE_CLOCK.match(text) is not None,
        _SEVERAL.match(text) is not None,
    )
