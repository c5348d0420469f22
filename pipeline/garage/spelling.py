"""One way to compare what people type: names, headings and words."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache


@lru_cache(maxsize=16384)
def folded(text: str) -> str:
    """Return a text without case, spaces and punctuation; a percent sign is spelled out.

    Examples
    --------
    >>> folded("Rel. Humidity (%)"), folded("1/8 mile") == folded("18 mile")
    ('relhumiditypct', True)
    """
    return re.sub(r"[\W_]+", "", text.casefold().replace("%", "pct").replace("ı", "i"))


_LETTERS = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "æ": "ae", "œ": "oe", "ı": "i", "ß": "ss", "þ": "th", "ð": "d"}
)


@lru_cache(maxsize=16384)
def without_marks(text: str) -> str:
    """Take the marks off letters, and case.

    Examples
    --------
    >>> without_marks("Août"), without_marks("Þriðja")
    ('aout', 'thridja')
    """
    letters = (one for one in unicodedata.normalize("NFKD", text) if unicodedata.category(one) != "Mn")
    return "".join(letters).casefold().translate(_LETTERS)


KINDS_OF_STRIP = r"drag\s?(?:way|strip)|race\s?(?:way|park)|speed\s?way|motor\s?plex|motorsports?|park|strip"
_BEHIND = rf"\s+(?:{KINDS_OF_STRIP})"
KIND_BEHIND = re.compile(rf"(?i)^(?:{_BEHIND}\b)+")
"""What a strip is, right behind its name."""
_KIND_OF_STRIP = re.compile(rf"(?i){_BEHIND}$")


def short_name(strip: str) -> str:
    """Return what people call a strip: its name without the words for what it is.

    Examples
    --------
    >>> short_name("Burnt Hill Raceway Park"), short_name("Dragway")
    ('Burnt Hill', 'Dragway')
    """
    shorter = _KIND_OF_STRIP.sub("", strip)
    return strip if shorter == strip else short_name(shorter)
