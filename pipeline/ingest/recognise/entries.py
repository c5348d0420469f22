"""Lines of notes made ready to be read: messages without their sender, entries joined over several lines."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from pipeline.ingest.recognise.layout import SAYS_IT, Meaning
from pipeline.ingest.recognise.spoken import date_in
from pipeline.ingest.recognise.vocabulary import UNITS

SENTENCES = 0.3
"""So many lines end in a full stop where a person writes sentences."""
INDENT, LEAST_OPENED = 3, 3
_OPENS = re.compile(
    r"(?i)^(?!.*\d*[.,]\d{2})(?=.*\b\d{1,2}[:h]\d{2})(?=.*\b(?:left|right|lane|[lr]h?|pass|run|[a-z]{1,2}\d{1,2})\b)(?!.*:\s)"
)
"""A line that begins a run: a time of day with a lane or a round, and no decimals."""
_APART = re.compile(
    r"(?i)\d{1,2}[:h]\d{2}|^\W*(?:setup|clutch|weather|air|wx|morning|noon|midday|afternoon|evening|night)\b"
    r"|^[a-z ]{3,20}:"
)
"""What stands by itself below a run."""
_CONTINUES = re.compile(r"^\s*(?:[-=]{1,2}>|\.{2,}|…|\\|└|~>)\s*")
_OPEN = re.compile(r"[^.!?:]$")
_GOES_ON = re.compile(r"^(?:[^\W\d_A-Z]|[-+]?\d*[.,]\d|\d+\s?(?:rpm|g|grams?|turns?|mph|degrees|percent|%))")
_SENDER = re.compile(r"^[\W]*(?P<name>[^\W\d_][\w .'’-]{0,24}?):\s+")
_STAMP = re.compile(
    r"(?i)^[\W]*(?:(?:at\s)?\d{1,2}[:.h]\d{2}(?::\d{2})?\s*(?:[ap]\.?\s?m?\.?)?(?![\w:])[\W]*)?"
)
_DISTANCE = (
    r"(?P<far>60|330|660|1000|1320|1/8|1/4|sixty|three[- ]thirty|eighth|half[- ]?track|thousand|quarter)"
    r"(?:[- ]?(?:ft|foot|feet|mile|'))?(?!\w|\.\d)"
)
_NUMBER = r"(?<![\w.,/])\d*[.,]?\d+"
_BEFORE_ITS_DISTANCE = re.compile(
    rf"(?i)(?P<time>{_NUMBER})\s*(?:s|sec|seconds)?"
    rf"(?:\s*(?:at|@|with)\s*(?P<speed>{_NUMBER})\s*(?P<unit>mph|km/?h|kmh)?)?"
    rf"\s+(?:in|at|to|through|by|for|past)\s+(?:the\s+)?{_DISTANCE}"
)


def joined(lines: Sequence[tuple[int, str]], apart: Collection[int] = frozenset()) -> list[tuple[int, str]]:
    """Join the lines of an entry that runs on over the next one.

    Parameters
    ----------
    lines
        Row numbers and texts, blanks at the beginning kept.
    apart
        Numbers of rows that are no part of an entry.

    Returns
    -------
    list of tuple
        Each entry at the row of its first line. A line goes on with the one above when it begins with a mark
        for that, stands further in than nearly all others, or goes on with a sentence; so do the lines below
        one that gives but a moment and a lane, where several runs begin so.
    """
    filled = [text for _, text in lines if text.strip()]
    are_sentences = sum(text.rstrip()[-1] in ".!?" for text in filled) >= SENTENCES * len(filled)
    are_opened = sum(_OPENS.search(text) is not None for text in filled) >= LEAST_OPENED
    is_opened = False
    margin = sorted(len(text) - len(text.lstrip()) for text in filled)[len(filled) // 4] if filled else 0
    entries: list[tuple[int, str]] = []
    for number, text in lines:
        above = entries[-1][1] if entries else ""
        bare = text.strip()
        is_further_in = len(text) - len(text.lstrip()) >= margin + INDENT
        is_marked = _CONTINUES.match(text) or (
            is_further_in and not _APART.search(bare) and not _is_a_day(above)
        )
        runs_on = _OPEN.search(above) and _GOES_ON.match(bare) and (above.endswith(",") or are_sentences)
        opens = are_opened and _OPENS.search(text) is not None
        is_opened = opens or (
            is_opened and bool(bare) and _APART.search(bare) is None and number not in apart
        )
        if bare and above and (is_marked or runs_on or (is_opened and not opens)):
            entries[-1] = (
                entries[-1][0],
                f"{above}{' ' if runs_on else ', '}{_CONTINUES.sub('', text).strip()}",
            )
        else:
            entries.append((number, bare))
    return entries


def _is_a_day(text: str) -> bool:
    """Tell whether a line gives a date and no other number: what stands below it belongs to the day."""
    date, rest = date_in(text)
    return bool(date) and re.search(r"\d", rest) is None


def without_sender(text: str, meaning: Meaning) -> str:
    """Take the name of who sent a message off a line that begins with its date and time.

    Examples
    --------
    >>> without_sender("[30.06.2031, 16:10] Ann: 60 1.48", lambda words: ("", 0.0))
    '30.06.2031, 16:10, 60 1.48'
    """
    date, rest = date_in(text)
    if not date or rest.split("|")[0].strip(" [(<-"):
        return text
    rest = rest.partition("|")[2]
    stamp = _STAMP.match(rest)
    clock = stamp[0].strip(" ,[]()<>|-") if stamp else ""
    rest = rest[stamp.end() :] if stamp else rest
    sender = _SENDER.match(rest)
    if not sender or not clock:
        return text
    said, own = rest[sender.end() :], meaning(sender["name"])
    is_label = own[1] >= SAYS_IT and UNITS.get(own[0]) and re.match(r"[-+]?[.,]?\d", said)
    return text if is_label else f"{date}, {clock}, {said}"


def with_distance_first(text: str) -> str:
    """Write a time or speed that stands before its distance behind it: ``5.98 at 118 mph in the eighth``.

    Examples
    --------
    >>> with_distance_first("1.41 in the 60 ft, 5.98 at 118.8 mph in the eighth")
    '60 1.41, 1/8 5.98 @ 118.8 mph'
    """
    return _BEFORE_ITS_DISTANCE.sub(_turned, text)


def _turned(found: re.Match[str]) -> str:
    far = _FAR.get(re.sub(r"[- ]", "", found["far"].casefold()), found["far"])
    speed = f" @ {found['speed']} {found['unit'] or 'mph'}" if found["speed"] else ""
    return f"{far} {found['time']}{speed}"


_FAR = {
    "sixty": "60", "threethirty": "330", "eighth": "1/8", "halftrack": "1/8", "thousand": "1000",
    "quarter": "1/4",
}  # fmt: skip
