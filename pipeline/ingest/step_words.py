"""A cell that tells how a setting was changed and not its value: ``+100``, ``down 1/2``, ``same``."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.ingest.change_words import ROMANCE, said_abroad
from pipeline.ingest.ditto import is_ditto
from pipeline.ingest.recognise.profile import TEXTS_KEPT, number_of

_ABROAD = {what: "|".join(said_abroad(what)) for what in ("same", "up", "down", "to")}
_SAME = re.compile(
    r"(?i)^\W*(?:same(?: again| as (?:before|above|last))?|n/?c|no chan?ges?|unchanged|as (?:is|was|before)"
    rf"|s/a|left (?:it|alone)|stet|stayed|{_ABROAD['same']})\W*$|^=+$"
)
_UP_WORDS = rf"up|raised?|add(?:ed)?|plus|more|increased?|higher|put in|{_ABROAD['up']}"
_DOWN_WORDS = (
    r"down|lowered?|lower|took (?:out|off)|take (?:out|off)|removed?|minus|less|decreased?|dropped|drop"
    rf"|cut|backed off|{_ABROAD['down']}"
)
_TO = rf"to|{_ABROAD['to']}"
_BY = r"by|um|de|di|med|met|cu|за|на|con|com"
_BEFORE = re.compile(
    rf"(?i)^\W*?(?:(?P<up>\+|{_UP_WORDS})|(?P<down>-|−|–|{_DOWN_WORDS}))\s*(?!(?:{_TO})\b)(?:(?:{_BY})\s+)?"
    r"(?P<number>\d.*|[.,]\d.*|[½¼¾].*)$"
)
_BEHIND = re.compile(
    r"(?i)^(?P<number>[\d.,½¼¾][^a-z]*(?:rpm|turns?|t|g|grams?|gr|psi|lbs?|clicks?)?)\s*"
    rf"(?:(?P<up>up|more|higher|added|in|{_ABROAD['up']})"
    rf"|(?P<down>down|less|lower|removed|off|out|{_ABROAD['down']}))\W*$"
)
_FRACTION = re.compile(r"^((?:\d+[\s-]+)?\d\s*/\s*\d{1,2}|\d*\s*[½¼¾])\s*([^\d\s]*)$")
_WORDS = re.compile(rf"(?i)(?:\b(?P<up>{_UP_WORDS})|\b(?P<down>{_DOWN_WORDS}))\b(?!.*\bto\b)")
_BEFORE_A_VALUE = re.compile(rf"(?i)\b(?:{_TO}|now|at|is|with|back)\W*$")
_TO_OR_AN_ARTICLE = re.compile(r"(?i)\b(?:a|la)\W*$")
"""In Romance languages a value follows; in English an article stands: ``subió a 6400``, ``down a 1/4``."""
_ROMANCE = re.compile(
    rf"(?i)\b(?:{'|'.join(word for what in ('up', 'down') for word in said_abroad(what, ROMANCE))})\b"
)


@lru_cache(maxsize=TEXTS_KEPT)
def is_same(text: str) -> bool:
    """Tell whether a cell says that nothing was changed.

    Examples
    --------
    >>> [is_same(text) for text in ("=", "same", "no change", "6200", "-")]
    [True, True, True, False, False]
    """
    return not text[:1].isdigit() and _SAME.match(text) is not None


def says_as_above(text: str) -> bool:
    """Tell whether a cell says no more than that all is as above: a ditto mark, or a word for the same."""
    return is_ditto(text) or is_same(text)


@lru_cache(maxsize=TEXTS_KEPT)
def step_of(text: str) -> tuple[float, bool] | None:
    """Return by how much a cell says a setting was changed, and whether it says so without a doubt.

    A number with nothing but a minus before it may as well be a value.

    Examples
    --------
    >>> [step_of(text) for text in ("+100", "down 1/2", "-50", "up to 6400", "same", "6200")]
    [(100.0, True), (-0.5, True), (-50.0, False), None, (0.0, True), None]
    """
    if is_same(text):
        return 0.0, True
    found = _BEFORE.match(text) or _BEHIND.match(text)
    if found is None:
        return None
    number = amount_of(re.sub(r"(?i)[\s,;]*\b(?:more|less|up|down)\b\W*$", "", found["number"]))
    if number is None:
        return None
    return (number[0], True) if found["up"] else (-number[0], found["down"] not in ("-", "−", "–"))


def amount_of(text: str) -> tuple[float, str] | None:
    """Read a number with its unit, fractions among them: ``3 1/4 turns``; None for anything else."""
    found = _FRACTION.match(text.strip())
    number = number_of(found[1]) if found else number_of(text)
    return None if number is None else (number[0], found[2].strip() if found else number[1])


def direction_in(before: str, after: str = "") -> str:
    """Return ``+`` or ``-`` where the words around a number say that something was added or taken away.

    Examples
    --------
    >>> [direction_in(*words) for words in (("Took ", " off the arms"), ("raised to ", ""), ("Up ", ""))]
    ['-', '', '+']
    >>> [direction_in(words) for words in ("Drehzahl runter um ", "subimos a ", "tog bort ", "Ned set it, ")]
    ['-', '', '-', '']
    """
    clause = re.split(r"[,;.]\s", before)[-1]
    if _BEFORE_A_VALUE.search(clause) or (_TO_OR_AN_ARTICLE.search(clause) and _ROMANCE.search(clause)):
        return ""
    if found := re.search(r"([-−–+])\s*$", clause):
        return "+" if found[1] == "+" else "-"
    if found := _WORDS.search(clause):
        return "+" if found["up"] else "-"
    if re.search(r"(?i)\b(?:took|take|taken|pulled)\b", clause):
        return "-"
    if re.search(r"(?i)\bput\b", clause) and re.match(r"(?i)[^,;.]*\b(?:on|in|more)\b", after):
        return "+"
    return ""
