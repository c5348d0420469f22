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
