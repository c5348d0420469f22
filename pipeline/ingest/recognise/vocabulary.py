"""What a column may be: the dictionary's columns, and what people keep beside them that nobody reads."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from pipeline.garage.columns import Column, Kind, numbered
from pipeline.garage.dictionary import DATE_WORDS, SETTING_WORDS, SHEET_TABLES, TIME_WORDS
from pipeline.garage.factors import ADJUSTMENTS, columns_of
from pipeline.garage.logbook import Garage
from pipeline.ingest.recognise.tokens import FILLERS, tokens

Sort = Literal["date", "clock", "words", "number", "any"]
Meaning = Callable[[str], tuple[str, float]]
"""The likeliest meaning of a heading, and how well it says so."""
SAYS_IT = 0.55
"""How well a cell must say a meaning to count as a heading."""
FILLER_WEIGHT = 0.15
GENERIC = {
    "time": 0.35, "et": 0.4, "temp": 0.6, "run": 0.5, "place": 0.7, "track": 0.8, "clutch": 0.3, "rear": 0.3,
    "engine": 0.3, "wheel": 0.3, "point": 0.5, "kind": 0.6, "total": 1.2, "average": 0.5, "rpm": 0.8,
    "lever": 0.7, "counter": 0.4,
    "gram": 0.7, "psi": 0.6, "launch": 0.9, "screw": 0.8, "removed": 0.7, "clearance": 0.8, "thickness": 0.6,
    "height": 0.7, "before": 0.7, "date": 0.9, "%": 0.3, "surface": 0.9, "start": 0.4, "air": 0.9,
}  # fmt: skip
"""Words that many headings share say less than those of one column only."""

MORE: Mapping[str, tuple[str, ...]] = {
    "date": ("dia", "when", "timestamp"),
    "time": ("before run of", "before pass of", "start time", "run time of day", "clock", "time run",
             "local time", "clock round"),
    "car": ("driver car", "auto"),
    "venue": ("track", "circuit", "strip name", "place", "site", "strip"),
    "event": ("meet", "event", "occasion", "points race"),
    "round": ("round", "run", "pass", "run type", "session"),
    "lane": ("lane", "side"),
    "reaction_s": ("reaction time", "light", "rt", "tree time", "reaction clock"),
    "t60_s": ("60 et", "short", "60 split"),
    "t330_s": ("330 et", "330 split"),
    "t660_s": ("660 et", "eighth et", "660 split", "eighth split", "8 et"),
    "t1000_s": ("1000 et", "1000 split"),
    "t1320_s": ("1320 et", "quarter et", "4 et", "quarter split", "full et",
                "total et", "full pass", "full run", "whole pass", "full track", "full length"),
    "v660_mph": ("660 mph", "eighth speed"),
    "v1320_mph": ("1320 mph", "quarter speed", "mph", "trap"),
    **SETTING_WORDS,
    "track_temp_degf": ("surface temp", "track temp", "gun temp", "surface", "gun", "lane temp", "road",
                        "start line temp", "strip temp", "ground"),
    "outcome": ("outcome", "result", "how it went", "outcome notes"),
    "notes": ("notes",),
    "air_temp_degf": ("air temp", "air", "temp", "dry bulb"),
    "pressure_inhg": ("pressure", "air pressure", "station pressure", "altimeter setting",
                      "altimeter pressure",
                      "altimeter", "p amb", "uncorrected pressure", "absolute pressure", "pressure station"),
    "pressure_kind": ("pressure kind", "station altimeter"),
    "humidity_pct": ("humidity", "air humidity"),
    "dew_point_degf": ("dew point", "dew"),
    "wet_bulb_degf": ("wet bulb", "wet"),
    "grains": ("grains", "water grains"),
    "wind_speed_mph": ("wind", "wind speed", "wind mph"),
    "wind_from": ("wind direction", "direction"),
    "ring_height_in": ("ring height", "ring", "clutch height"),
    "shim_removed_in": ("shim removed", "shim"),
    "bearing_clearance_in": ("bearing clearance", "clearance", "bearing"),
    "disc_thickness_in": ("disc thickness", "disc"),
}  # fmt: skip
"""Further everyday ways, in plain words; their order does not matter."""

SECOND_PRESSURE = "second pressure"
"""The barometer once more in another unit, or the other kind of pressure, where one is read already."""
PASSED_OVER: Mapping[str, tuple[Sort, tuple[str, ...]]] = {
    "run number": ("number", ("run no", "run number", "pass no", "run", "no", "slip no",
                              "slip", "ticket no", "count")),
    "before run": ("any", ("before run", "run before", "from run", "as of run", "slips", "from slip",
                           "slips from")),
    "density altitude": ("number", ("density altitude", "da", "altitude", "density")),
    SECOND_PRESSURE: ("number", ("pressure", "air pressure", "altimeter", "station pressure")),
    "elevation": ("number", ("elevation", "altitude elevation")),
    "dial": ("number", ("dial", "dial in", "index")),
    "opponent": ("words", ("opponent", "against", "vs", "other lane", "raced")),
    "gust": ("number", ("wind gust", "gust")),
    "front tires": ("number", ("front tire", "front tire pressure", "front psi")),
    "other temperature": ("number", ("oil temp", "water temp", "clutch temp", "engine temp", "fuel temp")),
    "shift rpm": ("number", ("shift rpm", "shift")),
    "other rpm": ("number", ("finish rpm", "stripe rpm", "trap rpm", "top rpm", "max rpm")),
    "runs since": ("number", ("runs since", "runs on clutch", "passes since", "runs on disc", "total runs")),
    "win or loss": ("words", ("win loss", "win", "w l", "margin")),
    "margin": ("number", ("margin", "margin victory", "lead", "difference")),
    "opponent's slip": ("number", ("opponent rt", "opponent reaction", "opponent et", "opponent 60",
                                   "opponent 660", "opponent 1320", "opponent mph", "opponent time",
                                   "opponent speed", "opponent 660 mph", "opponent 1320 mph")),
    "opponent's dial": ("number", ("opponent dial",)),
    "other setting": ("number", ("shock", "rear shock", "front shock", "wheel bar", "fuel")),
    "gear": ("number", ("gear", "gear ratio", "ratio", "final drive", "axle", "axle ratio", "rear gear")),
    "jets": ("any", ("jet", "main jet", "jet size", "air bleed")),
    "plugs": ("any", ("plug", "plug gap", "spark plug", "plug heat")),
    "timing": ("number", ("timing", "ignition", "advance", "spark advance", "ignition timing")),
    "mixture": ("number", ("vacuum", "afr", "air fuel", "lambda", "air fuel ratio")),
    "engine pressure": ("number", ("oil pressure", "oil psi", "fuel psi", "fuel pressure", "boost",
                                   "nitrous pressure", "nitrous psi")),
    "amount of fuel": ("number", ("fuel level", "fuel gallon", "gallon", "fuel liter", "fuel used")),
    "to a mark": ("number", ("to best", "60 to best", "off best", "off dial", "to dial")),
    "cost": ("number", ("cost", "price", "entry fee", "paid")),
    "quantity": ("number", ("qty", "quantity")),
    "month": ("any", ("month",)),
    "year": ("number", ("year",)),
    "weekday": ("words", ("weekday", "day of week", "dow")),
    "weight of the car": ("number", ("car weight", "total weight", "race weight")),
    "growth": ("number", ("growth", "wear", "ring growth")),
}  # fmt: skip
"""Columns that nothing is read from, so that they are not taken for others."""
BY_NAME_ALONE = frozenset({
    "margin", "opponent's slip", "opponent's dial", "gear", "jets", "plugs", "timing", "mixture",
    "engine pressure", "amount of fuel", "to a mark",
})  # fmt: skip
"""Those of them that no numbers tell without a word above that says so."""

TYPICAL: Mapping[str, tuple[float, float]] = {
    "reaction_s": (-0.2, 0.9), "t60_s": (0.9, 2.4), "t330_s": (2.5, 6.4), "t660_s": (3.9, 10.0),
    "t1000_s": (5.2, 13.0), "t1320_s": (6.2, 16.5), "v660_mph": (60.0, 220.0), "v1320_mph": (70.0, 300.0),
    "launch_rpm": (2500.0, 9500.0), "track_temp_degf": (45.0, 155.0), "preload_turns": (0.0, 7.0),
    "counterweight_g": (0.0, 60.0), "tire_pressure_psi": (4.0, 34.0), "air_temp_degf": (36.0, 112.0),
    "pressure_inhg": (22.5, 31.0), "humidity_pct": (4.0, 100.0), "dew_point_degf": (5.0, 82.0),
    "wet_bulb_degf": (20.0, 90.0), "grains": (5.0, 180.0), "wind_speed_mph": (0.0, 35.0),
    "ring_height_in": (0.7, 2.9), "shim_removed_in": (0.0, 0.08), "bearing_clearance_in": (0.03, 0.6),
    "disc_thickness_in": (0.12, 0.7),
    "run number": (0.0, 5000.0), "density altitude": (-3000.0, 11000.0), "elevation": (-200.0, 8000.0),
    "dial": (3.9, 20.0), "gust": (0.0, 60.0), "front tires": (10.0, 60.0), "other temperature": (60.0, 260.0),
    "shift rpm": (4000.0, 11000.0), "other rpm": (3000.0, 11000.0), "runs since": (0.0, 200.0),
    "other setting": (0.0, 40.0),
    "cost": (0.0, 100000.0), "quantity": (0.0, 10000.0), "weight of the car": (1200.0, 5000.0),
    "growth": (-0.01, 0.2), "year": (1990.0, 2090.0),
}  # fmt: skip
"""Where the middle of such a column lies for nearly everybody, in canonical units."""

SECTIONS: Mapping[tuple[int, int], tuple[float, float]] = {
    (60, 330): (1.6, 4.2), (330, 660): (1.2, 3.9), (660, 1000): (1.1, 3.7), (1000, 1320): (0.9, 3.4),
    (660, 1320): (2.1, 7.0),
}  # fmt: skip
"""Times from one distance to the next, for people who write these: where their middle lies [s]."""
SPLITS = ("t60_s", "t330_s", "t660_s", "t1000_s", "t1320_s")
SPEEDS = ("v660_mph", "v1320_mph")
MEASURED = frozenset({"reaction_s", *SPLITS, *SPEEDS})
"""What a slip prints of a run."""
UNITS = {column.name: column.unit for table in SHEET_TABLES.values() for column in table.columns}
SPOKEN = {column.name: column.heading for table in SHEET_TABLES.values() for column in table.columns}
"""Column of any sheet -> its unit, and its heading in plain words."""
PRINTED = {"reaction_s": "rt", "t60_s": "60", "t330_s": "330", "t660_s": "660", "t1000_s": "1000",
        "t1320_s": "1320", "v660_mph": "660 speed", "v1320_mph": "1320 speed"}  # fmt: skip
"""What a slip prints, as everybody here writes it in notes."""
AIR = ("air_temp_degf", "pressure_inhg", "humidity_pct", "dew_point_degf", "wet_bulb_degf", "grains")
SETTINGS = tuple(columns_of(ADJUSTMENTS).values())
CLUTCH = ("ring_height_in", "shim_removed_in", "bearing_clearance_in", "disc_thickness_in")
NUMBERED = tuple(column.name for table in SHEET_TABLES.values() for column in table.columns if column.each)


@dataclass(frozen=True, slots=True)
class Concept:
    """One thing a column may be.

    Attributes
    ----------
    name
        Canonical column, ``date``, ``time``, ``extra:<adjustment>``, or a name of ``PASSED_OVER``.
    sort
        What stands in its cells.
    phrases
        Each a set of plain words.
    column
        Of the dictionary; None for what is passed over.
    """

    name: str
    sort: Sort
    phrases: frozenset[frozenset[str]]
    column: Column | None = None

    @property
    def unit(self) -> str:
        """The canonical unit; empty for words and counts."""
        return self.column.unit if self.column else ""


TYPICAL_SECTIONS = {f"section {near} {far}": span for (near, far), span in SECTIONS.items()}
_OWNED = {frozenset(tokens(way)): name for name, ways in MORE.items() for way in ways}


def base_of(name: str) -> str:
    """Return the column that a column of one screw belongs to; any other as it is."""
    return re.sub(r"_\d+$", "", name)


def weight_of(token: str) -> float:
    """Give how much one word of a heading says."""
    if token in FILLERS and token not in GENERIC:
        return FILLER_WEIGHT
    return GENERIC.get(token, 1.0)


@cache
def weight_of_all(words: frozenset[str]) -> float:
    """Give how much some words of a heading say together."""
    return sum(map(weight_of, words))


@cache
def likeness(heading: str, phrases: frozenset[frozenset[str]]) -> float:
    """Say how well a heading says one of some phrases, 0 to 1, whatever the order of its words."""
    said = frozenset(tokens(heading))
    return max((_likeness(said, phrase) for phrase in phrases if not said.isdisjoint(phrase)), default=0.0)


def _likeness(said: frozenset[str], phrase: frozenset[str]) -> float:
    both = weight_of_all(said & phrase)
    return both / (weight_of_all(said) + weight_of_all(phrase) - both) if both else 0.0


class Meanings:
    """Everything a column may be, by the words that say so.

    Parameters
    ----------
    meant
        Name -> what it is.
    """

    def __init__(self, meant: Mapping[str, Concept]) -> None:
        self._names = list(meant)
        self._saying: dict[str, list[tuple[int, frozenset[str]]]] = {}
        for place, concept in enumerate(meant.values()):
            for phrase in concept.phrases:
                for word in phrase:
                    self._saying.setdefault(word, []).append((place, phrase))

    def likeliest(self, *headings: str) -> tuple[float, str]:
        """Give what one heading, spelled in several ways, says best, and how well; the first of several."""
        best, where = 0.0, 0
        for heading in headings:
            said, at = frozenset(tokens(heading)), len(self._names)
            top = 0.0
            for word in said:
                for place, phrase in self._saying.get(word, ()):
                    worth = _likeness(said, phrase)
                    if worth > top or (worth == top and place < at):
                        top, at = worth, place
            if top > best:
                best, where = top, at
        return best, self._names[where]


def concepts(garage: Garage) -> dict[str, Concept]:
    """Give everything a column may be, by name."""
    found: dict[str, Concept] = {}
    for table in SHEET_TABLES.values():
        for column in table.columns:
            if column.heading and column.name not in found:
                found[column.name] = _of_column(column)
    dates = Column("date", "DATE", "date", heading="date", aliases=DATE_WORDS)
    clock = Column("time", "VARCHAR", "time of day", heading="time", aliases=TIME_WORDS)
    found["date"] = replace(_of_column(dates), sort="date")
    found["time"] = replace(_of_column(clock), sort="clock")
    for adjustment in garage.adjustments:
        name = f"extra:{adjustment.name}"
        spellings = (adjustment.name, adjustment.spoken, *adjustment.also)
        own = Column(name, "DOUBLE", adjustment.spoken, heading=adjustment.name, aliases=spellings)
        found[name] = _of_column(own)
    for base in NUMBERED:
        for name in numbered(base):
            found[name] = replace(found[base], name=name, phrases=frozenset())
    for (near, far), _ in SECTIONS.items():
        words = frozenset((f"d{near}", f"d{far}"))
        column = Column(f"section {near} {far}", "DOUBLE", f"{near} to {far} ft", "s", 0.5, 20.0)
        found[column.name] = Concept(column.name, "number", frozenset((words, words | {"time"})), column)
    named = [concept for name, concept in found.items() if name.startswith("extra:")]
    taken = {word for concept in named for phrase in concept.phrases for word in phrase}
    for name, (sort, ways) in PASSED_OVER.items():
        phrases = frozenset(frozenset(tokens(way)) for way in ways)
        if name == "other setting":
            phrases = frozenset(phrase for phrase in phrases if phrase.isdisjoint(taken))
        found[name] = Concept(name, sort, phrases)
    return found


def _of_column(column: Column) -> Concept:
    phrases = {frozenset(tokens(way)) for way in (column.heading, *column.aliases)}
    phrases = {phrase for phrase in phrases if _OWNED.get(phrase, column.name) == column.name}
    phrases |= {frozenset(tokens(way)) for way in MORE.get(column.name, ())}
    sort: Sort = "words" if column.sql_type == "VARCHAR" else "number"
    return Concept(column.name, sort, frozenset(filter(None, phrases)), column)


def kinds_of(names: set[str]) -> list[Kind]:
    """Give the kinds of sheet that columns of these names make, the main one first."""
    bases = {base_of(name) for name in names}
    kinds: list[Kind] = []
    if bases & set(SPLITS):
        kinds.append("timeslips")
    if bases & set(CLUTCH):
        kinds.append("checks")
    if bases & set(AIR):
        kinds.append("weather")
    has_setting = bool(bases & set(SETTINGS)) or any(name.startswith("extra:") for name in names)
    if has_setting and "timeslips" not in kinds:
        kinds.append("setups")
    if "track_temp_degf" in bases and "timeslips" not in kinds:
        kinds.append("track")
    return kinds
