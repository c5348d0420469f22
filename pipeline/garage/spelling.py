"""One way to compare what people type: names, headings and words."""

from __future__ import annotations

import re
from functools import lru_cache


@lru_cache(maxsize=16384)
def folded(text: str) -> str:
    """Return a text without case, spaces and punctuation; a percent sign is spelled out.

    Examples
    --------
    >>> folded("Rel. Humidity (%)"), folded("1/8 mile") == folded("18 mile")
    ('relhumiditypct', True)
    """
    return re.sub(r"[\W_]+", "", text.casefold().replace("%", "pct"))


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
