import polars as pl
import pytest

from pipeline.errors import RequestError
from pipeline.season.check_results import RunCheck
from reports import nightly
from reports.night_changes import changes_table, offset_bar, run_table_rows, settings_of_run
from reports.words import SETTINGS
from tests.reports import example_pages as pages
from tests.reports import example_results as ex
from tests.reports.test_season import words_of


def test_the_night_is_held_against_expectation() -> None:
    text = words_of(nightly.render(pages.nightly_page()))
    assert "Best 1.4" in text
    assert "Last Light was about as usual." in text
    assert "led us to expect" not in text  # one measure says whether the night was slow: the sentence above
    assert "spun: launch rpm high for the track" in text


def test_a_run_outside_its_own_bar_is_named_even_when_it_is_no_outlier() -> None:
    inside, near, far = (
        RunCheck("t60", run_id, seconds, 1.450, 1.430, 1.470, 0.0, 1.0, flagged=run_id == 3, reason=reason)
        for run_id, seconds, reason in ((1, 1.46, ""), (2, 1.473, ""), (3, 1.52, "Noted as spun."))
    )
    names = {number: (f"{number}. 18:20", "") for number in (1, 2, 3)}
    assert nightly.out_of_line([inside], names) == "Every run came inside its own bar."
    only_near = nightly.out_of_line([inside, near], names)
    assert only_near.startswith("Outside its own bar, but not far: run 2 18:20 (+0.023). A bar holds 19 runs")
    both = nightly.out_of_line([inside, near, far], names)
    assert "1 run: run 3 18:20 (+0.070, noted as spun)." in both
    assert "Outside its own bar too" in both


def test_an_old_night_says_as_of_when_its_wear_and_next_setting_stand() -> None:
    old = words_of(nightly.render(pages.nightly_page("Harvest Rounds")))
    assert old.count("As of October 4, 2025, 12 runs after this night") == 2
    assert "Next, as of Oct 4." in old
    assert "runs to service now" in old
    latest = words_of(nightly.render(pages.nightly_page()))
    assert "As of" not in latest
    assert "Next, as of" not in latest


def test_an_event_the_car_never_ran_is_refused_with_those_it_did() -> None:
    with pytest.raises(RequestError, match=r"no run at an event called 'Nowhere'.*Thaw Meet"):
        nightly.render(pages.nightly_page("Nowhere"))


def test_changes_between_runs_and_what_followed() -> None:
    runs = nightly.with_run_words(
        pl.DataFrame(
            {
                "run_id": [1, 2, 3],
                "run_of_event": [1, 2, 3],
                "launch_rpm": [6200.0, 6400.0, 6400.0],
                "preload_turns": [3.0, 3.5, 3.5],
                "t60_s": [1.500, 1.488, 1.49],
                "outcome": ["clean", "spun", "clean"],
                "extras": [[{"key": "shock_clicks", "value": 6.0}]] * 3,
            }
        )
    )
    table = changes_table(runs, {}, SETTINGS)
    assert table is not None
    assert len(table.rows) == 1
    row = table.rows[0]
    assert row[0] == "1 → 2"
    assert row[1] == "preload 3.00 → 3.50 turns and launch rpm 6,200 → 6,400 rpm"
    assert row[2:] == ("−0.012", "–", "spun")


def test_a_night_without_a_change_says_so() -> None:
    runs = ex.example_runs().with_columns(launch_rpm=6200.0, preload_turns=3.0)
    text = words_of(nightly.render(pages.nightly_page(runs=runs)))
    assert "Nothing was changed between the runs of this night." in text


def test_extras_stand_beside_the_other_settings() -> None:
    row = {"preload_turns": 3.0, "launch_rpm": None, "extras": [{"key": "shock_clicks", "value": 6.0}]}
    assert settings_of_run(row) == {"preload": 3.0, "shock_clicks": 6.0}


def test_a_run_without_a_time_or_weather_still_has_its_row() -> None:
    frame = nightly.with_run_words(ex.example_runs(1).head(1)).with_columns(
        t60_s=pl.lit(None, pl.Float64), air_temp_degf=pl.lit(None, pl.Float64)
    )
    (row,) = run_table_rows(frame, {}, SETTINGS)
    assert row["t60"] == row["off"] == "–"
    assert row["air"].startswith("–, ")


def test_the_small_bar_goes_left_for_quicker() -> None:
    assert 'class="g-q" x="22.0"' in offset_bar(-0.02)
    assert 'class="g-s" x="44"' in offset_bar(0.02)
    assert 'width="44.0"' in offset_bar(9.0)


def test_a_night_of_which_nothing_counts() -> None:
    page = pages.nightly_page(
        fit=ex.empty_fit(), wear=None, next_setting=None, questions=ex.example_questions().clear()
    )
    text = words_of(nightly.render(page))
    assert "none of which counts for 60 ft" in text
    assert "No run of this night has a 60 ft time" in text
    assert "No forecast was given" in text
    assert "Ring height was never entered" in text
    assert "Every entry of this night was taken as it stands." in text
