"""Text repairs: one slip of the pen back, and how common each is."""

from dataclasses import replace

import pytest

from pipeline.ingest.repairs import plain_number, repairs
from pipeline.ingest.slip_readings import TICKET, Slip, readings

SLIPS = {
    "6.O86": (6.086, "letter_for_digit"),
    "610O": (6100.0, "letter_for_digit"),
    "1l2.38": (112.38, "letter_for_digit"),
    "1482": (1.482, "missing_decimal"),
    "590": (5900.0, "missing_decimal"),
    "55600": (5600.0, "added_digit"),
    "4.36": (4.036, "dropped_digit"),
    "1.842": (1.482, "swapped_digits"),
    "8.061": (6.061, "wrong_digit"),
    "-3.952": (3.952, "minus_sign"),
}


@pytest.mark.parametrize(("typed", "meant"), SLIPS.items())
def test_what_was_meant_is_among_the_repairs(typed: str, meant: tuple[float, str]) -> None:
    assert meant in {(repair.number, repair.rule) for repair in repairs(typed)}


@pytest.mark.parametrize("typed", ["", "   ", "spun out", "1234567890123"])
def test_what_is_no_number_has_no_repair(typed: str) -> None:
    assert repairs(typed) == ()


def test_a_digit_typed_twice_is_likelier_than_any_digit_too_many() -> None:
    cost = {repair.number: repair.cost for repair in repairs("1.5521")}
    assert cost[1.521] < cost[1.552]


@pytest.mark.parametrize(
    ("text", "number"), [("l2.S", 12.5), ("O", None), ("5 O", None), ("x12", None), ("12,5", 12.5)]
)
def test_letters_that_look_like_digits(text: str, number: float | None) -> None:
    assert plain_number(text) == number


@pytest.mark.parametrize("typed", ["3:885", "3;885", "3 885", "3..885", "3,885"])
def test_any_mark_may_stand_for_the_point(typed: str) -> None:
    found = {repair.number: repair for repair in repairs(typed)}
    assert found[3.885].cost == 0
    assert all(other.cost > 20 for number, other in found.items() if number != 3.885)


def slip(**numbers: float) -> Slip:
    whole = {name: numbers.get(name, float("nan")) for name in TICKET}
    return Slip(1, None, 1320, True, False, whole, decimals={"v660_mph": 1, "t660_s": 4})


def test_a_speed_may_be_in_the_other_unit() -> None:
    found = [reading.cells for reading in readings(slip(v660_mph=161.3)) if reading.rule == "other_unit"]
    assert found == [{"v660_mph": 100.23}, {"v660_mph": 259.59}]


def test_a_reading_has_no_more_decimals_than_its_sheet_writes() -> None:
    speeds = {reading.cells.get("v660_mph") for reading in readings(slip(v660_mph=1115.3))}
    assert 115.3 in speeds
    assert 111.53 not in speeds
    times = {reading.cells.get("t660_s") for reading in readings(slip(t660_s=65432))}
    assert 6.5432 in times


def test_a_figure_left_out_before_a_zero_that_a_workbook_does_not_keep() -> None:
    short = replace(slip(t60_s=1.0), decimals={"t60_s": 2})
    found = {reading.cells.get("t60_s"): reading.rule for reading in readings(short)}
    assert found[1.4] == "dropped_digit"
    assert 1.04 in found
    assert 1.004 not in found
