"""Words cut short in the language of a sheet's other words: ``wilg. %`` on a sheet in Polish."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from pipeline.ingest.recognise.languages import ABROAD
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.tokens import tokens, without_marks

LEAST_WORDS, LONGEST, LEAST_LETTERS = 3, 40, 2
"""So many words make a sheet one in their language; so long are labels at most, words at least."""
_WORD = re.compile(r"[^\W\d_]+\.?")


def written_out(lines: Sequence[Line], meaning: Meaning) -> list[Line]:
    """Write out the labels of a sheet that say something only in the language of its other words.

    Parameters
    ----------
    lines
        Every row of it.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    list of tuple
        The same rows; no other cell changes.
    """
    texts = {text for _, cells in lines for text in cells if text and len(text) <= LONGEST}
    tongue = tongue_of(texts)
    if not tongue:
        return list(lines)
    full = {text: _in_full(text, _spellings(tongue), meaning) for text in texts}
    return [(number, [full.get(text, text) for text in cells]) for number, cells in lines]


def tongue_of(texts: Iterable[str]) -> str:
    """Name the language, as ``languages`` does, that most of some labels are in; empty where none is."""
    words = {without_marks(word) for text in texts for word in _WORD.findall(text)}
    counts = Counter({name: len(words & _spellings(name).keys()) for name in ABROAD})
    name, count = counts.most_common(1)[0]
    return name if count >= LEAST_WORDS else ""


@cache
def _spellings(language: str) -> Mapping[str, str]:
    """Give each spelling of a language with its plain word."""
    return {
        spelling: plain
        for plain, spellings in ABROAD[language].items()
        for spelling in without_marks(spellings).split()
    }


def _in_full(text: str, language: Mapping[str, str], meaning: Meaning) -> str:
    if meaning(text)[1] >= SAYS_IT or not re.search(r"[^\W\d_]{2}", text):
        return text
    full = _WORD.sub(lambda found: _whole(found[0], language), text)
    return full if full != text and meaning(full)[1] >= SAYS_IT else text


def _whole(word: str, language: Mapping[str, str]) -> str:
    """Give the one thing that a word of a language begins so, where the word by itself says nothing."""
    short = without_marks(word.rstrip("."))
    if len(short) < LEAST_LETTERS + (not word.endswith(".")) or tokens(short) != (short,):
        return word
    begun = {plain: spelling for spelling, plain in language.items() if spelling.startswith(short)}
    is_one = len(begun) == 1 or begun.keys() == {"rpm", "turns"}  # of an engine or a screw: the numbers tell
    return next(iter(begun.values())) if is_one else word
