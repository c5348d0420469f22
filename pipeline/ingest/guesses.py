"""What an entry that cannot be may have been, by the rows around it: dates, times of day, the air, settings.

The numbers of a slip have a model of their own (``slip_repairs``). Here the likeliest slip of the pen is the
one whose result goes on with what stands above and below.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import duckdb
import polars as pl

from pipeline.errors import UnitError
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.factors import ADJUSTMENTS, columns_of
from pipeline.garage.units import conversion
from pipeline.ingest.dates import read_dates, read_time
from pipeline.ingest.ditto import is_ditto
from pipeline.ingest.repairs import Repair, repairs
from pipeline.store.database import lend, query

MOST_ASKED, REACH = 300, 40
"""So many entries are looked at, each with so many rows above and below."""
AS_IT_WAS = frozenset({"setting_out_of_reach", "turns_past_limit", "counterweight_total"})
"""Rules whose own suggestion stands unless the setting was the one above or below."""
WIDTHS: Mapping[str, float] = {
    "air_temp_degf": 6.0, "pressure_inhg": 0.08, "humidity_pct": 10.0, "dew_point_degf": 6.0, "grains": 15.0,
    "track_temp_degf": 9.0, "launch_rpm": 250.0, "preload_turns": 0.6, "counterweight_g": 1.2,
    "tire_pressure_psi": 0.7,
}  # fmt: skip
"""How far such a number may well be from those beside it, in canonical units."""
OTHER_UNIT: Mapping[str, str] = {"degF": "degC", "inHg": "hPa", "mph": "km/h", "psi": "bar"}
ANOTHER_UNIT, EXCHANGED, AS_BESIDE, AT_MOST, CLEARLY = 3.0, 0.0, -3.0, 3.0, 1.5
"""What it costs that a number was meant in another unit, and that two of a row were exchanged; what it is
worth that it is the one above or below; how many widths it may be off; by how much the best must lead."""
FINER, ROUND = 4.0, 2
"""What each figure behind the point costs that none of the others has; how many noughts at the end count."""
SWAPPED, CHANGED, DROPPED = 1.0, 3.0, 4.0
"""What two digits exchanged, one changed and one too many cost in a date or a time of day."""
KNOWN_DAY, BETWEEN_DAYS, NEAR_DAY, OTHER_DAY, DAYS_NEAR = 2.0, 1.0, 3.0, 6.0, 20
_COLUMNS = {column.name: column for table in SHEET_TABLES.values() for column in table.columns}
_SETTINGS = tuple(columns_of(ADJUSTMENTS).values())
_NUMBER = re.compile(r"^\s*(?P<number>[-+−]?[\d.,OoIlSB]*[\dOo][\d.,OoIlSB]*)\s*(?P<unit>[^\d\s].*)?$")
_CLOCK = re.compile(r"^\s*\d{1,2}\s*[:.h]?\s*\d{2}(?:\D.*)?$")


@dataclass(frozen=True, slots=True)
class Asked:
    """One entry under question, as typed."""

    file: str
    sheet: str
    row: int
    column: str
    value: str
    suggestion: str | None
    rule: str


Beside = dict[str, Any]
"""A row near an entry: ``row``, ``day``, ``clock`` [s], ``where`` (strip or car), and its numbers."""


def guess(con: duckdb.DuckDBPyConnection) -> None:
    """Give entries under question that have no suggestion, or a weak one, what goes on with the rows around.

    Parameters
    ----------
    con
        The store inside ingest's transaction, with ``questions`` (values filled) and the typed tables.
    """
    con.execute(query("doubts/after/guessable"), {"most": MOST_ASKED})
    asked = [Asked(*row) for row in con.table("guessable").fetchall()]
    if not asked:
        return
    beside = _rows_beside(con)
    known = con.execute(query("doubts/after/guess_units")).fetchall()
    units = {(file, sheet, column): (factor, shift) for file, sheet, column, factor, shift in known}
    texts: dict[tuple[str, str], list[str]] = defaultdict(list)
    for file, sheet, text in con.execute(query("doubts/after/guess_dates")).fetchall():
        texts[file, sheet].append(text)
    found = []
    said: dict[tuple[str, str, str], tuple[str, str | None]] = {}
    for one in asked:
        rows = [each for each in beside[one.file, one.sheet] if abs(each["row"] - one.row) <= REACH]
        if one.column == "date":
            told = _guess_date(one, rows, texts[one.file, one.sheet])
        elif one.column == "time":
            told = _guess_time(one, rows)
        else:
            same_row = [each.value for each in asked if _is_beside(each, one)]
            told = _guess_number(one, rows, units.get((one.file, one.sheet, one.column)), same_row)
            if one.suggestion is not None and one.rule in AS_IT_WAS and not _is_likelier(told, one, rows):
                told = None
        place = (one.file, one.sheet, one.column)
        if is_ditto(one.value) and said.get(place, ("",))[0] == one.rule:
            told = said[place][1]
        else:
            said[place] = (one.rule, told or one.suggestion)
        if told is not None:
            found.append((one.file, one.sheet, one.row, one.column, told))
    if not found:
        return
    schema = {"file": pl.String, "sheet": pl.String, "row": pl.Int32, "column": pl.String, "told": pl.String}
    lend(con, "guessed", pl.DataFrame(found, schema=schema, orient="row"))
    con.execute(query("doubts/after/guessed"))
    con.unregister("guessed")


def _rows_beside(con: duckdb.DuckDBPyConnection) -> dict[tuple[str, str], list[Beside]]:
    """Return the rows of every sheet with such a question, from the top, those under question among them."""
    result = con.execute(query("doubts/after/guess_rows"), {"reach": REACH})
    names = [each[0] for each in result.description]
    beside: dict[tuple[str, str], list[Beside]] = defaultdict(list)
    for row in result.fetchall():
        own = dict(zip(names, row, strict=True))
        beside[own["file"], own["sheet"]].append(own)
    for rows in beside.values():
        rows.sort(key=lambda each: each["row"])
    return beside


# --- dates and times


def _edits(text: str) -> Iterator[tuple[str, float]]:
    """Yield every text one slip of the pen in its digits away, with what it costs."""
    for at, letter in enumerate(text):
        if not letter.isdigit():
            continue
        after = text[at + 1 : at + 2]
        if after.isdigit() and after != letter:
            yield text[:at] + after + letter + text[at + 2 :], SWAPPED
        yield text[:at] + text[at + 1 :], DROPPED
        for digit in "0123456789":
            if digit != letter:
                yield text[:at] + digit + text[at + 1 :], CHANGED


def _guess_date(one: Asked, rows: Sequence[Beside], texts: Sequence[str]) -> str | None:
    habit = dict.fromkeys([text for text in texts if text != one.value], 1)
    days = [each["day"] for each in rows if each["day"] is not None]
    above = next((each["day"] for each in reversed(rows) if each["row"] < one.row and each["day"]), None)
    below = next((each["day"] for each in rows if each["row"] > one.row and each["day"]), None)
    costs: dict[dt.date, float] = {}
    for text, cost in dict(sorted(_edits(one.value), key=lambda each: -each[1])).items():
        read = read_dates([text], habit).get(text)
        day = (read.day or read.suggestion) if read else None
        if day is not None:
            costs[day] = min(costs.get(day, 99.0), cost + _strangeness(day, above, below, days))
    return _clearest(costs, lambda day: day.isoformat(), most=OTHER_DAY + 2 * SWAPPED)


def _strangeness(
    day: dt.date, above: dt.date | None, below: dt.date | None, days: Sequence[dt.date]
) -> float:
    """Say how odd a day is among those around it."""
    if day in (above, below):
        return 0.0
    if above and below and min(above, below) <= day <= max(above, below):
        return BETWEEN_DAYS
    if day in days:
        return KNOWN_DAY
    away = min((abs((day - other).days) for other in days), default=0)
    return NEAR_DAY + away / DAYS_NEAR if away <= 3 * DAYS_NEAR else OTHER_DAY + min(away / 365, 10.0)


def _guess_time(one: Asked, rows: Sequence[Beside]) -> str | None:
    if _CLOCK.match(one.value) is None:
        return None
    own = next((each["day"] for each in rows if each["row"] == one.row), None)
    same = [
        each for each in rows if each["clock"] is not None and each["row"] != one.row and each["day"] == own
    ]
    above = next((each["clock"] for each in reversed(same) if each["row"] < one.row), None)
    below = next((each["clock"] for each in same if each["row"] > one.row), None)
    above, below = (below, above) if _is_newest_first(rows) else (above, below)
    costs: dict[int, float] = {}
    for text, cost in _edits(one.value):
        clock, problem = read_time(text)
        if clock is None or problem:
            continue
        seconds = clock.hour * 3600 + clock.minute * 60
        off = _outside(seconds, above, below, [each["clock"] for each in same])
        costs[seconds] = min(costs.get(seconds, 99.0), cost + off)
    return _clearest(costs, lambda seconds: f"{seconds // 3600:02}:{seconds // 60 % 60:02}", most=AT_MOST)


def _is_newest_first(rows: Sequence[Beside]) -> bool:
    """Tell whether times of day mostly fall from row to row of a day."""
    timed = [each for each in rows if each["clock"] is not None]
    pairs = [
        (each["clock"], other["clock"]) for each, other in pairwise(timed) if each["day"] == other["day"]
    ]
    falls, rises = (sum(bool(sign * a < sign * b) for a, b in pairs) for sign in (-1, 1))
    return falls > rises


def _outside(seconds: int, before: int | None, after: int | None, others: Sequence[int]) -> float:
    """Say by how many hours a time of day lies outside those of the runs before and after it."""
    ends = [each for each in (before, after) if each is not None]
    if len(ends) == 2:
        return max(min(ends) - seconds, seconds - max(ends), 0) / 3600
    if not ends:
        return min((abs(seconds - each) for each in others), default=0) / 3600
    return abs(seconds - ends[0]) / 3600 / 3 + (2.0 if (before is not None) == (seconds < ends[0]) else 0.0)


def _clearest(costs: Mapping[Any, float], write: Any, most: float) -> str | None:
    """Write what costs least, unless it costs too much or something else costs hardly more."""
    ranked = sorted(costs.items(), key=lambda each: each[1])
    if not ranked or ranked[0][1] > most:
        return None
    if len(ranked) > 1 and ranked[1][1] - ranked[0][1] < 0.5:
        return None
    return str(write(ranked[0][0]))


# --- numbers


def _is_beside(each: Asked, one: Asked) -> bool:
    """Tell whether two entries under question stand on one row, in different columns."""
    return (each.file, each.sheet, each.row) == (one.file, one.sheet, one.row) and each.column != one.column


def _guess_number(
    one: Asked, rows: Sequence[Beside], typed_in: tuple[float, float] | None, same_row: Sequence[str]
) -> str | None:
    found = _NUMBER.match(one.value)
    if found is None or one.column not in WIDTHS:
        return None
    unit = _COLUMNS[one.column].unit
    factor, shift = _conversion(found["unit"], unit) or typed_in or (1.0, 0.0)
    others = _others(one, rows)
    if not others:
        return None
    middle = sorted(others)[len(others) // 2]
    spread = sorted(abs(each - middle) for each in others)[len(others) // 2]
    width = max(WIDTHS[one.column], 1.5 * spread)
    ends = _ends(one, rows)
    most = max(_decimals((each - shift) / factor) for each in others)
    costs: dict[float, float] = {}
    exchanged = [
        (number * factor + shift, EXCHANGED, _decimals(number))
        for text in same_row
        if (number := _as_number(text))
    ]
    for number, cost, places in (*_candidates(found["number"], unit, factor, shift), *exchanged):
        off = abs(number - middle) / width
        if off <= AT_MOST:
            finer = max(places - most, 0)
            is_beside = one.column in _SETTINGS and any(abs(number - end) < 1e-6 for end in ends)
            costs[number] = min(
                costs.get(number, 99.0), cost + off**2 + FINER * finer + AS_BESIDE * is_beside
            )
    ranked = sorted(costs.items(), key=lambda each: each[1])
    if not ranked:
        return None
    rest = [cost for number, cost in ranked[1:] if abs(number - ranked[0][0]) > width / 10]
    if rest and rest[0] - ranked[0][1] < CLEARLY:
        return None
    return f"{round(ranked[0][0], 4):.10g}"


def _decimals(number: float) -> int:
    """Count the figures behind the point that a number needs; below 0 where it ends in noughts: 6500 rpm."""
    behind = len(f"{number:.3f}".rstrip("0").partition(".")[2])
    whole = f"{abs(number):.0f}"
    return behind or -min(len(whole) - len(whole.rstrip("0")), ROUND)


def _conversion(typed: str | None, unit: str) -> tuple[float, float] | None:
    """Return factor and offset of a unit that stands behind the number."""
    if not typed or not unit:
        return None
    try:
        own = conversion(typed.strip(), unit)
    except UnitError:
        return None
    return own.factor, own.offset


def _candidates(typed: str, unit: str, factor: float, shift: float) -> Iterable[tuple[float, float, int]]:
    """Yield every number that a text may have been meant as, in the canonical unit, with what it costs.

    Beside them, how many figures then stand behind the point, in the unit it was meant in: 2 for 660 meant as
    6.60.
    """
    other = OTHER_UNIT.get(unit)
    ways = [(factor, shift, 0.0)]
    if other is not None:
        own = conversion(other, unit)
        ways.append((1.0, 0.0, ANOTHER_UNIT) if factor != 1.0 else (own.factor, own.offset, ANOTHER_UNIT))
    plain = typed.replace("−", "-")
    with_zero = f"0{plain}" if re.match(r"\d\.", plain) else plain
    for slope, offset, cost in ways:
        if cost and (number := _as_number(plain)) is not None:
            yield number * slope + offset, cost, _decimals(number)
        for text in dict.fromkeys((plain, with_zero)):
            for repair in repairs(text):
                yield repair.number * slope + offset, repair.cost + cost, _places(text, repair)


def _places(text: str, repair: Repair) -> int:
    """Count the figures behind the point of what was meant; behind a lost one, zeros at the end too."""
    if repair.rule != "missing_decimal" or not text.isdigit() or repair.number <= 0:
        return _decimals(repair.number)
    return max(round(math.log10(int(text) / repair.number)), 0)


def _as_number(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def _others(one: Asked, rows: Sequence[Beside]) -> list[float]:
    """Return the numbers of that column around the entry, those of its own day where there are some."""
    own = next((each for each in rows if each["row"] == one.row), None)
    known = [each for each in rows if each["row"] != one.row and _is_usual(each.get(one.column), one.column)]
    same = [each for each in known if own is not None and each["day"] == own["day"]]
    place = [each for each in known if own is not None and each["where"] == own["where"]]
    chosen = same if len(same) >= 2 else place if len(place) >= 2 else known
    return [each[one.column] for each in chosen]


def _ends(one: Asked, rows: Sequence[Beside]) -> list[float]:
    """Return the numbers of that column right above and below."""
    known = [each for each in rows if _is_usual(each.get(one.column), one.column)]
    above = next((each[one.column] for each in reversed(known) if each["row"] < one.row), None)
    below = next((each[one.column] for each in known if each["row"] > one.row), None)
    return [each for each in (above, below) if each is not None]


def _is_likelier(told: str | None, one: Asked, rows: Sequence[Beside]) -> bool:
    """Tell whether a guess is the setting above or below, or a rule's own suggestion finer than any entry."""
    if told is None:
        return False
    if any(abs(float(told) - end) < 1e-6 for end in _ends(one, rows)):
        return True
    most = max(map(_decimals, _others(one, rows)), default=0)
    return _decimals(float(one.suggestion or 0)) > most >= _decimals(float(told))


def _is_usual(value: float | None, column: str) -> bool:
    found = _COLUMNS.get(column)
    if value is None or found is None:
        return False
    return (found.low is None or value >= found.low) and (found.high is None or value <= found.high)
