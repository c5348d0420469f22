from dataclasses import replace

import polars as pl
import pytest

from pipeline.season.results import ChangePart
from reports.since_last import since_last, since_last_figure, verdict_of
from reports.words import settings_of
from tests.reports import example_results as ex

RUNS = ex.example_runs()
FIT = ex.example_fit(RUNS)
ONE = FIT.event_changes[-1]


def together(low_s: float, high_s: float) -> ChangePart:
    return ChangePart("settings", "the settings together", (low_s + high_s) / 2, low_s, high_s)


@pytest.mark.parametrize(
    ("settings", "came_s", "said"),
    [
        (together(-0.010, -0.002), -0.004, ("the changes paid", "which fits")),
        (together(0.002, 0.010), 0.004, ("the changes cost time", "which fits")),
        (together(-0.004, 0.002), 0.030, ("cannot be told yet", "slower than the settings explain")),
        (together(-0.010, -0.002), -0.060, ("the changes paid", "quicker than the settings explain")),
        (None, 0.001, ("Nothing was changed", "no more than nights differ by themselves")),
        (None, 0.050, ("Nothing was changed, yet", "more than nights differ")),
    ],
)
def test_a_verdict_rests_on_the_season_and_says_whether_the_night_fits(settings, came_s, said) -> None:
    found = verdict_of(replace(ONE, settings=settings), came_s)
    for words in said:
        assert words in found


def test_each_setting_that_differs_is_named_with_what_was_expected_of_it() -> None:
    now = pl.col("event") == ONE.event
    runs = RUNS.with_columns(preload_turns=pl.when(now).then(3.25).otherwise(3.5), launch_rpm=pl.lit(6200.0))
    found = since_last(FIT, ONE.event, runs, settings_of(FIT))
    assert found is not None
    assert f"Since {ONE.event_before} (" in found.sentences[0]
    assert "preload 3.50 → 3.25 turns (−6.0, −10.0 to −2.0)" in found.sentences[0]
    assert "launch rpm" not in found.sentences[0]
    assert "air density +9.0" in found.sentences[1]
    assert "this night came −7.0 thousandths" in found.sentences[2]  # preload's −6.0 and the night's own −1.0


def test_parts_of_the_figure_add_up_to_the_change() -> None:
    table = since_last_figure(ONE).table
    assert table is not None
    parts = [float(row[1].replace("−", "-")) for row in table.rows]
    assert sum(parts[:-1]) == pytest.approx(parts[-1], abs=0.1 * len(parts))


def test_the_first_event_has_nothing_to_be_compared_with() -> None:
    assert since_last(FIT, FIT.event_changes[0].event_before, RUNS, settings_of(FIT)) is None
    empty = since_last_figure(None)
    assert empty.chart is None
    assert "nothing to compare with" in empty.empty
