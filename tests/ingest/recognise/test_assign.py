"""Columns known by heading, unit and values together."""

import pytest

from pipeline.garage.logbook import Garage
from pipeline.ingest.recognise.assign import Candidate, assign
from pipeline.ingest.recognise.headed import Heading, Names
from pipeline.ingest.recognise.vocabulary import concepts, kinds_of

MEANINGS = concepts(Garage.model_validate({}))
NAMES = Names(frozenset({"marigold"}), frozenset({"cinderflats"}))
SLIP = {
    "date": ["5/14/2031", "5/14/2031", "5/15/2031"],
    "reaction_s": [".052", ".081", "-.004"],
    "t60_s": ["1.482", "1.490", "1.601"],
    "t330_s": ["4.050", "4.061", "4.240"],
    "t660_s": ["6.210", "6.222", "6.401"],
    "v660_mph": ["112.3", "112.1", "110.9"],
    "t1000_s": ["8.091", "8.102", "8.283"],
    "t1320_s": ["9.702", "9.713", "9.901"],
    "v1320_mph": ["139.5", "139.2", "138.0"],
}


def read(columns: list[tuple[str, list[str]]]) -> list[str]:
    candidates = [Candidate.of(at, Heading(text, text), cells) for at, (text, cells) in enumerate(columns)]
    return [choice.name for choice in assign(candidates, MEANINGS, NAMES)]


def test_each_speed_belongs_to_the_time_beside_it() -> None:
    order = ["date", "t660_s", "v660_mph", "t1320_s", "v1320_mph"]
    assert (
        read(list(zip(["Day", "1/8", "MPH", "1/4", "MPH"], map(SLIP.__getitem__, order), strict=True)))
        == order
    )
    upside_down = ["date", "t1320_s", "v1320_mph", "t660_s", "v660_mph"]
    headings = ["Day", "1/4", "@", "1/8", "@"]
    assert read(list(zip(headings, map(SLIP.__getitem__, upside_down), strict=True))) == upside_down


def test_splits_under_one_heading_are_told_apart_by_their_values() -> None:
    order = ["date", "t60_s", "t330_s", "t660_s", "t1000_s", "t1320_s"]
    found = read(list(zip(["Date", "60", "ET", "ET", "ET", "ET"], map(SLIP.__getitem__, order), strict=True)))
    assert found == order


@pytest.mark.parametrize(
    ("heading", "cells", "name"),
    [
        ("Track", ["Cinder Flats", "Cinder Flats", "Cinder Flats"], "venue"),
        ("Track", ["95", "97", "101"], "track_temp_degf"),
        ("Surface", ["95", "97", "101"], "track_temp_degf"),
        ("Circuit", ["Cinder Flats", "Cinder Flats", "Cinder Flats"], "venue"),
        ("Lau RPM", ["5600", "5600", "5800"], "launch_rpm"),
        ("Run #", ["1", "2", "3"], "run number"),
        ("DA", ["1250", "1420", "1800"], "density altitude"),
        ("Machine", ["Marigold", "Marigold", "Marigold"], "car"),
        ("Which", ["Marigold", "Marigold", "Marigold"], "car"),
        ("L/R", ["L", "R", "R"], "lane"),
    ],
)
def test_a_heading_means_what_stands_below_it(heading: str, cells: list[str], name: str) -> None:
    columns = [("Date", SLIP["date"]), ("60 ft", SLIP["t60_s"]), (heading, cells)]
    assert read(columns)[-1] == name


@pytest.mark.parametrize(
    ("names", "kinds"),
    [
        (
            {"date", "t60_s", "air_temp_degf", "ring_height_in", "preload_turns"},
            ["timeslips", "checks", "weather"],
        ),
        ({"date", "preload_turns", "launch_rpm"}, ["setups"]),
        ({"date", "track_temp_degf", "air_temp_degf"}, ["weather", "track"]),
        ({"date", "notes"}, []),
    ],
)
def test_the_kinds_of_a_sheet_follow_from_its_columns(names: set[str], kinds: list[str]) -> None:
    assert kinds_of(names) == kinds
