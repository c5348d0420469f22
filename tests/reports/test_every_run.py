from dataclasses import replace

import pytest

from pipeline.season.check_results import RunCheck
from reports.every_run import every_run, side_of_bar
from reports.frames import with_run_words
from reports.words import settings_of
from tests.reports import example_results as ex


def check(observed_s: float) -> RunCheck:
    return RunCheck("t60", 1, observed_s, 1.450, 1.430, 1.470, 0.0, 1.0, flagged=False, reason="")


@pytest.mark.parametrize(
    ("observed_s", "said"), [(1.471, "slower"), (1.429, "quicker"), (1.470, ""), (1.45, "")]
)
def test_a_run_is_outside_only_past_an_end_of_its_bar(observed_s: float, said: str) -> None:
    assert side_of_bar(check(observed_s)) == said


def test_every_run_has_a_row_with_its_setting_its_expectation_and_its_reason() -> None:
    runs = with_run_words(ex.example_runs())
    first = int(runs["run_id"][0])
    slow = replace(check(1.471), run_id=first)
    made = every_run(runs, {first: slow}, settings_of(ex.example_fit()))
    assert made is not None
    assert len(made.rows) == runs.height
    assert made.outside == 1
    row = dict(zip(made.headings, made.rows[0].cells, strict=True))
    assert (row["expected, s"], row["off by, s"], row["own bar"]) == ("1.450", "+0.021", "slower")
    assert row["launch rpm"] == f"{runs['launch_rpm'][0]:,.0f}"
    left = [each for each in made.rows if each.cells[-1]]
    assert len(left) == runs.drop_nulls("left_out_reason").height > 0
    assert all("o" in each.picks for each in left)


def test_without_a_run_there_is_no_table() -> None:
    runs = with_run_words(ex.example_runs(0, ()))
    assert every_run(runs, {}, {}) is None
