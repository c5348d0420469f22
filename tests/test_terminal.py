"""What a person reads without a browser, on invented results."""

from dataclasses import replace

from pipeline import terminal
from pipeline.ingest.questions import GivenAnswer
from reports import answer
from reports.answer import CHANCE_EXPLAINED
from reports.words import settings_of, verdict_words
from tests.reports import example_results as ex


def test_a_chance_stands_beside_its_interval_and_says_why_they_differ() -> None:
    text = terminal.next_text(ex.example_next(), {})
    assert "Chance that the change beats staying put: 97 %" in text
    assert CHANCE_EXPLAINED in text
    assert CHANCE_EXPLAINED not in terminal.next_text(ex.example_next(stay=True), {})


def test_verdicts_are_in_the_words_of_the_page() -> None:
    fit = ex.example_fit(ex.example_runs())
    known = settings_of(fit)
    text = terminal.effects_text(fit)
    launch = [effect for effect in fit.effects if effect.response == "t60"]
    assert {effect.verdict for effect in launch} == {"moved", "no_sign", "inseparable"}
    for effect in launch:
        assert verdict_words(effect, known) in text
    thin = replace(launch[0], verdict="no_sign", per_step_s=None, low_s=None, high_s=None)
    assert terminal.verdict_text(thin, known) == "too little tried to say"


def test_an_average_near_nil_says_that_a_best_value_lies_inside() -> None:
    both_ways = ex.effect("t60", "launch_rpm", -0.3, 1.0, "moved")
    assert terminal.verdict_text(both_ways, {}) == "moved it, best value inside what was tried"
    one_way = ex.effect("t60", "launch_rpm", -3.0, 1.0, "moved")
    assert terminal.verdict_text(one_way, {}) == "moved it"


def test_answers_that_do_nothing_are_listed_apart() -> None:
    stale = GivenAnswer("slips.csv", "", 7, "t60_s", "1.842", "accept", "the entry has changed")
    idle = GivenAnswer("book.xlsx", "Slips", 9, "date", "", "keep", "it is what stands there already")
    assert terminal.answers_text([stale], [idle]).splitlines() == [
        "Answers that do not count (1):",
        "  slips.csv, row 7, t60_s: 'accept' to '1.842': the entry has changed.",
        "Answers that change nothing (1):",
        "  book.xlsx (Slips), row 9, date: 'keep': it is what stands there already.",
    ]
    assert terminal.answers_text([], []) == ""


def test_a_row_typed_twice_is_named() -> None:
    twice = {
        "file": "phone.csv",
        "sheet": "",
        "row": 4,
        "same_file": "a.xlsx",
        "same_sheet": "Slips",
        "same_row": 9,
    }
    again = twice | {"file": "a.xlsx", "sheet": "Slips", "row": 12}
    assert terminal.set_aside_text({"heading": 2, "typed twice": 2}, [twice, again]).splitlines() == [
        "Set aside: heading 2, typed twice 2.",
        "  Typed twice: phone.csv, row 4 is row 9 of a.xlsx (Slips) again.",
        "  Typed twice: a.xlsx (Slips), row 12 is row 9 again.",
    ]
    assert terminal.set_aside_text({}, []) == ""


def test_best_typical_and_what_to_set_next_are_said_without_a_browser() -> None:
    fit = ex.example_fit()
    night = next(one for one in fit.nights if one.response == "t60")
    first = answer.night_lines(fit, night.event)[0]
    assert first.startswith(f"Best {night.best_s:.3f}, typical {night.typical_s:.3f} over ")
    assert answer.next_line(fit, None) == []
    assert "set launch rpm 6,400 rpm (was 6,200)" in answer.next_line(fit, ex.example_next())[1]
