"""The careful reading: every distinct text that SQL could not read quickly, once."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import duckdb
import polars as pl

from pipeline.garage.columns import Column, numbered
from pipeline.garage.dictionary import COLUMNS
from pipeline.garage.logbook import Garage
from pipeline.garage.units import SAME, Conversion
from pipeline.ingest.dates import read_dates, read_time
from pipeline.ingest.ditto import is_ditto, pointed_at
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.values import Reading, is_nothing, read_hardware, read_number, read_screws
from pipeline.ingest.wind import read_wind
from pipeline.store.database import query

COMMA_DECIMAL = re.compile(r"^\s*[+-]?\d{1,3},\d{1,4}\s*$")
SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "sheet_no": pl.Int32,
    "column": pl.String,
    "text": pl.String,
    "number": pl.Float64,
    "several": pl.List(pl.Float64),
    "day": pl.Date,
    "clock_s": pl.Int32,
    "problem": pl.String,
    "suggestion": pl.String,
    "severity": pl.String,
}


@dataclass(frozen=True, slots=True)
class SheetTexts:
    """The odd texts of one sheet (column, text, how often) and its plain numbers with a point."""

    plan: SheetPlan
    points: int
    texts: tuple[tuple[str, str, int], ...]


def careful_readings(
    con: duckdb.DuckDBPyConnection, plans: Mapping[int, SheetPlan], garage: Garage
) -> pl.DataFrame:
    """Read every distinct odd text.

    Parameters
    ----------
    con
        A store with the table ``odd_cells``.
    plans
        Sheet number -> its plan.
    garage
        For counterweight hardware.

    Returns
    -------
    polars.DataFrame
        One row per sheet, column and text; columns of ``SCHEMA``.
    """
    by_sheet: dict[int, list[tuple[str, str, int]]] = defaultdict(list)
    for sheet_no, column, text, times in con.execute(query("raw/odd_texts")).fetchall():
        by_sheet[sheet_no].append((column, text, times))
    habit = _date_habit(by_sheet)
    points = dict(con.execute(query("raw/decimal_points")).fetchall()) if by_sheet else {}
    read = [
        {"sheet_no": sheet_no, **row}
        for sheet_no, texts in by_sheet.items()
        for row in _read_sheet(
            SheetTexts(plans[sheet_no], points.get(sheet_no, 0), tuple(texts)), garage, habit
        )
    ]
    return pl.DataFrame(read, schema=SCHEMA)


def _date_habit(by_sheet: Mapping[int, list[tuple[str, str, int]]]) -> dict[str, int]:
    """Collect the date texts of the whole logbook: the second witness to day-month order."""
    return {text: times for texts in by_sheet.values() for column, text, times in texts if column == "date"}


def _read_sheet(sheet: SheetTexts, garage: Garage, habit: Mapping[str, int]) -> Iterable[dict[str, object]]:
    dates = {text: times for column, text, times in sheet.texts if column == "date"}
    days = read_dates(dates, habit)
    has_commas = _has_comma_habit(sheet)
    for column, text, _ in sheet.texts:
        if is_nothing(text):
            continue
        row: dict[str, object] = {"column": column, "text": text, "problem": "", "severity": "questioned"}
        if column == "date":
            found = days[text]
            row |= {"day": found.day, "problem": found.problem}
            row["suggestion"] = found.suggestion.isoformat() if found.suggestion else None
            clock, _ = read_time(found.time_text) if found.time_text else (None, "")
            row["clock_s"] = _seconds(clock)
        elif column == "time":
            clock, problem = read_time(text)
            row |= {"clock_s": _seconds(clock), "problem": problem}
            if problem and (meant := read_time(text.translate(LIKE_DIGITS))[0]) is not None:
                row["suggestion"] = f"{meant:%H:%M}"
        elif column == "spill":
            row |= _spilled(sheet.plan, text)
        else:
            row |= read_cell(text, column, _conversion(sheet.plan, column), garage, has_commas=has_commas)
        yield row


LEAST_COMMAS = 3
"""So many numbers that only a decimal comma explains are a habit beside points, as of a second hand."""
IN_THOUSANDS = 1000.0
_GROUPED = re.compile(r"\s*[+-]?\d{1,3},\d{3}\s*")
"""A comma that may as well stand between thousands."""
LIKE_DIGITS = str.maketrans("OoQlIi|!S", "000111115")
"""Letters that look like digits and stand in no word for morning or evening."""


def _seconds(clock: object) -> int | None:
    if clock is None:
        return None
    return int(clock.hour * 3600 + clock.minute * 60 + clock.second)  # type: ignore[attr-defined]


def _has_comma_habit(sheet: SheetTexts) -> bool:
    """Tell whether a sheet writes decimal commas as a rule: more of them than of points, or several."""
    written = [(text, times) for _, text, times in sheet.texts if COMMA_DECIMAL.match(text)]
    sure = sum(times for text, times in written if not _GROUPED.fullmatch(text))
    return sum(times for _, times in written) > sheet.points or sure >= LEAST_COMMAS


def _spilled(plan: SheetPlan, text: str) -> dict[str, object]:
    notes = plan.index_of("notes")
    if notes is not None and notes == plan.width - 1:
        problem = f"The row has more cells than there are headings; {text!r} was taken as more of the notes."
        return {"problem": problem, "severity": "doubt"}
    problem = f"The row has more cells than there are headings: {text!r} stands past the last."
    return {"problem": problem, "severity": "rejected"}


def _conversion(plan: SheetPlan, column: str) -> Conversion:
    names = (column, *numbered(column))
    return next((found.to_canonical for found in plan.columns if found.name in names), SAME)


def read_cell(
    text: str, column: str, heading: Conversion, garage: Garage, *, has_commas: bool = True
) -> dict[str, object]:
    """Read one number cell of a canonical column.

    Parameters
    ----------
    text
        As typed.
    column
        Canonical column, or ``extra:<adjustment>``.
    heading
        Conversion of the heading's unit.
    garage
        For counterweight hardware and the number of screws.
    has_commas
        Whether the sheet writes decimal commas as a rule, or several; a lone one is questioned.

    Returns
    -------
    dict
        Keys ``number``, ``several``, ``problem`` and ``suggestion``.
    """
    if is_ditto(text) or pointed_at(text):
        return _same_as_above(text, column, heading, garage, has_commas=has_commas)
    known = COLUMNS.get(column)
    is_fraction = re.fullmatch(r"\s*\d+\s+\d+\s*/\s*\d+\D*", text) is not None
    if known is not None and known.each and not is_fraction and (several := read_screws(text)) is not None:
        return _several(text, column, several, heading, garage)
    if column == "counterweight_g" and re.search(r"[a-z]{3}", text, re.IGNORECASE):
        grams = _hardware_g(text, garage)
        if grams is not None:
            return {"number": grams, "problem": ""}
    unit = known.unit if known else ""
    found = (read_wind if column == "wind_speed_mph" else read_number)(text, unit, heading)
    if found.value is not None and COMMA_DECIMAL.match(text):
        found = _with_comma(text, known, heading, has_commas=has_commas)
    if found.value is not None and not abs(found.value) < 1e9:
        found = Reading(None, f"{text[:40]!r} is far beyond any number that belongs here.")
    suggestion = None if found.suggestion is None else f"{found.suggestion:.10g}"
    return {"number": found.value, "problem": found.problem, "suggestion": suggestion}


def _same_as_above(
    text: str, column: str, heading: Conversion, garage: Garage, *, has_commas: bool
) -> dict[str, object]:
    """Ask about a ditto mark, with the number it points to as the suggestion."""
    mark, above = pointed_at(text) or (text, "")
    found = read_cell(above, column, heading, garage, has_commas=has_commas)
    if found["number"] is None:
        problem = f"{mark.strip()!r} says the same as above, where no number stands; write the number itself."
        return {"number": None, "problem": problem}
    several: list[float] = found.get("several") or [found["number"]]  # type: ignore[assignment]
    suggestion = " ".join(f"{number:.10g}" for number in several)
    return {
        "number": None, "problem": f"Same as above: {above.strip()}.", "suggestion": suggestion,
    }  # fmt: skip


def _with_comma(text: str, known: Column | None, heading: Conversion, *, has_commas: bool) -> Reading:
    """Decide whether a single comma is a decimal comma or separates thousands."""
    decimal = float(text.replace(",", ".")) * heading.factor + heading.offset
    thousands = float(text.replace(",", "")) * heading.factor + heading.offset
    is_grouped = _GROUPED.fullmatch(text) is not None
    if is_grouped and heading.factor == IN_THOUSANDS and heading.offset == 0.0:
        return Reading(decimal)  # 5,400 under "thousands" is the same either way
    if known is not None and known.low is not None and known.high is not None and is_grouped:
        fits_decimal, fits_thousands = (known.low <= value <= known.high for value in (decimal, thousands))
        if fits_thousands and not fits_decimal:
            return Reading(thousands)
        if fits_thousands and fits_decimal and not has_commas:
            return Reading(None, f"{text.strip()!r} could be {decimal:g} or {thousands:g}.", decimal)
    if has_commas:
        return Reading(decimal)
    return Reading(None, f"{text.strip()!r} has a comma where the sheet writes points.", decimal)


def _several(
    text: str, column: str, several: tuple[float, ...], heading: Conversion, garage: Garage
) -> dict[str, object]:
    numbers = [number * heading.factor + heading.offset for number in several]
    wanted = {clutch.screws or len(numbers) for clutch in garage.clutches} or {len(numbers)}
    if column == "preload_turns" and len(numbers) not in wanted:
        counts = " or ".join(str(count) for count in sorted(wanted))
        problem = f"{text[:40]!r} gives {len(numbers)} screws where the clutch has {counts}."
        return {"number": None, "problem": problem}
    return {"number": sum(numbers) / len(numbers), "several": numbers, "problem": ""}


def _hardware_g(text: str, garage: Garage) -> float | None:
    """Add up hardware by every clutch's table that knows all its parts; None unless they agree."""
    found = {
        round(grams, 6)
        for clutch in garage.clutches
        if (grams := read_hardware(text, clutch.counterweight_hardware_g)) is not None
    }
    return found.pop() if len(found) == 1 else None
