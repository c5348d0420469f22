"""Headings as people write them."""

from collections import defaultdict

import pytest

from pipeline.garage.dictionary import KINDS, SHEET_TABLES, Kind
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.headings import plan_sheet, vocabulary

GARAGE = Garage.model_validate(
    {
        "adjustment": [{"name": "shock_clicks", "label": "rear shock", "also": ["shock"]}],
        "headings": {"arm weight": "counterweight_g", "leave": "launch rpm"},
    }
)


def names(*headings: str) -> list[str]:
    return [column.name for column in plan_sheet([(1, headings)], GARAGE).columns]


@pytest.mark.parametrize(
    "heading",
    ["60'", "60 ft", "SIXTY", "short time", "Short-Time", "60ft.", "60 ft (s)", "60 ft, s", "t60", "T60_S"],
)
def test_ways_to_write_60_ft(heading: str) -> None:
    assert names("date", heading) == ["date", "t60_s"]


EVERYDAY = {
    "timeslips": (
        "Date", "Time", "Ride", "Track name", "Race name", "Rd", "L/R", "Tree", "60 foot time", "330 foot",
        "8th", "8th mph", "1000 foot", "Final ET", "Top end MPH", "Leave at", "Gun temp", "Turns in",
        "Arm weights", "Tire", "How'd it go", "Memo",
    ),
    "weather": (
        "Date", "Time", "Drag strip", "Outside temp", "Barometric pressure", "Rel. humidity", "Dew pt",
        "Wet bulb temp", "Grains water", "Wind spd", "Wind out of",
    ),
    "track": ("Date", "Time", "Strip name", "Side", "Asphalt temp"),
    "setups": ("Date", "Which car", "Adjuster turns", "Grams per arm", "2-step RPM", "Slick PSI"),
    "checks": ("Date", "Race car", "Ring hgt", "Shims pulled", "Throw-out clearance", "Disk thick"),
}  # fmt: skip


@pytest.mark.parametrize("kind", EVERYDAY)
def test_everyday_headings_are_all_understood(kind: str) -> None:
    plan = plan_sheet([(1, EVERYDAY[kind])], GARAGE)
    assert (plan.kind, plan.unused, plan.problems) == (kind, (), ())


@pytest.mark.parametrize("kind", KINDS)
def test_no_spelling_stands_for_two_columns_of_a_sheet(kind: Kind) -> None:
    meant = defaultdict(set)
    for name, column in vocabulary(kind, Garage.model_validate({})).items():
        if name == column.name:
            for spelling in (name, column.heading, *column.aliases):
                meant[folded(spelling)].add(name)
    assert {spelling: names for spelling, names in meant.items() if len(names) > 1} == {}


def test_track_is_the_strip_where_another_heading_is_its_temperature() -> None:
    assert names("date", "track", "60 ft", "track temp") == ["date", "venue", "t60_s", "track_temp_degf"]
    assert names("date", "gun temp", "track") == ["date", "track_temp_degf", "venue"]


def test_track_is_the_strip_where_words_stand_below_it() -> None:
    heading = (1, ("date", "track", "60 ft"))
    words = [(2, ("5/4", "Cinder Flats", "1.48")), (3, ("5/5", None, "1.49"))]
    numbers = [(2, ("5/4", "95 F", "1.48")), (3, ("5/5", "no gun", "1.49"))]
    assert plan_sheet([heading, *words], GARAGE).index_of("venue") == 1
    assert plan_sheet([heading, *numbers], GARAGE).index_of("track_temp_degf") == 1


@pytest.mark.parametrize("kind", SHEET_TABLES)
def test_every_heading_and_alias_of_the_dictionary_is_its_own_column(kind: str) -> None:
    table = next(table for name, table in SHEET_TABLES.items() if name == kind)
    anchor = {
        "timeslips": "60 ft",
        "weather": "humidity",
        "track": "track temp",
        "setups": "turns",
        "checks": "ring",
    }
    for column in table.columns:
        for heading in (column.heading, *column.aliases):
            if not heading:
                continue
            plan = plan_sheet([(1, ("date", anchor[kind], heading))], GARAGE)
            assert plan.kind == kind
            assert column.name in {found.name for found in plan.columns}, heading


@pytest.mark.parametrize(
    ("headings", "kind"),
    [
        (("date", "time", "60 ft", "launch rpm", "track temp"), "timeslips"),
        (("date", "time", "temp", "baro"), "weather"),
        (("date", "time", "track temp"), "track"),
        (("date", "preload turns", "psi"), "setups"),
        (("date", "shock"), "setups"),
        (("date", "ring height 1", "ring height 2"), "checks"),
        (("question_id", "answer"), "answers"),
        (("apples", "pears"), "unrecognised"),
        (("60 ft", "330 ft"), "unrecognised"),
    ],
)
def test_the_kind_of_a_sheet(headings: tuple[str, ...], kind: str) -> None:
    assert plan_sheet([(1, headings)], GARAGE).kind == kind


def test_own_headings_and_adjustments() -> None:
    assert names("date", "arm weight", "leave", "rear shock") == [
        "date", "counterweight_g", "launch_rpm", "extra:shock_clicks",
    ]  # fmt: skip


def test_an_own_heading_outranks_the_usual_meaning_of_the_word() -> None:
    garage = Garage.model_validate({"headings": {"RT": "round", "temp": "track temp"}})
    plan = plan_sheet([(1, ("date", "rt", "60 ft", "Temp"))], garage)
    assert [column.name for column in plan.columns] == ["date", "round", "t60_s", "track_temp_degf"]


def test_a_unit_in_an_own_heading_converts_by_it() -> None:
    own = {"1/8 km/h": "v660_mph", "Luft degC": "air_temp_degf", "left at": "launch_rpm"}
    garage = Garage.model_validate({"headings": own})
    slips = plan_sheet([(1, ("date", "60 ft", "1/8 km/h", "left at"))], garage)
    factors = {column.name: column.to_canonical.factor for column in slips.columns}
    assert factors["v660_mph"] == pytest.approx(1 / 1.609344)
    assert factors["launch_rpm"] == factors["t60_s"] == 1.0
    air = plan_sheet([(1, ("date", "time", "Luft degC", "humidity (%)"))], garage).columns[2]
    assert (air.name, air.to_canonical.factor, air.to_canonical.offset) == ("air_temp_degf", 1.8, 32.0)


def test_a_title_above_and_a_second_column_of_the_same_kind() -> None:
    rows = [(1, ("My season", None, None)), (2, (None, None, None)), (3, ("date", "60 ft", "sixty"))]
    plan = plan_sheet(rows, GARAGE)
    assert plan.heading_row == 3
    assert plan.unused == ((2, "sixty"),)
    assert "second time" in plan.problems[0]


def test_a_unit_that_does_not_fit_is_told() -> None:
    plan = plan_sheet([(1, ("date", "60 ft", "330 ft (lb)"))], GARAGE)
    assert plan.unused == ((2, "330 ft (lb)"),)
    assert "lb" in plan.problems[0]
