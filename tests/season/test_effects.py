"""Effects in plain words: planted ones found, absent ones not claimed, thin data told as such."""

from types import SimpleNamespace

import numpy as np
import polars as pl
import pytest

from pipeline.errors import ThinData
from pipeline.season import basis
from pipeline.season.effect_words import _bend_words, _tried_words
from pipeline.season.effects import _hidden_partners, effects, holds_little, tried, verdict_contrasts
from pipeline.season.response_fit import fit_response
from pipeline.season.spreads import Settings
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, Truth, season

SAME = 1e-9  # two ways to the same prior and data; the grid's solves are good to far better


@pytest.fixture(scope="module")
def planted():
    truth = Truth(preload=-0.006, counterweight=-0.004)
    return fit_response(season(2, runs=250, events=15, truth=truth), FACTS)


def by_name(fit):
    return {effect.adjustment: effect for effect in effects(fit)}


def test_planted_effects_moved_and_lie_in_their_intervals(planted):
    found = by_name(planted)
    for name, truth in (("preload", -0.006), ("counterweight", -0.004)):
        assert found[name].verdict == "moved"
        assert found[name].low_s <= truth <= found[name].high_s
        assert "takes off" in found[name].sentence


def test_placebo_gives_no_sign_and_says_what_could_have_been_seen(planted):
    shock = by_name(planted)["shock_clicks"]
    assert shock.verdict == "no_sign"
    sd = (shock.high_s - shock.low_s) / (2 * 1.96)
    assert shock.smallest_visible_s > 3.3 * sd  # 2.5 for one of five rows, 0.84 for four times in five
    assert "would not have shown" in shock.sentence


def test_launch_rpm_matters_though_its_average_slope_is_small(planted):
    rpm = by_name(planted)["launch_rpm"]
    assert rpm.verdict == "moved"
    assert rpm.at_cool[0] < rpm.per_step_s < rpm.at_hot[0]
    assert "degF" in rpm.sentence


def test_only_launch_rpm_is_asked_at_a_cool_and_at_a_hot_track(planted):
    assert [name for name, effect in by_name(planted).items() if effect.at_hot is not None] == ["launch_rpm"]


def test_what_was_tried_goes_from_the_tenth_run_in_a_hundred_to_the_ninetieth(planted):
    turns = planted.runs["preload_turns"]
    ends = [turns.quantile(share, "linear") - turns.median() for share in (0.1, 0.5, 0.9)]
    assert tried(planted, "preload") == pytest.approx(ends)


@pytest.mark.parametrize(("tangled", "named"), [(0.95, True), (-0.95, True), (0.3, False)])
def test_what_has_no_row_of_its_own_is_named_where_it_cannot_be_told_apart(tangled, named):
    fit = SimpleNamespace(posterior=SimpleNamespace(cov=np.array([[1.0, tangled], [tangled, 1.0]])))
    row = SimpleNamespace(whole=np.array([[1.0, 0.0]]))
    assert _hidden_partners(fit, row, {"wear": np.array([[0.0, 1.0]])}) == (("wear",) if named else ())


def test_adjustments_come_before_conditions_and_never_changed_ones_are_absent(planted):
    names = [effect.adjustment for effect in effects(planted)]
    wanted = ["preload", "counterweight", "launch_rpm", "shock_clicks", "track_temp", "air_density"]
    assert names == wanted


def test_effect_is_the_central_difference_of_the_fitted_time(planted):
    nudge = np.zeros(planted.state.shape[1])
    nudge[planted.spec.index("counterweight")] = 1e-3
    change = planted.difference(planted.state - nudge, planted.state + nudge).mean.mean() / 2e-3
    assert by_name(planted)["counterweight"].per_step_s == pytest.approx(change, abs=1e-8)


def test_locked_pair_is_named_and_its_joint_effect_is_tight():
    truth = Truth(preload=-0.008, counterweight=-0.005)
    fit = fit_response(season(6, runs=120, events=10, locked=True, truth=truth), FACTS)
    preload = by_name(fit)["preload"]
    assert preload.verdict == "inseparable"
    assert preload.confounded_with == ("counterweight",)
    assert preload.joint.step == "1 turn more preload with 1.5 g more counterweight"
    assert preload.joint.high_s - preload.joint.low_s < preload.high_s - preload.low_s
    assert preload.joint.low_s <= -0.008 - 1.5 * 0.005 <= preload.joint.high_s < 0
    assert "cannot be told apart from counterweight" in preload.sentence


def test_thin_data_prints_no_number():
    fit = fit_response(season(2, runs=6, events=2), FACTS)
    shock = by_name(fit)["shock_clicks"]
    assert shock.per_step_s is None
    assert shock.smallest_visible_s is None
    assert "Too little was tried" in shock.sentence
    assert holds_little(fit, fit.slope("shock_clicks"))


@pytest.mark.parametrize(
    ("event", "said"),
    [
        ([0, 0, 1, 1], "It went from 6 to 8, but only from event to event"),
        ([0, 0, 0, 1], "It went from 6 to 8 and was changed between two runs of one event once; more"),
    ],
)
def test_a_setting_too_little_tried_is_told_by_its_range_and_its_changes(event, said):
    factor = SimpleNamespace(reference=7.0, step=1.0)
    fit = SimpleNamespace(
        spec=SimpleNamespace(factor=lambda _: factor, index=lambda _: 0),
        state=np.array([[-1.0], [-1.0], [1.0], [1.0]]),
        event=np.array(event),
    )
    assert said in _tried_words(fit, SimpleNamespace(adjustment="shock_clicks", is_setting=True))


def test_a_setting_changed_in_few_runs_is_tested_between_its_ends():
    runs = season(2, runs=60, events=6)
    once = pl.Series("tire_pressure_psi", [11.0] + [10.0] * 59)
    fit = fit_response(runs.with_columns(once), FACTS)
    assert np.ptp(tried(fit, "tire_pressure")) == pytest.approx(1.0)
    assert np.abs(verdict_contrasts(fit, "tire_pressure")).max() > 0


def moved_reference(runs: pl.DataFrame) -> pl.DataFrame:
    """The same runs with grams typed from another zero and temperatures likewise."""
    return runs.with_columns(
        counterweight_g=pl.col("counterweight_g") + 100, track_temp_degf=pl.col("track_temp_degf") - 60
    )


def test_shifting_a_reference_value_changes_no_effect():
    runs = season(8, runs=60, events=6)
    here = by_name(fit_response(runs, FACTS_WITHOUT_GEOMETRY))
    there = by_name(fit_response(moved_reference(runs), FACTS_WITHOUT_GEOMETRY))
    for name, effect in here.items():
        assert there[name].per_step_s == pytest.approx(effect.per_step_s, abs=SAME)
        assert there[name].low_s == pytest.approx(effect.low_s, abs=SAME)


def test_order_of_the_rows_changes_nothing_and_a_second_fit_is_the_same():
    runs = season(8, runs=60, events=6)
    first = effects(fit_response(runs, FACTS))
    assert effects(fit_response(runs, FACTS)) == first
    assert effects(fit_response(runs.sample(fraction=1, shuffle=True, seed=1), FACTS)) == first


@pytest.mark.parametrize("missing", [6, 40])
def test_a_condition_not_read_keeps_its_runs_and_its_place(missing):
    runs = season(8, runs=60, events=6)
    some = runs.with_columns(
        track_temp_degf=pl.when(pl.col("run_id") <= missing).then(None).otherwise(pl.col("track_temp_degf"))
    )
    fit, whole = fit_response(some, FACTS), fit_response(runs, FACTS)
    assert fit.runs.height == 60
    assert any(f"not known for {missing} of 60 runs" in line for line in fit.sentences)
    some_effect, whole_effect = (by_name(f)["track_temp"] for f in (fit, whole))
    if some_effect.per_step_s is not None:
        assert some_effect.high_s - some_effect.low_s > 0.9 * (whole_effect.high_s - whole_effect.low_s)


def test_a_setting_not_written_down_leaves_its_runs_out():
    runs = season(8, runs=60, events=6).with_columns(
        preload_turns=pl.when(pl.col("run_id") <= 6).then(None).otherwise(pl.col("preload_turns"))
    )
    fit = fit_response(runs, FACTS)
    assert fit.runs.height == 54
    (said,) = (line for line in fit.sentences if "left out of this fit" in line)
    assert said.startswith("6 of 60 runs have no preload and are left out of this fit: run 1 of 2031-04-05, ")
    assert said.endswith("5 of 2031-04-05 and 1 more.")


def test_no_launch_rpm_means_no_plate_load_and_says_so():
    fit = fit_response(season(8, runs=40, events=4).drop("launch_rpm"), FACTS)
    assert fit.spec.clutch is None
    assert any("cannot be computed without launch rpm" in line for line in fit.sentences)


def test_four_runs_are_refused_with_their_count():
    with pytest.raises(ThinData, match="only 4 runs"):
        fit_response(season(8, runs=4, events=2), FACTS)


def test_one_event_is_fitted_and_said_to_be_one_day():
    fit = fit_response(season(8, runs=20, events=1), FACTS)
    assert fit.spec.event_mean_columns == ()
    assert any("of one event" in line for line in fit.sentences)


def test_a_season_of_equal_times_claims_nothing():
    runs = season(8, runs=40, events=4).with_columns(t60_s=pl.lit(1.45))
    assert {effect.verdict for effect in effects(fit_response(runs, FACTS))} == {"no_sign"}


def test_weights_off_is_the_normal_fit():
    fit = fit_response(season(8, runs=60, events=6), FACTS, settings=Settings(nu=np.inf))
    assert fit.posterior.inflation == 1.0
    assert fit.posterior.run_weights == pytest.approx(fit.regimes.shares[:, 0])


def test_reference_values_are_medians_in_own_units(planted):
    assert planted.spec.factor("launch_rpm").reference == np.median(planted.runs["launch_rpm"])
    assert basis.state_of(planted.spec, {}).tolist() == [0.0] * len(planted.spec.factors)


@pytest.mark.parametrize(
    ("slopes", "said"),
    [((-3.0, 2.0), "a best value lies inside"), ((3.0, -2.0), "both ends"), ((-3.0, -1.0), "")],
)
def test_a_best_value_inside_is_said_only_where_the_time_bends_so(slopes, said):
    """Slopes at the lowest and at the highest tried."""
    at = dict(zip((1.0, 5.0), slopes, strict=True))
    fit = SimpleNamespace(
        state=np.array([[1.0], [3.0], [5.0]]),
        spec=SimpleNamespace(index=lambda _name: 0),
        slope=lambda _name, over: at[over[0, 0]],
        posterior=SimpleNamespace(contrast=lambda slope: SimpleNamespace(mean=[slope])),
    )
    words = _bend_words(fit, "preload")
    assert said in words
    assert bool(words) == bool(said)
