from dataclasses import replace

import pytest

from pipeline.errors import RequestError
from reports import evidence
from reports.tried import MOST_VALUES, tried_table, values_of
from reports.words import SETTINGS, Setting
from tests.reports import example_pages as pages
from tests.reports import example_results as ex
from tests.reports.test_season import words_of


def test_the_question_and_its_answer() -> None:
    text = words_of(evidence.render(pages.evidence_page()))
    assert "Did preload do anything?" in text
    assert "Can’t be told apart from counterweight." in text
    assert "it is tangled with counterweight" in text
    assert "8 test runs would take its uncertainty from 2.2 to 1.4 thousandths per turn." in text


def test_pairs_are_counted_by_which_way_the_clock_went() -> None:
    page = pages.evidence_page()
    pairs = [pair for pair in page.fit.before_after if pair.response == "t60"]
    agree = sum(1 for pair in pairs if pair.adjusted_s * pair.expected_s > 0)
    text = words_of(evidence.render(page))
    assert f"changed between neighbouring runs {len(pairs)} times" in text
    assert f"the way the model says in {agree} of them" in text


def test_a_conditions_page_has_no_pairs_but_says_why() -> None:
    text = words_of(evidence.render(pages.evidence_page("track_temp", plan=None)))
    assert "was never changed between two neighbouring runs" in text
    assert "Nobody: what it did can be read apart" in text
    assert "Change it, and nothing else" in text
    assert "Track temperature was not varied enough" in text


def test_launch_rpm_is_shown_on_cool_and_hot_tracks() -> None:
    text = words_of(evidence.render(pages.evidence_page("launch_rpm")))
    assert "cool track" in text
    assert "−4.1 (−6.2 to −2.0)" in text


def test_an_unknown_adjustment_is_refused_with_those_there_are() -> None:
    with pytest.raises(RequestError, match=r"'wing'.*preload, counterweight"):
        evidence.render(pages.evidence_page("wing"))


def test_a_fit_with_nothing_in_it_still_gives_a_page() -> None:
    text = words_of(evidence.render(pages.evidence_page(fit=ex.empty_fit(), plan=None)))
    assert "There are not enough usable runs yet to judge preload." in text


def test_values_come_from_a_column_or_from_extras() -> None:
    runs = ex.example_runs(2)
    assert values_of(runs, "preload").to_list() == runs["preload_turns"].to_list()
    assert values_of(runs, "shock_clicks").to_list() == [6.0] * runs.height
    assert values_of(runs, "nothing").null_count() == runs.height


def test_what_was_tried_is_gathered_when_there_are_many_values() -> None:
    table = tried_table(ex.example_runs(), "preload", SETTINGS["preload"])
    assert table is not None
    assert 2 <= len(table.rows) <= 2 * MOST_VALUES
    assert sum(int(row[1]) for row in table.rows) == 120
    assert tried_table(ex.example_runs(), "nothing", Setting("x", "", 1)) is None


def test_of_many_pairs_the_largest_changes_are_shown_in_their_order() -> None:
    pair = ex.example_fit().before_after[0]
    pairs = [replace(pair, run_before=n, value_before=0.0, value_after=float(n % 40)) for n in range(80)]
    shown = evidence.telling_pairs(pairs)
    assert len(shown) == 24
    assert [one.run_before for one in shown] == sorted(one.run_before for one in shown)
    assert min(one.value_after for one in shown) == 28.0
    assert evidence.telling_pairs(pairs[:5]) == pairs[:5]


def test_a_test_that_would_not_teach_says_so() -> None:
    plan = ex.example_plan()
    known = tuple(replace(one, after_s=one.now_s) for one in plan.precision)
    text = words_of(evidence.render(pages.evidence_page(plan=replace(plan, precision=known))))
    assert "already known to about 2.2 thousandths per turn" in text


def test_a_setting_that_moved_on_its_own_is_said_to_have() -> None:
    fit = ex.example_fit()
    alone = tuple(replace(row, variance_inflation=1.04) for row in fit.cross_check)
    text = words_of(evidence.render(pages.evidence_page("preload", fit=replace(fit, cross_check=alone))))
    assert "Within events it moved on its own" in text


def test_a_setting_changed_only_between_events_is_tangled_with_the_nights() -> None:
    page = pages.evidence_page("counterweight")
    apart = replace(page, fit=replace(page.fit, before_after=()))
    text = words_of(evidence.render(apart))
    assert "With the nights: it was changed only from event to event" in text
    assert "Nobody" not in text


def test_an_empty_second_opinion_says_why_it_is() -> None:
    fit = ex.example_fit()
    none = tuple(replace(row, plain_s=None, plain_low_s=None, plain_high_s=None) for row in fit.cross_check)
    page = pages.evidence_page("launch_rpm", fit=replace(fit, cross_check=none))
    assert "where the runs of single events cannot tell it" in words_of(evidence.render(page))
