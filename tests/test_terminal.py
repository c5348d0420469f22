"""What a person reads without a browser, on invented results."""

from pipeline import terminal
from reports.answer import CHANCE_EXPLAINED
from tests.reports import example_results as ex


def test_a_chance_stands_beside_its_interval_and_says_why_they_differ() -> None:
    text = terminal.next_text(ex.example_next(), {})
    assert "Chance that the change beats staying put: 97 %" in text
    assert CHANCE_EXPLAINED in text
    assert CHANCE_EXPLAINED not in terminal.next_text(ex.example_next(stay=True), {})
