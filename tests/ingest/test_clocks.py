"""Times of day as racers of many countries write them."""

import pytest

from pipeline.ingest.clocks import ALONE, plain_clock


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("3:20 du soir", "3:20 pm"), ("10:15 rano", "10:15 am"), ("3:20 po poł.", "3:20 pm"),
        ("3:20 вечера", "3:20 pm"), ("14:05 uur", "14:05"), ("10:05 dop.", "10:05 am"),
        ("de. 10:15", "10:15 am"),
        ("2:40 odpoledne", "2:40 pm"), ("3:20 del pomeriggio", "3:20 pm"), ("10:15 ap", "10:15 am"),
        ("3:20 siang", "3:20 pm"), ("저녁 7:10", "7:10 pm"), ("3:05 אחה״צ", "3:05 pm"),
        ("gegen 15:20", "15:20"),
        ("3:20 om ettermiddagen", "3:20 pm"), ("10:15 утра", "10:15 am"), ("15:20 óra", "15:20"),
    ],
)  # fmt: skip
def test_morning_and_evening_in_many_tongues(text: str, plain: str) -> None:
    assert ALONE.match(text)
    assert plain_clock(text) == plain


@pytest.mark.parametrize("text", ["de 10:15 a 11", "siang", "10:15 ranovac"])
def test_other_words_beside_a_time(text: str) -> None:
    assert ALONE.match(text) is None
