"""Lines of letters and numbers by a key at their head: ``1031 S r.167 a1.422 c6.018/113.6 599``."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from pipeline.garage.spelling import folded
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.scales import factor_shown, scale_in, scaled
from pipeline.ingest.recognise.units import named_unit
from pipeline.ingest.recognise.vocabulary import PRINTED, SAYS_IT, SPOKEN, UNITS, Meaning
from pipeline.ingest.spellings import LANE_WORDS

Text = tuple[int, str]
"""Row number and line."""
LEAST_TAGS, LEAST_LINES, LEAST_CODES, MOST_WORDS = 4, 5, 3, 4
"""So many letters with a number each make a line of them, and so many such lines are a habit;
so many outcomes are a key to them; an explanation is read so many words far."""
_TAGGED = re.compile(
    r"(?<!\S)(?P<tag>[^\W\d_]{1,2})(?P<value>[-+−]?[.,]?\d[\d.,]*)(?:/(?P<speed>\d[\d.,]*))?(?!\S)"
)
_CODES = re.compile(
    r"(?<!\S)(?P<code>[A-Z\d]{1,4})\s+(?P<meant>[^\W\d_]+(?: [^\W\d_]+){0,2}?)(?=\s{2,}|[,;]|$)"
)
_SIDE = re.compile(r"(?<![^\W_])(?P<code>[^\W\d_])\s?\((?P<meant>[^()]+)\)")
_SIDES = re.compile(r"(?<!\w)(?P<codes>[^\W\d_]/[^\W\d_])\s*=\s*(?P<meant>[^\W\d_]+/[^\W\d_]+)")
_LIST = re.compile(
    r"(?<!\S)(?P<code>[^\W\d_]{1,4})\s*(?:=|:)\s*(?:[^:,=]*:)?\s*(?P<names>[^:.]*?,.*?)(?=\.(?:\s|$)|\s{2,}|;|$)"
)


@dataclass(frozen=True, slots=True)
class _Tag:
    """What a letter before a number stands for, its unit, and by what the number is multiplied."""

    words: str
    unit: str = ""
    factor: float = 1.0


@dataclass(slots=True)
class _Key:
    """What the head of a text explains.

    Attributes
    ----------
    tags
        Letter before a number -> its words.
    words
        Code that stands alone -> lane or outcome.
    lists
        Code at the beginning of a line -> names of the bare numbers behind it.
    """

    tags: dict[str, _Tag] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    lists: dict[str, list[str]] = field(default_factory=dict)


def tags_in_words(lines: Sequence[Text], meaning: Meaning) -> list[Text]:
    """Write lines of letters and numbers in the words of the key above them.

    Parameters
    ----------
    lines
        Row numbers and texts.
    meaning
        The likeliest meaning of a label.

    Returns
    -------
    list of tuple
        The same lines, those of the key blank; all as they were where no such key explains them.
    """
    tagged = [len(_TAGGED.findall(text)) >= LEAST_TAGS for _, text in lines]
    if sum(tagged) < LEAST_LINES:
        return list(lines)
    first = tagged.index(True)
    used = Counter(found["tag"] for _, text in lines for found in _TAGGED.finditer(text))
    key = _key([text for _, text in lines[:first]], used, meaning)
    if len(key.tags) < LEAST_TAGS:
        return list(lines)
    explains = [_explains(text, key) for _, text in lines[:first]]
    head = [
        (number, "" if own else _in_words(text, key))
        for (number, text), own in zip(lines, explains, strict=False)
    ]
    return head + [(number, _in_words(text, key)) for number, text in lines[first:]]


def _explains(text: str, key: _Key) -> bool:
    """Tell whether a line of the head speaks of codes, so that nothing else is to be read from it."""
    words = re.findall(r"[^\W_]+", text)
    known = {*key.tags, *key.words, *key.lists}
    return len(known.intersection(words)) >= 2 or _LIST.search(text) is not None


def _key(head: Sequence[str], used: Mapping[str, int], meaning: Meaning) -> _Key:
    key = _Key()
    by_line = [_tags_of(text, used, meaning) for text in head]
    for tags in sorted(by_line, key=len, reverse=True):  # a letter may be a word elsewhere: "grams a lever"
        for code, own in tags.items():
            if own.words not in {each.words for each in key.tags.values()}:
                key.tags.setdefault(code, own)
    for text in head:
        outcomes = {
            found["code"]: found["meant"]
            for found in _CODES.finditer(text)
            if read_outcome(found["meant"], None) is not None
        }
        key.words |= outcomes if len(outcomes) >= LEAST_CODES else {}
        key.words |= _sides(text)
        if (listed := _LIST.search(text)) is not None:
            names = [name.strip(" .") for name in listed["names"].split(",")]
            bare = [name for name in names if not re.match(rf"(?:{'|'.join(used)})\s*=", name)]
            key.lists[listed["code"]] = [_without_tag(name, used) for name in bare]
    return key


def _without_tag(name: str, used: Mapping[str, int]) -> str:
    return re.sub(rf"^(?:{'|'.join(map(re.escape, used))})\s+", "", name)


def _tags_of(text: str, used: Mapping[str, int], meaning: Meaning) -> dict[str, _Tag]:
    """Give the letters that a line explains: ``A 60 fot   B 330 fot   alle tusendels s``."""
    marks = "|".join(map(re.escape, used))
    parts = list(re.finditer(rf"(?<![^\W_])(?P<code>{marks})(?![^\W_])\s*[=:]?\s*(?=\S)", text))
    ends = [*(part.start() for part in parts[1:]), len(text)][: len(parts)]
    last = re.split(r"\s{2,}", text.strip())[-1]
    found: dict[str, _Tag] = {}
    for part, end in zip(parts, ends, strict=True):
        meant = text[part.end() : end].strip()
        name, words = _said(meant, meaning)
        if words and part["code"] not in found:
            own = re.sub(r"\s*\(.*", "", meant)
            unit = named_unit(own, UNITS.get(name, "")) or named_unit(last, UNITS.get(name, ""))
            factor = factor_shown(text, part["code"]) or scale_in(own)
            found[part["code"]] = _Tag(words, f" {unit[0]}" if unit else "", factor)
    if len(found) > 1 and all(own.factor == 1.0 for own in list(found.values())[:-1]):  # said once for all
        return {code: replace(own, factor=scale_in(last)) for code, own in found.items()}
    return found


def _said(meant: str, meaning: Meaning) -> tuple[str, str]:
    """Give what an explanation says: its column, and words that the reader of notes knows; else empty."""
    plain = re.split(r"[(;,]|/(?=mph|km|mi\b|speed)", meant)[0]
    parts = plain.replace("/", " ").split()[:MOST_WORDS]
    ways = [" ".join(parts[:count]) for count in range(len(parts), 0, -1)]
    for way in ways:
        name, likeness = meaning(way)
        if name == "pressure_inhg" and likeness >= SAYS_IT:
            return name, way  # the words say what the barometer shows
        if likeness >= SAYS_IT and (own := PRINTED.get(name) or SPOKEN.get(name)):
            return name, own
    return "", ""


def _sides(text: str) -> dict[str, str]:
    """Give the letters for lanes: ``P(ort, left)``, ``V/H = venstre/høyre``."""
    found: dict[str, str] = {}
    for one in _SIDE.finditer(text):
        sides = {LANE_WORDS.get(folded(word)) for word in re.findall(r"[^\W\d_]{3,}", one["meant"])} - {None}
        if len(sides) == 1:
            found[one["code"]] = f"{sides.pop()} lane"
    for both in _SIDES.finditer(text):
        for code, word in zip(both["codes"].split("/"), both["meant"].split("/"), strict=True):
            if (side := LANE_WORDS.get(folded(word))) is not None:
                found[code] = f"{side} lane"
    return found


def _in_words(text: str, key: _Key) -> str:
    """Write one line in words."""
    begun = re.match(r"^\W*(?P<code>[^\W\d_]{1,4})\s+(?P<rest>.*)$", text)
    if begun is not None and begun["code"] in key.lists:
        names = key.lists[begun["code"]]
        bare = [word for word in begun["rest"].split() if _TAGGED.fullmatch(word) is None]
        if len(bare) == len(names):
            others = [word for word in begun["rest"].split() if word not in bare]
            pairs = [f"{name} {word}" for name, word in zip(names, bare, strict=True)]
            return ", ".join([*pairs, *(_tag_in_words(word, key) for word in others)])
    words = [key.words.get(word, _tag_in_words(word, key)) for word in text.split()]
    return " ".join(words)


def _tag_in_words(word: str, key: _Key) -> str:
    found = _TAGGED.fullmatch(word)
    own = key.tags.get(found["tag"]) if found else None
    if found is None or own is None:
        return word
    value = scaled(found["value"], own.factor) + own.unit
    return f"{own.words} = {value}" + (f" @ {found['speed']} ," if found["speed"] else " ,")
