"""The rows of a table made whole: what stands once above counts for the rows below it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.ditto import is_ditto, is_taken_over
from pipeline.ingest.recognise.carried import FILLED, Carried
from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.left_off import left_off
from pipeline.ingest.recognise.profile import looks, number_of, profile
from pipeline.ingest.recognise.row_dates import without_clock
from pipeline.ingest.recognise.scales import scaled
from pipeline.ingest.recognise.spoken import Book, Said, known_in, said_by_cells, said_in_pairs
from pipeline.ingest.recognise.told import paired, paired_among, told_by
from pipeline.ingest.recognise.totals import sums_up
from pipeline.ingest.recognise.units import SAME, as_unit
from pipeline.ingest.recognise.vocabulary import SECTIONS, SETTINGS, UNITS, base_of
from pipeline.ingest.recognise.words_out import words_out
from pipeline.ingest.step_words import is_same
from pipeline.ingest.values import is_nothing

_WORDS = re.compile(r"[^\W\d_]{3}\W+[^\W\d_]{3}")
LONGEST_UNIT, MOSTLY_NUMBERS, HALF, LEAST_TOLD, MOST_SAID = 12, 0.8, 0.5, 2, 8
_YEAR = re.compile(r"(?:19|20)\d\d")
_GLUED_S = re.compile(r"\dS$")
"""A capital right behind a number is a 5 as often as a second, unless most cells of the column have it."""
_ONLY_UNIT = frozenset({"turn", "rpm"})
"""Canonical units that nobody writes in another: any word behind the number says them."""
MOST_TOLD = 8
"""What a line tells beside a day stands in so many cells at most."""
SPARSE = 0.35
"""A column that is filled in no more of its rows than this is written when it changes."""


@dataclass(slots=True)
class Row:
    """One line of a table by what its cells are.

    Attributes
    ----------
    number
        Row of the sheet.
    cells
        Column -> text to read; filled from above where the person left it out.
    typed
        Column -> text as it stands in the sheet.
    spill
        Cells past the last heading.
    is_words, is_heading
        Whether the line holds words and no entries; whether it repeats the headings.
    told
        Column -> text of what such a line tells in a sentence.
    is_within_day
        Whether rows stand between such a line and the last one that named a day.
    """

    number: int
    cells: dict[str, str]
    typed: dict[str, str]
    spill: list[str]
    is_words: bool = False
    told: dict[str, str] = field(default_factory=dict)
    is_heading: bool = False
    is_within_day: bool = False


def rows_of(draft: Draft, above: Said, book: Book) -> tuple[list[Row], Said]:
    """Read the lines of a table by what its columns are.

    Parameters
    ----------
    draft
        The table.
    above
        What the names of file and tab and lines further up say.
    book
        Names and years known.

    Returns
    -------
    tuple
        The rows, lines of words among them, and what was said last.
    """
    names = {own.candidate.index: own.name for own in draft.choices if own.is_read}
    places = {name: at for at, name in names.items()}
    last = max((at for at, heading in enumerate(draft.part.headings) if heading.text), default=-1)
    said, rows = above, []
    sparse = {name: _is_sparse(draft, places[name]) for name in FILLED if name in places}
    carried = Carried(said, sparse, book.year, is_car_written_each_time=_is_written_each_time(draft, places))
    parts = {name: at for name in ("month", "year") if (at := draft.column(name)) is not None}
    from_row = dict.fromkeys(names.values(), "")
    is_within_day: bool | None = None
    off, again = left_off(draft), draft.part.repeats_headings
    for at, (number, cells) in enumerate(draft.part.lines):
        if at in draft.part.at or not any(cells) or number in draft.marks.rows:
            rows.append(Row(number, {}, {}, [text for text in cells if text][:1], is_words=True))
            continue
        is_total = sums_up(cells)
        is_above = _is_above(draft, at, cells)
        labelled = None if is_total else said_in_pairs(cells, book, is_above=is_above)
        told = (
            {}
            if is_total or labelled
            else paired(cells, draft.meaning)
            or _air_in_banner(cells, draft, book)
            or _told_beside_a_date(cells, draft)
            or _told(draft, cells, names)
        )
        told = {name: _in_its_unit(name, text, draft) for name, text in told.items()}
        if is_total or labelled or told or is_above or is_words_line(draft, cells, names):
            line = (
                Said() if is_total else _line_said(draft, labelled or said_by_cells(cells, book), told, book)
            )
            said = said.then(line if not any(row.cells for row in rows) else replace(line, rest=""))
            carried.hear(line)
            is_within_day = False if line.date else is_within_day
            carried.written_year = line.year or carried.written_year
            first = next(text for text in cells if text)
            before = _told_above(rows, number) if told and "time" not in told else None
            is_new_sort = set(told) <= {*SETTINGS} and not set(before or ()) & {*SETTINGS}
            if before is not None and not is_new_sort and not set(told) & set(before):
                before |= told
                told = {}
            rows.append(
                Row(number, {}, {}, [first], is_words=True, told=told, is_within_day=bool(is_within_day))
            )
            continue
        if again(cells):
            heads = {name: draft.part.headings[at].text for name, at in places.items()}
            rows.append(
                Row(number, heads, {name: cells[at] for name, at in places.items()}, [], is_heading=True)
            )
            continue
        typed = {name: cells[place] for name, place in places.items() if cells[place]}
        in_full = {name: draft.marks.cells.get((number, places[name]), text) for name, text in typed.items()}
        own = {name: _pointed(text, from_row.get(name, ""), name) for name, text in in_full.items()}
        off.put_back(own)
        own |= {"car": known_in(own["car"], book.cars)} if own.get("car") else {}
        own |= {"date": without_clock(own["date"])} if own.get("time") and own.get("date") else {}
        words_out(own, typed)
        from_row |= {name: text for name, text in own.items() if not is_ditto(typed[name])}
        beyond = list(cells[last + 1 :])
        if (said_beyond := _remark(beyond)) and _lies_under_its_headings(own):
            typed["notes"] = own["notes"] = "; ".join(filter(None, (own.get("notes", ""), said_beyond)))
            beyond = []
        carried.hear_parts({name: cells[place] for name, place in parts.items()})
        row = Row(number, carried.fill(own), typed, beyond)
        is_within_day = is_within_day if is_within_day is None else True
        for place, (name, word) in draft.ticks.items():
            if cells[place] and name not in row.cells:
                row.cells[name] = row.typed[name] = word
        rows.append(row)
    return rows, said


def _line_said(draft: Draft, line: Said, told: Mapping[str, str], book: Book) -> Said:
    """Give what a line says of the rows below; of one that tells entries, its day and a strip that is known.

    Whose the columns are the name above them says, where cars stand beside each other.
    """
    if told:
        return Said(line.date, venue=line.venue if line.venue in book.venues.values() else "")
    return replace(line, car="") if draft.car else line


def _in_its_unit(name: str, text: str, draft: Draft) -> str:
    """Give a number of a line of words the unit and the scale that a title says for it."""
    text = scaled(text, draft.scales.get(name, 1.0))
    unit = draft.units.get(UNITS.get(name, ""), "")
    found = number_of(text)
    return f"{text} {unit}" if unit and found is not None and not found[1] else text


def _told_above(rows: Sequence[Row], number: int) -> dict[str, str] | None:
    """Give what the lines right above tell, for a line that goes on with it."""
    for row in reversed(rows):
        if row.number < number - 1 or not row.is_words:
            return None
        if row.told:
            return row.told
        number = row.number
    return None


def _remark(cells: Sequence[str]) -> str:
    """Return the one cell that is filled when it holds words; empty else."""
    filled = [text for text in cells if text]
    return filled[0] if len(filled) == 1 and re.search(r"[^\W\d_]{3}", filled[0]) else ""


def _lies_under_its_headings(own: Mapping[str, str]) -> bool:
    """Tell whether no cell of a row looks moved to the side: remarks are no numbers, and numbers no words."""
    said = own.get("notes", "")
    return number_of(said) is None and not any(
        text[0].isalpha() and number_of(text) is None and not (is_nothing(text) or is_same(text))
        for name, text in own.items()
        if UNITS.get(base_of(name)) and text
    )


def _air_in_banner(cells: Sequence[str], draft: Draft, book: Book) -> dict[str, str]:
    """Give what labels with values beside them tell on a line that else names a day, a strip or a session."""
    found, rest = paired_among(cells, draft.meaning)
    if not found or any(number_of(text) is not None or looks(text).is_clock for text in rest):
        return {}
    said = said_by_cells(rest, book)
    is_banner = said.date or said.venue or (len(found) > 1 and len(rest) <= 1)
    return found if is_banner else {}


def _told_beside_a_date(cells: Sequence[str], draft: Draft) -> dict[str, str]:
    """Give what a line tells of the air or of settings beside a day and no number by itself."""
    filled = [text for text in cells if text]
    if not 1 < len(filled) <= MOST_TOLD:
        return {}
    rest = [text for text in filled if not looks(text).is_date]
    numbers = [found for text in rest if (found := number_of(text)) is not None]
    if len(filled) - len(rest) != 1 or any(not unit for _, unit in numbers):
        return {}
    return {} if any(looks(text).is_clock for text in rest) else told_by(rest, draft.meaning)


def _numeric(draft: Draft) -> set[int]:
    """Give the columns that mostly hold numbers."""
    return {own.candidate.index for own in draft.choices if own.candidate.cells.number_share > HALF}


def _told(draft: Draft, cells: Sequence[str], names: Mapping[int, str]) -> dict[str, str]:
    """Give the entries that a line tells in a sentence, where words stand in place of something else."""
    odd = _numeric(draft) | {at for at, name in names.items() if name in {"date", "time"}}
    if not draft.part.at and not draft.part.headings[0].text and cells[0] and not any(cells[1:]):
        return told_by(cells[:1], draft.meaning)
    for at, text in enumerate(cells):
        is_word = number_of(text) is None and re.search(r"[^\W\d_]{2}", text) is not None
        if (
            is_word
            and at in odd
            and not is_nothing(text)
            and not (looks(text).is_date or looks(text).is_clock)
        ):
            return told_by(cells, draft.meaning) or _told_in_one(cells, draft)
    return {}


def _told_in_one(cells: Sequence[str], draft: Draft) -> dict[str, str]:
    """Give what one cell of a line with a day tells of the air: ``all day: 29 C / 991 hPa / 45 %``."""
    if not any(looks(text).is_date for text in cells):
        return {}
    told = [told_by([text], draft.meaning) for text in cells if text and not looks(text).is_date]
    return next((found for found in told if len(found) >= LEAST_TOLD), {})


def _is_above(draft: Draft, at: int, cells: Sequence[str]) -> bool:
    """Tell whether a line of a few cells stands above the headings of many columns."""
    is_short = sum(map(bool, cells)) <= min(MOST_TOLD, len(draft.part.headings) // 3)
    return is_short and at < min(draft.part.at, default=0)


def is_words_line(draft: Draft, cells: Sequence[str], names: dict[int, str]) -> bool:
    """Tell whether a line is no row of the table: a cell or two of words, none where numbers belong."""
    filled = [(at, text) for at, text in enumerate(cells) if text]
    if len(draft.part.headings) <= 2:
        return False
    if len(filled) == 1 and _YEAR.fullmatch(filled[0][1]) and names.get(filled[0][0]) != "date":
        return True
    if len(filled) > 2:
        return _is_banner(draft, filled, names)
    for at, text in filled:
        if is_ditto(text):
            return False
        name = names.get(at, "")
        looked = profile([text])
        number = number_of(text)
        is_number = number is not None and len(number[1]) <= LONGEST_UNIT
        is_number = is_number and not (name == "date" and len(filled) == 1 and _WORDS.search(text))
        if is_number or (name == "date" and looked.dates and len(filled) == 2):
            return False
        if name == "date" and looked.dates and len(filled) == 1 and at == 0:
            return True
        if name == "time" and looked.clocks:
            return False
        if at > 1 and len(filled) == 1 and name in {"notes", "outcome", "car"}:
            return False
    return True


def _is_banner(draft: Draft, filled: Sequence[tuple[int, str]], names: Mapping[int, str]) -> bool:
    """Tell whether cells hold no number, a date, and words in place of numbers or a date for a time."""
    if any(number_of(text) is not None or is_ditto(text) or is_nothing(text) for _, text in filled):
        return False
    numeric = _numeric(draft)
    dated = [at for at, text in filled if looks(text).is_date]
    odd = [
        at
        for at, text in filled
        if (at in numeric or names.get(at) == "time")
        and (at in dated or re.search(r"[^\W\d_]{2}", text) is not None)
    ]
    return bool(odd) and len(dated) == 1 and len(filled) <= (4 if "date" in names.values() else MOST_SAID)


def _is_sparse(draft: Draft, at: int) -> bool:
    texts = [cells[at] for _, cells in draft.part.body if sum(1 for text in cells if text) > 2]
    return bool(texts) and sum(1 for text in texts if text) <= SPARSE * len(texts)


def _is_written_each_time(draft: Draft, places: Mapping[str, int]) -> bool:
    """Tell whether one of several cars is written again on the next line: a blank is then no "same"."""
    if "car" not in places:
        return False
    day = places.get("date")
    seen = [(cells[places["car"]], "" if day is None else cells[day]) for _, cells in draft.part.body]
    if len({folded(car) for car, _ in seen if car and not is_ditto(car)}) < 2:
        return False
    return any(
        car and folded(car) == folded(next_car) and next_date in {"", date}
        for (car, date), (next_car, next_date) in pairwise(seen)
    )


def _pointed(text: str, above: str, name: str) -> str:
    """Take over what a ditto mark points to; a number measured anew is put beside it, to be asked about."""
    if not is_ditto(text):
        return text
    if is_taken_over(name):
        return above
    if not above:
        return text
    return f"{text} (same as above: {above})"


def add_sections(rows: Sequence[Row]) -> None:
    """Add up times written from distance to distance, so that each split counts from the start."""
    for row in rows:
        reached, text = "t60_s", row.cells.get("t60_s", "")
        for near, far in SECTIONS:
            piece = row.cells.pop(f"section {near} {far}", "")
            typed = row.typed.pop(f"section {near} {far}", "")
            start, step = number_of(row.cells.get(f"t{near}_s", text if near == 60 else "")), number_of(piece)
            if start is None or step is None or (row.cells.get(f"t{far}_s") and far != 1320):
                continue
            reached = f"t{far}_s"
            row.cells[reached] = f"{start[0] + step[0]:.3f}"
            row.typed[reached] = f"{typed} after {near} ft"
        whole = number_of(row.cells.get("t1320_s", ""))
        so_far = number_of(row.cells.get(reached, ""))
        if reached not in ("t60_s", "t1320_s") and whole and so_far and abs(whole[0] - so_far[0]) < 0.006:
            del row.cells["t1320_s"]


def plain_texts(rows: Sequence[Row], units: dict[str, str]) -> None:
    """Take off units that change nothing and odd points, so that the quick reading takes the cell.

    Parameters
    ----------
    rows
        Changed in place.
    units
        Number columns with their canonical unit.
    """
    for name, unit in units.items():
        texts = [text for row in rows if (text := row.cells.get(name, ""))]
        is_usual = sum(_GLUED_S.search(text) is not None for text in texts) > len(texts) / 2
        own_word = _own_word(texts) if unit in _ONLY_UNIT else ""
        for row in rows:
            text = row.cells.get(name, "")
            if text and (is_usual or not _GLUED_S.search(text)):
                row.cells[name] = _plain(text.removesuffix(own_word), unit)


def _own_word(texts: Sequence[str]) -> str:
    """Give what a person writes behind nearly every number of a column, ``1.75v``; empty without any."""
    behind = Counter(found[1] for text in texts if (found := number_of(text)) is not None)
    word, count = behind.most_common(1)[0] if behind else ("", 0)
    return word if count >= MOSTLY_NUMBERS * len(texts) and word.isalpha() else ""


def _plain(text: str, unit: str) -> str:
    text = text.replace("·", ".")
    found = number_of(text)
    if found is None or not found[1] or "/" in text or "," in text or text[:1] in "~<>≈":
        return text
    own = as_unit(found[1], unit)
    return text[: len(text.rstrip()) - len(found[1])].strip() if own == SAME else text


def dated(rows: Sequence[Row]) -> Iterator[str]:
    """Give every date text of some rows."""
    return (row.cells["date"] for row in rows if row.cells.get("date"))
