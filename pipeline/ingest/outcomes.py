"""How a run went, in the words of whoever wrote it."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.garage.dictionary import OUTCOMES
from pipeline.ingest.other_racer import is_of_another
from pipeline.ingest.outcome_words import in_other_tongues
from pipeline.ingest.values import is_nothing

_GEAR = r"(gears?|shift|2nd|second|3rd|third|4th|fourth|hi(gh)?|\d\s*-\s*\d)"
_TIRES = r"(the |both |my |them )?(tires?|tyres?|slicks?|hides|meats)"
_OUTCOME_PHRASES: tuple[tuple[str, str], ...] = (
    (
        "missed shift",
        rf"(miss(ed)?|hung|lost|blew|flubbed|botched)\s*(a\s|the\s|my\s)?\s*{_GEAR}\b|\bno\s+{_GEAR}\b"
        rf"|(couldn'?t|could not|didn'?t|did not) (get|find) {_GEAR}|\b(grabbed|found|hit|got) neutral"
        r"|fall\w+ (el cambio|la (segunda|tercera|cuarta))",
    ),
    ("spun", rf"(broke|knocked|shook)\s+{_TIRES}\s+(loose|off)|broke (loose|traction)|lost (traction|grip)"),
    (
        "broke",
        r"\bbroke(n)?\b(?!\s+(out|in|into|even|\d|(the|a|my|our|his|her)\s+(\w+\s+){0,2}(beams?|record|index)))"
        r"|\bbreakages?|let go\b(?! early)|\bparts failure|\bsnapped\b|\bgrenaded"
        r"|\bblew (up|(the|a|an) (motor|engine|trans\w*|clutch|rear\w*|head gasket|axle))"
        r"|\bbusted\b|\bfailure\b",
    ),
    (
        "lifted",
        r"(click\w*|rolled|got (out|off)|out|(?<!shut )(?<!it )off)\b"
        r"[^,.;]*\b(early|short|before the (stripes?|end|line))"
        r"|\bout of (the gas|it)\b|\boff the (gas|throttle|pedal)|chopped (it|the throttle)",
    ),
    (
        "aborted",
        r"\babort|shut (it |her )?(off|down)|\bclicked (it|her) off\b|did(n'?t| not) finish|\bdnf\b"
        r"|\bgave (it )?up\b",
    ),
    ("lifted", r"\blift(ed|s)?\b|\bcoast(ed)?\b|\bpedal+(ed)?\b|let off|let up|backed (out of it|off)"),
    (
        "bogged",
        r"\bbog(ged|s)?\b|(fell|flat) on its (face|nose)|pulled (it |way )?down|\blazy off the line"
        r"|\blaid down"
        r"|nosed? over|\bfell flat|\bdied off the line|\blugged|\bstumbled",
    ),
    (
        "spun",
        r"\bsp[ui]n(s|ning|ned)?\b|\bspan (up|the|its|both)\b|\bwheel\s*-?\s*spin\b|\bloose\b|\bhaze[ds]?\b"
        rf"|(blew|smoked|fried|roasted|boiled|burned|lit)( up| off)? {_TIRES}"
        r"|(didn'?t|did not|wouldn'?t|would not|no) (hook|grip|bite|traction)\w*|up in smoke",
    ),
    (
        "red light",
        r"\bred\s*-?(light|lit|bulb)?\b|\bfoul(ed)?\b|jumped the (tree|light|start)|\bcherry\b"
        r"|\bfalse start|\b(left|went) (a (bit|touch) |too )?(early|soon)\b",
    ),
    (
        "clean",
        r"\bclean|\bgood\b|\bok(ay)?\b|\bfine\b|\bstraight\b|\bnormal\b|\bno (drama|issues|problems?)\b"
        r"|\bnice\b"
        r"|\bperfect"
        r"|\bsolid\b|\ba to b\b"
        r"|^(grand|sound|stable|sweet|mint|yep|yup|yes|beaut\w*|ripper|bonzer|cracker|cracking|lovely|decent)$"
        r"|satisfactory|as planned|all good|\btidy\b|\bhook(ed|s)?\b|\bsmooth\b|on rails|spot[- ]on"
        r"|text\s?book|\bplanted\b"
        r"|(\bno|without) incident|^i\.?\s?o\.?$",
    ),
)  # fmt: skip
_TEXTS_KEPT = 4096
"""Texts whose outcome is remembered: the same few are asked about again and again."""
_PATTERNS = tuple((name, re.compile(pattern)) for name, pattern in _OUTCOME_PHRASES)
_NEGATED = re.compile(r"\b(no|not|without|never|didn'?t|did not|almost|nearly)\s+(a\s+|any\s+)?$")


def read_outcome(outcome: str | None, notes: str | None) -> str | None:
    """Find how a run went from its outcome cell, else from its notes.

    Returns
    -------
    str or None
        One of ``dictionary.OUTCOMES``; None when nothing is said.

    Examples
    --------
    >>> read_outcome(None, "Missed 2nd gear, good light")
    'missed shift'
    """
    return _told(outcome or "", with_clean=True) or _told(notes or "", with_clean=False)


@lru_cache(maxsize=_TEXTS_KEPT)
def _told(text: str, *, with_clean: bool) -> str | None:
    """Find how a run went in one text; a note that says something was good or clean need not mean the run."""
    if is_nothing(text):
        return None
    spoken = text.strip().casefold().replace("_", " ")
    if spoken in OUTCOMES:
        return spoken
    for name, pattern in _PATTERNS:
        if name == "clean" and not with_clean:
            continue
        said = (found.span() for found in pattern.finditer(spoken))
        if any(
            not _NEGATED.search(spoken[:at]) and not is_of_another(spoken, at, to, name) for at, to in said
        ):
            return name
    other = in_other_tongues(spoken)
    return other if with_clean or other != "clean" else None


_LAST_GOOD = re.compile(
    r"(?:at|after|past|by|from|before|around|near)\s+(?:the\s+|about\s+)?"
    r"(60|330|660|1000|1/8|eighth|half[- ]?track)"
)
_SPLIT_FT = {"60": 60, "330": 330, "660": 660, "1000": 1000, "1/8": 660, "eighth": 660}


def read_last_good_ft(notes: str | None) -> int | None:
    """Find after which split a run was spoiled, if the notes name one, in ft."""
    found = _LAST_GOOD.search((notes or "").casefold())
    if found is None:
        return None
    return _SPLIT_FT.get(found[1], 660)
