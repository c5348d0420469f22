"""A sheet looked at by itself: its tables, what each column is, and what the words around them say."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from pipeline.garage.columns import KINDS
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.headings import vocabulary
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.agreed import Headed
from pipeline.ingest.recognise.assign import Candidate, Choice, assign
from pipeline.ingest.recognise.beside import Beside
from pipeline.ingest.recognise.cells_apart import (
    lists_apart,
    names_apart,
    pairs_apart,
    told_apart,
)
from pipeline.ingest.recognise.date_instead import date_instead
from pipeline.ingest.recognise.headed import Names
from pipeline.ingest.recognise.jotted import jotted
from pipeline.ingest.recognise.lanes import Lane, cars_above, lanes_of, without_side
from pipeline.ingest.recognise.layout import Line, Meaning, Part, headed_by_values, parts_of
from pipeline.ingest.recognise.legend import Legend
from pipeline.ingest.recognise.long_tables import below_first_line, gathered
from pipeline.ingest.recognise.marks import Marks, in_full, without_mark, written_out
from pipeline.ingest.recognise.own_key import with_lists
from pipeline.ingest.recognise.passes import passes_of, which_of
from pipeline.ingest.recognise.pieces import pieces_apart
from pipeline.ingest.recognise.profile import profile
from pipeline.ingest.recognise.remarks import remarks_apart
from pipeline.ingest.recognise.reshape import turned
from pipeline.ingest.recognise.scales import IN_PARTS, scales_told, words_told
from pipeline.ingest.recognise.told import paired
from pipeline.ingest.recognise.two_lines import on_two_lines
from pipeline.ingest.recognise.vocabulary import NUMBERED, Concept, Meanings, base_of, concepts
from pipeline.ingest.sheets import TextSheet
from pipeline.ingest.spellings import LANE_WORDS, read_pressure_kind
from pipeline.ingest.step_words import says_as_above
from pipeline.ingest.values import is_nothing

SAMPLE_ROWS = 300
NO_COLUMN = frozenset({"leaveout", "empty", "none", "nothing"})
MIDDLE_ROWS = 60
MOST_TITLES = 8
METRIC_AIR = 0.5
"""Inches of mercury in a hectopascal or kilopascal are fewer than this."""


_NO_NAMES = Names(frozenset(), frozenset())


def _no_meaning(_text: str) -> tuple[str, float]:
    return "", 0.0


@dataclass(frozen=True, slots=True)
class Draft:
    """One table of a sheet with a meaning for every column.

    Attributes
    ----------
    part
        Its lines.
    choices
        One a headed column that is not one of ``ticks``.
    ticks
        Columns that are marked where their heading holds: index -> (canonical column, word).
    lane
        ``left``, ``right`` or ``ours`` when it is one lane of a table of both, ``pass`` when it is one of
        several runs on a row; empty else.
    car
        Name above the columns of one car where two stand side by side; empty else.
    left_out
        Place and heading of the columns of a run beside it that is not ours.
    meaning
        The likeliest meaning of words, for what lines of words tell.
    answered
        Columns that are read as the person answered.
    marks
        What entries come to that are written as more or less than a mark.
    known
        What its columns were read by.
    units, scales
        Canonical unit -> the unit that a title or the sheet's own units say, and column -> factor of numbers
        that a title says are parts of their unit: for what lines of words tell.
    title
        The first lines of words of its sheet.
    """

    part: Part
    choices: list[Choice]
    ticks: dict[int, tuple[str, str]] = field(default_factory=dict)
    lane: str = ""
    car: str = ""
    left_out: tuple[tuple[int, str], ...] = ()
    meaning: Meaning = _no_meaning
    answered: frozenset[int] = frozenset()
    marks: Marks = field(default_factory=Marks)
    known: Names = _NO_NAMES
    units: Mapping[str, str] = field(default_factory=dict)
    scales: Mapping[str, float] = field(default_factory=dict)
    title: str = ""

    def column(self, name: str) -> int | None:
        """Give the place of the column read as this; None when there is none."""
        return next((own.candidate.index for own in self.choices if own.name == name), None)

    @property
    def headed(self) -> Headed:
        """Its headings with what each column was read as."""
        texts = [folded(own.candidate.heading.text) for own in self.choices]
        names = [own.name if own.is_read else "" for own in self.choices]
        return Headed(tuple(texts), tuple(names), tuple(round(own.lead, 2) for own in self.choices))

    def names(self) -> set[str]:
        """Give everything that is read from this table."""
        return {own.name for own in self.choices if own.is_read} | {name for name, _ in self.ticks.values()}


@dataclass(slots=True)
class SheetDrafts:
    """A sheet with the tables found on it."""

    sheet: TextSheet
    drafts: list[Draft]


@dataclass
class Reader:
    """Reads sheets with the words of one ``garage.toml``.

    Attributes
    ----------
    garage
        What the person says.
    names
        Of cars and strips known so far.
    legend
        What the person's own short words stand for.
    beside
        What sheets say of each other's rows.
    answers
        What the person answered about columns: (file, folded heading) -> name, empty for nothing.
    """

    garage: Garage
    names: Names
    legend: Legend = field(default_factory=Legend)
    beside: Beside = field(default_factory=Beside)
    answers: dict[tuple[str, str], str] = field(default_factory=dict)

    @cached_property
    def meanings(self) -> dict[str, Concept]:
        """Everything a column may be."""
        return concepts(self.garage)

    @cached_property
    def _by_words(self) -> Meanings:
        return Meanings(self.meanings)

    @cached_property
    def listed(self) -> dict[str, tuple[str, ...]]:
        """The names that ``garage.toml`` lists, by column."""
        return {
            "venue": tuple(part.name for part in self.garage.venues),
            "car": tuple(part.name for part in self.garage.cars) if len(self.garage.cars) > 1 else (),
        }

    @cached_property
    def spelled(self) -> dict[str, str]:
        """Every spelling of a column, folded, with its name."""
        return {
            folded(way): name
            for name, concept in self.meanings.items()
            if concept.column is not None
            for way in (name, concept.column.heading, *concept.column.aliases)
        }

    @cached_property
    def own_words(self) -> dict[str, str]:
        """The person's own headings, folded, with the column each stands for."""
        named = {
            folded(own): self.spelled.get(folded(meant), "") for own, meant in self.garage.headings.items()
        }
        return {own: name for own, name in named.items() if name}

    def take_answers(self, answered: Mapping[tuple[str, str], str]) -> None:
        """Take what the person answered about columns: (file, heading) -> words for what it holds."""
        for (file, heading), answer in answered.items():
            name = "" if folded(answer) in NO_COLUMN else self.spelled.get(folded(answer))
            if name is not None:
                self.answers[file, folded(heading)] = name

    @cached_property
    def meaning(self) -> Meaning:
        """Give the likeliest meaning of one heading by its words alone."""
        known: dict[str, tuple[str, float]] = {}

        def look_up(text: str) -> tuple[str, float]:
            if text not in known:
                known[text] = self._look_up(text)
            return known[text]

        return look_up

    def _look_up(self, text: str) -> tuple[str, float]:
        if folded(text) in self.own_words:
            return self.own_words[folded(text)], 1.0
        which = which_of(text)
        ways = (text, without_side(text), without_mark(text), *([which.rest] if which and which.rest else []))
        best = self._by_words.likeliest(*dict.fromkeys(ways))
        if best[0] < 0.9 and len(text) < 20 and read_outcome(text, None) is not None:
            return f"tick {folded(text)}", 0.6
        return best[1], best[0]

    def drafts(self, file: str, lines: Sequence[Line]) -> list[Draft]:
        """Read every table of a sheet.

        Parameters
        ----------
        file
            Its name, for answers given before.
        lines
            Every row.
        """
        filled = [line for line in lines if any(line[1])]
        headed = [*parts_of(filled, self.meaning, 1), *below_first_line(filled)]
        long = next((own for part in headed if (own := gathered(part, self.meaning))), None)
        long = long or on_two_lines(filled, self.meaning)
        parts = [long] if long else parts_of(lines, self.meaning)
        side = None if long else turned(filled, self.meaning)
        if side is not None and _is_fuller(side, parts):
            parts = [side]
        parts = parts or headed_by_values(filled)
        if not parts and (notes := jotted(filled, self.meaning, self.listed)) is not None:
            parts = [notes]
        title = title_of(filled)
        scales, told = scales_told(title, self.meaning), words_told(title)
        found: list[Draft] = []
        for part, car in zip(parts, cars_above(parts), strict=True):
            own = date_instead(with_lists(part, filled, self.meaning), self.meaning)
            named = names_apart(own, self.meaning)
            single = remarks_apart(named, self.meaning)
            few = pieces_apart(single, self.meaning)
            whole = pairs_apart(told_apart(lists_apart(few, self.meaning), self.meaning))
            passes = [Lane("pass", own) for own in passes_of(whole, self.meaning)]
            for lane in passes or lanes_of(whole) or [Lane("", whole)]:
                found.append(
                    replace(
                        self._draft(file, lane.part, title, scales, told),
                        lane=lane.side,
                        car=lane.car or car,
                        left_out=lane.left_out,
                    )
                )
        return found

    def agreeing(self, draft: Draft, agreed: Mapping[tuple[str, ...], Headed]) -> Draft:
        """Read a table as others under the same headings are read, where they are surer."""
        own = draft.headed
        surest = agreed.get(own.headings)
        if surest is None or draft.answered:
            return draft
        choices = draft.choices
        if surest.names != own.names:
            candidates = [each.candidate for each in choices]
            given = {each.index: name for each, name in zip(candidates, surest.names, strict=True)}
            choices = assign(candidates, self.meanings, draft.known, given)
        pairs = zip(choices, surest.leads, strict=True)
        return replace(draft, choices=[replace(each, lead=max(each.lead, lead)) for each, lead in pairs])

    def _numbered(self, part: Part) -> dict[int, str]:
        """Find columns of one thing measured at several places: ``ring 1`` to ``ring 6``."""
        found: dict[int, str] = {}
        for at, heading in enumerate(part.headings):
            bare = re.sub(r"\s*[(\[].*?[)\]]\s*$", "", heading.text)
            seen = re.fullmatch(r"(.*?\D)\W*([1-9]\d?)", bare, re.DOTALL)
            name, likeness = self.meaning(seen[1].rstrip(" #_")) if seen else ("", 0.0)
            if seen and name in NUMBERED and likeness >= 0.8:
                own = f"{name}_{seen[2]}"
                found[at] = own if own in self.numbered_names else ""
        return found if len(set(found.values())) >= 2 else {}

    @cached_property
    def numbered_names(self) -> set[str]:
        """Every column written screw by screw that the clutches described here may have."""
        return {name for kind in KINDS for name in vocabulary(kind, self.garage) if name != base_of(name)}

    def _draft(
        self, file: str, part: Part, title: str, scales: Mapping[str, float], told: Mapping[str, str]
    ) -> Draft:
        part, marks = written_out(part, self.meaning)
        sample = [cells for cells in sample_of(in_full(part, marks)) if not paired(cells, self.meaning)]
        given, ticks, candidates = {}, {}, []
        answered: set[int] = set()
        for at, heading in enumerate(part.headings):
            texts = [cells[at] for cells in sample]
            if not heading.text and not any(texts):
                continue
            if not heading.text:
                continue
            looked = profile(texts)
            if looked.is_ticks and (word := ticked(heading.text)) is not None:
                ticks[at] = word
                continue
            candidates.append(Candidate.of(at, heading, texts, looked))
            own = self.answers.get((file, folded(heading.text)))
            if own is not None:
                answered.add(at)
            else:
                own = self.own_words.get(folded(heading.own)) or self.own_words.get(folded(heading.text))
                own = own or heading.meant or told.get(folded(heading.text)) or None
            if own is not None:
                given[at] = own
        given |= self._numbered(part)
        above = [text for _, cells in part.lines[: min(part.at, default=0)] for text in cells]
        written = [f"{heading.text} {heading.unit}" for heading in part.headings]
        written += [f". {unit}" for own in candidates for unit, _ in own.cells.units.most_common(1)]
        names = self.names.beside(" ; ".join(filter(None, (title, *above))), " ; ".join(written))
        names = replace(names, scales=frozenset(scales.items()))
        choices = assign(candidates, self.meanings, names, given)
        if "degF" not in dict(names.units) and not names.is_metric and _has_metric_air(choices):
            names = replace(names, units=names.units | {("degF", "degC")})
            choices = assign(candidates, self.meanings, names, given)
        units = dict(names.units) | ({"degF": "degC"} if names.is_metric else {})
        return Draft(
            part, choices, ticks, known=names, meaning=self.meaning, answered=frozenset(answered),
            marks=marks, units=units, scales=scales, title=title,
        )  # fmt: skip


def title_of(lines: Sequence[Line]) -> str:
    """Give what the lines of words at the head of a sheet say."""
    words: list[str] = []
    for _, cells in lines[:MOST_TITLES]:
        filled = [text for text in cells if text]
        if len(filled) > 1 and not all(re.search(r"[^\W\d_]{3}", text) for text in filled):
            break
        words += filled if len(filled) == 1 else [text for text in filled if IN_PARTS.search(text)]
    return " ; ".join(words)


def _has_metric_air(choices: Sequence[Choice]) -> bool:
    """Tell whether a pressure is written in a unit of metric people: 1013 is no inches."""
    own = next((choice for choice in choices if choice.name == "pressure_inhg"), None)
    return own is not None and not own.fit.is_no_point and own.fit.to_canonical.factor < METRIC_AIR


def sample_of(part: Part) -> list[list[str]]:
    """Give the first rows of a table and some from its middle, blank ones and lines of words left out."""
    width = len(part.headings)
    least = 2 if width > 2 else 1
    body = [cells for _, cells in part.body if sum(1 for text in cells if text) >= least]
    middle = body[SAMPLE_ROWS:]
    step = max(1, len(middle) // MIDDLE_ROWS)
    return [
        ["" if says_as_above(text) else text for text in cells]
        for cells in [*body[:SAMPLE_ROWS], *middle[::step]]
    ]


def ticked(heading: str) -> tuple[str, str] | None:
    """Give column and word of a heading whose column is only marked where it holds."""
    own = folded(heading)
    if own in LANE_WORDS or own.removesuffix("lane") in LANE_WORDS:
        return "lane", LANE_WORDS.get(own) or LANE_WORDS[own.removesuffix("lane")]
    if (kind := read_pressure_kind(heading)) is not None:
        return "pressure_kind", kind
    if (outcome := read_outcome(heading, None)) is not None and not is_nothing(heading):
        return "outcome", outcome
    return None


def _is_fuller(side: Part, parts: Sequence[Part]) -> bool:
    """Tell whether labels down the side explain more of a sheet than rows of headings do."""
    best = max((len([1 for heading in part.headings if heading.text]) for part in parts), default=0)
    return len(side.headings) > best and len(side.lines) >= 2
