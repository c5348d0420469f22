"""Times of which a part is left off in some rows: ``62`` for 0.062 s, ``482`` for 1.482 s by a title."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.units import SAME

LEAST_WHOLE = 3
"""So many whole numbers below a reaction, beside others, are thousandths."""
_WITHOUT_ITS_FIRST = re.compile(
    r"(?<![\d.,])(?P<rest>\d{2,3})\s*(?:=|is|means|->|→)\s*(?P<first>\d[.,])(?P=rest)(?!\d)"
)
_THOUSANDTHS = re.compile(r"[-+−]?\d{2,3}")


@dataclass(frozen=True, slots=True)
class LeftOff:
    """What is left off: the figure before the point of 60 ft times, and whether reactions are thousandths."""

    first: str = ""
    is_thousandths: bool = False

    @property
    def names(self) -> set[str]:
        """Columns of which something is left off."""
        return {"t60_s" if self.first else "", "reaction_s" if self.is_thousandths else ""} - {""}

    def whole(self, name: str, text: str) -> str:
        """Write a time in full."""
        if name == "t60_s" and self.first and re.fullmatch(r"\d{2,3}", text):
            return self.first + text
        if name == "reaction_s" and self.is_thousandths and re.fullmatch(r"[-+−]?\d{1,3}", text):
            return f"{int(text.replace('−', '-')) / 1000:.3f}"
        return text


def left_off(draft: Draft) -> LeftOff:
    """Find what the title of a table says is left off its 60 ft times, and reactions written in two ways."""
    told = _WITHOUT_ITS_FIRST.search(draft.title)
    at, first = draft.column("t60_s"), told["first"].replace(",", ".") if told else ""
    is_plain = at is not None and _fit(draft, "t60_s")
    return LeftOff(first if is_plain else "", _fit(draft, "reaction_s") and _whole_among(draft))


def _fit(draft: Draft, name: str) -> bool:
    """Tell whether a column's numbers are read as they stand."""
    return any(own.name == name and own.fit.to_canonical == SAME for own in draft.choices)


def _whole_among(draft: Draft) -> bool:
    texts = _texts(draft, "reaction_s")
    return sum(_THOUSANDTHS.fullmatch(text) is not None for text in texts) >= LEAST_WHOLE


def _texts(draft: Draft, name: str) -> Sequence[str]:
    at = draft.column(name)
    return [] if at is None else [cells[at] for _, cells in draft.part.body]
