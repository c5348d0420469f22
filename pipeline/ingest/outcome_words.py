"""Beginnings of words for how a run went, in other tongues than English."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache

from pipeline.garage.spelling import without_marks
from pipeline.ingest.other_racer import is_of_another
from pipeline.ingest.outcomes_elsewhere import ELSEWHERE
from pipeline.ingest.outcomes_west import WEST

_NAMES = ("missed shift", "broke", "lifted", "aborted", "bogged", "spun", "red light", "clean")
"""In the order in which they are looked for: what spoils a run before what tells of its launch."""
LEAST_BARE = 6
"""Letters that a beginning has at least if it counts without the marks on them."""
_SPOKEN = (*WEST.values(), *ELSEWHERE.values())
_BEGINNINGS: Mapping[str, tuple[str, ...]] = {
    name: tuple(word for words in _SPOKEN for word in words.get(name, "").split(" | ") if word)
    for name in _NAMES
}


@cache
def _ways(name: str) -> frozenset[str]:
    """Give what words that say so begin with: as they are, in small letters, long ones also without marks."""
    words = _BEGINNINGS[name]
    bare = {way for word in words if len(way := without_marks(word)) >= LEAST_BARE}
    return frozenset((*words, *map(str.casefold, words), *bare))


def _patterns(ways: Iterable[str]) -> str:
    """Give one pattern for several ways; one that ends with a full stop stands whole."""
    return "|".join(re.escape(way.rstrip(".")) + r"\b" * way.endswith(".") for way in sorted(ways))


_GOOD = (
    "ripper beauty mint bonza corker beaut net nette ras bra bien bom boa bene hyvä bon bonne belle fin "
    "ren rent reen buena bueno buona buono nickel fint bine hea iyi "
    "dobro redu καλό καλή καλα хорошо норма gott jó jól rett nett poa safi vizuri ممتاز نظيف جيد ดี"
)
_RED = "rot rood röd rött rød rødt rouge rosso roja rojo verm kırmızı"
_ALONE: Mapping[str, str] = dict.fromkeys([*_GOOD.split(), *"○◎◯✓✔√👍良可優+"], "clean") | dict.fromkeys(
    _RED.split(), "red light"
)
"""Whole entries, and how it went."""
_WITHOUT_BLANKS = r"(?<=[\d\u3040-\u30ff\u4e00-\u9fff])(?=[\u3040-\u30ff\u4e00-\u9fff])"
"""Between signs of tongues that put no blank between words a word may begin anywhere."""


@cache
def _stems() -> Mapping[str, Sequence[tuple[str, str, str]]]:
    """Give by the two signs it begins with how a run went, what stands in any cell that says so, the way."""
    found: dict[str, list[tuple[str, str, str]]] = defaultdict(list)
    for name in _NAMES:
        for way in _ways(name):
            stem = way.rstrip(".")
            found[stem[:2]].append((name, stem, way))
    return found


def _ways_in(spoken: str) -> dict[str, list[str]]:
    """Give the ways that stand in a text, of two thousand, by how it went; few texts have one."""
    found: dict[str, list[str]] = defaultdict(list)
    stems = _stems()
    beginnings = {spoken[at : at + length] for at in range(len(spoken)) for length in (1, 2)}
    for beginning in beginnings & stems.keys():
        for name, stem, way in stems[beginning]:
            if stem in spoken:
                found[name].append(way)
    return found


@cache
def _spoiled() -> frozenset[str]:
    """Give all ways to say that a run went wrong; notes say nothing of a clean run."""
    return frozenset(way for name in _NAMES if name != "clean" for way in _ways(name))


def other_tongues(notes: Iterable[str] | None = None) -> str | None:
    """Give the same for DuckDB, of which the letters before are none.

    Parameters
    ----------
    notes
        Notes in small letters, for a pattern of no more than what stands in them: one of all two thousand
        ways takes DuckDB longer to make than to find. None where the notes are too many to look at.

    Returns
    -------
    str or None
        None when none of the ways stands in the notes.
    """
    ways = _spoiled()
    if notes is not None:
        text = "\n".join(notes)
        ways = frozenset(way for way in ways if way.rstrip(".") in text)
    return rf"(?:^|[^\p{{L}}])(?:{_patterns(ways)})" if ways else None


@lru_cache(maxsize=4096)
def in_other_tongues(spoken: str) -> str | None:
    """Find how a run went in words in small letters that are not English; None when nothing is said.

    Examples
    --------
    >>> in_other_tongues("nie wszedł 3 bieg"), in_other_tongues("途中で中止"), in_other_tongues("good")
    ('missed shift', 'aborted', None)
    """
    ways = _ways_in(spoken)
    for name in filter(ways.__contains__, _NAMES):
        said = re.finditer(rf"(?:\b|{_WITHOUT_BLANKS})(?:{_patterns(ways[name])})", spoken)
        if any(not is_of_another(spoken, *found.span(), name) for found in said):
            return name
    first = re.split(r"[,;(]|\s[-–—]", spoken)[0]
    return _ALONE.get(first.strip(" .!"))
