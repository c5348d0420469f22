"""The wind as people write it in one cell: ``SW 8``, ``070/08``, ``calm``, ``12 gusting 18``, ``head 5``."""

from __future__ import annotations

import re

from pipeline.garage.units import Conversion
from pipeline.ingest.values import Reading, read_number

# The side itself is taken out of the cell by queries/raw/macros.sql (wind_side), with the same words.
_SIDE = re.compile(
    r"(?i)(^|[\s\d,])(?:n|nne|ne|ene|e|ese|se|sse|s|ssw|sw|wsw|w|wnw|nw|nnw"
    r"|(?:north|south)(?:[- ]?(?:east|west))?|east|west"
    r"|(?:head|tail|cross|side)(?:[- ]?wind)?|left|right|ahead|behind|front|rear)(?=$|[\s\d,])"
)
_FILLER = re.compile(r"(?i)\b(?:from|out of|the|at|wind|winds)\b|@")
_CALM = re.compile(r"(?i)\s*(?:dead |flat )?(?:calm|still|no wind)\W*")
_GUST = re.compile(
    r"(?i)[\s,]*(?<![a-z])(?:g|gusts?|gusting)\s*(?:to|of|up to)?\s*(\d+(?:[.,]\d+)?)\s*(?:mph)?"
)
# A bearing in degrees beside the speed; queries/raw/macros.sql takes the bearing with the same pattern.
_BEARING = re.compile(
    r"(?i)^\s*[0-3]\d\d\s*(?:°|deg\w*)?\s*(?:/|@|at\b|-|\s|(?=\d{2,3}\s*(?:g\d+\s*)?kts?$))\s*(?=\d)"
)
_SLASHED = re.compile(r"(?i)(?<=^[nsew])/(?=\d)|(?<=[nsew][nsew])/(?=\d)|(?<=\d)/(?=[nsew]{1,3}\s*$)")
_BETWEEN = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(?:-|–|to)\s*(\d+(?:[.,]\d+)?)\s*(.*)")


def read_wind(text: str, unit: str, heading: Conversion) -> Reading:
    """Read the speed out of a cell that may also tell where the wind comes from.

    Parameters
    ----------
    text
        As typed.
    unit
        Canonical unit of the speed.
    heading
        Conversion of the heading's unit.

    Returns
    -------
    Reading
        The steady wind; gusts beside it are passed over. Gusts alone and a span are questions.

    Examples
    --------
    >>> mph = Conversion(1.0, 0.0)
    >>> [read_wind(text, "mph", mph).value for text in ("SW 8", "8 SSW", "calm", "12 gusting 18", "West")]
    [8.0, 8.0, 0.0, 12.0, None]
    >>> read_wind("gust 15", "mph", mph).suggestion
    15.0
    >>> [round(read_wind(text, "mph", mph).value, 1) for text in ("070/08", "250 @ 12", "07008KT", "SW/9")]
    [8.0, 12.0, 9.2, 9.0]
    """
    if _CALM.fullmatch(text):
        return Reading(0.0)
    plain = _SLASHED.sub(" ", _BEARING.sub("", text))
    bare = _FILLER.sub(" ", _SIDE.sub(r"\1 ", plain))
    gust = _GUST.search(bare)
    steady = _GUST.sub(" ", bare).strip(" ,;")
    shown = repr(text.strip()[:40])
    if gust and not steady:
        found = read_number(gust[1], unit, heading)
        return Reading(None, f"{shown} tells the gusts; what was the wind between them?", found.value)
    if span := _BETWEEN.fullmatch(steady):
        low, high = (read_number(f"{end} {span[3]}", unit, heading).value for end in span.groups()[:2])
        if low is not None and high is not None:
            return Reading(None, f"{shown} is a span, and one speed is needed.", (low + high) / 2)
    if not re.search(r"\d", steady):
        return Reading(None)
    found = read_number(steady, unit, heading)
    return Reading(None, read_number(text, unit, heading).problem) if found.problem else found
