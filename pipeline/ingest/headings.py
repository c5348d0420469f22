"""Headings as people write them: which sheet this is, what each column holds, in which unit."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pipeline.errors import UnitError
from pipeline.garage.columns import MOST_SCREWS, Column, Kind, numbered
from pipeline.garage.dictionary import COLUMNS, DATE_WORDS, SHEET_TABLES, TIME_WORDS
from pipeline.garage.factors import ADJUSTMENTS, columns_of
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.garage.units import Conversion, conversion

SheetKind = Kind | Literal["answers", "unrecognised"]

# A sheet is of a kind when it has one of these; the first kind that fits wins.
NEEDED: dict[Kind, tuple[str, ...]] = {
    "timeslips": ("t60_s", "t330_s", "t660_s", "t1320_s", "t1000_s"),
    "checks": ("ring_height_in", "shim_removed_in", "bearing_clearance_in"),
    "weather": (
        "air_temp_degf",
        "pressure_inhg",
        "humidity_pct",
        "dew_point_degf",
        "wet_bulb_degf",
        "grains",
    ),
    "setups": tuple(columns_of(ADJUSTMENTS).values()),
    "track": ("track_temp_degf",),
}
STRIP_OR_SURFACE = "track"
"""A heading for the name of the strip, or for the temperature of its surface."""
ANSWER_COLUMNS = ("question_id", "answer")
_UNIT_IN_HEADING = re.compile(r"^(.*?)\s*[(\[{]\s*([^)\]}]*?)\s*[)\]}]\s*$", re.DOTALL)
_UNIT_BEHIND = re.compile(r"^(.*?)[\s,:/]+(?:in\s+)?(\S+)$", re.DOTALL)
_NUMBERED = re.compile(r"^(.*?)\s*#?\s*([1-9]\d?)$", re.DOTALL)


@dataclass(frozen=True, slots=True)
class HeadedColumn:
    """A column of a sheet that was recognised.

    Attributes
    ----------
    name
        Canonical column, ``date``, ``time``, ``extra:<adjustment>`` or ``<column>_1`` and on, one a screw.
    index
        Place among the sheet's text columns, from 0.
    heading
        As typed.
    to_canonical
        From the heading's unit to the canonical one.
    why
        How it was known, where its heading alone does not say; empty else.
    place
        Column of the file, from 0, where that is not ``index``.
    doubt
        A question to the person about the whole column; empty where it is clear.
    row
        Row of the heading, for such a question.
    """

    name: str
    index: int
    heading: str
    to_canonical: Conversion
    why: str = ""
    place: int | None = None
    doubt: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """How a sheet is to be read.

    ``heading_row`` is its row number; rows up to it are set aside. ``unused`` are headings
    that were not recognised; ``problems`` are sentences about headings.
    """

    kind: SheetKind
    heading_row: int
    columns: tuple[HeadedColumn, ...]
    unused: tuple[tuple[int, str], ...]
    problems: tuple[str, ...]
    named_width: int | None = None

    @property
    def width(self) -> int:
        """How many text columns have a heading, to the last one that has."""
        if self.named_width is not None:
            return self.named_width
        places = [column.index for column in self.columns] + [place for place, _ in self.unused]
        return max(places, default=-1) + 1

    def index_of(self, name: str) -> int | None:
        """Return the place of a canonical column; None when the sheet has none."""
        return next((column.index for column in self.columns if column.name == name), None)


@dataclass(frozen=True, slots=True)
class _Vocabulary:
    """What a sheet of one kind may hold: columns by canonical name, and names by folded spelling."""

    words: Mapping[str, Column]
    by_alias: Mapping[str, str]

    @classmethod
    def of(cls, kind: Kind, garage: Garage) -> _Vocabulary:
        words = vocabulary(kind, garage)
        by_alias = _aliases(words)
        own = {folded(heading): by_alias.get(folded(meant)) for heading, meant in garage.headings.items()}
        return cls(
            words, {**by_alias, **{heading: name for heading, name in own.items() if name is not None}}
        )


_Vocabularies = Mapping[Kind, _Vocabulary]


def plan_sheet(head: Iterable[tuple[int, tuple[str | None, ...]]], garage: Garage) -> SheetPlan:
    """Find the heading row among a sheet's first rows and say what each column is.

    Parameters
    ----------
    head
        The first rows: row number and text cells.
    garage
        For the person's own headings and adjustments.

    Returns
    -------
    SheetPlan
        Of kind ``unrecognised`` when no row looks like headings.
    """
    rows = list(head)
    reader = HeadingReader.of(garage)
    best: SheetPlan | None = None
    for at in range(len(rows)):
        found = reader.read(rows, at)
        if found is not None and (best is None or len(found.columns) > len(best.columns)):
            best = found
    first = rows[0][0] if rows else 1
    nothing = SheetPlan("unrecognised", first, (), tuple(_named(rows[0][1])) if rows else (), ())
    return _with_unit_row(_with_strip_names(best, rows), rows) if best else nothing


@dataclass(frozen=True, slots=True)
class HeadingReader:
    """Reads single rows as headings, with the words of one ``garage.toml``."""

    known: _Vocabularies

    @classmethod
    def of(cls, garage: Garage) -> HeadingReader:
        """Gather the words for every kind of sheet."""
        return cls({kind: _Vocabulary.of(kind, garage) for kind in NEEDED})

    @property
    def date_words(self) -> frozenset[str]:
        """Every folded spelling that heads a column of dates."""
        return frozenset(
            word for known in self.known.values() for word, name in known.by_alias.items() if name == "date"
        )

    def read(self, rows: Sequence[tuple[int, tuple[str | None, ...]]], at: int) -> SheetPlan | None:
        """Return the fullest reading of one row as headings; None when it has none.

        Parameters
        ----------
        rows
            Row numbers and text cells; the row before the one asked for may hold group headings.
        at
            Place of the row in ``rows``.
        """
        readings = _readings_of(rows, at, *rows[at], self.known)
        return max(readings, key=lambda plan: len(plan.columns), default=None)


def _with_strip_names(plan: SheetPlan, rows: list[tuple[int, tuple[str | None, ...]]]) -> SheetPlan:
    """Take a column headed ``track`` for names of strips when words stand in it and no number."""
    at = plan.index_of("track_temp_degf")
    column = next((column for column in plan.columns if column.index == at), None)
    if column is None or folded(column.heading) != STRIP_OR_SURFACE or plan.index_of("venue") is not None:
        return plan
    below = [cells[column.index] or "" for number, cells in rows if number > plan.heading_row]
    if not any(re.search(r"[^\W\d]{3}", text) for text in below) or any(
        re.match(r"\s*\d", text) for text in below
    ):
        return plan
    columns = tuple(replace(own, name="venue") if own is column else own for own in plan.columns)
    return replace(plan, columns=columns)


def _with_unit_row(plan: SheetPlan, rows: list[tuple[int, tuple[str | None, ...]]]) -> SheetPlan:
    """Take the row below the headings as units when it holds nothing but units, two or more."""
    below = next((row for row in rows if row[0] == plan.heading_row + 1), None)
    if below is None:
        return plan
    number, cells = below
    typed = {column.index: _bare_unit(cells, column.index) for column in plan.columns}
    elsewhere = any(cell and cell.strip() for at, cell in enumerate(cells) if at not in typed)
    units = {at: text for at, text in typed.items() if text}
    if len(units) < 2 or elsewhere:
        return plan
    columns = []
    for column in plan.columns:
        text = units.get(column.index)
        if text is None:
            columns.append(column)
            continue
        canonical = _unit_of(column.name)
        if not canonical or not _is_unit(text, canonical):
            return plan
        columns.append(replace(column, to_canonical=conversion(text, canonical)))
    return replace(plan, heading_row=number, columns=tuple(columns))


def _bare_unit(cells: tuple[str | None, ...], at: int) -> str:
    text = (cells[at] or "") if at < len(cells) else ""
    return text.strip().strip("()[]{}").strip()


def _unit_of(name: str) -> str:
    column = COLUMNS.get(_base(name))
    return column.unit if column else ""


def _base(name: str) -> str:
    """Return the column to which one written screw by screw belongs; any other name as it is."""
    return name if name in COLUMNS else re.sub(r"_\d+$", "", name)


def _readings_of(
    rows: Sequence[tuple[int, tuple[str | None, ...]]],
    at: int,
    number: int,
    cells: tuple[str | None, ...],
    known: _Vocabularies,
) -> Iterable[SheetPlan]:
    """Read a row as headings, alone and under a row of merged group headings."""
    yield from _as_headings(number, cells, known)
    if at and number == rows[at - 1][0] + 1:
        carried, merged = "", []
        for above, own in zip(rows[at - 1][1], cells, strict=False):
            carried = (above or "").strip() or carried
            merged.append(f"{carried} {own or ''}".strip())
        for plan in _as_headings(number, tuple(merged), known):
            alone = next(iter(_as_headings(number, cells, known)), None)
            if alone is None or len(plan.columns) > len(alone.columns):
                yield plan


def _as_headings(number: int, cells: tuple[str | None, ...], known: _Vocabularies) -> Iterable[SheetPlan]:
    names = [folded(cell or "") for cell in cells]
    if all(folded(needed) in names for needed in ANSWER_COLUMNS):
        yield SheetPlan("answers", number, _answer_columns(cells), (), ())
        return
    for kind in NEEDED:
        columns, unused, problems = _match(known[kind], cells)
        found = {_base(column.name) for column in columns}
        extra_setting = kind == "setups" and any(name.startswith("extra:") for name in found)
        if (found & set(NEEDED[kind]) or extra_setting) and "date" in found and len(found) >= 2:
            yield SheetPlan(kind, number, columns, unused, problems)
            return


def _answer_columns(cells: tuple[str | None, ...]) -> tuple[HeadedColumn, ...]:
    same = Conversion(1.0, 0.0)
    return tuple(
        HeadedColumn(re.sub(r"\W+", "_", cell.strip().casefold()), at, cell, same)
        for at, cell in enumerate(cells)
        if cell and cell.strip()
    )


def _named(cells: tuple[str | None, ...]) -> list[tuple[int, str]]:
    return [(at, cell.strip()) for at, cell in enumerate(cells) if cell and cell.strip()]


def _match(
    known: _Vocabulary, cells: tuple[str | None, ...]
) -> tuple[tuple[HeadedColumn, ...], tuple[tuple[int, str], ...], tuple[str, ...]]:
    words = known.words
    columns: list[HeadedColumn] = []
    unused: list[tuple[int, str]] = []
    problems: list[str] = []
    taken: set[str] = set()
    for (at, heading), found in _meanings(cells, known):
        if found is None or found[0] in taken:
            if found is not None:
                problems.append(
                    f"The heading {heading!r} stands for {found[0]} a second time; the first is used."
                )
            unused.append((at, heading))
            continue
        name, unit = found
        try:
            to_canonical = conversion(unit, words[name].unit) if words[name].unit else Conversion(1.0, 0.0)
        except UnitError as wrong:
            problems.append(f"Heading {heading!r}: {wrong}")
            unused.append((at, heading))
            continue
        taken.add(name)
        columns.append(HeadedColumn(name, at, heading, to_canonical))
    return tuple(columns), tuple(unused), tuple(problems)


def _meanings(
    cells: tuple[str | None, ...], known: _Vocabulary
) -> list[tuple[tuple[int, str], tuple[str, str] | None]]:
    """Return each heading with its meaning; ``track`` is the strip beside another track temperature."""
    found = [(named, _meaning(named[1], known)) for named in _named(cells)]
    temperatures = sum(meaning is not None and meaning[0] == "track_temp_degf" for _, meaning in found)
    if temperatures < 2:
        return found
    strip = ("venue", "")
    return [(named, strip if folded(named[1]) == STRIP_OR_SURFACE else meaning) for named, meaning in found]


def vocabulary(kind: Kind, garage: Garage) -> Mapping[str, Column]:
    """Return every canonical name a sheet of this kind may have, with its column."""
    table = SHEET_TABLES[kind]
    words = {column.name: column for column in table.columns if column.heading}
    screws = max((clutch.screws or MOST_SCREWS for clutch in garage.clutches), default=MOST_SCREWS)
    if table.several is not None:
        words |= dict.fromkeys(numbered(table.several.name, screws), table.several)
    words["date"] = Column("date", "DATE", "date", heading="date", aliases=DATE_WORDS)
    words["time"] = Column("time", "VARCHAR", "time of day", heading="time", aliases=TIME_WORDS)
    if table.has("extras"):
        for adjustment in garage.adjustments:
            name = f"extra:{adjustment.name}"
            spellings = (adjustment.name, adjustment.spoken, *adjustment.also)
            words[name] = Column(
                name, "DOUBLE", adjustment.spoken, heading=adjustment.name, aliases=spellings
            )
    for own, canonical in garage.headings.items():
        name = canonical if canonical in words else _aliases(words).get(folded(canonical), "")
        if name in words:
            words[name] = replace(words[name], aliases=(*words[name].aliases, own))
    return words


def _meaning(heading: str, known: _Vocabulary) -> tuple[str, str] | None:
    """Return the canonical name and the unit text of a heading; None when it is not known."""
    words, by_alias = known.words, known.by_alias
    text = heading.strip()
    if (whole := _look_up(text, by_alias, words)) is not None:
        ends = (pattern.match(text) for pattern in (_UNIT_IN_HEADING, _UNIT_BEHIND))
        units = [end.group(2) for end in ends if end is not None]
        return whole, next((unit for unit in units if _is_unit(unit, words[whole].unit)), "")
    for pattern in (_UNIT_IN_HEADING, _UNIT_BEHIND):
        split = pattern.match(text)
        if split is None:
            continue
        name = _look_up(split.group(1), by_alias, words)
        if name is not None and (pattern is _UNIT_IN_HEADING or _is_unit(split.group(2), words[name].unit)):
            return name, split.group(2)
    return None


def _is_unit(text: str, canonical: str) -> bool:
    if not canonical:
        return False
    try:
        conversion(text, canonical)
    except UnitError:
        return False
    return True


def _look_up(text: str, by_alias: Mapping[str, str], words: Mapping[str, Column]) -> str | None:
    name = by_alias.get(folded(text))
    if name is not None:
        return name
    numbered = _NUMBERED.match(text.strip())
    if numbered is not None:
        base = by_alias.get(folded(numbered.group(1)))
        candidate = f"{base}_{numbered.group(2)}"
        if candidate in words:
            return candidate
    return None


def _aliases(words: Mapping[str, Column]) -> Mapping[str, str]:
    found: dict[str, str] = {}
    for name, column in words.items():
        # A numbered column shares its column's spellings; only the bare one may claim them.
        texts = (name,) if name != column.name else (column.heading, name, *column.aliases)
        for text in texts:
            found.setdefault(folded(text), name)
    return found
