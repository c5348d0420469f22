"""Advice is kept as given, judged by the runs made after it, and what changed since is said."""

import datetime as dt
from dataclasses import replace
from functools import cache

import duckdb
import polars as pl
import pytest

from pipeline.decide.advice import advice_given, judged, since_last
from pipeline.decide.limits import car_limits
from pipeline.decide.next_setting import suggest_next
from pipeline.decide.results import Forecast
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from pipeline.season.results import Advice
from pipeline.store.advice_given import advice_of, note_advice
from reports.answer import advice_sentence
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, season

TODAY = dt.date(2031, 5, 18)
AT = Forecast(None, 95.0, None, None, None, None, None, ())


@cache
def fitted():
    return fit_response(season(2, runs=60, events=6), FACTS)


@cache
def choice():
    fit = fitted()
    present = present_settings(fit.runs, None, ["shock_clicks"])
    return suggest_next(fit, car_limits(GARAGE, "Marigold", fit.runs), present, AT)


def given(count: int = 50):
    """Advice as given when only the first so many runs were known."""
    return advice_given(choice(), fitted().runs.head(count), TODAY)


def advised_to_change(settings):
    track = fitted().runs["track_temp_degf"][50]
    changed = {"settings": given().stay | settings, "gain_s": -0.008, "p_better": 0.95}
    return replace(given(), **changed, track_temp_degf=track)


def test_it_is_kept_and_read_back_and_asked_twice_after_one_run_kept_once():
    with duckdb.connect() as con:
        assert advice_of(con, "Marigold") == ()
        note_advice(con, "Marigold", given())
        note_advice(con, "Marigold", replace(given(), gain_s=-0.004))
        note_advice(con, "Marigold", given(40))
        note_advice(con, "Juniper", given())
        assert advice_of(con, "Marigold") == (given(40), replace(given(), gain_s=-0.004))


def test_nothing_is_kept_where_nothing_was_advised_or_no_run_has_a_time():
    inside = replace(choice(), smallest_legal=choice().stay, change_to=choice().stay)
    assert advice_given(inside, fitted().runs, TODAY) is None
    untimed = fitted().runs.with_columns(run_at=pl.lit(None, pl.Datetime("us")))
    assert advice_given(choice(), untimed, TODAY) is None


def test_advice_is_followed_when_the_next_run_was_made_at_it():
    made = present_settings(fitted().runs[50], None, ["shock_clicks"])
    followed, not_followed = (
        judged([advised_to_change(one)], fitted().runs, fitted(), ["shock_clicks"])[0]
        for one in (made, made | {"launch_rpm": made["launch_rpm"] + 50})
    )
    assert followed.followed
    assert followed.event == fitted().runs["event"][50]
    assert (followed.came_s is None) == (made == given().stay)
    assert not not_followed.followed
    assert not_followed.came_s is None


def test_advice_no_run_was_made_after_is_not_judged_yet():
    assert judged([given(60)], fitted().runs, fitted(), ["shock_clicks"]) == ()


def test_what_came_is_what_is_expected_now():
    stay = {name: value for name, value in given().stay.items() if name in fitted().spec.names}
    made = present_settings(fitted().runs[50], None, ["shock_clicks"])
    one = replace(advised_to_change(made), stay=stay | {"preload": made["preload"] - 1.0})
    found = judged([one], fitted().runs, fitted(), ["shock_clicks"])[0]
    assert found.came_s is not None
    assert abs(found.came_s) < 0.05


@pytest.mark.parametrize(
    ("advice", "said"),
    [
        ((), ""),
        ((("x", False, None),), "Followed 0 of 1; no change was among them."),
        (
            (("x", True, -0.027), ("y", True, 0.001), ("z", False, None)),
            "Followed 2 of 3; the changes among them promised 20.0 thousandths in all, and 26.0 came by what "
            "the runs since say. 1 of 2 changes made it quicker.",
        ),
    ],
)
def test_the_sum_of_it_is_said(advice, said):
    records = [Advice(day, {}, 1.4, -0.010, 0.93, followed, came) for day, followed, came in advice]
    assert advice_sentence(records) == said


def test_what_changed_since_the_last_advice_is_said_with_the_reason():
    runs, labels = fitted().runs, {"launch_rpm": "launch rpm"}
    assert since_last(choice(), (), runs, labels) == ""
    now = (choice().change_to or choice().stay).settings
    assert since_last(choice(), [replace(given(60), settings=now)], runs, labels) == ""  # asked again
    same = replace(given(59), settings=now)
    assert since_last(choice(), [same], runs, labels) == "The setting advised is that of 2031-05-18."
    other = replace(given(), settings=now | {"launch_rpm": now["launch_rpm"] + 100}, track_temp_degf=80.0)
    said = since_last(choice(), [other], runs, labels)
    assert said.startswith(f"On 2031-05-18 the advice was launch rpm {now['launch_rpm'] + 100:g}.")
    assert "10 runs made since" in said
    assert "a track 15 degF hotter" in said


def test_a_question_for_another_strip_or_track_is_no_advice_for_this_one():
    runs = fitted().runs.with_columns(venue=pl.lit("Cinder Flats"), track_temp_degf=pl.lit(95.0))
    here = replace(given(), venue="Cinder Flats", track_temp_degf=100.0)
    idle = [replace(here, track_temp_degf=140.0), replace(here, venue="Elsewhere")]
    assert judged(idle, runs, fitted(), ["shock_clicks"]) == ()
    assert len(judged([*idle, here], runs, fitted(), ["shock_clicks"])) == 1
    with duckdb.connect() as con:
        for one in (here, *idle):
            note_advice(con, "Marigold", one)
        assert advice_of(con, "Marigold") == (here, *idle)
    now = (choice().change_to or choice().stay).settings
    other = {"settings": now | {"launch_rpm": now["launch_rpm"] + 100}, "track_temp_degf": 90.0}
    assert since_last(choice(), [replace(given(), **other | {"track_temp_degf": 140.0})], runs, {}) == ""
    said = since_last(choice(), [replace(given(), risk="even", **other)], runs, {})
    assert "asked now at cautious risk, then at even" in said


def test_advice_of_an_older_store_is_still_read():
    with duckdb.connect() as con:
        note_advice(con, "Marigold", given())
        con.execute("alter table given_advice drop column venue; alter table given_advice drop column risk")
        assert advice_of(con, "Marigold") == (given(),)
        note_advice(con, "Marigold", given(40))
        assert [one.risk for one in advice_of(con, "Marigold")] == ["cautious", None]
