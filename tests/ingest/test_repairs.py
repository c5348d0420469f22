"""Text repairs: one slip of the pen back, and how common each is."""

import pytest

from pipeline.ingest.repairs import plain_number, repairs

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
    assert repairs(typed) == []


def test_a_digit_typed_twice_is_likelier_than_any_digit_too_many() -> None:
    cost = {repair.number: repair.cost for repair in repairs("1.5521")}
    assert cost[1.521] < cost[1.552]


@pytest.mark.parametrize(
    ("text", "number"), [("l2.S", 12.5), ("O", None), ("5 O", None), ("x12", None), ("12,5", 12.5)]
)
def test_letters_that_look_like_digits(text: str, number: float | None) -> None:
    assert plain_number(text) == number
