"""Numbers of which a part is left off in some rows: ``62`` for 0.062 s, ``6.5`` for 6500 rpm among others."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.units import SAME

LEAST_WHOLE = 3
"""So many whole numbers below a reaction, beside others, are thousandths."""
_WITHOUT_ITS_FIRST = re.compile(
    r"(?<![\d.,])(?P<rest>\d{2,3})\s*(?:=|is|means|->|→)\s*(?P<first>\d[.,])(?P=rest)(?!\d)"
)
_THOUSANDTHS = re.compile(r"[-+−]?\d{2,3}")
_THOUSANDS, _WHOLE_RPM = re.compile(r"(?:[2-9]|1[01])[.,]\d{1,2}"), re.compile(r"[2-9]\d{3}")


@dataclass(frozen=True, slots=True)
class LeftOff:
    """What is left off: the figure before the point of 60 ft times, the noughts of reactions and of rpm."""

    first: str = ""
    is_thousandths: bool = False
    in_thousands: bool = False

    def put_back(self, cells: dict[str, str]) -> None:
        """Write the numbers of a row in full."""
        if self.first and re.fullmatch(r"\d{2,3}", text := cells.get("t60_s", "")):
            cells["t60_s"] = self.first + text
        if self.is_thousandths and re.fullmatch(r"[-+−]?\d{1,3}", text := cells.get("reaction_s", "")):
            cells["reaction_s"] = f"{int(text.replace('−', '-')) / 1000:.3f}"
        if self.in_thousands and _THOUSANDS.fullmatch(text := cells.get("launch_rpm", "")):
            cells["launch_rpm"] = f"{1000 * float(text.replace(',', '.')):.0f}"


def left_off(draft: Draft) -> LeftOff:
    """Find what the title of a table says is left off its 60 ft times; reactions and rpm in two ways."""
    told = _WITHOUT_ITS_FIRST.search(draft.title)
    first = told["first"].replace(",", ".") if told and _is_plain(draft, "t60_s") else ""
    is_in_thousands = _is_plain(draft, "launch_rpm") and _are_some(draft, "launch_rpm", _WHOLE_RPM)
    is_thousandths = _is_plain(draft, "reaction_s") and _are_some(draft, "reaction_s", _THOUSANDTHS)
    return LeftOff(first, is_thousandths, is_in_thousands)


def _is_plain(draft: Draft, name: str) -> bool:
    """Tell whether a column's numbers are read as they stand."""
    return any(own.name == name and own.fit.to_canonical == SAME for own in draft.choices)


def _are_some(draft: Draft, name: str, pattern: re.Pattern[str]) -> bool:
    at = draft.column(name)
    texts = [] if at is None else [cells[at] for _, cells in draft.part.body]
    return sum(pattern.fullmatch(text) is not None for text in texts) >= LEAST_WHOLE
