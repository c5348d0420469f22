"""Words that stand where a number belongs: they go to the notes, since no number can be read from them."""

from __future__ import annotations

import re

from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.vocabulary import UNITS
from pipeline.ingest.step_words import says_as_above
from pipeline.ingest.values import is_nothing

IN_WORDS = frozenset({"counterweight_g", "wind_speed_mph"})
"""Numbers that may stand in words: hardware, ``calm``."""
_ONLY_WORDS = re.compile(r"\D*[^\W\d_]{2,}\W+[^\W\d_]{2}\D*")


def words_out(cells: dict[str, str], typed: dict[str, str]) -> None:
    """Put words that stand where a number belongs with the notes: ``forgot gun``, but not ``same``."""
    for name in [name for name in cells if UNITS.get(name) and name not in IN_WORDS]:
        text = cells[name]
        if text[:1].isdigit():
            continue
        is_said = _ONLY_WORDS.fullmatch(text) or read_outcome(text, None) is not None
        if is_said and not (is_nothing(text) or says_as_above(text)):
            joined = "; ".join(filter(None, (cells.get("notes", ""), cells.pop(name))))
            cells["notes"] = typed["notes"] = joined
