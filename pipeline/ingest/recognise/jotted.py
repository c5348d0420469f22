"""Notes as they are tapped into a phone: lines of words and numbers, each number named beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from pipeline.ingest.clocks import AT_THE_START, IN_TEXT
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.chains import (
    LEAST_LISTED,
    LISTED,
    chain_in,
    in_order,
    in_their_places,
    meanings_of,
    named_alike,
)
from pipeline.ingest.recognise.entries import with_distance_first, without_sender
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, Part
from pipeline.ingest.recognise.plain_text import one_way
from pipeline.ingest.recognise.spoken import date_in
from pipeline.ingest.recognise.tokens import tokens
from pipeline.ingest.recognise.told import DEGREES, is_whole_rpm, told_by
from pipeline.ingest.recognise.totals import TOTAL
from pipeline.ingest.recognise.units import as_unit
from pipeline.ingest.recognise.vocabulary import AIR, SETTINGS, SPLITS, SPOKEN, UNITS
from pipeline.ingest.spellings import LANE_WORDS, name_within

LEAST_LINES, LEAST_SHARE = 3, 0.25
ONE_CELL = 0.7
"""Where so many lines have one cell, a comma in another is part of what was typed."""
_NUMBER = re.compile(
    r"(?<![\w./])([-+−]?(?:\d+ \d/\d|\d/\d\d?(?=\s?turns?)|(?:1/[23]|2/3|3/4|[357]/8)(?=\s?[^\W\d_]{3})"
    r"|[OoIl\d]+[.,;:]{1,2}\d*[OoIlSB]\d*"
    r"|[OIl]\d{2,3}(?![\w.])|[OoIlSB]\d*\.\d+|\d+[OoIlSB]\d+(?!\w)|\d[OoIlSB](?=\s?(?:%|rpm\b))|\d+(?:[;:]|\.\.|,,)\d{2,4}|\d*\.\d+|\d+,\d{1,3}(?!\d)|\d+))"
)
_BEHIND = re.compile(
    rf"\s?(%|percent\b|°\s?[CF]?\b|(?:{DEGREES})\s?[CF]?\b"
    r"|[^\W\d_]{1,10}(?:/[^\W\d_]{1,5})?(?![\w/]|\s?[=:]\s?[-+]?[.,]?\d)|\")",
    re.IGNORECASE,
)
"""What may be a unit behind a number."""
_IS_LABEL = re.compile(r"[\"']?\s?[=:]\s?[\"']?[-+]?[.,]?\d")
"""What stands behind words that name the number to come: ``"660 mph": 112.4``."""
_STANDS_FOR = re.compile(r"\s?[^\W\d_]{1,10}(?:/[^\W\d_])?\s?[=:]\s?[-+]?[.,]?\d|\s?=\s?[^\W\d_]")
"""What stands behind a distance that is part of a name or is explained: ``660 mph = 112.4``, ``60 = ft``."""
_GLUED = re.compile(r"[\w/:]|\.\d")
_REACTION = re.compile(r"(?i)\br\s?/\s?t\b|\br(?=\s*[-+−]?0?[.,]\d{2})")
_DISTANCE = re.compile(
    r"(?i)(?<![\w.,])(60|330|660|1000|1320|1/8|1/4)(?:\s?(?:ft|foot|\'))?(?:\s*[:=\[(]\s*|\s+)"
    r"(?=[-+]?[OoIlSB]?\d*[.,]?\d)"
    r"|(?<![\w.,])(60|330|660|1000|1320|1/8|1/4)\s?(?!mph|km|psi|rpm|[hk]pa|mb|deg|[fc]\b)[^\W\d_]{1,9}\.?(?:\s*[:=]\s*|\s+)"
    r"(?=[-+]?\d?\d?[.,]\d{2})"
)
_METERS = {"18": "60", "20": "60", "100": "330", "200": "1/8", "201": "1/8", "300": "1000", "305": "1000",
           "400": "1/4", "402": "1/4"}  # fmt: skip
_IN_METERS = re.compile(
    r"(?i)(?<![\d.,])(18|20|100|20[01]|30[05]|40[02])\s?m(?:et\w*)?\b\.?\s*[:=]?\s*(?=[-+]?\d?\d?[.,]\d)"
)
_DISTANCES = frozenset({"60", "330", "660", "1000", "1320", "1/8", "1/4"})
_IS_WHOLE = re.compile(r"[^\W\d_]{3}|\d\D+\d+\D+\d")
_ROUND = re.compile(
    r"(?i)\b((?:tt|q|e|t|r|rd|round|qual|elim|time trial|test)\s?#?\d{1,2}(?![.,]\d)|bye|final|semi)\b"
)
_LANE = re.compile(r"(?i)\b(left|right)\b(?:\s+lane)?|\b([lr])\b(?:\s+lane\b)?")
_SIDES = sorted((word for word in LANE_WORDS if len(word) > 2), key=len, reverse=True)
_SIDE = re.compile(rf"(?i)(?<!\w)({'|'.join(_SIDES)})(?!\w)")
_PIECES = re.compile(r"[.!?;],?\s+|\s[/|–—-]+\s|[.!?]$")
_SENTENCE = re.compile(
    r"(?<=[^\W\d_]{2}[.!?]),?\s+|(?<=\d[.!?])\s+(?=[^\W\d_])|(?<=\d\w[.!?])\s+(?=[^\W\d_])"
)
_ENDED = re.compile(r"[,;]|(?<=[^\W\d_])[.!?]\s+(?=[^\W\d_a-zà-ÿ])")
_REMARK = re.compile(r"\s*(?:\.{2,}|…|\s[-–—]{1,2}\s|\()\s*(?=[^\W\d_])(?!.*\d[.,]\d)")
"""Words behind such a mark, with no more values to come, are a remark."""
_BY_UNIT = {"rpm": "launch rpm", "turn": "turns", "g": "counterweight", "inHg": "pressure"}
"""Canonical unit -> what a number is that bears it and no word."""
_MEASURES = (*_BY_UNIT, "s", "mph", "degF", "psi", "%")
_NO_UNITS = frozenset({"in", "k", "m", "n", "a", "at", "rh"})
"""Words that are units elsewhere."""
_AT = frozenset({"at", "@"})
_ENDS = {"t660_s": "660", "t1320_s": "1320"}
"""Times beside which a bare ``@`` is the speed at that distance."""
_KMH = re.compile(r"(?i)\bkm/?[htu]\b|кмч|км/ч|χλμ|كم")
SLOW = 40.0
"""No trap speed is less, and no time more [mph, s]."""
_IS_SPEED = re.compile(r"(?:@| mph| speed|^speed \d+)$")
_NO_NUMBERS = frozenset({"time", "lane", "round", "notes"})
_DEGREES = re.compile(rf"(?i)^(?:°|{DEGREES}).*|^[cf]$")
_BARE_DEGREES = re.compile(rf"(?i)°|{DEGREES}")
_FILLER = re.compile(r"(?i)\b(?:now|is|was|are|about|of|to|the|a|went|ran|had|set|changed?|with)\b|[=:,;|/]+")


def jotted(lines: Sequence[Line], meaning: Meaning, names: Mapping[str, Sequence[str]]) -> Part | None:
    """Read lines of notes as rows.

    Parameters
    ----------
    lines
        Every row of a sheet without headings.
    meaning
        The likeliest meaning of words beside a number.
    names
        Those of strips and cars that are listed, by the column they belong to.

    Returns
    -------
    Part or None
        One row a line, what it names as columns; None when these are no such notes.
    """
    labels: list[str] = []
    rows: list[tuple[int, str | dict[str, str]]] = []
    entries, told, day = 0, 0, ""
    is_in_kmh = _is_in_kmh(" ".join(text for _, cells in lines for text in cells))
    seen = _looked_at(lines, meaning)
    has_slips = sum(any(meaning(label)[0] in SPLITS for label in own.found) for own in seen) >= LEAST_LINES
    for own in seen:
        if own.is_told(has_slips=has_slips) or not _is_entry(own.found):
            day = "" if own.date else day
            told += bool(own.told)
            rows.append((own.number, own.text))
            continue
        entries += 1
        found = _spoken(own.told) or own.found
        day = own.date or day
        found |= {"date": day} if day else {}
        found |= _names_in(own.rest, names, meaning)
        if is_in_kmh:
            found = {
                f"{label} km/h" if _IS_SPEED.search(label) else label: text for label, text in found.items()
            }
        if found.get("time") and isinstance(above := rows[-1][1] if rows else "", dict):
            _put_at(above, found["time"], meaning)
        rows.append((own.number, found))
        labels += [label for label in found if label not in labels]
    in_their_places(rows)
    labels = in_order(rows, labels)
    meant = meanings_of(rows)
    rows, labels = named_alike(rows, labels, meaning, meant)
    if entries < LEAST_LINES or entries + told < LEAST_SHARE * sum(bool(text) for _, text in rows):
        return None
    body = [
        (
            number,
            [row, *[""] * len(labels)]
            if isinstance(row, str)
            else ["", *(row.get(label, "") for label in labels)],
        )
        for number, row in rows
    ]
    meant |= {f"name of {what}": what for what in names}
    headings = [Heading("", "")]
    for label in labels:
        named = label + " km/h" * (is_in_kmh and _IS_SPEED.search(label) is not None)
        headings.append(Heading(named, named, "", meant.get(label.removesuffix(" km/h"), "")))
    return Part(body, frozenset(), headings)


@dataclass(frozen=True, slots=True)
class _Seen:
    """One line: its date, the rest, what that names, and what it tells where it tells nothing else."""

    number: int
    text: str
    date: str
    rest: str
    found: dict[str, str]
    told: dict[str, str]

    def is_told(self, *, has_slips: bool) -> bool:
        """Tell whether it stands by itself among runs: it says what was changed, or has its moment."""
        if any(value[0] in "+-" for value in self.told.values()):
            return True
        has_moment = "time" in self.told or set(self.told) <= {*SETTINGS}
        return has_slips and bool(self.told) and has_moment and not self.date


def _looked_at(lines: Sequence[Line], meaning: Meaning) -> list[_Seen]:
    """Read every line by itself."""
    between = "," if sum(sum(map(bool, cells)) <= 1 for _, cells in lines) > ONE_CELL * len(lines) else ", "
    seen = []
    for number, cells in lines:
        whole = one_way(between.join(text for text in cells if text))
        text = with_distance_first(without_sender(whole, meaning))
        date, rest = date_in(text)
        if not _IS_WHOLE.search(date):  # the 1-2 shift, not January 2
            date, rest = "", text
        own, rest = _told_in_sentences(_without_stamp(text, date, rest), meaning)
        found = named_numbers(rest, meaning) | own if text and not TOTAL.match(text) else {}
        seen.append(_Seen(number, text, date, rest, found, _told_whole(rest, found, meaning)))
    return seen


def _is_in_kmh(text: str) -> bool:
    """Tell whether a text speaks of km/h, and of no other unit of speed."""
    return re.search(r"(?i)\bmph\b", text) is None and _KMH.search(text) is not None


def _names_in(text: str, names: Mapping[str, Sequence[str]], meaning: Meaning) -> dict[str, str]:
    """Find the listed strip and car that a line names."""

    def is_other(word: str) -> bool:
        return meaning(word)[1] >= SAYS_IT

    found = {what: name_within(text, known, is_other) for what, known in names.items() if known}
    return {f"name of {what}": name for what, name in found.items() if name}


def _without_stamp(text: str, date: str, rest: str) -> str:
    """Leave out when a note was written down, right behind its date, where it says when the run was, too."""
    clocks = list(IN_TEXT.finditer(rest))
    stamp = clocks[0][1].strip() if len(clocks) > 1 and date else ""
    if stamp and re.search(rf"{re.escape(date)}\W{{1,3}}{re.escape(stamp)}", text):
        return rest[: clocks[0].start()] + rest[clocks[0].end() :]
    return rest


def _is_entry(found: Mapping[str, str]) -> bool:
    """Tell whether a line names enough: several numbers, or one that is no mere count, with its moment."""
    numbers = [text for label, text in found.items() if label not in _NO_NUMBERS]
    if all(text in _DISTANCES for text in numbers):
        return False  # a line that says what stands in the others
    return len(numbers) >= 2 or (len(found) >= 2 and any(re.search(r"\D", text) for text in numbers))


def _told_in_sentences(text: str, meaning: Meaning) -> tuple[dict[str, str], str]:
    """Take the sentences out of an entry that tell nothing but the settings or the air, by their headings."""
    found: dict[str, str] = {}
    kept = []
    sentences = _SENTENCE.split(text)
    for sentence in sentences:
        told = told_by([sentence], meaning) if len(sentences) > 1 and re.search(r"\d", sentence) else {}
        is_new = bool(told) and "time" not in told and not set(_spoken(told)) & set(found)
        found |= _spoken(told) if is_new else {}
        kept += [] if is_new else [sentence]
    return found, " ".join(kept)


def _spoken(told: Mapping[str, str]) -> dict[str, str]:
    return {SPOKEN.get(name, name): text for name, text in told.items()}


def _told_whole(text: str, found: Mapping[str, str], meaning: Meaning) -> dict[str, str]:
    """Give what a line tells of the air or the setup, where that is all it holds and more than one thing."""
    named = {meaning(label)[0] for label in found if not LISTED.match(label)}
    told = told_by([text], meaning)
    if named & {*SPLITS} and len(set(told) & {*AIR}) < 2:
        return {}
    is_whole = len(told) > 1 or any(value[0] in "+-" for value in told.values())
    return told if is_whole or set(told) - named - {"time", "pressure_kind"} else {}


def _put_at(above: dict[str, str], time: str, meaning: Meaning) -> None:
    """Let what is read or set right above a run, with no time of day beside it, count from that run on."""
    if "time" not in above and not {meaning(label)[0] for label in above} & {*SPLITS}:
        above["time"] = time


def named_numbers(text: str, meaning: Meaning) -> dict[str, str]:
    """Find the numbers of a line with the words that name them; time of day, lane, round and remarks too.

    Examples
    --------
    >>> def meaning(words):
    ...     return ("tire_pressure_psi", 1.0) if words == "tires" else ("", 0.0)
    >>> named_numbers("60 1.482, tires 10 psi", meaning)
    {'60': '1.482', 'tires': '10 psi'}
    """
    found: dict[str, str] = {}
    text = whole = _REACTION.sub("rt", text)
    if clock := AT_THE_START.match(text) or IN_TEXT.search(text):
        found["time"] = clock[1].strip()
        text = f"{text[: clock.start(1)]} , {text[clock.end() :]}"
    parts = _REMARK.split(text, maxsplit=1)
    text, remark = parts[0], (parts[1].rstrip(") ") if len(parts) > 1 else "")
    text, listed = chain_in(_IN_METERS.sub(lambda seen: f"{_METERS[seen[1]]} ", text))
    found |= listed
    text = _DISTANCE.sub(lambda seen: f" zz{(seen[1] or seen[2]).replace('/', '_')}zz ", text)
    for name, pattern in (("round", _ROUND), ("lane", _LANE), ("lane", _SIDE)):
        if name not in found and (seen := pattern.search(text)):
            found[name] = next(filter(None, seen.groups()))
            text = text[: seen.start()] + " , " + text[seen.end() :]
    numbers = _numbers_in(text)
    before, distance, bare, named = 0, "", len(listed), 0
    for at, (start, end, number, unit) in enumerate(numbers):
        after = numbers[at + 1][0] if at + 1 < len(numbers) else len(text)
        words, rest = text[before:start], text[end:after]
        is_fast = re.fullmatch(r"\d{2,3}(?:[.,]\d+)?", number) and float(number.replace(",", ".")) > SLOW
        label, distance, is_named = _label(words, unit, rest, distance, meaning, is_fast=bool(is_fast))
        before = end
        label = "launch rpm" if label == "turns" and is_whole_rpm(number) else label
        label = label or _of_the_air(unit, words + _behind(rest), found, meaning)
        if not label:
            if not re.search(r"[.,]", number) or listed:
                continue
            is_speed = re.search(r"@|\bat\b", words) is not None
            bare += not is_speed
            label = f"speed {bare}" if is_speed else f"et {bare}"
        named += is_named
        is_bare = (
            not unit
            or _BARE_DEGREES.fullmatch(unit)
            or (as_unit(unit, "turn") and meaning(label)[0] == "launch_rpm")
        )
        found.setdefault(label, number.strip() if is_bare else text[start:end].strip())
    if not remark and numbers and read_outcome(None, text[before:]) is not None:
        remark = text[before:].strip(" ,;.)-–—")
    remark = remark or _outcome_among(whole)
    if not named and bare < 2 and len(listed) < LEAST_LISTED:
        return {}
    if remark:
        found["notes"] = remark
    return found


def _of_the_air(unit: str, words: str, found: Iterable[str], meaning: Meaning) -> str:
    """Name a share with no word beside it, where the air was named before: ``Luft 19°, 1000 hPa, 44 %``."""
    is_bare_share = unit == "%" and re.search(r"\w", words) is None
    return "humidity" if is_bare_share and any(meaning(label)[0] in AIR for label in found) else ""


def _outcome_among(text: str) -> str:
    """Give the first sentence without numbers that tells how a run went; empty where none does."""
    said = [piece.strip(" ,;.!)-–—") for piece in _PIECES.split(text) if not re.search(r"\d", piece)]
    return next((piece for piece in said if piece and read_outcome(None, piece) is not None), "")


def _numbers_in(text: str) -> list[tuple[int, int, str, str]]:
    """Give where each number of a line begins and ends, unit included, the number and the unit."""
    found = []
    for number in _NUMBER.finditer(text):
        if number[0] in _DISTANCES and _STANDS_FOR.match(text, number.end()):
            continue
        behind = _BEHIND.match(text, number.end())
        if behind is not None and _IS_LABEL.match(text, behind.end()):
            continue
        if behind is not None and _is_unit(behind[1]):
            found.append((number.start(), behind.end(), number[0], behind[1].strip()))
        elif not _GLUED.match(text, number.end()):
            found.append((number.start(), number.end(), number[0], ""))
    return found


@cache
def _is_unit(text: str) -> bool:
    if text.casefold() in _NO_UNITS:
        return False
    return _DEGREES.search(text) is not None or any(as_unit(text, own) is not None for own in _MEASURES)


def _label(
    before: str, unit: str, after: str, distance: str, meaning: Meaning, *, is_fast: bool
) -> tuple[str, str, bool]:
    """Name a number by the words before it, else by its unit, else by the words after it."""
    if seen := re.findall(r"zz(\w+?)zz", before):
        own = seen[-1].replace("_", "/")
        return own, own, True
    is_speed = bool(unit) and as_unit(unit, "mph") is not None
    plain = " ".join(re.findall(r"[^\W\d_]+", before))
    has_word = is_speed and tokens(plain) != ("mph",) and meaning(plain)[1] >= SAYS_IT
    is_beside = re.fullmatch(r"(?i)[\s,(]*(?:at|@|mph)[\s,=:]*", before) is not None
    is_beside = is_beside or (is_fast and not unit and re.fullmatch(r"\s*[(\[/]\s*", before) is not None)
    if distance and ((is_speed and not has_word) or is_beside):
        return f"{distance} {'mph' if is_speed else 'speed'}", distance, True
    named = next((said for own, said in _BY_UNIT.items() if unit and as_unit(unit, own) is not None), "")
    before_words = _ENDED.split(before)[-1]
    for words in (before_words, named, _behind(after)):
        plain = " ".join(re.findall(r"[^\s()\[\]{}]+", _FILLER.sub(" ", words)))
        tries = [plain, *(plain.split(maxsplit=at)[-1] for at in range(1, len(plain.split())))]
        tries += plain.split() if words is before_words else []
        if _DEGREES.search(unit) or as_unit(unit, "degF") is not None:
            tries += [f"{each} temp" for each in tries if each] if words is before_words else []
        for each in tries:
            if (is_at := each.casefold() in _AT) and not (is_speed or is_fast):
                continue
            name, likeness = meaning(each) if each else ("", 0.0)
            if likeness >= SAYS_IT and not name.startswith("tick ") and _may_carry(unit, name):
                return "@" if is_at else each, _ENDS.get(name, ""), True
    return "", "", False


def _behind(after: str) -> str:
    """Give the words behind a number that may name it: none that name the next one with a mark."""
    if re.search(r"[=:]\s*$", after):
        return ""
    return re.split(r"[,;@]|\b(?:and|at)\b", after)[0]


def _may_carry(unit: str, name: str) -> bool:
    """Tell whether a unit behind a number is one of the thing that words say it is."""
    if not unit or name not in UNITS:
        return True
    if _BARE_DEGREES.fullmatch(unit):
        return UNITS[name] == "degF"
    is_turns = name == "launch_rpm" and as_unit(unit, "turn") is not None
    return is_turns or as_unit(unit, UNITS[name]) is not None
