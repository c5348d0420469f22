import math

import pytest

from reports import numbers


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (-0.0042, 3, "−0.004"),
        (-0.0004, 3, "0.000"),
        (-0.0, 1, "0.0"),
        (6250.4, 0, "6,250"),
        (-12345.678, 1, "−12,345.7"),
        (1.4825, 3, "1.482"),
        (None, 3, "–"),
        (math.nan, 3, "–"),
        (math.inf, 1, "–"),
    ],
)
def test_fixed_decimals_and_a_real_minus_sign(value: float | None, decimals: int, text: str) -> None:
    assert numbers.fixed(value, decimals) == text


def test_a_signed_number_says_plus_and_zero_has_no_sign() -> None:
    assert numbers.fixed(0.2, 1, sign=True) == "+0.2"
    assert numbers.fixed(-0.01, 1, sign=True) == "0.0"
    assert "-" not in numbers.thousandths(-0.0042)


def test_thousandths_and_intervals() -> None:
    assert numbers.thousandths(-0.0042) == "−4.2"
    assert numbers.thousandths(0.0042, sign=False) == "4.2"
    assert numbers.interval(-0.0069, 0.0015, 1, scale=1000) == "−6.9 to 1.5"
    assert numbers.interval(None, 0.1) == "–"


def test_a_chance_is_never_rounded_to_certainty() -> None:
    assert numbers.percent(0.9999) == "99 %"
    assert numbers.percent(0.0001) == "1 %"
    assert numbers.percent(1.0) == "100 %"


def test_days_and_moments() -> None:
    assert numbers.short_day("2025-04-11") == "Apr 11"
    assert numbers.long_day("2025-10-05") == "October 5, 2025"
    assert numbers.short_day("early May") == "early May"
    assert numbers.moment("2025-10-05T09:10:00+00:00") == "October 5, 2025, 09:10 UTC"
    assert numbers.moment("just now") == "just now"


def test_counts_take_their_noun_along() -> None:
    assert numbers.of(1, "run") == "1 run"
    assert numbers.of(0, "entry waits", "entries wait") == "0 entries wait"
