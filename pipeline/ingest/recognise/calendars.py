"""Dates of the Buddhist calendar, 543 years ahead of everybody else's: ``10/1/2569`` is in 2026."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pipeline.ingest.recognise.layout import Line

AHEAD = 543
_YEAR = r"25[4-9]\d"
_BEHIND = re.compile(rf"^(?P<before>\D{{0,14}}\d{{1,2}}[-/. ]\d{{1,2}}[-/. ])(?P<year>{_YEAR})(?!\d)")
_IN_FRONT = re.compile(rf"^(?P<before>)(?P<year>{_YEAR})(?=[-/.]\d{{1,2}}[-/.]\d{{1,2}}(?!\d))")
_SHORT = re.compile(r"^(?P<before>\D{0,14}\d{1,2}[-/. ]\d{1,2}[-/. ])(?P<year>[5-9]\d)(?![\d.:])")
_MONTHS = (
    "ม.ค. มกราคม", "ก.พ. กุมภาพันธ์", "มี.ค. มีนาคม", "เม.ย. เมษายน", "พ.ค. พฤษภาคม", "มิ.ย. มิถุนายน",
    "ก.ค. กรกฎาคม", "ส.ค. สิงหาคม", "ก.ย. กันยายน", "ต.ค. ตุลาคม", "พ.ย. พฤศจิกายน", "ธ.ค. ธันวาคม",
)  # fmt: skip
_NUMBERS = {
    way: number
    for number, ways in enumerate(_MONTHS, 1)
    for word in ways.split()
    for way in (word, word[:-1])
}
_NAMED = re.compile(
    rf"(?P<day>\d{{1,2}})\s*(?P<month>{'|'.join(map(re.escape, sorted(_NUMBERS, key=len, reverse=True)))})"
    rf"\s*(?:พ\.?ศ\.?\s*)?(?P<year>{_YEAR}|[5-9]\d)(?!\d)"
)
_ERA = re.compile(rf"(?:พ\.?\s?ศ\.?|ปี)\s*(?P<year>{_YEAR})(?!\d)")


def in_our_years(lines: Iterable[Line]) -> list[Line]:
    """Write the dates of a sheet with the years of everybody's calendar; anything else stays as it is.

    Years of two figures are of the Buddhist calendar where one of the sheet's dates surely is.

    Examples
    --------
    >>> in_our_years([(1, ["10/1/2569", "2569"]), (2, ["11/7/69", "6.9.69"]), (3, ["5 ม.ค. 2569"])])
    [(1, ['10/1/2026', '2569']), (2, ['11/7/2026', '6.9.2026']), (3, ['2026-01-05'])]
    >>> in_our_years([(1, ["11/7/69"])])
    [(1, ['11/7/69'])]
    """
    own = [(number, list(cells)) for number, cells in lines]
    likely = (text for _, cells in own for text in cells if "25" in text or not text.isascii())
    is_buddhist = any(way.search(text) for text in likely for way in (_BEHIND, _IN_FRONT, _NAMED, _ERA))
    return [(number, [_in_ours(text) for text in cells]) for number, cells in own] if is_buddhist else own


def _in_ours(text: str) -> str:
    text = _NAMED.sub(_with_numbers, text)
    for way in (_BEHIND, _IN_FRONT, _SHORT):
        text = way.sub(lambda found: f"{found['before']}{_year(found['year'])}", text)
    return _ERA.sub(lambda found: str(_year(found["year"])), text)


def _with_numbers(found: re.Match[str]) -> str:
    return f"{_year(found['year'])}-{_NUMBERS[found['month']]:02}-{int(found['day']):02}"


def _year(text: str) -> int:
    return int(text) + (2500 if len(text) == 2 else 0) - AHEAD
