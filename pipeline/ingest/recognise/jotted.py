"""Notes as they are tapped into a phone: lines of words and numbers, each number named beside it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, Part
from pipeline.ingest.recognise.score import Heading
from pipeline.ingest.recognise.spoken import date_in
from pipeline.ingest.recognise.vocabulary import SPLITS

LEAST_LINES = 3
ONE_CELL = 0.7
"""Where so many lines have one cell, a comma in another is part of what was typed."""
_CLOCK = re.compile(
    r"(?i)^\W*(\d{1,2}[:h]\d{2}\s*(?:[ap]\.?m?\.?)?|\d{1,2}(?:[0-5]\d)?\s?[ap]m?)(?=$|[\s,;:.-])"
)
_NUMBER = re.compile(
    r"(?<![\w./])([-+−]?(?:\d+ \d/\d|\d+[.,;:]{1,2}\d*[OoIlSB]\d*|[OoIlSB]\d+\.\d+|\d+(?:[;:]|\.\.|,,)\d{2,4}"
    r"|\d*\.\d+|\d+,\d{2,3}(?!\d)|\d+))"
    r"\s?(%|°\s?[CF]\b|[CF]\b|mph\b|km/?h\b|psi\b|rpm\b|mm\b|hpa\b|inhg\b|g\b|grams?\b|turns?\b|\")?"
    r"(?![\w/:]|\.\d)",
    re.IGNORECASE,
)
_DISTANCE = re.compile(
    r"(?i)(?<![\d.])(60|330|660|1000|1320|1/8|1/4)(?:\s?(?:ft|foot|\'))?(?:\s*[:=]\s*|\s+)(?=[-+]?\d*[.,]?\d)"
)
_IS_WHOLE = re.compile(r"[^\W\d_]{3}|\d\D+\d+\D+\d")
_ROUND = re.compile(r"(?i)\b((?:tt|q|e|t|r|rd|round|qual|elim|time trial|test)\s?#?\d{1,2}|bye|final|semi)\b")
_LANE = re.compile(r"(?i)\b(left|right)\b(?:\s+lane)?|\b([lr])\b(?:\s+lane\b)?")
_REMARK = re.compile(r"\s*(?:\.{2,}|…|\s[-–—]{1,2}\s|\()\s*(?=[^\W\d_])")
_BY_UNIT = (
    (re.compile(r"(?i)rpm"), "launch rpm"),
    (re.compile(r"(?i)turns?"), "turns"),
    (re.compile(r"(?i)g|grams?"), "counterweight"),
    (re.compile(r"(?i)hpa|inhg"), "pressure"),
)
_ENDS = {"t660_s": "660", "t1320_s": "1320"}
"""Times beside which a bare ``@`` is the speed at that distance."""
_FILLER = re.compile(r"(?i)\b(?:now|is|was|are|about|of|to|the|a|went|ran|had|set|changed?|with)\b|[=:,;|/]+")


def jotted(lines: Sequence[Line], meaning: Meaning) -> Part | None:
    """Read lines of notes as rows.

    Parameters
    ----------
    lines
        Every row of a sheet without headings.
    meaning
        The likeliest meaning of words beside a number.

    Returns
    -------
    Part or None
        One row a line, what it names as columns; None when these are no such notes.
    """
    labels: list[str] = []
    rows: list[tuple[int, str | dict[str, str]]] = []
    entries = 0
    between = "," if sum(sum(map(bool, cells)) <= 1 for _, cells in lines) > ONE_CELL * len(lines) else ", "
    for number, cells in lines:
        text = between.join(text for text in cells if text)
        date, rest = date_in(text)
        if not _IS_WHOLE.search(date):  # the 1-2 shift, not January 2
            date, rest = "", text
        found = named_numbers(rest, meaning) if text else {}
        if len(found) < 2:
            rows.append((number, text))
            continue
        entries += 1
        found |= {"date": date} if date else {}
        if found.get("time") and isinstance(above := rows[-1][1] if rows else "", dict):
            _put_at(above, found["time"], meaning)
        rows.append((number, found))
        labels += [label for label in found if label not in labels]
    if entries < LEAST_LINES or entries < 0.4 * sum(bool(text) for _, text in rows):
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
    return Part(body, frozenset(), [Heading("", ""), *(Heading(label, label) for label in labels)])


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
    if clock := _CLOCK.match(text):
        found["time"] = clock[1]
        text = text[clock.end() :]
    parts = _REMARK.split(text, maxsplit=1)
    text, remark = parts[0], (parts[1].rstrip(") ") if len(parts) > 1 else "")
    text = _DISTANCE.sub(lambda seen: f" zz{seen[1].replace('/', '_')}zz ", text)
    for name, pattern in (("round", _ROUND), ("lane", _LANE)):
        if seen := pattern.search(text):
            found[name] = next(filter(None, seen.groups()))
            text = text[: seen.start()] + " , " + text[seen.end() :]
    numbers = list(_NUMBER.finditer(text))
    before, distance, bare, named = 0, "", 0, 0
    for at, number in enumerate(numbers):
        after = numbers[at + 1].start() if at + 1 < len(numbers) else len(text)
        words = text[before : number.start()]
        unit, rest = number[2] or "", text[number.end() : after]
        label, distance, is_named = _label(words, unit, rest, distance, meaning)
        before = number.end()
        if not label:
            if "." not in number[0]:
                continue
            bare += 1
            label = f"number {bare}"
        named += is_named
        found.setdefault(label, number[0].strip())
        if not words.strip() and is_named and label != distance:
            before = number.end()
    if not named and bare < 2:
        return {}
    if remark:
        found["notes"] = remark
    return found


def _label(before: str, unit: str, after: str, distance: str, meaning: Meaning) -> tuple[str, str, bool]:
    """Name a number by the words before it, else by its unit, else by the words after it."""
    if seen := re.findall(r"zz(\w+?)zz", before):
        own = seen[-1].replace("_", "/")
        return own, own, True
    if distance and re.fullmatch(r"(?i)[\s,]*(?:at|@|mph)[\s,]*", before):
        return f"{distance} mph", distance, True
    named = next((own for pattern, own in _BY_UNIT if pattern.fullmatch(unit)), "")
    for words in (re.split(r"[,;]", before)[-1], named, re.split(r"[,;@]|\b(?:and|at)\b", after)[0]):
        plain = " ".join(_FILLER.sub(" ", words).split())
        tries = [plain, *(plain.split(maxsplit=at)[-1] for at in range(1, len(plain.split())))]
        for each in tries:
            name, likeness = meaning(each) if each else ("", 0.0)
            if likeness >= SAYS_IT and not name.startswith("tick "):
                return each, _ENDS.get(name, ""), True
    return "", distance, False
