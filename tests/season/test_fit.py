"""The whole modelling stage on one car: complete, deterministic, and never stopped by thin data."""

import subprocess
import sys

import polars as pl
import pytest

from pipeline.season.curves import rpm_by_track_temp
from pipeline.season.fit import _left_out, fit_night, fit_season
from tests.season.seasons import FACTS, season

COVER_90 = (0.80, 0.99)  # 120 runs of 10 events: binomial sd 0.03, and events count as more than runs


@pytest.fixture(scope="module")
def fitted():
    return fit_season(season(11, runs=120, events=10, ruined=0.06), FACTS)


def test_every_table_is_filled(fitted):
    season_fit = fitted.season
    assert {f.response for f in season_fit.facts} == {"t60", "t60_330", "t330"}
    for name in ("effects", "changes", "curves", "partial_residuals", "before_after", "run_checks", "nights"):
        assert getattr(season_fit, name), name
    assert season_fit.held_out
    assert season_fit.cross_check
    assert {c.title for c in season_fit.changes if c.response == "t60"} == {
        "first to last third of the season",
    }


def test_a_second_fit_is_equal_to_the_last_bit(fitted):
    again = fit_season(season(11, runs=120, events=10, ruined=0.06), FACTS)
    assert again.season == fitted.season


def test_spun_runs_stay_in_and_what_they_change_is_shown(fitted):
    spun = [c for c in fitted.season.run_checks if c.response == "t60" and c.reason == "Noted as spun."]
    assert spun
    assert all(check.weight < 0.3 for check in spun)
    rows = [s for s in fitted.season.sensitivity if s.response == "t60"]
    assert rows[0].runs_left_out >= len(spun)
    assert rows[0].without_spun_bogged_s != rows[0].all_runs_s


def test_checks_show_the_expectation_without_the_run_itself(fitted):
    for check in fitted.season.run_checks[:20]:
        width = (check.high_s - check.low_s) / 2
        assert check.z == pytest.approx((check.observed_s - check.expected_s) / (width / 1.959964), rel=1e-6)


def test_unseen_events_are_predicted_inside_their_intervals(fitted):
    clean = fit_season(season(12, runs=120, events=10), FACTS).season.held_out[0]
    assert COVER_90[0] <= clean.cover_90 <= COVER_90[1]
    assert clean.rmse_s < clean.naive_rmse_s


def test_a_night_planted_slow_is_found():
    runs = season(13, runs=120, events=10, event_sd=0.002)
    slow = pl.when(pl.col("event") == "Event 07").then(0.03).otherwise(0.0)
    found = fit_season(runs.with_columns(t60_s=pl.col("t60_s") + slow), FACTS).season
    night = next(n for n in found.nights if n.response == "t60" and n.event == "Event 07")
    assert night.night_low_s > 0
    assert "slower" in night.sentence
    assert night.typical_s > night.expected_s


def test_a_run_planted_slow_is_flagged_and_no_reason_is_invented_for_others():
    runs = season(13, runs=120, events=10)
    late = pl.when(pl.col("run_id") == 50).then(0.06).otherwise(0.0)
    found = fit_season(runs.with_columns(t60_s=pl.col("t60_s") + late), FACTS).season
    checks = {c.run_id: c for c in found.run_checks if c.response == "t60"}
    assert checks[50].flagged
    assert checks[50].z > 3
    assert "not written" in checks[50].reason
    assert all(c.reason == "" for c in checks.values() if not c.flagged)


def test_before_after_pairs_add_up(fitted):
    for pair in fitted.season.before_after:
        assert pair.value_before != pair.value_after
    lone = [p for p in fitted.season.before_after if not p.also_changed and p.adjustment == "preload"]
    assert lone


def test_curve_passes_zero_at_the_median_and_marks_what_was_never_tried(fitted):
    points = [c for c in fitted.season.curves if c.adjustment == "launch_rpm" and c.response == "t60"]
    assert not points[0].supported
    assert points[len(points) // 2].supported
    assert min(abs(p.seconds) for p in points) < 0.002


def test_best_rpm_falls_as_the_track_warms_as_planted(fitted):
    points = [p for p in rpm_by_track_temp(fitted.responses["t60"]) if p.supported]
    assert points[0].launch_rpm > points[-1].launch_rpm
    for point in points:
        planted = 6000 - 80 * (point.track_temp_f - 95) / 10
        assert point.low_rpm - 60 <= planted <= point.high_rpm + 60


@pytest.mark.parametrize("runs", [0, 1, 3, 5, 6, 9])
def test_few_runs_give_sentences_and_no_crash(runs):
    frame = season(14, runs=max(runs, 1), events=1).head(runs)
    found = fit_season(frame, FACTS).season
    assert found.sentences
    assert all(e.verdict != "moved" or e.per_step_s is not None for e in found.effects)


def test_all_runs_spun_is_said():
    frame = season(14, runs=40, events=4).with_columns(outcome=pl.lit("spun"))
    facts = fit_season(frame, FACTS).season.facts
    assert any("Every run is noted as spun" in line for line in facts[0].sentences)


def test_a_split_that_no_run_has_leaves_the_others_standing():
    frame = season(14, runs=40, events=4).with_columns(
        t330_s=pl.lit(None, pl.Float64), t60_330_s=pl.lit(None, pl.Float64)
    )
    found = fit_season(frame, FACTS).season
    assert [f.response for f in found.facts] == ["t60"]
    assert any("330 ft time has only 0 runs" in line for line in found.sentences)


def test_a_run_that_does_not_count_at_all_is_told_from_one_that_counts_in_part():
    runs = pl.DataFrame(
        {
            "left_out_reason": ["no date", "no 330 ft time", None],
            "use_t60": [False, True, True],
            "use_t330": [None, False, True],
        }
    )
    assert _left_out(runs) == (
        "1 run counts only in part (no 330 ft time).",
        "1 run does not count (no date).",
    )


def test_runs_left_out_are_counted_by_reason():
    frame = season(14, runs=40, events=4).with_columns(
        left_out_reason=pl.when(pl.col("run_id") < 4).then(pl.lit("missed shift")),
        use_t330=pl.col("run_id") >= 4,
    )
    found = fit_season(frame, FACTS).season
    assert "3 runs count only in part (missed shift)." in found.sentences
    assert {f.response: f.runs_used for f in found.facts}["t330"] == 37


FAST_PATH = (
    "import sys; import pipeline.season.response_fit, pipeline.season.effects, pipeline.season.season_change,"
    " pipeline.season.expected, pipeline.season.curves; "
    "print(sorted(m for m in ('statsmodels', 'sklearn', 'pandas') if m in sys.modules))"
)


def test_fitting_and_verdicts_never_import_the_check_libraries():
    done = subprocess.run([sys.executable, "-c", FAST_PATH], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_night_holds_what_the_season_holds_of_it() -> None:
    runs = season(11, runs=120, events=10, ruined=0.06)
    night, whole = fit_night(runs, FACTS).season, fit_season(runs, FACTS).season
    for part in ("facts", "effects", "run_checks", "nights", "sentences", "regime_effects", "event_changes"):
        assert getattr(night, part) == getattr(whole, part), part
    assert night.changes[0] == whole.changes[0]


def test_a_night_alone_is_held_against_the_one_before_it() -> None:
    runs = season(11, runs=120, events=10, ruined=0.06)
    each = fit_season(runs, FACTS).season.event_changes
    assert fit_night(runs, FACTS, event=each[3].event).season.event_changes == each[3:4]
