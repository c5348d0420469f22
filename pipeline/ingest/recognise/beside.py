"""Sheets that point to each other: a run's event, setup or number here, what that was there."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning
from pipeline.ingest.recognise.profile import is_date, number_of
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.unit_rows import units_row
from pipeline.ingest.recognise.vocabulary import AIR, MEASURED, PASSED_OVER, SETTINGS

HOPS, MOST_TITLES = 3, 4
"""A run may name a session, that an event, and that a strip."""
LEAST_ROWS, POINTED, HEAD, WIDE = 2, 0.9, 20, 4
"""A sheet that is pointed to has so many rows; so many of the pointers are found in it."""
_POINTING = frozenset("run round event id code setup tune session key ref slip".split())  # noqa: SIM905
_CODE = re.compile(r"[^\W\d_]{1,6}[-_ ]?\d{1,5}")
"""What names a row and nothing else, so that it points to one also where both have dates: ``SU04``."""
_SHORT_CODE = re.compile(r"[^\W\d_]{1,2}(?:[-_ ]?\d{1,3})?")
"""What points to a row under any heading, where all of a column is such and a row's name: ``A``, ``v12``."""
LEAST_CODES = 2
_COUNTED = re.compile(r"\d{1,2}")
COUNTED = "day"
"""What a column means that counts the days of a season: it is no date by itself."""
_OF_A_RUN = frozenset({"date", "time", "venue", "event", "car", "lane"})
_OF_A_MOMENT = MEASURED | {*AIR, *SETTINGS, "time"}


@dataclass(slots=True)
class Listed:
    """A sheet of one line of headings, units below them or none, and rows.

    Attributes
    ----------
    headings
        One a column.
    means
        The likeliest meaning of each heading; empty where it says none.
    rows
        Row number -> its cells.
    line
        Row number of the headings.
    codes
        Columns whose entries only point to what another sheet calls by name: ``car_id`` beside ``car_name``.
    units
        The line of units right below the headings; empty when there is none.
    """

    headings: list[str]
    means: list[str]
    rows: dict[int, list[str]]
    line: int
    codes: set[int] = field(default_factory=set)
    units: list[str] = field(default_factory=list)

    def column(self, at: int) -> list[str]:
        """Give the entries of a column."""
        return [cells[at] for cells in self.rows.values() if cells[at]]

    def index(self, at: int) -> dict[str, list[str]]:
        """Give each row by its entry in a column; none when two rows share one, or one has none."""
        found = {folded(cells[at]): cells for cells in self.rows.values() if cells[at]}
        return found if len(found) == len(self.rows) >= LEAST_ROWS else {}

    def with_unit(self, at: int) -> str:
        """Give a heading with the unit that stands below it."""
        unit = self.units[at] if at < len(self.units) else ""
        return f"{self.headings[at]} ({unit})" if unit else self.headings[at]

    def take(self, own: int, other: Listed, key: int, since: int) -> bool:
        """Add what another sheet says of a column's entries, from its column ``since`` on, if anything."""
        held = {name for at, name in enumerate(self.means) if at != own}
        heads = set(map(folded, self.headings))
        wanted = [
            at
            for at, name in enumerate(other.means)
            if at >= since and at != key and other.headings[at] and (not name or name not in held)
            and folded(other.headings[at]) not in heads
            and (not set(other.means) & MEASURED or name in _OF_A_RUN)
        ]  # fmt: skip
        if not any(other.means[at] for at in wanted):
            return False
        told = {other.means[at] for at in wanted} - {""}
        is_own_word = not self.means[own] and not _POINTING & {*tokens(self.headings[own])}
        if is_own_word or self.means[own] in told or (self.means[own] == COUNTED and "date" in told):
            self.codes.add(own)
            self.means[own] = ""
        by_key = other.index(key)
        self.headings += [other.with_unit(at) for at in wanted]
        self.means += [other.means[at] for at in wanted]
        for cells in self.rows.values():
            pointed = by_key.get(folded(cells[own]))
            cells += [pointed[at] if pointed is not None else "" for at in wanted]
        return True


@dataclass(slots=True)
class Beside:
    """What sheets say of each other's rows.

    Attributes
    ----------
    sheets
        Place of a sheet -> itself with what others say of its rows.
    used_up
        Places of sheets all of which is told with the rows that point to them.
    """

    sheets: dict[str, Listed] = field(default_factory=dict)
    used_up: set[str] = field(default_factory=set)

    def widened(self, place: str, lines: Sequence[Line]) -> list[Line]:
        """Give the lines of a sheet with what others say of them."""
        own = self.sheets.get(place)
        if own is None:
            return list(lines)
        more = {own.line: own.headings} | own.rows
        width = len(own.headings)
        return [(number, more.get(number, [*cells, *[""] * (width - len(cells))])) for number, cells in lines]


def listed(lines: Sequence[Line], meaning: Meaning) -> Listed | None:
    """Read a sheet as one line of headings and rows, below titles; None when it is not so."""
    filled = [(number, list(cells)) for number, cells in lines if any(cells)]
    titles, counts = 0, sorted(sum(map(bool, cells)) for _, cells in filled)
    is_wide = bool(counts) and counts[len(counts) // 2] > WIDE  # labels with their values may stand above
    while titles < min(MOST_TITLES, len(filled)) and sum(map(bool, filled[titles][1])) <= 1 + is_wide:
        titles += 1
    filled = filled[titles:]
    if len(filled) <= LEAST_ROWS:
        return None
    line, headings = filled[0]
    units = units_row(filled, 0) or []
    body = filled[2:] if units else filled[1:]
    named = [text for text in headings if text]
    if len(named) < 2 or any(re.fullmatch(r"[\d.,:/\s-]+", text) and len(text) > 4 for text in named):
        return None
    meant = [meaning(text) if text else ("", 0.0) for text in headings]
    names = [name if likeness >= SAYS_IT and " " not in name else "" for name, likeness in meant]
    for at, name in enumerate(names):
        texts = [cells[at] for _, cells in body[:HEAD] if cells[at]]
        is_other = meant[at][0] in PASSED_OVER and meant[at][1] >= SAYS_IT
        if name != "date" and not is_other and texts and all(is_date(text) for text in texts):
            names[at] = "date"
        elif name == "date" and texts and all(map(_COUNTED.fullmatch, texts)):
            names[at] = COUNTED
        elif name == "venue" and texts and all(number_of(text) is not None for text in texts):
            names[at] = "track_temp_degf"
    return Listed(headings, names, dict(body), line, units=units)


def may_point(sheets: Mapping[int, Listed]) -> list[int]:
    """Choose the sheets with a heading that points to another sheet's; no others need be read."""
    return [
        at
        for at, own in sheets.items()
        if any(
            there != at and (_may_name(own, other) or _may_tell(own, other) or _may_tell(other, own))
            for there, other in sheets.items()
        )
    ]


def _may_tell(own: Listed, other: Listed) -> bool:
    return _shared_codes(own, other) is not None or _by_day(own, other) is not None


def _may_name(own: Listed, other: Listed) -> bool:
    places = range(len(other.headings))
    return any(_points(own, at, other, key) for at in range(len(own.headings)) for key in places)


def point_to_each_other(sheets: Mapping[str, Listed]) -> Beside:
    """Let every sheet take what the others say of its rows."""
    beside = Beside()
    taken: dict[tuple[str, str], int] = {}
    for _ in range(HOPS):
        is_more = False
        for place, own in sheets.items():
            for there, other in sheets.items():
                pair = None if there == place else _pointer(own, other)
                since, taken[place, there] = taken.get((place, there), 0), len(other.headings)
                if pair is not None and own.take(pair[0], other, pair[1], since):
                    is_more = True
                    beside.sheets[place] = own
                    if not set(other.means) & MEASURED:
                        beside.used_up.add(there)
        if not is_more:
            break
    beside.used_up -= set(_still_needed(sheets, beside))
    for own in beside.sheets.values():
        own.headings = ["" if at in own.codes else heading for at, heading in enumerate(own.headings)]
    return beside


def _still_needed(sheets: Mapping[str, Listed], beside: Beside) -> list[str]:
    """Name the sheets that say when each of their own rows was, so that they are read for themselves too."""
    return [place for place in beside.used_up if {"date", "time"} <= set(sheets[place].means)
            and set(sheets[place].means) - _OF_A_RUN - {"", "notes", "round"}]  # fmt: skip


def _pointer(own: Listed, other: Listed) -> tuple[int, int] | None:
    """Find the column of one sheet that points to the rows of another."""
    is_dated, is_day = "date" in other.means, not set(other.means) & _OF_A_MOMENT
    is_by_code = "date" in own.means and is_dated and not is_day
    for at in range(len(own.headings)):
        for key in range(len(other.headings)):
            pointers = own.column(at)
            if is_by_code and not all(map(_CODE.fullmatch, pointers)):
                continue
            if _points(own, at, other, key) and _covers(pointers, other.index(key)):
                return at, key
    coded = _shared_codes(own, other)
    if coded is not None and _covers(own.column(coded), other.index(0)):
        return coded, 0
    day = _by_day(own, other)
    return day if day is not None and _covers(own.column(day[0]), other.index(day[1])) else None


def _by_day(own: Listed, other: Listed) -> tuple[int, int] | None:
    """Find the dates of both sheets where the other alone says at which strip each day was."""
    is_days = {"date", "venue"} <= set(other.means) and not set(other.means) & _OF_A_MOMENT
    if not is_days or "date" not in own.means or "venue" in own.means:
        return None
    return own.means.index("date"), other.means.index("date")


def _shared_codes(own: Listed, other: Listed) -> int | None:
    """Give the column of one sheet that holds nothing but short names from the first of the other."""
    named = set(map(folded, other.column(0)))
    if len(named) < LEAST_CODES or not all(map(_SHORT_CODE.fullmatch, other.column(0))):
        return None
    if not set(other.means) & {*AIR, *SETTINGS} or set(other.means) & MEASURED:
        return None
    for at, name in enumerate(own.means):
        texts = set(map(folded, own.column(at)))
        is_coded = at > 0 and len(texts) >= LEAST_CODES and len(texts & named) >= POINTED * len(texts)
        if is_coded and name not in _OF_A_RUN:
            return at
    return None


def _points(own: Listed, at: int, other: Listed, key: int) -> bool:
    """Tell whether two headings may name the same thing that is numbered or coded: one word of any tongue."""
    heading, theirs = own.headings[at], other.headings[key]
    if not heading or not theirs:
        return False
    if folded(heading) == folded(theirs) and {own.means[at], other.means[key]} <= {"", COUNTED}:
        return True
    ours, others = set(tokens(heading)), set(tokens(theirs))
    if not (ours | others) & _POINTING:
        return False
    return folded(heading) == folded(theirs) or (bool(ours & others) and (ours <= others or others <= ours))


def _covers(pointers: Sequence[str], index: Mapping[str, object]) -> bool:
    found = sum(folded(text) in index for text in pointers)
    return bool(index) and len(pointers) >= LEAST_ROWS and found >= POINTED * len(pointers)
