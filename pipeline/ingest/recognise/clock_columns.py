"""Times of day as no clock shows them: hour and minute in columns of their own, a word behind each."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pipeline.garage.units import is_unit
from pipeline.ingest.clocks import BEFORE
from pipeline.ingest.recognise.layout import Line
from pipeline.ingest.recognise.tokens import tokens

LEAST, NEARLY_ALL, LOOKED_AT = 5, 0.9, 200
"""So many times are a column of them, and so many of its cells."""
LEAST_OF = {"hour": 3, "minute": 5}
"""So many hours and minutes tell times of day from seconds and from quarters of a turn."""
_MINUTE = re.compile(r"(?i)min(?:\.|ute?n?s?|uti?|uter|uut|utos?)?|m|分|мин\.?|dak\.?|λεπτ?ά?")
_HOUR_AND_MINUTE = re.compile(
    r"(?P<before>[^\W\d_]{0,6}\.?)\s?(?P<hour>[01]?\d|2[0-3])(?P<mark>[.:,h]?)(?P<minute>[0-5]\d)\s?(?P<behind>[^\W\d_]{1,6}\.?)?"
)
_DATED = re.compile(
    r"(?i)^(\d{1,4}[-./]\d{1,2}[-./]\d{1,4}|\d{1,2}[./]\d{1,2}\.?|\d{1,2}\.?\s+[^\W\d_]{3,9}\.?)"
    rf",?\s+{BEFORE}(\d{{1,2}})[.:h](\d{{2}})$"
)
"""A day with the time of day behind a word for it: ``16.5.2031 kl. 10.41``, ``16.5. kl 9.42``."""
_HALF_OF_A_DAY = re.compile(r"(?i)(?:[ap]\.?m?\.?|uhr|hrs?|h|[ap]\.\s?m\.)")


def plain_clocks(lines: Sequence[Line]) -> list[Line]:
    """Write the times of day of a sheet as a clock shows them.

    Parameters
    ----------
    lines
        Every row of it.

    Returns
    -------
    list of tuple
        The same rows: ``11`` and ``17`` below an hour and a minute as ``11:17``, ``9.48 u`` and ``0948L`` in
        a column of such times as ``9:48``.
    """
    found = [
        (number, [_DATED.sub(r"\1 \2:\3", text) if " " in text else text for text in cells])
        for number, cells in lines
    ]
    for at in range(1, len(found[0][1]) if found else 0):
        _join_minutes(found, at)
    for at in range(len(found[0][1]) if found else 0):
        _take_off_words(found, at)
    return found


def _join_minutes(lines: Sequence[Line], at: int) -> None:
    """Put the minutes of a column behind the hours to its left."""
    heads = [place for place, (_, cells) in enumerate(lines) if _is_hour_and_minute(cells[at - 1], cells[at])]
    if not heads:
        return
    below = [
        cells for _, cells in lines[heads[0] + 1 :] if cells[at - 1].isdecimal() and cells[at].isdecimal()
    ]
    if len(below) < LEAST or not all(_is_time(cells[at - 1], cells[at]) for cells in below):
        return
    for cells in below:
        cells[at - 1], cells[at] = f"{cells[at - 1]}:{cells[at]:0>2}", ""
    for place in heads:
        lines[place][1][at] = ""


def _is_hour_and_minute(hour: str, minute: str) -> bool:
    return _MINUTE.fullmatch(minute) is not None and bool({"clock", "time"} & set(tokens(hour)))


def _is_time(hour: str, minute: str) -> bool:
    return len(hour) <= 2 and len(minute) <= 2 and int(hour) < 24 and int(minute) < 60


def _take_off_words(lines: Sequence[Line], at: int) -> None:
    """Take off what stands before or behind every time of a column, where nothing else stands there."""
    sample = [cells[at] for _, cells in lines[:LOOKED_AT] if cells[at]]
    if sum(_HOUR_AND_MINUTE.fullmatch(text) is not None for text in sample) < len(sample) / 2:
        return
    rows = [cells for _, cells in lines if sum(map(bool, cells)) > 1 and re.search(r"\d", cells[at])]
    seen = [(cells, _HOUR_AND_MINUTE.fullmatch(cells[at])) for cells in rows]
    times = [(cells, time) for cells, time in seen if time is not None]
    around = Counter((time["before"], time["mark"], time["behind"] or "") for _, time in times)
    (before, mark, behind), count = around.most_common(1)[0] if around else (("", "", ""), 0)
    is_plain = not before and (not behind or _HALF_OF_A_DAY.fullmatch(behind) is not None)
    if count < max(LEAST, NEARLY_ALL * len(seen)) or is_plain or is_unit(behind):
        return
    if any(len({time[part] for _, time in times}) < least for part, least in LEAST_OF.items()):
        return
    if not mark and any(len(time["hour"]) < 2 for _, time in times):
        return
    for cells, time in times:
        cells[at] = f"{time['hour']}:{time['minute']}"
