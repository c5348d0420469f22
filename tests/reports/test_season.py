import re
from dataclasses import replace
from html import unescape

import polars as pl
import pytest

from pipeline.season.results import Advice, ChangePart
from reports import answer, launch_figures, nightly, season, season_tables
from reports.numbers import UNKNOWN
from reports.words import settings_of
from tests.reports import example_pages as pages
from tests.reports import example_results as ex


def words_of(html: str) -> str:
    main = re.sub(r"<(script|style).*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", main))


def test_the_answer_says_what_moved_it_with_numbers_and_what_to_set() -> None:
    fit = ex.example_fit()
    said = answer.season_answer(fit, ex.example_next(), settings_of(fit))
    text = " ".join(f"{one.head} {one.text}" for one in said)
    assert [one.head for one in said] == ["What moved it.", "What it came to.", "What to set."]
    assert "Launch rpm, not one way over what you tried (−4.1 thousandths per 100 rpm" in text
    assert "Preload and counterweight were changed together so often" in text
    assert "−9.3 thousandths (−12.8 to −5.8)" in text
    assert "no sign of tire pressure (anything beyond 5.5 thousandths per psi would have shown)" in text
    assert "One step of rear shock on t60: no sign." in text  # what the model says of one too little tried
    assert "set launch rpm 6,400 rpm (was 6,200)" in text
    assert "97 %" in text


def test_staying_is_said_plainly() -> None:
    fit = ex.example_fit()
    assert "stay where you are" in answer.next_sentence(ex.example_next(stay=True), settings_of(fit))


def test_an_effect_whose_interval_has_one_sign_is_given_per_step() -> None:
    sure = ex.effect("t60", "preload", -4.2, 1.1, "moved")
    said = answer._moved_sentence([sure], settings_of(None))
    assert said == "Preload, −4.2 thousandths per turn (−5.3 to −3.1)."


def test_what_moved_it_beside_the_settings_is_named_too() -> None:
    driver, tires = (ex.effect("t60", "track_temp", *size, "moved") for size in ((14.0, 4.0), (3.0, 1.0)))
    told = [
        replace(driver, adjustment="driver: Bo", label="driver Bo (against Ann)", step="a run by this one"),
        replace(tires, adjustment="tire_runs", label="runs on the tires", step="10 runs"),
    ]
    said = answer._beside_sentence([*told, ex.effect("t60", "air_density", -5.0, 1.0, "moved")])
    assert said == (
        "Beside them these moved it: driver Bo (against Ann) (+14.0 thousandths, 10.0 to 18.0) and "
        "runs on the tires (10 runs: +3.0 thousandths, 2.0 to 4.0)."
    )
    assert answer._beside_sentence([]) == ""


def test_a_season_with_nothing_usable_says_so_in_every_part() -> None:
    text = words_of(season.render(pages.empty_season_page()))
    for sentence in (
        "Too early to say.",
        "Nothing is suggested",
        "No effect on 60 ft can be worked out yet",
        "there are not yet enough of either",
        "on cool and on hot tracks",
        "No event has usable 60 ft times yet",
        "Ring height was not measured often enough",
        "No test is planned",
    ):
        assert sentence in text


def test_what_came_of_the_advice_is_laid_out_over_time() -> None:
    fit = ex.example_fit()
    assert season_tables.advice_table(fit, settings_of(fit)) is None
    assert season_tables.advice_words(fit) == ""
    stayed = Advice("2031-04-02", {"launch_rpm": 6200.0}, 1.45, 0.0, None, followed=True, came_s=None)
    missed = Advice("2031-04-09", {"launch_rpm": 6300.0}, 1.44, -0.004, 0.9, followed=False, came_s=None)
    quicker = replace(missed, date="2031-04-16", p_better=0.95, followed=True, came_s=-0.003)
    slower = replace(missed, date="2031-04-23", p_better=0.92, followed=True, came_s=0.001)
    given = replace(fit, advice=(stayed, missed, quicker, slower))
    table = season_tables.advice_table(given, settings_of(fit))
    assert table is not None
    assert [row[2:] for row in table.rows] == [
        ("90 %", "no", "4.0", UNKNOWN),
        ("95 %", "yes", "4.0", "3.0"),
        ("92 %", "yes", "4.0", "−1.0"),
    ]
    words = "By the chances said, 1.9 of 2 changes followed were to be quicker; 1 was."
    assert season_tables.advice_words(given) == words
    assert words in words_of(season.render(replace(pages.season_page(), fit=given)))


def test_every_run_left_out_is_listed_with_its_reason() -> None:
    page = pages.season_page()
    out = page.runs.filter(pl.col("left_out_reason").is_not_null())
    text = words_of(season.render(page))
    assert out.height > 0
    assert text.count("lifted after 60 ft") >= out.height
    assert f"{out.height} runs left out of something" in text


def test_long_lists_of_questions_are_cut_and_counted() -> None:
    many = pl.concat([ex.example_questions().head(2)] * 30)
    text = words_of(season.render(pages.season_page(questions=many)))
    assert "20 more entries: see questions.csv" in text


def test_verdicts_come_in_words_and_with_a_mark_of_their_own() -> None:
    html = season.render(pages.season_page())
    assert "moved it" in html
    assert "can’t be told apart from counterweight" in html
    assert "too little tried to say" in html
    rows = re.findall(r'<span class="verdict (\w+)"><svg.*?</svg>', html)
    assert set(rows) == {"moved", "no_sign", "inseparable"}


def test_the_slip_counts_the_runs_that_the_fit_used() -> None:
    fit = ex.example_fit(ex.example_runs())
    fit = replace(fit, facts=tuple(replace(facts, runs_used=97) for facts in fit.facts))
    text = words_of(season.render(pages.season_page(fit=fit)))
    assert "runs written down 120" in text
    assert "counted for 60 ft 97" in text


def test_a_prediction_worse_than_the_mean_is_said_and_an_empty_comparison_agrees_with_nothing() -> None:
    fit = ex.example_fit(ex.example_runs())
    assert "go by the mean" not in words_of(season.render(pages.season_page(fit=fit)))
    worse = replace(fit.held_out[0], rmse_s=0.02, naive_rmse_s=0.015)
    nothing = replace(fit.cross_check[0], plain_s=None, plain_low_s=None, plain_high_s=None, agrees=True)
    fit = replace(fit, held_out=(worse, *fit.held_out[1:]), cross_check=(nothing, *fit.cross_check[1:]))
    text = words_of(season.render(pages.season_page(fit=fit)))
    assert "missed by 0.020 s, where the car's mean would miss by 0.015 s" in unescape(text)
    (first, second, *_) = season_tables.cross_check_table(fit, {}).rows
    assert (first[-1], second[-1]) == ("–", "yes")


def test_what_was_borrowed_from_a_fleet_is_said() -> None:
    text = words_of(season.render(pages.season_page(borrowed=("Estimates borrow from 41 cars.",))))
    assert "Estimates borrow from 41 cars." in text


@pytest.mark.parametrize(
    "column",
    [
        "t60_s",
        "launch_rpm",
        "track_temp_degf",
        "ring_height_in",
        "outcome",
        "extras",
        "run_of_event",
        "notes",
    ],
)
def test_a_column_nobody_filled_in_is_no_hindrance(column: str) -> None:
    runs = ex.example_runs()
    bare = runs.with_columns(pl.lit(None, runs.schema[column]).alias(column))
    page = replace(pages.season_page(runs=runs), runs=bare)
    assert "The answer first" in season.render(page)
    night = replace(pages.nightly_page(runs=runs), runs=bare)
    assert "The answer first" in nightly.render(night)


def test_nothing_moved_and_nothing_changed_is_said() -> None:
    quiet = [
        ex.effect("t60", "preload", -0.4, 3.0, "no_sign"),
        ex.effect("t60", "counterweight", -1, 2, "no_sign"),
    ]
    fit = replace(ex.example_fit(), effects=tuple(quiet), changes=())
    text = " ".join(f"{one.head} {one.text}" for one in answer.season_answer(fit, None, settings_of(fit)))
    assert "Not one of the adjustments can yet be said to have moved the 60 ft time." in text
    assert "What it came to." not in text
    assert (
        "no sign of preload (anything beyond 4.2 thousandths per turn would have shown) and counterweight"
        in text
    )


def test_an_optimum_without_cool_and_hot_figures_is_said_as_one() -> None:
    bent = ex.effect("t60", "launch_rpm", 0.2, 1.0, "moved")
    bare = ex.effect("t60", "preload", None, 1.0, "moved")
    assert answer._moved_sentence([bent], {}) == "Launch rpm, not one way over what you tried."
    assert answer._moved_sentence([bare], {}) == "Preload."


def test_parts_too_small_to_name_are_not_named() -> None:
    (change, _) = ex.example_changes()
    small = tuple(replace(part, seconds=0.0001) for part in change.parts)
    assert "largest parts" not in answer.change_sentence(replace(change, parts=small), "Marigold")


def test_the_method_says_nothing_twice() -> None:
    html = season.render(pages.season_page())
    method = words_of(html[html.index('id="method"') :])
    assert method.count("Four runs were given little weight.") == 1
    fit = ex.example_fit(ex.example_runs())
    own = replace(fit.facts[0], sentences=("Only of 60 ft.", "Of all."), dropped=("Of all.",))
    rest = [replace(facts, sentences=("Of all.",), dropped=("Of all.",)) for facts in fit.facts[1:]]
    html = season.render(pages.season_page(fit=replace(fit, facts=(own, *rest))))
    method = words_of(html[html.index('id="method"') :])
    assert method.count("Of all.") == method.count("Only of 60 ft.") == 1
    assert ".." not in method


def test_a_mean_that_stayed_the_same_is_not_called_quicker() -> None:
    change = next(change for change in ex.example_fit().changes if change.response == "t60")
    assert ": no change." in answer.change_sentence(replace(change, total_s=-0.0002), "Marigold")


def test_where_advice_and_line_differ_a_sentence_says_why_and_the_advice_is_marked() -> None:
    points = ex.example_rpm()
    choice = ex.example_next()
    advised = launch_figures.advised_rpm(choice)
    assert advised == (95.0, 6400.0)
    at = next(point for point in points if point.track_temp_f == 95.0)
    made = launch_figures.rpm_figure(points, ex.example_runs(0, ()), 95.0, (95.0, at.launch_rpm + 50))
    assert f"advised has {at.launch_rpm + 50:,.0f} rpm where the line has {at.launch_rpm:,.0f}" in made.reads
    assert ("advised", "the setting advised") in made.marks
    near = launch_figures.rpm_figure(points, ex.example_runs(0, ()), 95.0, (95.0, at.launch_rpm + 10))
    assert "The setting advised has" not in near.reads
    bare = launch_figures.rpm_figure(points, ex.example_runs(0, ()), 95.0)
    assert all(name != "advised" for name, _ in bare.marks)


def test_a_gain_of_several_moves_is_told_part_by_part() -> None:
    parts = (
        ChangePart("launch_rpm", "launch rpm", -0.0062, -0.0100, -0.0024),
        ChangePart("preload", "preload", -0.0031, -0.0060, -0.0002),
    )
    told = answer.chance_sentences(replace(ex.example_next(), parts=parts))
    assert told[0] == (
        "Part by part, in thousandths: launch rpm −6.2 (−10.0 to −2.4) and preload −3.1 (−6.0 to −0.2)."
    )
    assert answer.chance_sentences(replace(ex.example_next(), parts=parts[:1]))[0].startswith("Chance")
