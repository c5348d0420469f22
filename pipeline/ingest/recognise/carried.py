"""What stands once above and counts for the rows below it: date, strip, event and car."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping

from pipeline.ingest.dates import read_dates
from pipeline.ingest.month_names import SHORT, month_of
from pipeline.ingest.recognise.row_dates import with_year
from pipeline.ingest.recognise.spoken import Said
from pipeline.ingest.values import is_nothing
from pipeline.ingest.weekdays import weekday_of

_MONTH_NUMBERS = frozenset(f"{month:{width}}" for month in range(1, 13) for width in ("", "02"))
_DAY = re.compile(
    r"(?i)^\W*(?:(?P<before>[^\W\d_]{2,9})\W+)?(?:the\s+)?(?P<day>\d{1,2})(?:st|nd|rd|th|\.)?"
    r"(?:\W+(?P<after>[^\W\d_]{2,9}))?\W*$"
)
"""A day of the month, perhaps with its weekday."""
FILLED = ("date", "venue", "event", "car")
"""Columns in which a blank means the same as above."""
_MONTH_AND_YEAR = re.compile(r"([^\W\d_]{3,12})\.?[\s'-]+(\d\d)")
"""What may be a month and the last figures of its year, where days of the month stand below."""
LONGEST_MEET = 4
"""A weekday so many days after the date above is of the same meet; else it is of the days before."""


class Carried:
    """What holds from above, name by name, with the day on which it was written."""

    def __init__(
        self, said: Said, sparse: dict[str, bool], usual_year: int | None, *, is_car_written_each_time: bool
    ) -> None:
        self.held: dict[str, tuple[str, str]] = {}
        self.sparse = sparse
        self.usual_year = usual_year
        self.is_car_written_each_time = is_car_written_each_time
        self.day = ""
        self.month: int | None = None
        self.year = ""
        self.written_year: int | None = None
        self.hear(said)

    def hear(self, said: Said) -> None:
        """Take what a line of words says."""
        for name in FILLED:
            if text := getattr(said, name):
                self.held[name] = (text, "*")
        if said.date:
            self.day = said.date
        self.month = said.month or self.month
        if said.month is None and (found := _MONTH_AND_YEAR.fullmatch(said.date)):
            self.month, self.year = month_of(found[1]), f"20{found[2]}"

    def hear_parts(self, cells: Mapping[str, str]) -> None:
        """Take the month and the year that stand in columns of their own; a blank means the same as above."""
        if text := cells.get("month", ""):
            self.month = int(text) if text in _MONTH_NUMBERS else month_of(text.strip(" .")) or self.month
        if re.fullmatch(r"(?:20)?\d\d", text := cells.get("year", "")):
            self.year = f"{2000 + int(text[-2:])}"

    def fill(self, cells: dict[str, str]) -> dict[str, str]:
        """Give a row's cells with the blanks filled."""
        whole = dict(cells)
        if cells.get("date") and not is_nothing(cells["date"]):
            whole["date"] = self.day = self._whole_day(cells["date"])
            self.held.pop("date", None)
        elif "date" in self.held:
            whole["date"] = self.held["date"][0]
        for name in FILLED[1:]:
            text = cells.get(name, "")
            if text and not is_nothing(text):
                self.held[name] = (text, self.day)
            elif name in self.held:
                above, day = self.held[name]
                if name == "car" and self.is_car_written_each_time and day != "*":
                    continue
                if day in ("*", self.day) or self.sparse.get(name, False):
                    whole[name] = above
        if self.written_year and whole.get("date"):
            whole |= {
                "date": with_year([whole["date"]], self.written_year, None).get(whole["date"], whole["date"])
            }
        return whole

    def _whole_day(self, text: str) -> str:
        """Give a day of the month its month, and its year where that stands beside it; a weekday its date."""
        bare = text.strip(" .,")
        if bare.isalpha() and (named := weekday_of(bare)) is not None:
            return self._day_named(named) or text
        if self.month is None or (found := _DAY.match(text)) is None or not 1 <= int(found["day"]) <= 31:
            return text
        weekday = found["before"] or found["after"] or ""
        if month_of(weekday):
            return text  # Mar 7 is no Tuesday
        if self.year:
            return f"{self.year}-{self.month:02}-{int(found['day']):02}"
        return f"{weekday} {SHORT[self.month]} {int(found['day'])}".strip()

    def _day_named(self, weekday: int) -> str:
        """Give the date of a weekday near the day that was said last; empty where none was."""
        said = with_year([self.day], self.written_year, self.usual_year).get(self.day, self.day)
        day = read_dates([said])[said].day if said else None
        if day is None:
            return ""
        later = (weekday - day.weekday()) % 7
        return (day + dt.timedelta(later if later <= LONGEST_MEET else later - 7)).isoformat()
