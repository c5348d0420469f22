"""How times of day are written, for everybody who looks for one."""

from __future__ import annotations

import re

_HALF = r"[ap]\.?\s?m?\.?"
"""Morning or evening."""
OF_HOURS = r"(?:uhr|hrs?|hours?|h)\.?"
"""What may stand behind a time of 24 hours."""
WRITTEN = (
    rf"\d{{1,2}}(?:\s?h\s?|:)\d{{2}}(?::\d{{2}}(?:\.\d+)?)?(?:\s*(?:{_HALF}|{OF_HOURS}))?"
    rf"|(?:[01]\d|2[0-3])[0-5]\d\s?{OF_HOURS}|\d{{1,2}}\.[0-5]\d\s?(?:[ap]\.?\s?m\.?|uhr\b|hrs?\b)"
)
"""Surely a time of day, also among other words: ``19:42``, ``7:42 pm``, ``19 h 42``, ``1942 hrs``."""
SHORT = rf"\d{{1,2}}(?:[0-5]\d)?\s?{_HALF}"
"""One where nothing else stands: ``7p``, ``742 pm``."""
IN_TEXT = re.compile(rf"(?i)(?<![\w.:,])({WRITTEN})(?![\w:]|[.,]\d)")
AT_THE_START = re.compile(rf"(?i)^\W*({WRITTEN}|{SHORT})(?=$|[\s,;:.-])")
ALONE = re.compile(rf"(?i)^(?:{WRITTEN}|{SHORT}|noon)$")


def plain_clock(text: str) -> str:
    """Write a time of day, in small letters, without what stands behind it and around its ``h``.

    Examples
    --------
    >>> plain_clock("18 h 42"), plain_clock("1309 hrs"), plain_clock("9h41"), plain_clock("7:40 pm")
    ('18:42', '1309', '9:41', '7:40 pm')
    """
    plain = re.sub(r"(?<=\d)\s?h\s?(?=\d)", ":", text.strip())
    return re.sub(rf"(?<=\d)\s*{OF_HOURS}$", "", plain)
