from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from pipeline.garage.dictionary import RUNS
from sample_timeslips.launch_simulation import CAR
from tests.simulation.launch_table import HIGH, LOW, points
from tests.simulation.seasons import POLICIES, RUN_NOISE_S, simulated_season


@pytest.mark.parametrize("policy", POLICIES)
def test_frame_has_the_columns_of_runs_and_no_gap_the_model_needs(policy):
    frame = simulated_season(1, policy).frame
    assert frame.columns == [column.name for column in RUNS.columns]
    assert frame.height == 120
    assert frame["event"].n_unique() == 10
    needed = ["t60_s", "t330_s", "launch_rpm", "preload_turns", "track_temp_degf", "air_density_kg_per_m3"]
    assert frame.select(needed).null_count().sum_horizontal().item() == 0


@pytest.mark.parametrize("policy", POLICIES)
def test_every_run_lies_inside_the_table(policy):
    for seed in range(10):
        truth = simulated_season(seed, policy).truth
        at = points(truth.settings, truth.conditions)
        assert ((at >= LOW) & (at <= HIGH)).all()


def test_same_seed_same_season():
    first, second, other = (simulated_season(seed, "follows_track") for seed in (5, 5, 6))
    assert first.frame.equals(second.frame)
    assert not first.frame.equals(other.frame)


def test_noise_has_the_stated_size():
    sizes = []
    for seed in range(20):
        season = simulated_season(seed)
        truth = season.truth
        expected = truth._times(truth.settings, truth.conditions, "t60") + truth.event_effect_s
        sizes.append((season.frame["t60_s"].to_numpy() - expected).std())
    assert np.mean(sizes) == pytest.approx(RUN_NOISE_S, rel=0.03)


def test_a_locked_pair_is_never_moved_apart():
    frame = simulated_season(3, "pair_locked").frame
    wing = [{e["key"]: e["value"] for e in row}["wing_hole"] for row in frame["extras"].to_list()]
    assert np.corrcoef(frame["preload_turns"].to_numpy(), wing)[0, 1] == pytest.approx(1.0)


def test_another_pair_can_be_locked():
    season = simulated_season(3, "pair_locked", pair=("counterweight_g", "shock_clicks"))
    settings = season.truth.settings
    assert np.corrcoef(settings.counterweight_g, settings.shock_clicks)[0, 1] == pytest.approx(1.0)
    assert season.truth.nulls == {"tire_pressure"}


def test_the_racer_who_follows_the_track_answers_what_nobody_sees():
    together = [_unseen_correlation(simulated_season(seed, "follows_track")) for seed in range(30)]
    apart = [_unseen_correlation(simulated_season(seed, "free")) for seed in range(30)]
    assert np.mean(together) < -0.25
    assert abs(np.mean(apart)) < 0.12


def _unseen_correlation(season):
    means = season.frame.group_by("event", maintain_order=True).agg(pl.col("launch_rpm").mean())
    nights = [season.truth.event_effect_s[season.truth.event == e].mean() for e in range(means.height)]
    return np.corrcoef(means["launch_rpm"].to_numpy(), nights)[0, 1]


def test_drifting_counterweight_creeps_up():
    late_less_early = []
    for seed in range(15):
        grams = simulated_season(seed, "drifting").frame["counterweight_g"].to_numpy()
        late_less_early.append(grams[-40:].mean() - grams[:40].mean())
    assert np.mean(late_less_early) > 1.0


def test_recorded_geometry_is_off_and_can_be_exact():
    off = simulated_season(2).facts.clutch
    exact = simulated_season(2, geometry_error=0.0)
    assert off.lever_mass_g != exact.facts.clutch.lever_mass_g
    turn = exact.frame["preload_turns"].to_numpy() * exact.facts.clutch.lb_per_turn
    worn = exact.frame["wear_in"].to_numpy() * exact.facts.clutch.spring_rate_lb_per_in
    assert exact.frame["preload_lb"].to_numpy() == pytest.approx(CAR.base_load_lb + turn - worn)
