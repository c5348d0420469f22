"""One cell's text to a value, with a sentence when it cannot be read as it stands.

These careful readers see only what the fast SQL path could not read, and each distinct text once.
"""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from pipeline.errors import UnitError
from pipeline.garage.spelling import folded
from pipeline.garage.units import Conversion, conversion
from pipeline.ingest.repairs import plain_number
from pipeline.ingest.weekdays import without_weekday

NOTHING = frozenset(
    {"", "-", "--", "---", "n/a", "na", "none", "?", "x", "nil", "null", "tbd", "missing", "—", "–"}
)
MOST_NAMES_COMPARED = 300
_NUMBER_THEN_UNIT = re.compile(
    r"^\s*(?P<sign>[+\-−]?)\s*(?P<whole>\d[\d.,' ]*|[.,]\d+)"
    r"\s*(?P<unit>[^\d\s].*)?$"
)
_FRACTION = re.compile(
    r"^\s*(?P<sign>[+\-−]?)\s*(?:(?P<whole>\d+)[\s-]+)?(?P<over>\d+)\s*/\s*(?P<under>[1-9]\d*)\s*(?P<unit>[^\d\s].*)?$"
)
_BESIDE_A_SETTING = re.compile(
    r"(?i)^\s*(?:2|two)[- ]?step\s+(?:at\s+)?(?=\d{4})|(?<=[a-z\d])\s*(?:[x×]\s*\d{1,2}|\bea(?:ch|\.)?)\s*$"
)
"""What limits the launch before its rpm; on how many levers a counterweight hangs after one's."""
_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}


@dataclass(frozen=True, slots=True)
class Reading:
    """What a text was read as.

    Attributes
    ----------
    value
        The number in the canonical unit; None when it cannot be trusted as read.
    problem
        A sentence; empty when the text is clear.
    suggestion
        A likely value in the canonical unit; None when there is none.
    """

    value: float | None
    problem: str = ""
    suggestion: float | None = None


def is_nothing(text: str | None) -> bool:
    """Tell whether a cell means 'not written down'."""
    return text is None or text.strip().casefold() in NOTHING


def read_number(text: str, unit: str, heading: Conversion) -> Reading:
    """Read a number that may carry a unit, a decimal comma or a fraction.

    Parameters
    ----------
    text
        As typed.
    unit
        Canonical unit of the column; empty for a count.
    heading
        Conversion of the heading's unit, used when the cell has no unit of its own.

    Returns
    -------
    Reading

    Examples
    --------
    >>> read_number("29,92", "inHg", Conversion(1.0, 0.0)).value
    29.92
    >>> read_number("3 1/2 turns", "turn", Conversion(1.0, 0.0)).value
    3.5
    >>> read_number("nan", "s", Conversion(1.0, 0.0)).value is None
    True
    """
    if is_nothing(text):
        return Reading(None)
    for sign, spelled in _HALVES.items():
        text = text.replace(sign, spelled)
    text = _BESIDE_A_SETTING.sub("", text) or text
    found = _FRACTION.match(text) or _NUMBER_THEN_UNIT.match(text)
    if found is None:
        return _with_letters(text, heading) or Reading(None, f"{_short(text)} is not a number.")
    number = _decimal(found["whole"] or "0")
    if number is None:
        return Reading(None, f"{_short(text)} could be read as more than one number.")
    if found.re is _FRACTION:
        number += float(found["over"]) / float(found["under"])
    if found["sign"] in {"-", "−"}:
        number = -number
    return _in_unit(text, number, (found["unit"] or "").strip(), unit, heading)


def _in_unit(text: str, number: float, typed_unit: str, unit: str, heading: Conversion) -> Reading:
    if not typed_unit:
        return Reading(number * heading.factor + heading.offset)
    if unit == "inHg" and typed_unit.rstrip(".").casefold() in MERCURY_INCHES:
        return Reading(number)
    alike = _with_letters(text, heading)
    if not unit:
        return alike or Reading(None, f"{_short(text)} carries a unit where a plain number is meant.", number)
    if re.match(r"[eE][+-]?\d", typed_unit):
        return Reading(None, f"{_short(text)} is written with an exponent, which nobody does on a slip.")
    try:
        own = conversion(typed_unit, unit)
    except UnitError:
        problem = f"{_short(text)} carries {typed_unit[:20]!r}, which is not a unit in {unit}."
        as_headed = number * heading.factor + heading.offset
        return alike or Reading(None, problem, None if re.search(r"\d", typed_unit) else as_headed)
    return Reading(number * own.factor + own.offset)


def _with_letters(text: str, heading: Conversion) -> Reading | None:
    """Ask about a number in which letters stand that look like digits, read as those digits."""
    number = plain_number(text)
    if number is None or not re.search(r"[^\d\s.,+-]", text):
        return None
    problem = f"{_short(text)} has a letter where a digit should stand."
    return Reading(None, problem, number * heading.factor + heading.offset)


def _decimal(digits: str) -> float | None:
    """Read digits with a decimal point or comma and perhaps separators of thousands."""
    plain = digits.replace(" ", "").replace("'", "").rstrip(".,")
    if "," in plain and "." in plain:
        last = max(plain.rfind(","), plain.rfind("."))
        plain = re.sub(r"[.,]", "", plain[:last]) + "." + plain[last + 1 :]
    elif plain.count(",") == 1:
        whole, _, rest = plain.partition(",")
        plain = (
            whole + rest
            if len(rest) == 3 and len(whole) in {1, 2} and int(whole or 0) > 3
            else f"{whole}.{rest}"
        )
    elif plain.count(",") > 1 or plain.count(".") > 1:
        return None
    try:
        return float(plain)
    except ValueError:
        return None


def _short(text: str) -> str:
    shown = " ".join(text.split())
    return repr(shown if len(shown) <= 40 else shown[:37] + "...")


def read_screws(text: str) -> tuple[float, ...] | None:
    """Read several turns from one cell, such as ``3 3 3.5 3 3 3`` or ``3/3/3.5/3/3/3``.

    Returns
    -------
    tuple of float or None
        None when the cell does not hold several numbers.

    Examples
    --------
    >>> read_screws("3 3 3.5 3 3 3")
    (3.0, 3.0, 3.5, 3.0, 3.0, 3.0)
    """
    parts = [part for part in re.split(r"[\s/;|]+|,\s+", text.strip()) if part]
    if len(parts) < 3 or not all(re.fullmatch(r"\d+([.,]\d+)?", part) for part in parts):
        return None
    return tuple(float(part.replace(",", ".")) for part in parts)


def read_hardware(text: str, table_g: Mapping[str, float]) -> float | None:
    """Add up counterweight hardware, such as ``2 steel nuts + 1 steel bolt 1 in``.

    Parameters
    ----------
    text
        As typed; parts joined by ``+``, ``,`` or ``and``.
    table_g
        Mass of each piece in grams, from ``garage.toml``.

    Returns
    -------
    float or None
        Grams per lever; None when a part is not in the table.
    """
    spoken = {folded(name).rstrip("s"): grams for name, grams in table_g.items()}
    total = 0.0
    for part in re.split(r"\s*(?:\+|,|;|&|\band\b)\s*", text.strip()):
        counted = re.match(r"^(\d+)(?:\s*[x×]\s*|\s+)(.+)$", part)
        count, piece = (int(counted[1]), counted[2]) if counted else (1, part)
        grams = spoken.get(folded(piece).rstrip("s")) or spoken.get(re.sub(r"s(?=\d|$)", "", folded(piece)))
        if grams is None:
            return None
        total += count * grams
    return total or None


# --- dates and times

_MONTH_NAMES = (
    "jan ene gen", "feb fev fév", "mar mär mrt", "apr abr avr", "may mai mei mag", "jun giu juin",
    "jul lug juil",
    "aug ago aou aoû", "sep set", "oct okt ott", "nov", "dec dez dic déc",
)  # fmt: skip
MONTHS = {name: number for number, names in enumerate(_MONTH_NAMES, start=1) for name in names.split()}
"""The first letters of a month's name, in several languages."""
_ISO = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ](.*))?$")
_PACKED = re.compile(r"^(\d{4})(\d{2})(\d{2})$")
_NUMERIC = re.compile(r"^(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})(?:[T ,]+(.*))?$")
_WORDED = re.compile(
    r"^(?:(?P<m1>[^\W\d_]{3,9})\.?[\s-]+(?P<d1>\d{1,2})(?:st|nd|rd|th)?\.?[\s,-]+"
    r"|(?P<d2>\d{1,2})(?:st|nd|rd|th)?[\s.-]*(?:de\s+)?(?P<m2>[^\W\d_]{3,9})\.?[\s,-]*(?:de\s+)?)"
    r"'?(?P<year>\d{4}|\d{2})(?:[\s,]+(?P<rest>.*))?$"
)


@dataclass(frozen=True, slots=True)
class DateReading:
    """A date text as read: the day, the time of day if it carried one, and what is wrong with it."""

    day: dt.date | None
    time_text: str = ""
    problem: str = ""
    suggestion: dt.date | None = None


MERCURY_INCHES = frozenset({'"', "''", "”", "″", "in", "inch", "inches"})
"""Inches, on a pressure: of mercury."""
SETTLED = 0.75
"""So large a share of a sheet's telling dates decides the order of day and month for the others."""


def read_dates(texts: Iterable[str], habit: Mapping[str, int] | None = None) -> dict[str, DateReading]:
    """Read the distinct date texts of one sheet together.

    Parameters
    ----------
    texts
        Distinct texts as typed.
    habit
        Date texts of the whole logbook and how often each stands there.

    Returns
    -------
    dict
        A reading for each text.

    Notes
    -----
    ``a/b/year`` is day first when the sheet's dates that can only be read one way (a number above
    12) are at least three in four day first, month first likewise; when that does not tell,
    all sheets of the logbook decide by the same rule. Dates with dots are day first unless they
    show otherwise themselves, and are never judged by those with slashes. When nothing decides, each
    text that could be either becomes a question; the suggestion is the reading that keeps the sheet's dates
    closest together, month first when that does not tell. A date that only fits the other order
    than the rest of its sheet is a question too.
    """
    named = {text: _bare(text.strip()) for text in texts if not is_nothing(text)}
    distinct = sorted(set(named.values()))
    dotted = [text for text in distinct if _is_dotted(text)]
    others = [text for text in distinct if not _is_dotted(text)]
    found = _read_family(dotted, habit, dotted=True) | _read_family(others, habit, dotted=False)
    return {text: found[bare] for text, bare in named.items()}


def read_date_as(text: str, order: Literal["day", "month"]) -> dt.date | None:
    """Return a date whose first number is said to be the day, or the month; None when it is no such date."""
    found = _NUMERIC.match(_bare(text.strip()))
    return _numeric_day(found, order) if found else None


def _is_dotted(text: str) -> bool:
    return re.match(r"\s*\d{1,2}\.\d{1,2}\.", text) is not None


def _read_family(
    texts: list[str], habit: Mapping[str, int] | None, *, dotted: bool
) -> dict[str, DateReading]:
    """Read the dates that are written with dots, or those that are not: each has an order of its own."""
    numeric = [found for text in texts if (found := _NUMERIC.match(text.strip()))]
    order = _order_shown(numeric)
    if order is None:
        like = [text for text in habit or () if _is_dotted(text) == dotted]
        shown = _order_shown([found for text in like if (found := _NUMERIC.match(text.strip()))])
        order = shown or ("day" if dotted else None)
    likely = order or _tighter_order(numeric)
    return {text: _read_date(text.strip(), order, likely) for text in texts}


def _only_order(found: re.Match[str]) -> str | None:
    first, second = int(found[1]), int(found[2])
    if first > 12 >= second:
        return "day"
    return "month" if second > 12 >= first else None


def _order_shown(numeric: list[re.Match[str]]) -> str | None:
    shown = [order for found in numeric if (order := _only_order(found))]
    for order in ("day", "month"):
        if shown and shown.count(order) >= SETTLED * len(shown):
            return order
    return None


def _tighter_order(numeric: list[re.Match[str]]) -> str:
    def span(order: str) -> int:
        days = [day for found in numeric if (day := _numeric_day(found, order))]
        return (max(days) - min(days)).days if days else 0

    return "day" if span("day") < span("month") else "month"


def _numeric_day(found: re.Match[str], order: str) -> dt.date | None:
    first, second = int(found[1]), int(found[2])
    day, month = (first, second) if order == "day" else (second, first)
    return _day(_year(found[3]), month, day)


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _bare(text: str) -> str:
    """Return a date without its day of the week; as year-month-day where that day settles the order."""
    bare, weekday = without_weekday(text)
    found = _NUMERIC.match(bare)
    if found is None or weekday is None:
        return bare
    fits = {day for way in ("day", "month") if (day := _numeric_day(found, way)) and day.weekday() == weekday}
    return f"{fits.pop().isoformat()} {found[4] or ''}".strip() if len(fits) == 1 else bare


def _read_date(text: str, order: str | None, likely: str) -> DateReading:
    if found := _ISO.match(text) or _PACKED.match(text):
        rest = (found[4] or "") if found.re is _ISO else ""
        day = _day(int(found[1]), int(found[2]), int(found[3]))
        if day is None and (other := _day(int(found[1]), int(found[3]), int(found[2]))):
            return DateReading(None, rest, f"{_short(text)} has day and month the other way round.", other)
        return _dated(text, day, rest)
    if re.fullmatch(r"[2-6]\d{4}(\.\d+)?", text):  # a spreadsheet's day number
        moment = dt.datetime(1899, 12, 30) + dt.timedelta(days=float(text))  # noqa: DTZ001 - as typed, no zone
        return DateReading(moment.date(), f"{moment:%H:%M}" if "." in text else "")
    if found := _NUMERIC.match(text):
        return _read_numeric(text, found, order, likely)
    if (found := _WORDED.match(text.casefold())) and (month := MONTHS.get((found["m1"] or found["m2"])[:3])):
        day = _day(_year(found["year"]), month, int(found["d1"] or found["d2"]))
        return _dated(text, day, found["rest"] or "")
    return DateReading(None, problem=f"{_short(text)} is not a date with day, month and year.")


def _read_numeric(text: str, found: re.Match[str], order: str | None, likely: str) -> DateReading:
    by_day, by_month = _numeric_day(found, "day"), _numeric_day(found, "month")
    rest = found[4] or ""
    meant, other = (by_day, by_month) if order == "day" else (by_month, by_day)
    if order is not None and meant is None and other is not None:
        return DateReading(None, rest, f"{_short(text)} has day and month the other way round.", other)
    if by_day == by_month or (by_day is None) != (by_month is None):
        return _dated(text, by_day or by_month, rest)
    if by_day is None and by_month is None:
        return DateReading(None, rest, f"{_short(text)} is no day of the calendar.")
    if order is not None:
        return _dated(text, by_day if order == "day" else by_month, rest)
    return DateReading(
        None,
        rest,
        f"{_short(text)} could be day-month or month-day, and nothing else in the sheet tells which.",
        by_day if likely == "day" else by_month,
    )


def _dated(text: str, day: dt.date | None, rest: str) -> DateReading:
    if day is None:
        return DateReading(None, rest, f"{_short(text)} is no day of the calendar.")
    if not 1950 <= day.year <= 2100:
        return DateReading(None, rest, f"{_short(text)} is not in a year of this sport.")
    return DateReading(day, "" if rest.startswith("00:00:00") else rest)


_ABOUT_A_CLOCK = re.compile(
    r"^(?:kl\.?|klockan|um|at|ab|à|a las)\s+(?=\d)|\s*(?:uhr|hrs?\.?|local|o'?clock)$"
    r"|(?<=\d:\d\d)(?:\.\d+)?(?:z|[+-]\d\d:?\d\d)$"
)
"""Words beside a time of day, and how far its zone is from another: a slip is in its strip's own time."""
_CLOCK = re.compile(r"^(\d{1,2})(?:[:.h]?(\d{2}))?(?:[:.](\d{2})(?:\.\d+)?)?\s*([ap])?\.?\s*(?:m\.?)?$")


def read_time(text: str) -> tuple[dt.time | None, str]:
    """Read a time of day in 12 or 24 hour form.

    Parameters
    ----------
    text
        ``7:40 pm``, ``19:40``, ``1940``, ``7p``; also what a workbook gives for a time cell.

    Returns
    -------
    tuple
        The time, or None with a sentence.

    Examples
    --------
    >>> read_time("7:40 pm")[0]
    datetime.time(19, 40)
    >>> read_time("1940")[0]
    datetime.time(19, 40)
    """
    stripped = _ABOUT_A_CLOCK.sub("", re.sub(r"^\d{4}-\d{2}-\d{2}[t ]", "", text.strip().casefold()))
    if stripped in {"noon", "midday"}:
        return dt.time(12), ""
    if re.fullmatch(r"0?\.\d+", stripped):  # a workbook's fraction of a day
        minutes = round(float(stripped) * 1440)
        return dt.time(minutes // 60 % 24, minutes % 60), ""
    if found := re.fullmatch(
        r"(\d\d):(\d\d):(\d\d)\.(\d+)", stripped
    ):  # a workbook's binary fraction of a second
        seconds = int(found[1]) * 3600 + int(found[2]) * 60 + round(float(f"{found[3]}.{found[4]}"))
        stripped = f"{seconds // 3600 % 24:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    found = _CLOCK.match(stripped)
    if found is None or (found[2] is None and found[4] is None):
        return None, f"{_short(text)} is not a time of day."
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    if found[4]:
        if not 1 <= hour <= 12:
            return None, f"{_short(text)} is not a time of day."
        hour = hour % 12 + (12 if found[4] == "p" else 0)
    try:
        return dt.time(hour, minute, second), ""
    except ValueError:
        return None, f"{_short(text)} is not a time of day."


# --- words


LANE_WORDS = {
    **dict.fromkeys(
        (
            "l",
            "left",
            "lh",
            "1",
            "leftlane",
            "lane1",
            "links",
            "li",
            "izquierda",
            "izq",
            "gauche",
            "sinistra",
            "g",
            "esquerda",
            "esq",
            "vänster",
            "vanster",
            "linksbaan",
        ),
        "left",
    ),
    **dict.fromkeys(
        (
            *("r", "right", "rh", "2", "rightlane", "lane2", "rechts", "re", "derecha", "der", "droite"),
            *("destra", "d", "direita", "dir", "höger", "hoger"),
        ),
        "right",
    ),
}
_PRESSURE_KINDS = {
    "station": "station", "stn": "station", "absolute": "station", "abs": "station", "actual": "station",
    "uncorrected": "station", "raw": "station", "altimeter": "altimeter", "alt": "altimeter",
    "sealevel": "altimeter", "slp": "altimeter", "corrected": "altimeter", "airport": "altimeter",
    "qnh": "altimeter", "qfe": "station", "radio": "altimeter", "setting": "altimeter",
    "altimetersetting": "altimeter",
}  # fmt: skip


def read_lane(text: str) -> str:
    """Return ``left`` or ``right`` when that is meant; otherwise the text itself, trimmed."""
    return LANE_WORDS.get(folded(text), text.strip())


def read_pressure_kind(text: str) -> str | None:
    """Return ``station`` or ``altimeter``; None when neither is said."""
    return _PRESSURE_KINDS.get(folded(text))


# --- names


def read_names(texts: Iterable[str], known: Mapping[str, Iterable[str]]) -> dict[str, tuple[str, str | None]]:
    """Match the spellings of cars or strips to the names of ``garage.toml``.

    Parameters
    ----------
    texts
        Distinct texts as typed.
    known
        Name in ``garage.toml`` -> its other spellings; may be empty.

    Returns
    -------
    dict
        Text -> (name, None) when it is clear or quite another name, or (text, likely name) when it
        is close to a known one and so perhaps a slip of the pen.

    Notes
    -----
    Names with different digits are different names, however close: "Car 1" is not "Car 2".
    """
    spelled = {folded(text): name for name, also in known.items() for text in (name, *also)}
    found: dict[str, tuple[str, str | None]] = {}
    for text in texts:
        own = folded(text)
        if own in spelled:
            found[text] = (spelled[own], None)
            continue
        close = _closest(own, spelled)
        found[text] = (text.strip(), None if close is None else spelled[close])
    return found


def _closest(own: str, others: Iterable[str]) -> str | None:
    """Find the folded name closest to another with the same digits; None when none is close."""
    alike = [other for other in others if re.sub(r"\D", "", other) == re.sub(r"\D", "", own)]
    close = difflib.get_close_matches(own, alike, n=1, cutoff=0.78)
    return close[0] if close else None


def merged_spellings(times: Mapping[str, int]) -> tuple[dict[str, int], dict[str, str]]:
    """Bring spellings that differ in case, spaces and punctuation only to the most frequent of them.

    Returns
    -------
    tuple
        Rows by chosen spelling, and the chosen spelling of every other one.

    Examples
    --------
    >>> merged_spellings({"Cinder Flats": 9, "cinder flats": 1, "Harrow Lane": 4})
    ({'Cinder Flats': 10, 'Harrow Lane': 4}, {'cinder flats': 'Cinder Flats'})
    """
    chosen: dict[str, str] = {}
    totals: dict[str, int] = {}
    others: dict[str, str] = {}
    for text in sorted(times, key=lambda text: (-times[text], text)):
        first = chosen.setdefault(folded(text), text)
        totals[first] = totals.get(first, 0) + times[text]
        if first != text:
            others[text] = first
    return totals, others


def close_pairs(times: Mapping[str, int]) -> list[tuple[str, str]]:
    """Pair each name with the closest more frequent one, where one is close; none past 300 names.

    Examples
    --------
    >>> close_pairs({"Cinder Flats": 9, "Cinder Flat": 2, "Harrow Lane": 4, "Car 1": 9, "Car 2": 3})
    [('Cinder Flat', 'Cinder Flats')]
    """
    if len(times) > MOST_NAMES_COMPARED:
        return []
    by_folded: dict[str, str] = {}
    pairs = []
    for name in sorted(times, key=lambda name: (-times[name], name)):
        more = {own: other for own, other in by_folded.items() if times[other] > times[name]}
        close = _closest(folded(name), more)
        if close is not None:
            pairs.append((name, more[close]))
        by_folded[folded(name)] = name
    return pairs
