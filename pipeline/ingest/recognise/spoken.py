"""What a line of words or the name of a tab or file says of the rows below: date, year, strip, event, car."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.values import MONTHS, read_dates

_YEAR = re.compile(r"(?<![\d./-])((?:19|20)\d\d)(?![\d./-])")
_DATES = (
    re.compile(r"(?<!\d)\d{4}[-/._]\d{1,2}[-/._]\d{1,2}(?!\d)"),
    re.compile(r"(?<![\d/])\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})(?!\d)"),
    re.compile(
        r"(?<![^\W\d_])[^\W\d_]{3,10}\.?\s+\d{1,2}(?:st|nd|rd|th)?\b(?!\s*(?:/|:))(?:[\s,_-]+'?(?:\d{4})\b)?",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<![\d/])\d{1,2}(?:st|nd|rd|th)?[.\s_-]*(?:de\s+)?[^\W\d_]{3,10}\b\.?(?:[\s,_-]+(?:de\s+)?'?\d{4}\b)?",
        re.IGNORECASE,
    ),
    re.compile(r"(?<![\d/.-])(?<!\d )\d{1,2}[/-]\d{1,2}(?![\d/-])(?!\s*(?:turns?|t|in|inch|\")\b)"),
    re.compile(r"(?<!\d)20\d{6}(?!\d)"),
)
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FOREIGN_DAYS = {
    "mo": 0, "di": 1, "mi": 2, "do": 3, "fr": 4, "sa": 5, "so": 6, "lun": 0, "mar": 1, "mie": 2,
    "mié": 2, "jue": 3,
    "vie": 4, "sab": 5, "sáb": 5, "dom": 6, "mer": 2, "jeu": 3, "ven": 4, "sam": 5, "dim": 6, "die": 1,
    "mit": 2,
    "don": 3, "fre": 4, "son": 6,
}  # fmt: skip
_YEARLESS = re.compile(
    r"^(?:(?P<wd>[^\W\d_]{2,10})[.,]*\s+)?(?:(?P<a>\d{1,2})\s*[/.-]\s*(?P<b>\d{1,2})\.?"
    r"|(?P<m1>[^\W\d_]{3,10})\.?[\s-]+(?P<d1>\d{1,2})(?:st|nd|rd|th)?\.?"
    r"|(?P<d2>\d{1,2})(?:st|nd|rd|th)?[\s.-]*(?:de\s+)?(?P<m2>[^\W\d_]{3,10})\.?)(?:[\s,]*(?P<wd2>[^\W\d_]{2,10}))?$",
    re.IGNORECASE,
)
_FILLED = re.compile(
    r"(?i)\b(?:at|in|on|the|from|log|logbook|slips?|runs?|passes|sheet|season|results?|for|date|day|datum|event|"
    r"track|strip|venue|car|air|weather|tab|page|numbers?|off|of|my|our|drag|notes?|notebook|book|clutch|racing|timeslips?)\b|[|–—@:,;()\[\]#*=_\-]+"
)


_A_STRIP = re.compile(
    r"(?i)\b(?:raceway|dragway|dragstrip|drag strip|speedway|motorsports?|motorplex|strip|raceplex|"
    r"rennstrecke|"
    r"autodromo|autódromo|circuit|track|flats|airfield|park)\b"
)
_AN_EVENT = re.compile(
    r"(?i)\b(?:meet|nationals?|open|opener|race|races|points?|classic|brawl|test|tune|t&t|shootout|challenge|cup|"
    r"series|night|practice|bash|wars?|nats|invitational|showdown|throwdown|grudge|fest|festival|championships?|finals?|qualifying|day|event|round|rd|bracket|weekend|memorial)\b"
)


@dataclass(frozen=True, slots=True)
class Said:
    """What words above a table say of it; empty where they say nothing.

    Attributes
    ----------
    date
        As text that the careful reading understands, with its year when one is known.
    year
        A year that stands alone.
    venue, car, event
        Names, as typed.
    rest
        Words of a title that say none of these: perhaps the name of the only car.
    """

    date: str = ""
    year: int | None = None
    venue: str = ""
    car: str = ""
    event: str = ""
    rest: str = ""

    def then(self, later: Said) -> Said:
        """Let a line further down speak over this one, where it speaks."""
        return Said(
            later.date or self.date, later.year or self.year, later.venue or self.venue,
            later.car or self.car, later.event or self.event, self.rest or later.rest,
        )  # fmt: skip


@dataclass(slots=True)
class Book:
    """What the sheets of a logbook know together.

    Attributes
    ----------
    cars, venues
        Folded spelling -> name as it can be typed, from garage.toml and from columns of names.
    years
        Years of dates that carry one, and how often.
    is_metric
        Whether ``garage.toml`` says so.
    title
        Words of a title that may name the only car.
    run_dates
        Run number -> (date text, time text, car text) of the slips, for setups noted by run.
    """

    cars: dict[str, str] = field(default_factory=dict)
    venues: dict[str, str] = field(default_factory=dict)
    years: Counter[int] = field(default_factory=Counter)
    is_metric: bool = False
    title: str = ""
    run_dates: dict[str, tuple[str, str, str]] = field(default_factory=dict)

    @property
    def year(self) -> int | None:
        """The year of most dates; None when no sheet tells one."""
        return self.years.most_common(1)[0][0] if self.years else None


def said_by(text: str, book: Book, *, is_name: bool = False) -> Said:
    """Read a line of words.

    Parameters
    ----------
    text
        A title, a line between rows, the name of a tab or of a file without its ending.
    book
        Names and years known.
    is_name
        Whether it is a file's or tab's name, in which underscores stand for spaces.
    """
    words = text.replace("_", " ") if is_name else text
    date, rest = date_in(words)
    year = next((int(found) for found in _YEAR.findall(rest)), None)
    car, rest = _name_in(rest, book.cars)
    venue, rest = _name_in(rest, book.venues)
    if not venue and (date or _names_meet_and_strip(rest)):
        venue, rest = _strip_in(rest)
    if not venue and is_name:
        venue, rest = _strip_alone(rest)
    event = title = ""
    if date or venue:
        left = _YEAR.sub(" ", rest)
        left = re.sub(rf"(?i)\b(?:{'|'.join(_WEEKDAYS)})[a-z]*\b\.?", " ", left)
        left = " ".join(_FILLED.sub(" ", left).split()).strip(" .,-")
        event = left if re.search(r"[^\W\d_]{3}", left) and len(left) <= 60 else ""
        if is_name and not venue:
            event = ""
    else:
        first = re.split(r"[.;(]\s", rest)[0]
        title = " ".join(_FILLED.sub(" ", _YEAR.sub(" ", first)).split()).strip(" .,-")
    return Said(
        date, year, venue, car, event, title if re.fullmatch(r"(?:[^\W\d_][\w'’#-]*\s?){1,3}", title) else ""
    )


def _strip_in(text: str) -> tuple[str, str]:
    """Find an unknown strip's name in a line that also names a date: ``Points 1 at Quarry Road``."""
    bare = re.sub(
        rf"(?i)\b(?:{'|'.join(_WEEKDAYS)})(?:day|sday|nesday|rsday|urday)?\b\.?(?=\s*(?:[|,]|$))", " ", text
    )
    parts = [part.strip(" .,=*#-–—") for part in re.split(r"[/|;,–—@]|\s-\s|\bat\b", bare)]
    parts = [part for part in parts if re.search(r"[^\W\d_]{3}", part) and not _is_weekday(part)]
    chosen = next((part for part in parts if _A_STRIP.search(part) and not _AN_EVENT.search(part)), "")
    if not chosen and (found := re.search(r"(?i)(?:\bat\b|@)\s*([^/|;,–—@]+)", text)):
        chosen = found[1].strip(" .,=*#-–—")
    others = [part for part in parts if not _AN_EVENT.search(part)]
    if not chosen and len(parts) == 2 and len(others) == 1:
        chosen = others[0]
    return chosen, text.replace(chosen, " ", 1) if chosen else text


def _names_meet_and_strip(text: str) -> bool:
    return _AN_EVENT.search(text) is not None and re.search(r"\bat\b|@", text) is not None


def _strip_alone(text: str) -> tuple[str, str]:
    """Take the name of a tab or file for a strip's when a word in it says so: ``Quarry Road Raceway``."""
    plain = " ".join(_YEAR.sub(" ", text).split())
    bare = " ".join(_FILLED.sub(" ", plain).split())
    word = _A_STRIP.search(bare)
    if word is None or _AN_EVENT.search(plain) or not re.search(r"[^\W\d_]{3}", bare.replace(word[0], "", 1)):
        return "", text
    return bare, ""


def _is_weekday(text: str) -> bool:
    return re.fullmatch(rf"(?i)(?:{'|'.join(_WEEKDAYS)})[a-z]*\.?", text.strip()) is not None


_LABELS = {
    **dict.fromkeys(("date", "day", "datum", "fecha", "dia"), "date"),
    **dict.fromkeys(("track", "strip", "venue", "place", "where", "location", "dragstrip"), "venue"),
    **dict.fromkeys(("strecke", "pista", "circuit"), "venue"),
    **dict.fromkeys(("event", "race", "meet", "meeting", "evento", "rennen", "veranstaltung"), "event"),
    **dict.fromkeys(("car", "vehicle", "auto", "fahrzeug", "coche", "wagen", "carro"), "car"),
}  # fmt: skip


def said_in_pairs(cells: Sequence[str], book: Book) -> Said | None:
    """Read a line that names what it says, such as ``TRACK:, Cinder Flats, , DATE:, 5/4/2031``.

    Returns
    -------
    Said or None
        None when the line is of another sort: nothing else but labels and what follows each may stand there,
        and a label ends in a colon, or is one of at least two that are known.
    """
    parts = [part.strip() for text in cells if text for part in re.split(r"(?<=:)\s+", text) if part.strip()]
    found: dict[str, str] = {}
    label = ""
    named = {
        _LABELS.get(folded(label), ""): text for label, text in zip(parts[::2], parts[1::2], strict=False)
    }
    if (
        len(parts) >= 4
        and len(parts) % 2 == 0
        and "" not in named
        and re.search(r"\d", named.get("date", ""))
    ):
        parts = [part if at % 2 else f"{part.rstrip(':')}:" for at, part in enumerate(parts)]
    for part in parts:
        if part.endswith(":"):
            label = _LABELS.get(folded(part), "?")
        elif label:
            if label != "?":
                found.setdefault(label, part)
            label = ""
        else:
            return None
    if not found:
        return None
    venue = book.venues.get(folded(found.get("venue", "")), found.get("venue", ""))
    return Said(found.get("date", ""), None, venue, found.get("car", ""), found.get("event", ""))


def date_in(text: str) -> tuple[str, str]:
    """Find a date in a text, and what the text says without it."""
    for pattern in _DATES:
        for found in pattern.finditer(text):
            candidate = found[0].strip(" ,_").replace("_", "-")
            if re.fullmatch(r"1\s*/\s*[248]", candidate):
                continue
            words = re.findall(r"[^\W\d_]{3,}", candidate)
            words = [word for word in words if word.casefold() not in {"st", "nd", "rd", "th", "de"}]
            if words and not any(word.casefold()[:3] in MONTHS for word in words):
                continue
            return candidate, text[: found.start()] + " | " + text[found.end() :]
    return "", text


def _name_in(text: str, names: Mapping[str, str]) -> tuple[str, str]:
    """Find the longest known name in a text, as whole words."""
    parts = list(re.finditer(r"[^\W_]+|#", text))
    for count in range(min(6, len(parts)), 0, -1):
        for at in range(len(parts) - count + 1):
            low, high = parts[at].start(), parts[at + count - 1].end()
            own = folded(text[low:high])
            if own in names and (len(own) > 2 or count == len(parts)):
                return names[own], text[:low] + " " + text[high:]
    return "", text


# --- dates without their year


def has_year(text: str) -> bool:
    """Tell whether a date text carries its year."""
    return _YEARLESS.match(text.strip()) is None


def years_in(texts: Iterable[str]) -> Counter[int]:
    """Count the years of dates that can be read as they stand."""
    distinct = [text for text in set(texts) if text and has_year(text)]
    found = read_dates(distinct)
    return Counter(reading.day.year for reading in found.values() if reading.day is not None) + Counter(
        reading.suggestion.year for reading in found.values() if reading.day is None and reading.suggestion
    )


def with_year(texts: Iterable[str], said: int | None, usual: int | None) -> dict[str, str]:
    """Give dates that lack their year one, from a title, the weekday they name, or the other sheets.

    Parameters
    ----------
    texts
        Distinct date texts of a table.
    said
        A year that stands in a title, a tab's or a file's name.
    usual
        The year of most dates of the logbook.

    Returns
    -------
    dict
        Text as typed -> text with a year, for those that lacked one and got it.

    Notes
    -----
    A weekday decides when it fits one year only of those about; a year in a title comes before the other
    sheets' years. When nothing tells, the texts are left as they are, and are asked about.
    """
    found = {text: match for text in set(texts) if (match := _YEARLESS.match(text.strip()))}
    if not found:
        return {}
    year = said or usual
    fitting = _years_by_weekday(found.values(), {year} if year else set())
    if fitting and (year is None or year not in fitting):
        near = sorted(fitting, key=lambda each: abs(each - (year or max(fitting))))
        year = near[0] if year is not None or len(fitting) == 1 else None
    if year is None:
        return {}
    return {text: _written(match, year) for text, match in found.items() if _written(match, year)}


def _written(found: re.Match[str], year: int) -> str:
    if found["a"]:
        return f"{found['a']}/{found['b']}/{year}"
    month = MONTHS.get((found["m1"] or found["m2"]).casefold()[:3]) or MONTHS.get(
        (found["m1"] or found["m2"]).casefold()
    )
    day = int(found["d1"] or found["d2"])
    return f"{year}-{month:02}-{day:02}" if month else ""


def _years_by_weekday(found: Iterable[re.Match[str]], likely: set[int]) -> set[int]:
    """Give the years in which every named weekday falls on its date; empty when none does."""
    years: set[int] | None = None
    this_year = dt.datetime.now(dt.UTC).year
    for match in found:
        weekday = _weekday(match["wd"]) if match["wd"] else _weekday(match["wd2"]) if match["wd2"] else None
        if weekday is None:
            continue
        orders = [(match["a"], match["b"]), (match["b"], match["a"])] if match["a"] else [("", "")]
        fits = set()
        for month_text, day_text in orders:
            for year in likely | set(range(this_year - 12, this_year + 1)):
                month = (
                    int(month_text) if month_text else MONTHS.get((match["m1"] or match["m2"]).casefold()[:3])
                )
                day = int(day_text) if day_text else int(match["d1"] or match["d2"])
                try:
                    if month and dt.date(year, month, day).weekday() == weekday:
                        fits.add(year)
                except ValueError:
                    continue
        years = fits if years is None else years & fits
    return years or set()


def _weekday(text: str) -> int | None:
    own = text.casefold().rstrip(".")
    for at, name in enumerate(_WEEKDAYS):
        if own.startswith(name):
            return at
    return _FOREIGN_DAYS.get(own) if own in _FOREIGN_DAYS else _FOREIGN_DAYS.get(own[:3])


_NUMERIC = re.compile(r"^(?:[^\W\d_]{2,10}[.,]*\s+)?(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})$")


def in_order(texts: Sequence[str], heading: str) -> dict[str, str]:
    """Settle dates that could be day-month or month-day by the order in which the rows stand.

    Parameters
    ----------
    texts
        Date texts of a table, row by row.
    heading
        Of the column; ``d/m/y`` in it decides.

    Returns
    -------
    dict
        Text as typed -> ISO date; empty when a date of the table can be read one way only, when nothing is
        to be settled, or when the order of rows does not tell either.
    """
    distinct = list(dict.fromkeys(texts))
    found = {text: match for text in distinct if (match := _NUMERIC.match(text.strip()))}
    if not found or any(int(match[1]) > 12 or int(match[2]) > 12 for match in found.values()):
        return {}
    named = re.search(r"(?i)\b(dd?)[-/. ]*(mm?)\b|\b(mm?)[-/. ]*(dd?)\b", heading)
    if named:
        order = "day" if named[1] else "month"
    else:
        runs = {
            way: _turns([_day_of(found[text], way) for text in distinct if text in found])
            for way in ("day", "month")
        }
        low, high = sorted(runs, key=lambda way: runs[way])
        if len(found) < 3 or runs[low] > 0 or runs[high] == 0:
            return {}
        order = low
    return {text: _day_of(match, order).isoformat() for text, match in found.items()}


def _day_of(found: re.Match[str], order: str) -> dt.date:
    first, second = int(found[1]), int(found[2])
    year = int(found[3]) if len(found[3]) == 4 else 2000 + int(found[3])
    return dt.date(year, first, second) if order == "month" else dt.date(year, second, first)


def _turns(days: Sequence[dt.date]) -> int:
    """Count the steps that go against the way most go."""
    up = sum(above < below for above, below in pairwise(days))
    down = sum(above > below for above, below in pairwise(days))
    return min(up, down)
