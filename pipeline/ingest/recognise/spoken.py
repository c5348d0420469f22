"""What a line of words or the name of a tab or file says of the rows below: date, year, strip, event, car."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from pipeline.garage.spelling import KIND_BEHIND, folded
from pipeline.ingest.month_names import month_in_text, month_of, plain_month
from pipeline.ingest.recognise.agreed import Headed
from pipeline.ingest.recognise.passed_on import PassedOn
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.spellings import name_of_words
from pipeline.ingest.weekdays import is_weekday, weekday_of, without_weekdays

_YEAR = re.compile(r"(?<![\d./-])((?:19|20)\d\d)(?![\d/-]|\.\s*\d)")
_DATES = (
    re.compile(r"(?<!\d)\d{4}(?:[-/_]|\.\s?)\d{1,2}(?:[-/_]|\.\s?)\d{1,2}(?!\d)"),
    re.compile(r"(?<![\d/])\d{1,2}(?:\.\s?|[-/])\d{1,2}(?:\.\s?(?=\d{4})|[-/.])(?:\d{4}|\d{2})(?!\d)"),
    re.compile(
        r"(?<![^\W\d_])[^\W\d_]{3,10}\.?\s+\d{1,2}(?:st|nd|rd|th)?\b(?!\s*(?:/|:))(?:[\s,_-]+'?(?:\d{4})\b)?",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<![\d/])\d{1,2}(?:st|nd|rd|th)?[.\s_-]*(?:de\s+)?[^\W\d_]{3,10}\b\.?(?:[\s,_-]+(?:de\s+)?'?\d{4}\b)?",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<![\d/.-])(?<!\d )\d{1,2}[/-]\d{1,2}(?![\d/-])"
        r"(?!\s*(?:turns?|t|in|inch|\"|shift|upshift|change)\b)"
    ),
    re.compile(r"(?<!\d)20\d{6}(?!\d)"),
)

_MONTH_NEXT = re.compile(r"\.?\s*(?:de\s+)?([^\W\d_]{3,})")
_WEEKDAY_BEFORE = re.compile(r"(?<![^\W_])([^\W\d_]{2,13}(?:-feira)?)[.,]*\s+$")
_TO_A_DAY = re.compile(r"\|\s*(?:[^\W\d_]{1,6}\s+|[-–+&/]\s*)([^\W\d_]{2,13})\.?(?=\W*(?:$|\d|[,;:|(–-]))")
"""A weekday up to which a meet goes on from its date, ``| into Sun``: no words of a strip's name."""
_AFTER_A_COLON = re.compile(r"(?<=:)\s+")
_FILLED = re.compile(
    r"(?i)\b(?:at|in|on|the|from|log|logbook|slips?|runs?|passes|sheet|season|results?|for|date|day|datum|event|"
    r"track|strip|venue|car|air|weather|tab|page|numbers?|off|of|my|our|drag|notes?|notebook|book|clutch|racing|timeslips?)\b|[|–—@:,;()\[\]#*=_\-]+"
)


_AROUND_A_PLACE = re.compile(
    r"(?i)^\W*(?:now|back|off|we'?re|over)?\s*\b(?:(?:at|to|in|bei|chez|en|em|a|på|w|op|v)\b(?:\s+the\b)?|the\b)"
    r"|\b(?:today|tonight|again|now|all day|heute|hoy|oggi|hoje|idag|i dag|vandaag|dziś|dnes|aujourd'hui)\W*$"
)
"""What stands around a place in a line of few words: ``back at Quarry Road today``."""
MOST_BESIDE_A_MONTH = 3
_MONTH_NUMBER = re.compile(
    r"^\W*(0?[1-9]|1[0-2])\W*$|\b20\d\d[-. ](0[1-9]|1[0-2])(?![\d-])|(?<![\d-])(0[1-9]|1[0-2])[-. ]20\d\d\b"
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
    year, month
        A year, and the number of a month, that stand alone.
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
    month: int | None = None

    def then(self, later: Said) -> Said:
        """Let a line further down speak over this one, where it speaks."""
        return Said(
            later.date or self.date, later.year or self.year, later.venue or self.venue,
            later.car or self.car, later.event or self.event, self.rest or later.rest,
            later.month or self.month,
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
    agreed
        Headings of tables -> what their columns are read as, where several have the same.
    passed_on
        What the sheets read so far told, in the order in which they are read.
    """

    cars: dict[str, str] = field(default_factory=dict)
    venues: dict[str, str] = field(default_factory=dict)
    years: Counter[int] = field(default_factory=Counter)
    is_metric: bool = False
    agreed: dict[tuple[str, ...], Headed] = field(default_factory=dict)
    passed_on: PassedOn = field(default_factory=PassedOn)

    @property
    def year(self) -> int | None:
        """The year of most dates; None when no sheet tells one, or two are told as often."""
        often = self.years.most_common(2)
        is_even = len(often) > 1 and often[0][1] == often[1][1]
        return often[0][0] if often and not is_even else None

    @property
    def shared(self) -> str:
        """What every sheet is read by, in words; of the years only the one that is taken."""
        return repr((self.cars, self.venues, self.year, self.is_metric, self.agreed))


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
    rest = _TO_A_DAY.sub(lambda end: "|" if is_weekday(end[1]) else end[0], rest)
    year = next((int(found) for found in _YEAR.findall(rest)), None)
    month = None
    if not date:
        month, rest = _month_in(rest, is_name=is_name)
    car, rest = _name_in(rest, book.cars)
    venue, rest = _name_in(rest, book.venues)
    if not venue:
        venue, rest = _shortened_name_in(rest, book.venues)
    if not venue and (date or _names_meet_and_strip(rest)):
        venue, rest = _strip_in(rest)
    if not venue and is_name:
        venue, rest = _strip_alone(rest)
    event = title = ""
    if date or venue:
        left = _YEAR.sub(" ", rest)
        left = without_weekdays(left)
        left = " ".join(_FILLED.sub(" ", left).split()).strip(" .,-/")
        event = left if re.search(r"[^\W\d_]{3}", left) and len(left) <= 60 else ""
        if is_name and not venue:
            event = ""
    else:
        first = re.split(r"[.;(]\s", rest)[0]
        title = " ".join(_FILLED.sub(" ", _YEAR.sub(" ", first)).split()).strip(" .,-")
    is_title = re.fullmatch(r"(?:[^\W\d_][\w'’#-]*\s?){1,3}", title)
    return Said(date, year, venue, car, event, title if is_title else "", month)


def said_by_cells(cells: Sequence[str], book: Book) -> Said:
    """Read a line of words over several cells; one of them may be the strip by itself."""
    filled = [text for text in cells if text]
    whole = said_by(" ".join(filled), book)
    if whole.venue or len(filled) < 2:
        return whole
    for at, text in enumerate(filled):
        if venue := said_by(text, book).venue:
            return replace(said_by(" ".join(filled[:at] + filled[at + 1 :]), book), venue=venue)
    return whole


def _month_in(text: str, *, is_name: bool) -> tuple[int | None, str]:
    """Find a month that stands alone, by name or as ``2031-05`` and ``05`` in a name of a tab or file."""
    for word in re.finditer(r"(?<![^\W_])[^\W\d_]{3,12}(?![^\W_])", text):
        if (month := month_of(word[0])) and (is_name or len(text.split()) <= MOST_BESIDE_A_MONTH):
            return month, f"{text[: word.start()]} {text[word.end() :]}"
    if is_name and (found := _MONTH_NUMBER.search(text)):
        return int(next(filter(None, found.groups()))), f"{text[: found.start()]} {text[found.end() :]}"
    return None, text


def _strip_in(text: str) -> tuple[str, str]:
    """Find an unknown strip's name in a line that also names a date: ``Points 1 at Quarry Road``."""
    bare = without_weekdays(text)
    parts = [part.strip(" .,=*#-–—") for part in re.split(r"[/|;,–—@]|\s-\s|\bat\b|(?<=[a-z]{3})\.\s", bare)]
    parts = [part for part in parts if re.search(r"[^\W\d_]{3}", part) and not is_weekday(part)]
    chosen = next((part for part in parts if _A_STRIP.search(part) and not _AN_EVENT.search(part)), "")
    if not chosen and (found := re.search(r"(?:\b[Aa][Tt]\b|@)\s*([^\W\d_a-z][^/|;,–—@]+)", text)):
        chosen = re.split(r"\s+(?:for|with)\s|(?<=[a-z]{3})\.\s", found[1])[0].strip(" .,=*#-–—")
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


_LABELS = {word: word for word in ("date", "event", "car", "year")} | dict.fromkeys(
    ("strip", "track", "place"), "venue"
)
"""A plain word alone -> what stands beside it."""


def _label_of(text: str) -> str:
    """Give what a label says of the rows below; empty for any other text."""
    words = tokens(text.rstrip(": "))
    return _LABELS.get(words[0], "") if len(words) == 1 else ""


def banners_joined(lines: Sequence[tuple[int, list[str]]]) -> list[tuple[int, list[str]]]:
    """Write labels that stand over one line of what they name as labels beside it: ``DATE, STRIP``.

    Such are two lines with the same cells filled, the upper all labels, before a line of another sort.
    """
    out = list(lines)
    for at in range(len(lines) - 1):
        (_, labels), (number, values) = lines[at], lines[at + 1]
        own = [place for place, text in enumerate(labels) if text]
        if len(own) < 2 or own != [place for place, text in enumerate(values) if text]:
            continue
        if not all(_label_of(labels[place]) for place in own):
            continue
        after = lines[at + 2][1] if at + 2 < len(lines) else []
        is_table = own == [place for place, text in enumerate(after) if text]
        if is_table or any(_label_of(values[place]) for place in own) or len(values) < 2 * len(own):
            continue
        pairs = [text for place in own for text in (f"{labels[place].rstrip(': ')}:", values[place])]
        out[at + 1] = (number, [*pairs, *[""] * (len(values) - len(pairs))])
        out[at] = (lines[at][0], [""] * len(labels))
    return out


def _parts_behind_a_label(cells: Sequence[str]) -> list[str]:
    """Give the parts of a line that begins with a label; empty for any other line."""
    begins = _AFTER_A_COLON.split(next(filter(None, cells), ""))[0].strip()
    if not begins.endswith(":") and not _label_of(begins):
        return []
    return [part.strip() for text in cells if text for part in _AFTER_A_COLON.split(text) if part.strip()]


def said_in_pairs(cells: Sequence[str], book: Book, *, is_above: bool = False) -> Said | None:
    """Read a line that names what it says, such as ``TRACK:, Cinder Flats, , DATE:, 5/4/2031``.

    Parameters
    ----------
    cells
        The line.
    book
        Names and years known.
    is_above
        Whether it stands above the headings, where a label needs no colon.

    Returns
    -------
    Said or None
        None when the line is of another sort: nothing else but labels and what follows each may stand there,
        and a label ends in a colon, or is one of at least two that are known.
    """
    parts = _parts_behind_a_label(cells)
    if len(parts) % 2 and len(parts) > 2 and is_weekday(parts[-1]):
        parts.pop()
    found: dict[str, str] = {}
    label = ""
    first = _label_of(parts[0]) if is_above and len(parts) > 1 else ""
    if first and not any(map(_label_of, parts[1:])):
        is_strip = folded(parts[1]) in book.venues and first != "venue"
        parts = parts if is_strip else [f"{parts[0].rstrip(':')}:", parts[1]]
    named = {_label_of(label): text for label, text in zip(parts[::2], parts[1::2], strict=False)}
    if (
        len(parts) >= 4
        and len(parts) % 2 == 0
        and "" not in named
        and all(re.search(r"\d", named.get(name, "1")) for name in ("date", "year"))
        and not any(map(_label_of, parts[1::2]))
    ):
        parts = [part if at % 2 else f"{part.rstrip(':')}:" for at, part in enumerate(parts)]
    for part in parts:
        if found.get("date") and is_weekday(part):
            continue
        if part.endswith(":"):
            label = _label_of(part) or "?"
        elif label:
            if label != "?":
                found.setdefault(label, part)
            label = ""
        else:
            return None
    if not found:
        return None
    venue = book.venues.get(folded(found.get("venue", "")), found.get("venue", ""))
    year = _YEAR.search(found.get("year", ""))
    return Said(
        found.get("date", ""),
        int(year[1]) if year else None,
        venue,
        found.get("car", ""),
        found.get("event", ""),
    )


_SPAN, _WORD = re.compile(r"\d{1,2}-\d{1,2}"), re.compile(r"[^\W\d_]{2,}")


def date_in(text: str) -> tuple[str, str]:
    """Find a date in a text, and what the text says without it."""
    text = plain_month(text)
    for pattern in _DATES:
        for found in pattern.finditer(text):
            candidate = found[0].strip(" ,_").replace("_", "-")
            if re.fullmatch(r"1\s*/\s*[248]", candidate):
                continue
            words = re.findall(r"[^\W\d_]{3,}", candidate)
            words = [word for word in words if word.casefold() not in {"st", "nd", "rd", "th", "de"}]
            if words and not any(month_in_text(word) for word in words):
                continue
            after = _MONTH_NEXT.match(text, found.end())
            if words and is_weekday(words[0]) and after is not None and month_in_text(after[1]):
                continue  # Martes 26 de mayo is no day in March
            before = text[: found.start()]
            if _SPAN.fullmatch(candidate) and len(_WORD.findall(before + text[found.end() :])) > 1:
                continue  # "effort 1-10 is me" names no day
            if (named := _WEEKDAY_BEFORE.search(before)) and weekday_of(named[1]) is not None:
                before, candidate = before[: named.start()], f"{named[1]} {candidate}"
            return candidate, before + " | " + text[found.end() :]
    return "", text


def _shortened_name_in(text: str, names: Mapping[str, str]) -> tuple[str, str]:
    """Find a part of a text, between dashes or commas, that is a few words of a known name."""
    whole = folded(text)
    known = {name for name in names.values() if folded(name) not in whole}  # a remark is no name of itself
    for part in re.split(r"\s+[-–—|·/:]\s+|[,;()]\s*", text):
        name = name_of_words(_AROUND_A_PLACE.sub(" ", part).strip(), known) if part else None
        if name is not None:
            return name, text.replace(part, " ", 1)
    return "", text


def known_in(text: str, names: Mapping[str, str]) -> str:
    """Give the known name that stands among other words in a cell: ``Maja, Swift``; else the cell."""
    name, _ = _name_in(text, names) if folded(text) not in names else ("", text)
    return name or text


def _name_in(text: str, names: Mapping[str, str]) -> tuple[str, str]:
    """Find the longest known name in a text, as whole words."""
    parts = list(re.finditer(r"[^\W_]+|#", text))
    for count in range(min(6, len(parts)), 0, -1):
        for at in range(len(parts) - count + 1):
            low, high = parts[at].start(), parts[at + count - 1].end()
            own = folded(text[low:high])
            if own in names and (len(own) > 2 or count == len(parts)):
                return names[own], text[:low] + " " + KIND_BEHIND.sub("", text[high:])
    return "", text
