"""What the sheets of a logbook tell each other before any is read: names of cars and strips, years."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.agreed import Headed
from pipeline.ingest.recognise.drafts import Draft, SheetDrafts
from pipeline.ingest.recognise.row_dates import years_in
from pipeline.ingest.recognise.spoken import Book, date_in, known_in, said_by
from pipeline.ingest.recognise.vocabulary import SPLITS

MOSTLY = 0.9
SPLIT_NAMES = frozenset(SPLITS)
_YEAR = re.compile(r"(?<!\d)20\d\d(?!\d)")
_NO_STRIP = re.compile(r"(?i)(?:sheet|tab|page|slips?|runs?|passes|log|book|notes?|race|day)\W*\d*")


MOST_OF_A_REMARK = 2
"""A line with no more cells is a remark, whatever column it stands in."""


@dataclass(frozen=True, slots=True)
class Lessons:
    """What one sheet tells the others.

    Attributes
    ----------
    file, sheet
        Its file and its tab.
    columns
        What is read from each of its tables, in order of the alphabet.
    cars, venues
        Names that stand in it more than once.
    years
        Years of its dates, and how often.
    headed
        The headings of its tables, with what each column was read as.
    """

    file: str
    sheet: str
    columns: tuple[tuple[str, ...], ...]
    cars: tuple[str, ...]
    venues: tuple[str, ...]
    years: tuple[tuple[int, int], ...]
    headed: tuple[Headed, ...] = ()

    @property
    def has_slips(self) -> bool:
        """Whether one of its tables holds times of runs."""
        return any(not SPLIT_NAMES.isdisjoint(names) for names in self.columns)

    @property
    def names_strip(self) -> bool:
        """Whether one of its tables has a column of strips."""
        return any("venue" in names for names in self.columns)


def lessons_of(found: SheetDrafts) -> Lessons:
    """Gather the names and years that a sheet's columns tell, for the sheets that leave them out."""
    names: dict[str, dict[str, None]] = {"car": {}, "venue": {}}
    years: Counter[int] = Counter()
    for draft in found.drafts:
        for name, known in names.items():
            at = draft.column(name)
            if at is not None:
                texts = Counter(
                    cells[at]
                    for _, cells in draft.part.body
                    if cells[at] and sum(map(bool, cells)) > MOST_OF_A_REMARK
                )
                for text, times in texts.items():
                    if times >= 2 and re.search(r"[^\W\d_]", text) and len(text) < 40:
                        known[text] = None
        at = draft.column("date")
        if at is not None:
            texts_of_days = {cells[at] for _, cells in draft.part.body}
            years += years_in(texts_of_days) or _year_above(found, draft)
    return Lessons(
        found.sheet.file,
        found.sheet.sheet,
        tuple(tuple(sorted(draft.names())) for draft in found.drafts),
        tuple(names["car"]),
        tuple(names["venue"]),
        tuple(sorted(years.items())),
        tuple(draft.headed for draft in found.drafts),
    )


def _year_above(found: SheetDrafts, draft: Draft) -> Counter[int]:
    """Give the one year that stands above a table, or in the names of tab and file."""
    above = [text for _, cells in draft.part.lines[: min(draft.part.at, default=0)] for text in cells]
    names = [found.sheet.sheet, PurePosixPath(found.sheet.file).stem]
    said = [{int(year) for year in _YEAR.findall(text)} for text in (" ".join(above), *names)]
    years = next(filter(None, said), set())
    return Counter(years) if len(years) == 1 else Counter()


def learn(book: Book, told: Lessons) -> None:
    """Note what a sheet tells."""
    for texts, known in ((told.cars, book.cars), (told.venues, book.venues)):
        for text in texts:
            if known_in(text, known) == text:  # no name that holds a known one: who drove it, a year
                known.setdefault(folded(text), text)
    book.years += Counter(dict(told.years))


def learn_strips(book: Book, sheets: Sequence[Lessons]) -> None:
    """Take the names of tabs, or of files, for strips where most that hold slips are named so."""
    slips = [
        told
        for told in sheets
        if any(not SPLIT_NAMES.isdisjoint(names) and "venue" not in names for names in told.columns)
    ]
    tabs = [told.sheet for told in slips if told.sheet]
    said = {tab: said_by(tab, book, is_name=True) for tab in tabs}
    if len(tabs) >= 2 and 2 * sum(bool(each.venue) for each in said.values()) >= len(tabs):
        _learn_names(
            book, {tab: tab for tab, each in said.items() if not (each.venue or each.date or each.car)}
        )
    _learn_from_files(book, {PurePosixPath(told.file).stem for told in slips if not told.sheet})


def _learn_names(book: Book, names: Mapping[str, str]) -> None:
    for name, text in names.items():
        is_free = re.search(r"[^\W\d_]{3}", name) and re.fullmatch(_NO_STRIP, name) is None
        if is_free:
            book.venues.setdefault(folded(name), text)


def _learn_from_files(book: Book, stems: set[str]) -> None:
    """Take the words that stand beside a date in several names of files for the strip's."""
    beside: Counter[str] = Counter()
    for stem in sorted(stems):
        date, rest = date_in(stem.replace("_", " "))
        words = " ".join(re.sub(r"[|,_-]+", " ", rest).split())
        if date and words and not said_by(stem, book, is_name=True).venue and not re.search(r"\d", words):
            beside[words] += 1
    if sum(beside.values()) < max(2, MOSTLY * len(stems)) or len(beside) == sum(beside.values()) > 1:
        known = {words: _known_as(words, book) for words in beside}
        _learn_names(book, {words: name for words, name in known.items() if name})
        return
    _learn_names(book, {words: _known_as(words, book) or words for words in beside})


def _known_as(words: str, book: Book) -> str:
    """Give the one known strip whose name begins with some words; empty when it is not clear."""
    found = {name for name in book.venues.values() if folded(name).startswith(folded(words))}
    return found.pop() if len(found) == 1 else ""
