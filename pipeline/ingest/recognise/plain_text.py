"""One way of writing for every text: rules and frames off, times of day with a colon, short words in full."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.turns_in_words import turns_in_figures
from pipeline.ingest.recognise.vocabulary import PRINTED, SPOKEN, Meaning
from pipeline.ingest.spellings import AT_ABROAD, LANE_WORDS

Text = tuple[int, str]
"""Row number and line."""
LEAST_CLOCKS, LEAST_HOURS, LEAST_CODES, LEAST_ARROWS = 5, 3, 2, 2
"""So many lines begin with times of day, of so many hours, where a point stands for the colon;
so many words explained, and so many arrows in a chain of times, one being a change: ``3.5 -> 3.75``."""
LEAST_SAID = 0.5
"""How well an explanation must say what it explains."""
_RULE = re.compile(r"^[\W_]*$")
_DECORATED = re.compile(
    r"^[^\w.+-]{2,}\s*(?P<text>\w.*?)\s*[^\w.)\]\"'%°]{2,}$|^(?:[*=#~-]\s*){2,}(?P<open>\w.*)$"
)
_BANNER = re.compile(r"[-=*#~_–—]{2,}\s*[^\W\d]\D*[-=*#~_–—]{2,}")
_LEADERS = re.compile(r"(?<=[^\W\d_)'])\s*\.{2,}\s*(?=[-+]?[.,]?\d)|(?<=\d\s(?:ft|mi))\s*\.{2,}\s*(?=\d)")
"""Points that lead from a label to its number: ``60 ft .... 1.42``."""
_IN_BRACKETS = re.compile(
    r"(?i)(?:(?<=[.,]\d\d)|(?<=[.,]\d\d\d))\s*[(\[]\s*((?:[4-9]\d|\d{3})(?:[.,]\d+)?(?:\s*(?:mph|km/?[htu]))?)"
    r"\s*[)\]](?!\w)"
)
"""A speed in brackets behind its time: ``6.21 (112.4)``."""
_AT = re.compile(
    rf"(?i)(?:(?<=[.,]\d\d)|(?<=[.,]\d\d\d))(?:\s?s\w{{0,2}}\.?)?\s+(?:{AT_ABROAD})\s+"
    r"(?=(?:[4-9]\d|\d{3})(?:[.,]\d{1,2})?(?![\d.,:]\d|\d))"
)
"""The word between a time and its speed: ``6,128 a 183,7``."""
_ARROW = re.compile(r"(?<=[\d)hu])\s*(?:→|⇒|»|›|~>|[-=]{1,2}>|>)\s*(?=[-+]?\d*[.,]\d)")
"""What stands between the times of a chain."""
_A_MINUTE = re.compile(r"(?i)(?<=\d{3})\s?(?:(?:1\s?)?/\s?|p(?:er|ro)\s)min(?:ute)?\b")
"""Revolutions a minute behind a number: ``6500/min``."""
_COUNTED = re.compile(r"^\s*(\d{1,3})[.)]\s+(?=\d{1,2}[.:]\d{2}(?!\d|[.,/]))")
LEAST_COUNTED, MOSTLY_COUNTED = 4, 0.9
_SHARES = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SHARE = re.compile(rf"(?P<whole>(?<=\d)\s?)?(?P<share>[{''.join(_SHARES)}])")
_POINTED = re.compile(r"^(\W*)([01]?\d|2[0-3])\.([0-5]\d)(?=\s|$|,\s)")
_UNPARTED = re.compile(r"^(\W*)([01]\d|2[0-3])([0-5]\d)(?=\s)")
_OF_DECIMALS, _OF_DIGITS = re.compile(r"\W*\d*[.,]\d"), re.compile(r"\W*\d{3,4}(?!\S)")
_AFTER_A_WORD = re.compile(
    r"(?i)(?<!\w)(?P<word>kl|klo|klockan|ore|alle|um|om|godz|kell|ob|saat|at)\.?\s*(?P<hour>[01]?\d|2[0-3])"
    r"\.(?P<minute>[0-5]\d)(?![\d.,]\d|\d|\s?(?:psi|bar|g|gr|grams?|turns?|t|s|secs?|mph|km|lbs?|deg)\b|\s?[%\"°])"
)
"""A time of day with a point, behind a word for it."""
_OF_CLOCKS = frozenset({"kl", "klo", "klockan", "ore", "godz", "kell", "saat", "alle"})
"""Words that stand before nothing else; the others stand before times and speeds, too."""
_MEASURED = re.compile(
    r"(?i)(?:\b(?:60|330|660|1000|1320|1/[48]|sixty|eighth|quarter|thousand|ft|foot|feet|tires?|pressure|glass"
    r"|barometer|baro)|\d[.,]\d+)\W*$"
)
_CODED = re.compile(
    r"(?<![\w=])(?P<code>[^\W\d_][^\s=,.;:()]{0,7})\s*(?:=|:=|→)\s*(?P<meant>[^=.;,]{2,60}?)"
    r"(?=\s*(?:[,;.)]|$|\s[^\W\d_]\S{0,7}\s*=))"
)
_SIDE_CODED = re.compile(r"(?<!\w)(?P<code>[^\W\d_]{1,3})\s*(?:=|:|-|–)?\s*(?P<meant>[^\W\d_]{3,})")
_NUMBER_NEXT = r"\s*[:=]?\s*(?=[-+]?\d*[.,]?\d)"


def plain_text(lines: Sequence[Text], meaning: Meaning) -> list[Text]:
    """Write the lines of a text as all readers of texts expect them.

    Parameters
    ----------
    lines
        Row numbers and texts without frames, blanks at their beginning kept.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    list of tuple
        The same lines: ``11.24`` at their beginning, where it is a time of day, as
        ``11:24``; ``6,21 (178)`` as ``6,21 @ 178``; and what the text itself explains (``SB = right lane``)
        in words that are known.
    """
    bare = _with_colons(lines)
    codes = _codes(bare, meaning)
    return [(number, _in_full(one_way(text), codes)) for number, text in bare]


def frames_off(lines: Sequence[Text]) -> list[Text]:
    """Take rules, frames and the numbers that count its runs off the lines of a text."""
    return _numbers_off([(number, _undecorated(text)) for number, text in lines])


def banners(lines: Sequence[Text]) -> frozenset[int]:
    """Give the numbers of the lines of words between rules: ``--- Quarry Road ---``, not ``== run 3 ==``."""
    return frozenset(number for number, text in lines if _BANNER.fullmatch(text.strip()))


def _numbers_off(lines: list[Text]) -> list[Text]:
    """Take off the number before each time of day, where they count up from 1: ``3. 12.57pm``."""
    counted = [int(found[1]) for _, text in lines if (found := _COUNTED.match(text))]
    runs_on = sum(own in (1, before + 1) for before, own in pairwise([0, *counted]))
    if len(counted) < LEAST_COUNTED or counted[0] != 1 or runs_on < MOSTLY_COUNTED * len(counted):
        return lines
    return [(number, _COUNTED.sub("", text)) for number, text in lines]


def _undecorated(text: str) -> str:
    """Take rules and frames off a line: ``=== run 3 ===``."""
    if _RULE.match(text.strip()):
        return ""
    text = re.sub(r"\*\*|__|^\s*#{1,6}\s+", "", text)
    found = _DECORATED.match(text.strip())
    return re.sub(r"[\s*=#~_-]+$", "", found["text"] or found["open"]) if found else text


def one_way(text: str) -> str:
    """Write what stands between label and number, time and speed, time and time, in one way each.

    Examples
    --------
    >>> one_way("Drehzahl 6500/min, preload 4½ turns, 60 ft .... 1.42")
    'Drehzahl 6500 rpm, preload 4 1/2 turns, 60 ft = 1.42'
    """
    text = re.sub(r"(?<=\d)\s?º", "°", text)
    text = _SHARE.sub(lambda seen: " " * (seen["whole"] is not None) + _SHARES[seen["share"]], text)
    text = _with_clocks(turns_in_figures(_A_MINUTE.sub(" rpm", text)))
    text = _AT.sub(" @ ", _IN_BRACKETS.sub(r" @ \1", _LEADERS.sub(" = ", text)))
    return _ARROW.sub(" / ", text) if len(_ARROW.findall(text)) >= LEAST_ARROWS else text


def _with_clocks(text: str) -> str:
    """Write ``at 9.32`` as ``at 9:32``, where that is a time of day and not one of several measured ones."""
    several = len(_AFTER_A_WORD.findall(text)) > 1

    def with_colon(seen: re.Match[str]) -> str:
        is_sure = seen["word"].casefold() in _OF_CLOCKS
        if not is_sure and (several or _MEASURED.search(text[: seen.start()])):
            return seen[0]
        return f"{seen[0][: seen.start('hour') - seen.start()]}{seen['hour']}:{seen['minute']}"

    return _AFTER_A_WORD.sub(with_colon, text)


def _with_colons(lines: Sequence[Text]) -> list[Text]:
    """Write the times of day that lines begin with with a colon, where they are surely such."""
    for clock, others in ((_POINTED, _OF_DECIMALS), (_UNPARTED, _OF_DIGITS)):
        seen = [found for _, text in lines if (found := clock.match(text))]
        alike = sum(others.match(text) is not None for _, text in lines)
        hours = {found[2] for found in seen}
        if len(seen) >= max(LEAST_CLOCKS, 0.9 * alike) and len(hours) >= LEAST_HOURS:
            return [(number, clock.sub(r"\1\2:\3", text)) for number, text in lines]
    return list(lines)


# --- short words that the text explains


def _codes(lines: Sequence[Text], meaning: Meaning) -> dict[str, str]:
    """Give the short words that single lines of a text explain, with what each stands for."""
    found: dict[str, str] = {}
    for _, text in lines:
        keyed = [
            (one["code"], own) for one in _CODED.finditer(text) if (own := _meant(one["meant"], meaning))
        ]
        if len(keyed) < LEAST_CODES or re.search(r"\d[.,]\d", text):
            continue
        sides = [
            (one["code"], LANE_WORDS.get(folded(one["meant"]), "")) for one in _SIDE_CODED.finditer(text)
        ]
        found |= {code: f"{side} lane" for code, side in sides if side} | dict(keyed)
    return found


def _meant(words: str, meaning: Meaning) -> str:
    """Give what an explanation says, in words that are known; empty where it says nothing of a run."""
    words = re.sub(r"[(\[].*", "", words).strip()
    sides = {LANE_WORDS[own] for word in words.split() if len(own := folded(word)) > 2 and own in LANE_WORDS}
    if len(sides) == 1:
        return f"{sides.pop()} lane"
    name, likeness = meaning(words)
    if likeness < LEAST_SAID:
        return ""
    return PRINTED.get(name, SPOKEN.get(name, ""))


def _in_full(text: str, codes: Mapping[str, str]) -> str:
    """Write the short words of a line with numbers in full."""
    if not codes or not re.search(r"\d", text) or len(_CODED.findall(text)) >= LEAST_CODES:
        return text
    for code, words in codes.items():
        before = rf"(?<![\w.,]){re.escape(code)}(?![\w.,])"
        if words.endswith(" lane"):
            text = re.sub(before + r"(?!\s*[:=])", words, text)
        else:
            text = re.sub(before + _NUMBER_NEXT, f"{words} = ", text)
    return text
