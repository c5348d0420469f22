"""Months and days of the week in many languages."""

import pytest

from pipeline.ingest.calendar_words import DAY_NAMES, MONTH_NAMES
from pipeline.ingest.month_names import month_in_date, month_of, plain_month
from pipeline.ingest.weekdays import is_weekday, weekday_of


@pytest.mark.parametrize("language", MONTH_NAMES)
def test_months_of_a_language(language: str) -> None:
    for row in MONTH_NAMES[language]:
        names = row.split()
        assert len(names) == 12
        read = [month_of(name) for name in names if name != "-"]
        assert read == [number for number, name in enumerate(names, start=1) if name != "-"]


@pytest.mark.parametrize("language", DAY_NAMES)
def test_days_of_a_language(language: str) -> None:
    for row in DAY_NAMES[language]:
        names = row.split()
        assert len(names) == 7
        assert [weekday_of(name) for name in names if name != "-"] == [
            number for number, name in enumerate(names) if name != "-"
        ]


def test_full_names_are_surely_days() -> None:
    names = {name for rows in DAY_NAMES.values() for name in rows[0].split() if name != "-"}
    assert {name for name in names if not is_weekday(name)} == set()


def test_words_that_are_no_months_or_days() -> None:
    assert [month_of(word) for word in ("out", "sub", "Marigold")] == [None] * 3
    assert month_in_date("out") == 10
    assert [weekday_of(word) for word in ("Salem", "Marigold", "to", "sul")] == [None] * 4


@pytest.mark.parametrize(
    ("text", "plain"),
    [("16. siječnja 2031", "16 Jan 2031"), ("5 Pebrero 2031", "5 Feb 2031"), ("3 şubat 31", "3 Feb 31"),
     ("14 يونيو 2031", "14 Jun 2031"), ("7 мај 2031", "7 May 2031")],
)  # fmt: skip
def test_dates_are_written_in_english(text: str, plain: str) -> None:
    assert plain_month(text) == plain
