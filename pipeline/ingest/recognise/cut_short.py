"""Words cut short, or of two meanings, in the language of a sheet's other words: ``wilg. %`` in Polish."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from pipeline.garage.spelling import without_marks
from pipeline.ingest.recognise.languages import ABROAD, ONLY_THERE
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.tokens import FILLERS, WORDS, is_only_abroad, tokens

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
    full = {text: _in_full(_in_plain(text, tongue, meaning), _spellings(tongue), meaning) for text in texts}
    return [(number, [full.get(text, text) for text in cells]) for number, cells in lines]


def tongue_of(texts: Iterable[str]) -> str:
    """Name the language, as ``languages`` does, that most of some labels are in; empty where none is.

    A word counts the more the fewer languages have it.
    """
    words = {without_marks(word).rstrip(".") for text in texts for word in _WORD.findall(text)}
    own = {name: words & _spellings(name).keys() for name in ABROAD}
    times = Counter(word for found in own.values() for word in found)
    worth = {
        name: sum(1 / times[word] for word in found)
        for name, found in own.items()
        if len(found) >= LEAST_WORDS
    }
    return max(worth, key=worth.__getitem__, default="")


@cache
def _spellings(language: str) -> Mapping[str, str]:
    """Give each spelling of a language with its plain word."""
    return {
        spelling: plain
        for plain, spellings in ABROAD[language].items()
        for spelling in without_marks(spellings).split()
    }


@cache
def _only_there(language: str) -> Mapping[str, str]:
    """Give each word that means something in this language only, with its plain word."""
    return {word: plain for plain, words in ONLY_THERE.get(language, {}).items() for word in words.split()}


def _in_plain(text: str, language: str, meaning: Meaning) -> str:
    """Write a label plainly whose words mean something else elsewhere, if all its words are known."""
    own = {} if number_of(text) else _only_there(language)  # a number of thousands stands: ``5,8 mil``
    plain = _WORD.sub(lambda found: own.get(without_marks(found[0].rstrip(".")), found[0]), text)
    known = all(word in WORDS or word in FILLERS or not word.isalpha() for word in tokens(plain))
    return plain if plain != text and known and meaning(plain)[1] >= SAYS_IT else text


def _in_full(text: str, language: Mapping[str, str], meaning: Meaning) -> str:
    if not re.search(r"[^\W\d_]{2}", text):
        return text
    words = {without_marks(word.rstrip(".")) for word in _WORD.findall(text)}
    if meaning(text)[1] >= SAYS_IT and not any(map(is_only_abroad, words - language.keys())):
        return text
    full = _WORD.sub(lambda found: _whole(found[0], language), text)
    return full if full != text and meaning(full)[1] >= SAYS_IT else text


def _whole(word: str, language: Mapping[str, str]) -> str:
    """Give the one thing that a word of a language begins so, where the word says nothing else in it."""
    short = without_marks(word.rstrip("."))
    is_said = tokens(short) != (short,) and (short in language or not is_only_abroad(short))
    if len(short) < LEAST_LETTERS + (not word.endswith(".")) or is_said:
        return word
    begun = {plain: spelling for spelling, plain in language.items() if spelling.startswith(short)}
    is_one = len(begun) == 1 or begun.keys() == {"rpm", "turns"}  # of an engine or a screw: the numbers tell
    return next(iter(begun.values())) if is_one else word
