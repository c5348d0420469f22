import dataclasses

import pytest

from pipeline.decide.results import Trial
from pipeline.terminal import next_text
from reports import next
from reports.answer import CHANCE_EXPLAINED
from reports.as_json import next_document
from reports.setting_card import setting_card
from reports.words import SETTINGS
from tests.reports import example_pages as pages
from tests.reports import example_results as ex
from tests.reports.test_season import words_of


def test_stay_and_change_stand_side_by_side() -> None:
    text = words_of(next.render(pages.next_page()))
    assert "Stay where it is" in text
    assert "Change to" in text
    assert "Change, 97 % sure." in text
    assert CHANCE_EXPLAINED in text
    assert "6,400 rpm was 6,200" in text
    assert "Held back: 300 rpm from the present setting" in text
    assert "add the line to the car" in text
    assert "Not given: humidity 55 %, from October 4." in text


def test_staying_shows_one_ticket_and_says_why() -> None:
    html = next.render(pages.next_page(stay=True))
    assert html.count('class="ticket') == 1
    assert "at least nine chances in ten" in html


def test_the_dash_sheet_is_rounded_held_inside_limits_and_honest_where_never_tried() -> None:
    rows = next.dash_rows(pages.next_page(launch_rpm_limits=(4500.0, 6400.0)))
    by_track = {row["track"]: row for row in rows}
    assert by_track["95"]["rpm"] == "6,400"
    assert by_track["75"] == {
        "track": "75",
        "rpm": "6,400",
        "range": by_track["75"]["range"],
        "tried": True,
        "held": True,
        "settled": True,
        "edge": None,
    }
    assert by_track["60"]["tried"] is False
    html = next.render(pages.next_page())
    assert "never tried: start from the nearest that was" in html


@pytest.mark.parametrize("limits", [(6210.0, 6235.0), (4500.0, 6390.0), None])
def test_rounding_never_leaves_the_limits(limits: tuple[float, float] | None) -> None:
    for row in next.dash_rows(pages.next_page(launch_rpm_limits=limits)):
        rpm = float(str(row["rpm"]).replace(",", ""))
        if limits is not None:
            assert limits[0] <= rpm <= limits[1]


def test_without_runs_or_a_curve_there_is_still_a_card() -> None:
    text = words_of(next.render(pages.next_page(runs=None, dash=())))
    assert "There are not yet enough runs on cool and hot tracks" in text


def test_quick_changes_are_said_to_be_all_that_was_considered() -> None:
    card = setting_card(dataclasses.replace(ex.example_next(), quick_only=True), SETTINGS)
    assert card is not None
    assert "Only what can be changed between rounds was considered." in card["notes"]
    assert setting_card(None, SETTINGS) is None


def test_extra_adjustments_go_by_the_label_the_garage_gives_them() -> None:
    choice = ex.example_next()
    stay = dataclasses.replace(choice.stay, settings={**choice.stay.settings, "shock_clicks": 6.0})
    page = pages.next_page(
        next_setting=dataclasses.replace(choice, stay=stay, change_to=None),
        extras={"shock_clicks": ("rear shock", "click")},
    )
    assert "rear shock 6.0 clicks" in words_of(next.render(page))


def test_what_was_typed_is_not_called_missing() -> None:
    said = ("the humidity, 0.55, is read as a share, 55 %", "not given: air 84 degF, from a reading")
    choice = ex.example_next()
    forecast = dataclasses.replace(choice.forecast, filled_from=said)
    card = setting_card(dataclasses.replace(choice, forecast=forecast), SETTINGS)
    assert card is not None
    assert card["notes"][-2:] == [
        "The humidity, 0.55, is read as a share, 55 %.",
        "Not given: air 84 °F, from a reading.",
    ]


def test_a_best_at_the_edge_of_what_was_tried_is_a_state_of_its_own() -> None:
    dash = [
        dataclasses.replace(point, edge="highest", supported=False) if point.track_temp_f == 95.0 else point
        for point in ex.example_rpm()
    ]
    html = next.render(pages.next_page(dash=dash))
    said = "the highest tried; try higher, inside your limits"
    assert html.count(f"<td>{said}</td>") == 2  # the dash sheet, and the chart's table
    row = next.dash_rows(pages.next_page(dash=dash))[7]
    assert (row["track"], row["tried"], row["edge"]) == ("95", False, said)


def test_a_row_the_runs_leave_wholly_open_is_marked() -> None:
    dash = [dataclasses.replace(point, settled=point.track_temp_f != 95.0) for point in ex.example_rpm()]
    html = next.render(pages.next_page(dash=dash))
    assert html.count("not settled: the runs fit any rpm here</td>") == 1
    assert "yes, not settled" in words_of(html)


def test_what_is_worth_a_try_and_what_changed_since_stand_beside_staying() -> None:
    trial = Trial(
        {"launch_rpm": 6300.0}, -0.002, -0.004, -0.012, 0.004, 0.8, 0.05, 0.01, 2, -0.004, -0.006,
        "keep it if the mean of its runs is 6.0 thousandths quicker, else undo it",
        "Worth a try in a time trial or a test session, never in eliminations: raise launch rpm.",
    )  # fmt: skip
    page = pages.next_page(stay=True)
    since = "On 2031-05-18 the advice was launch rpm 6400. What changed: 4 runs made since."
    page = dataclasses.replace(
        page, next_setting=dataclasses.replace(page.next_setting, trial=trial, since_last=since)
    )
    text = words_of(next.render(page))
    assert trial.sentence in text
    assert since in text
    found = next_text(page.next_setting, {})
    assert trial.sentence in found
    assert since in found
    document = next_document(page)["next"]
    assert document["trial"]["settings"] == {"launch_rpm": 6300.0}
    assert document["trial"]["keep_if"] == trial.keep_if
    assert document["since_last"] == since


def test_a_setting_no_run_has_had_is_called_so_wherever_it_is_suggested() -> None:
    page = pages.next_page()
    said = "4.75 turns of preload is 0.25 turns more than any run has had."
    page = dataclasses.replace(page, next_setting=dataclasses.replace(page.next_setting, untried=said))
    assert said in words_of(next.render(page))
    assert said in next_text(page.next_setting, {})
    assert next_document(page)["next"]["untried"] == said
