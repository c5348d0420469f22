"""What a person's own short words stand for, where a sheet or a text of the logbook says so.

``C4 | strip``, ``S = spun``: a legend is a sheet of little else. Its words are then read wherever they head a
column, or fill one with how runs went or which lane they had.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.garage.spelling import folded
from pipeline.garage.units import is_unit
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.layout import Line
from pipeline.ingest.recognise.profile import is_date
from pipeline.ingest.recognise.scales import EXAMPLE, factor_shown, scale_in
from pipeline.ingest.recognise.tokens import FILLERS, WORDS, tokens
from pipeline.ingest.spellings import LANE_WORDS

LEAST_WORDS, MOSTLY, LONGEST_CODE, MOST_LINES = 4, 0.75, 8, 40
"""A legend explains so many words, in so large a part of its lines; its words are short, and it is too."""
HALF, NEARLY_ALL, LEAST_SIGNS = 0.5, 0.9, 2
"""A line with so large a part of words that a legend explains is a line of headings."""
_EXPLAINED = re.compile(r"^\W*(?P<code>[^\s=]{1,8})\s*(?:=|:|->|→|\s[-–—])\s*(?P<meant>.*[^\W\d_]{2}.*)$")
_KEYED = re.compile(r"(?<![\w/])(?P<code>[^\W_]{1,8}|[^\w\s=,;()]{1,2})\s*=\s*(?P<meant>[^\W\d_]+)")
_BARE_KEY = re.compile(r"(?P<code>[^\W_]{1,3})\s+(?P<meant>[^\W\d_]{3,})")
"""A short word and what it stands for with nothing between: ``L lewa, P prawa``."""
_NUMBERED_KEY = re.compile(r"(?<![\w.])(?P<code>\d)\s+(?P<meant>[^\W\d_][^,;\d]*)")
"""Words explained by a figure before each: ``0 clean, 1 spun``."""
_NOTED = re.compile(r"(?<![\w=/])(?P<code>[^\W\d_][^\s=,.;]{0,9})\s*=\s*(?P<meant>[^=,.;]{3,40})(?=[,.;]|$)")
_NAME_TOLD = re.compile(r"(?<![\w=])(?P<code>[A-Z][A-Z\d]{0,4})\s*=\s*(?P<name>[^=,.;]{3,40})(?=[,.;)]|$)")
"""A strip's short name in a sentence: ``QR = Quarry Road, CF = Cinder``."""
_LABELLED = re.compile(r"^(?P<code>[^\W\d_][^:=]{1,14}):\s*(?P<meant>.*[^\W\d_]{2}.*)$")
"""What a cell above the headings says of one of them: ``Clutch: rpm | turns | g``."""
_SCALES = {
    10.0: "x10", 100.0: "x100", 1000.0: "x1000",
    0.1: "tenths", 0.01: "hundredths", 0.001: "thousandths", 0.25: "quarters", 0.5: "halves",
}  # fmt: skip
_HOW = re.compile(r"(?i)(?:the\s+)?same\b|what\b|as\b|blank\b|empty\b")
"""What tells how something is written or got, and not what it is: ``Baro = what the post shows``."""
_DECIMAL = re.compile(r"\d[.,]\d{2}")
_SEPARATE = re.compile(r"\s*[,/…]\s*|\s+to\s+")
LEAST_NOTED, LONGEST_UNITS, HEAD = 2, 12, 8
_BRACKETED_KEY = re.compile(r"[(\[][^()\[\]]*=[^()\[\]]*[)\]]")
"""Words explained within an explanation: ``lane (Esq = left, Dir = right)``."""


@dataclass(slots=True)
class Legend:
    """Short words with what they stand for, as written.

    Attributes
    ----------
    words
        Code, folded -> words.
    places
        Sheets that are legends.
    notes
        What single lines on other sheets explain together: ``pre = turns of preload, wgt = grams a finger``.
    listed
        Names of cars and strips, folded -> as listed.
    scales
        Heading, folded -> by what its numbers are to be multiplied, as a heading says it.
    names
        Code, folded -> the name it stands for: ``RO | Rooiberg Strip`` below a table of something else.
    under
        Heading, folded, of figures that a tab explains (``Result | Meaning``, ``1 | Clean pass``) -> them.
    heads
        What stands at the head of the other sheets, folded.
    """

    words: dict[str, str] = field(default_factory=dict)
    places: set[str] = field(default_factory=set)
    notes: list[dict[str, str]] = field(default_factory=list)
    listed: Mapping[str, str] = field(default_factory=dict)
    scales: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    under: dict[str, frozenset[str]] = field(default_factory=dict)
    heads: set[str] = field(default_factory=set)

    @property
    def explained(self) -> list[Mapping[str, str]]:
        """Everything that is explained, to tell one state of a logbook from another."""
        return [self.words, *self.notes, self.scales, self.names, dict.fromkeys(self._figures, "")]

    def learn(self, place: str, lines: Sequence[Line], *, is_whole: bool = True) -> None:
        """Take the words that a sheet explains: all of it, if it is a legend, else single lines."""
        self._learn_names(lines)
        filled = [[text for text in cells if text] for _, cells in lines]
        filled = [cells for cells in filled if cells]
        explained = [found for cells in filled if (found := _explained(cells)) is not None]
        explained = [each for one in explained for each in _one_by_one(*one)]
        codes = {folded(code) for code, _ in explained}
        has_runs = sum(len(_DECIMAL.findall(" ".join(cells))) >= 2 for cells in filled) >= LEAST_NOTED
        is_long = not is_whole or len(filled) > MOST_LINES or len(explained) < MOSTLY * len(filled)
        lists_strips = bool(filled) and any("elevation" in tokens(text) for text in filled[0])
        if has_runs or is_long or lists_strips or len(codes) < LEAST_WORDS:
            self._learn_notes(lines)
            self.heads.update(folded(text) for _, cells in lines[:HEAD] for text in cells if text)
            return
        self.places.add(place)
        first, *figures = [folded(code) for code, _ in explained]
        if not first.isdecimal() and all(map(str.isdecimal, figures)):
            self.under[first] = frozenset(figures)
        for code, meant in explained:
            if self._names_in(meant):
                continue
            if scale := _scale_in(meant):
                self.scales[folded(code)] = scale
            keyed = [*_KEYED.finditer(meant), *_NUMBERED_KEY.finditer(meant)] or _keyed_by_blanks(meant)
            own = _BRACKETED_KEY.sub("", meant).strip()
            self.words[folded(code)] = _heading_of(keyed) or (own if _of_a_run(own) else terse(own))
            for each in keyed:
                if code := folded(each["code"]):
                    self.words.setdefault(code, each["meant"].strip())

    def _names_in(self, meant: str) -> bool:
        """Take the short names of cars and strips that an explanation is all of: ``B = Bluff, M = Mill``."""
        pairs = [part.partition("=") for part in re.split(r"\s*[,;]\s*", meant)]
        names = {folded(code): self.listed.get(folded(name), name.strip()) for code, _, name in pairs if name}
        if len(names) < len(pairs) or not set(names.values()) & set(self.listed.values()):
            return False
        self.names |= names
        return True

    def _learn_names(self, lines: Sequence[Line]) -> None:
        """Take the short names of cars and strips: each beside the whole one, or told in a sentence."""
        for _, whole in lines:
            filled = [text for text in whole if text]
            parted = re.split(r"\s*=\s*|\s+[-–—:]\s+", filled[0]) if len(filled) == 1 else filled
            if len(parted) == 2 and 0 < len(parted[0]) <= LONGEST_CODE and folded(parted[1]) in self.listed:
                self.names[folded(parted[0])] = self.listed[folded(parted[1])]
            for told in _NAME_TOLD.finditer(filled[0]) if len(filled) == 1 else ():
                known = [name for way, name in self.listed.items() if way.startswith(folded(told["name"]))]
                if known:
                    self.names[folded(told["code"])] = max(known, key=len)

    def _learn_notes(self, lines: Sequence[Line]) -> None:
        """Take what single lines of a sheet say of its headings."""
        for _, whole in lines:
            cells = [text for text in whole if text]
            labelled = [_LABELLED.match(text) for text in cells]
            if len(cells) >= LEAST_NOTED and all(labelled):
                found = {folded(one["code"]): one["meant"] for one in labelled if one}
            else:
                keyed = _NOTED.finditer(", ".join(cells)) if all("=" in text for text in cells) else ()
                found = {
                    folded(one["code"]): terse(one["meant"]) for one in keyed if not _HOW.match(one["meant"])
                }
            if len(found) >= LEAST_NOTED and found not in self.notes:
                self.notes.append(found)

    def spelled_out(self, lines: Sequence[Line]) -> list[Line]:
        """Give the lines of a sheet with headings, outcomes and lanes in words instead of codes."""
        if not any(self.explained):
            return list(lines)
        width = max((len(cells) for _, cells in lines), default=0)
        columns = [[cells[at] for _, cells in lines if cells[at]] for at in range(width)]
        lines = self._in_full(lines, columns)
        coded = {
            at for at, texts in enumerate(columns) if self._holds_codes(texts) and self._may_be_figures(texts)
        }
        named = {at for at, texts in enumerate(columns) if self._names_lines(texts)}
        return [(number, self._named(self._line(cells, coded), named, cells)) for number, cells in lines]

    def _in_full(self, lines: Sequence[Line], columns: Sequence[Sequence[str]]) -> Sequence[Line]:
        """Write cars and strips in full in the columns that hold nothing else below their heading."""
        coded = set()
        for at, texts in enumerate(columns):
            known = [text for text in texts if folded(text) in self.names]
            if len(known) >= LEAST_NOTED and len(known) >= NEARLY_ALL * (len(texts) - 1):
                coded.add(at)
        if not coded:
            return lines
        return [
            (
                number,
                [
                    self.names.get(folded(text), text) if at in coded else text
                    for at, text in enumerate(cells)
                ],
            )
            for number, cells in lines
        ]

    def _names_lines(self, texts: Sequence[str]) -> bool:
        """Tell whether a column says with a code of several signs what stands on each line."""
        known = [text for text in texts if folded(text) in self.words and len(text) >= LEAST_SIGNS]
        return len(set(known)) >= LEAST_WORDS and len(known) >= NEARLY_ALL * len(texts)

    def _named(self, said: list[str], named: set[int], cells: Sequence[str]) -> list[str]:
        return [
            self.words.get(folded(cells[at]), text) if at in named else text for at, text in enumerate(said)
        ]

    def _line(self, cells: Sequence[str], coded: set[int]) -> list[str]:
        filled = [text for text in cells if text]
        known = sum(folded(text) in self.words for text in filled)
        is_headed = len(filled) >= LEAST_WORDS and known >= HALF * len(filled)
        said = [
            self.words.get(folded(text), text) if is_headed or (at in coded and self._means(text)) else text
            for at, text in enumerate(cells)
        ]
        heads = set(map(folded, filled))
        if not is_headed and len(heads & self.scales.keys()) >= LEAST_NOTED:
            said = [f"{text} {self.scales.get(folded(text), '')}".strip() for text in said]
        for note in self.notes:
            if len(filled) >= LEAST_WORDS and heads.issuperset(note):
                said = [note.get(folded(text), text) for text in said]
        return said

    def _means(self, text: str) -> str | None:
        """Say what a code means for a run: how it went, or its lane."""
        meant = self.words.get(folded(text)) if text else None
        return None if meant is None else _of_a_run(meant)

    @property
    def _figures(self) -> dict[str, frozenset[str]]:
        """The figures explained for one heading that some sheet has."""
        return {head: figures for head, figures in self.under.items() if head in self.heads}

    def _may_be_figures(self, texts: Sequence[str]) -> bool:
        """Tell whether a column that holds figures stands under the heading for which they are explained."""
        heads = {folded(text) for text in texts[:HEAD]}
        used = {folded(text) for text in texts if text.isdecimal()}
        own = [head for head, figures in self._figures.items() if used & figures]
        return not own or any(head in heads for head in own)

    def _holds_codes(self, texts: Iterable[str]) -> bool:
        """Tell whether most of a column, its heading apart, is codes for how runs went or for lanes."""
        filled = [text for text in texts if text and (folded(text) not in self.words or self._means(text))]
        return bool(filled) and sum(self._means(text) is not None for text in filled) >= MOSTLY * len(filled)


def terse(phrase: str) -> str:
    """Leave of an explanation what a heading would say, its unit last in brackets.

    Examples
    --------
    >>> terse("the speed at 201 m, in km/h"), terse("time to the 60 ft mark, seconds")
    ('the speed at 201 m (km/h)', 'time to the 60 ft (seconds)')
    """
    scale = _scale_in(phrase)
    phrase = EXAMPLE.sub("", phrase).strip(" ,;")
    said, _, unit = phrase.rpartition(",")
    unit = unit.strip().removeprefix("in ")
    if not said or not is_unit(unit):
        said, unit = phrase, ""
    kept = [word for word in re.split(r"[\s(),;]+", said) if _says_something(word)]
    whole = " ".join(kept) + (f" ({unit})" if unit else "") if kept else phrase
    return f"{whole} {scale}".strip()


def _scale_in(phrase: str) -> str:
    """Say as a heading does by what numbers are to be multiplied: by an example, ``58 = 5800``, or words."""
    factor = factor_shown(phrase) or scale_in(EXAMPLE.sub("", phrase).strip(" ()"))
    return _SCALES.get(round(factor, 6), "")


def _says_something(word: str) -> bool:
    is_known = any(each in WORDS or each in FILLERS for each in tokens(word))
    return is_known or is_unit(word) or re.search(r"\d", word) is not None


def _of_a_run(words: str) -> str | None:
    """Say what words tell of a run: its lane, or how it went."""
    return LANE_WORDS.get(folded(words)) or read_outcome(words, None)


def _explained(cells: Sequence[str]) -> tuple[str, str] | None:
    """Read one line of a legend: two cells, or one with a mark between code and words."""
    if len(cells) == 1 or "=" in cells[0]:
        found = _EXPLAINED.match(", ".join(cells))
        return (found["code"], found["meant"].strip()) if found else None
    code, meant = cells[0].rstrip(" =:"), " ".join(cells[1:])
    if is_date(cells[1]):
        return None  # a day by its number
    if len(cells) == 3 and len(cells[2]) <= LONGEST_UNITS:
        meant = f"{cells[1]}, {cells[2]}"
    is_short = all(len(one) <= LONGEST_CODE for one in _SEPARATE.split(code)) and not is_date(code)
    is_one = len(cells) in (2, 3) and is_short and re.search(r"[^\W\d_]{2}", meant) is not None
    return (code, meant) if is_one and len(meant) > len(code) else None


def _keyed_by_blanks(meant: str) -> list[re.Match[str]]:
    """Read codes for lanes or outcomes with nothing but a blank behind each."""
    found = [_BARE_KEY.fullmatch(part) for part in re.split(r"\s*[,;/]\s*", meant)]
    keyed = [one for one in found if one is not None]
    return keyed if len(keyed) == len(found) > 1 and all(_of_a_run(one["meant"]) for one in keyed) else []


def _heading_of(keyed: Sequence[re.Match[str]]) -> str:
    """Say what a column holds whose codes are explained with it: lanes, or how runs went; else empty."""
    words = [each["meant"].strip() for each in keyed]
    if len(words) >= LEAST_NOTED and all(folded(word) in LANE_WORDS for word in words):
        return "lane"
    outcomes = sum(read_outcome(word, None) is not None for word in words)
    is_all = outcomes == len(words) > 0
    return "outcome" if is_all or outcomes >= max(LEAST_NOTED, HALF * len(words)) else ""


def _side_by_side(codes: Sequence[str], meant: Sequence[str]) -> list[tuple[str, str]]:
    """Pair codes with as many meanings that begin and end alike: ``Ta Tt``, ``temp. air / road °C``."""
    if len(codes) < 2 or len(codes) != len(meant):
        return []
    first, last = meant[0].split(), meant[-1].split()
    begins = " ".join(first[: len(first) - 1])
    ends = last[-1] if is_unit(last[-1]) else ""
    wholes = [meant[0], *(f"{begins} {one}" if len(one.split()) <= 2 else one for one in meant[1:])]
    return [
        (code, whole if whole.endswith(ends) else f"{whole} {ends}")
        for code, whole in zip(codes, wholes, strict=True)
    ]


def _one_by_one(code: str, meant: str) -> list[tuple[str, str]]:
    """Part codes explained together, each with its unit where as many units stand at the end."""
    codes = _SEPARATE.split(code)
    if len(codes) == 1:
        return _side_by_side(code.split(), re.split(r"\s*/\s*", meant)) or [(code, meant)]
    pieces = meant.split(", ")
    words, units = ", ".join(pieces[: -len(codes)]), pieces[-len(codes) :]
    if not words or not all(map(is_unit, units)):
        words, _, unit = meant.rpartition(", ") if is_unit(pieces[-1]) else (meant, "", "")
        units = [unit] * len(codes)
    words = re.sub(r"\d[\d.,/]*", " ", words)  # each code's own figure tells it from the others
    return [
        (one, f"{one} {words}" + f", {unit}" * bool(unit)) for one, unit in zip(codes, units, strict=True)
    ]
