"""How times of day are written, for everybody who looks for one."""

from __future__ import annotations

import re

_HALVES = (
    ("am", r"π\.?\s?μ\.?|ص|fm\b|f\.\s?m\.|vm\b|v\.\s?m\.|öö|(?:de la |da )?ma(?:ñana|nhã)|vorm\.?"),
    (
        "pm",
        r"μ\.?\s?μ\.?|م|em\b|e\.\s?m\.|nm\b|n\.\s?m\.|ös|(?:de la |da )?(?:tarde|no(?:che|ite))|nachm\.?",
    ),
)
"""Morning and evening in other tongues, behind a time of day."""
_HALVES_BEFORE = (("am", "午前|오전|上午|早上"), ("pm", "午後|오후|下午|晚上|傍晚"))
_HALF = rf"(?:[ap]\.?\s?m?\.?|{'|'.join(words for _, words in _HALVES)})"
"""Morning or evening."""
OF_HOURS = r"(?:uhr|hrs?|hours?|h)\.?"
"""What may stand behind a time of 24 hours."""
WRITTEN = (
    rf"(?:(?:{'|'.join(words for _, words in _HALVES_BEFORE)})\s?)?"
    rf"\d{{1,2}}(?:\s?h\s?|u|:|時|点|시\s?)\d{{2}}[分분]?(?::\d{{2}}(?:\.\d+)?)?(?:\s*(?:{_HALF}|{OF_HOURS}))?"
    rf"|(?:[01]\d|2[0-3])[0-5]\d\s?{OF_HOURS}|\d{{1,2}}\.[0-5]\d\s?(?:[ap]\.?\s?m\.?|uhr\b|hrs?\b)"
)
"""Surely a time of day, also among other words: ``19:42``, ``7:42 pm``, ``19 h 42``, ``1942 hrs``."""
SHORT = rf"\d{{1,2}}(?:[0-5]\d)?\s?{_HALF}"
"""One where nothing else stands: ``7p``, ``742 pm``."""
IN_TEXT = re.compile(rf"(?i)(?<![\w.:,])({WRITTEN})(?!\w|:\d|[.,]\d)")
AT_THE_START = re.compile(rf"(?i)^\W*({WRITTEN}|{SHORT})(?=$|[\s,;:.-])")
BEFORE = r"(?:at|@|ore|alle|a las|h|kl|klo|um|ob|om|à|as|às|godz|saat)\.?\s*"
"""What may stand before one: ``ore 10:19``, ``kl. 9.48``."""
ALONE = re.compile(rf"(?i)^(?:{BEFORE})?(?:{WRITTEN}|{SHORT}|noon)$")


def plain_clock(text: str) -> str:
    """Write a time of day, in small letters, without what stands behind it and around its ``h``.

    Examples
    --------
    >>> plain_clock("18 h 42"), plain_clock("1309 hrs"), plain_clock("9h41"), plain_clock("7:40 pm")
    ('18:42', '1309', '9:41', '7:40 pm')
    >>> [plain_clock(text) for text in ("5:47 م", "10:12 π.μ.", "午後3時05分", "2:06 de la tarde")]
    ['5:47 pm', '10:12 am', '3:05 pm', '2:06 pm']
    """
    plain = re.sub(rf"^{BEFORE}(?=\d)", "", text.strip())
    if not plain.isascii() or _SOME_HALF.search(plain):
        plain = _in_english(plain)
    plain = re.sub(r"(?<=\d)(?:\s?h\s?|u)(?=\d)", ":", plain)
    return re.sub(rf"(?<=\d)\s*{OF_HOURS}$", "", plain)


_SOME_HALF = re.compile(rf"(?<=\d)\s*(?:{'|'.join(words for _, words in _HALVES)})$")


def _in_english(text: str) -> str:
    """Write morning and evening behind the time as English does, and signs for hour and minute as a colon."""
    text = re.sub(r"(?<=\d)(?:時|点|시)\s?(?=\d)", ":", text)
    text = re.sub(r"(?<=\d)[分분]$", "", text)
    for half, words in _HALVES_BEFORE:
        text = re.sub(rf"^(?:{words})\s?(.*)$", rf"\1 {half}", text)
    for half, words in _HALVES:
        text = re.sub(rf"(?<=\d)\s*(?:{words})$", f" {half}", text)
    return text
