from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from sample_timeslips import launch_simulation
from sample_timeslips.launch_simulation import (
    CAR,
    LBF_N,
    RPM_RAD_PER_S,
    Conditions,
    Runs,
    Settings,
    changed,
    expected_times,
    lever_load_per_speed2,
    peak_grip,
    simulate,
    static_load_n,
)

STEP_ERROR_S = 2e-5
"""A fiftieth of what a slip prints."""
SAME_S = 1e-9
"""Batches of different size may add in another order; nothing else may differ."""

CLEARLY_S = 0.004
"""Half a run's noise: a season of runs tells it."""


def settings(**given):
    middle = {
        "preload_turns": 2.5,
        "counterweight_g": 4.5,
        "launch_rpm": 6400.0,
        "tire_pressure_psi": 10.0,
        "shock_clicks": 6.0,
    }
    return Settings(**{name: np.asarray(value, float) for name, value in (middle | given).items()})


def conditions(**given):
    middle = {
        "track_temp_degf": 95.0,
        "air_density_kg_per_m3": 1.13,
        "growth_in": 0.0,
        "grip_factor": 1.0,
    }
    return Conditions(**{name: np.asarray(value, float) for name, value in (middle | given).items()})


RPMS = np.linspace(5400, 7600, 12)


def best_rpm(track_temp):
    rpm = np.arange(5400.0, 7601.0, 50.0)
    return rpm[expected_times(settings(launch_rpm=rpm), conditions(track_temp_degf=track_temp)).argmin()]


def test_times_are_those_of_a_strong_clutch_car():
    runs = simulate(settings(launch_rpm=RPMS), conditions())
    assert ((runs.t60_s > 1.25) & (runs.t60_s < 1.6)).all()
    assert ((runs.t660_s > 5.6) & (runs.t660_s < 6.6)).all()


def test_splits_rise_and_speed_grows():
    runs = simulate(settings(launch_rpm=RPMS), conditions())
    splits = np.array([runs.t60_s, runs.t330_s, runs.t660_s, runs.t1000_s, runs.t1320_s])
    pace = np.diff([0, 60, 330, 660, 1000, 1320])[:, None] / np.diff(splits, axis=0, prepend=0)
    assert (np.diff(splits, axis=0) > 0).all()
    assert (np.diff(pace, axis=0) > 0).all()
    assert (runs.v1320_mph > runs.v660_mph).all()


def test_time_and_speed_fit_each_other():
    # Constant power gives 1350 s mph for the quarter [derived]; a geared car lies within some per cent.
    runs = simulate(settings(), conditions())
    assert runs.t1320_s * runs.v1320_mph == pytest.approx(1350, rel=0.06)


def test_halving_the_step_changes_nothing(monkeypatch):
    hot = conditions(track_temp_degf=np.repeat([75.0, 100.0, 118.0], 4))
    rpm = settings(launch_rpm=np.tile([5600.0, 6200.0, 6800.0, 7400.0], 3))
    coarse = simulate(rpm, hot, last_ft=330.0)
    monkeypatch.setattr(launch_simulation, "LAUNCH_STEP_S", launch_simulation.LAUNCH_STEP_S / 2)
    fine = simulate(rpm, hot, last_ft=330.0)
    assert np.abs(coarse.t60_s - fine.t60_s).max() < STEP_ERROR_S


def test_a_run_does_not_depend_on_its_batch():
    batch = simulate(settings(launch_rpm=RPMS), conditions(track_temp_degf=np.linspace(70, 120, 12)))
    alone = simulate(settings(launch_rpm=RPMS[7]), conditions(track_temp_degf=np.linspace(70, 120, 12)[7]))
    for field in fields(Runs):
        assert getattr(alone, field.name)[0] == pytest.approx(getattr(batch, field.name)[7], abs=SAME_S)


def test_tire_pressure_does_nothing():
    soft, hard = (simulate(settings(tire_pressure_psi=psi), conditions()) for psi in (8.0, 14.0))
    assert soft.t60_s == hard.t60_s
    assert soft.t1320_s == hard.t1320_s


def test_best_launch_rpm_is_lower_on_a_hotter_track():
    # Trade practice: cooler track, raise launch rpm; hotter, lower it [trade].
    cool, warm, hot = best_rpm(85.0), best_rpm(100.0), best_rpm(118.0)
    assert 7600 > cool > warm > hot > 5400


def test_both_ways_from_the_best_rpm_are_slower():
    rpm = settings(launch_rpm=np.array([5500.0, 6600.0, 7600.0]))
    low, best, high = expected_times(rpm, conditions(track_temp_degf=110.0))
    assert low > best + CLEARLY_S
    assert high > best + CLEARLY_S


def test_too_much_rpm_on_a_hot_track_spins_and_too_little_bogs():
    ends = simulate(
        settings(launch_rpm=np.array([5000.0, 6300.0, 7600.0])), conditions(track_temp_degf=115.0)
    )
    assert ends.spun.tolist() == [False, False, True]
    assert ends.bogged.tolist() == [True, False, False]


def test_turns_and_grams_quicken_a_loose_clutch():
    base = expected_times(settings(), conditions())
    for more in (settings(preload_turns=3.5), settings(counterweight_g=6.5)):
        assert expected_times(more, conditions()) < base - 0.004


def test_wear_is_turns_lost():
    worn = expected_times(settings(preload_turns=3.0), conditions(growth_in=0.5 / CAR.threads_per_inch))
    assert worn == pytest.approx(expected_times(settings(preload_turns=2.5), conditions()), abs=SAME_S)


def test_thin_air_is_slower_all_the_way():
    runs = simulate(settings(), conditions(air_density_kg_per_m3=np.array([1.02, 1.18])))
    for name in ("t60_s", "t660_s", "t1320_s"):
        assert getattr(runs, name)[0] > getattr(runs, name)[1]


@pytest.mark.parametrize(("rate", "load_lb"), [(150.0, 450.0), (250.0, 550.0)])
def test_spring_load_is_base_and_what_every_spring_is_pressed(rate, load_lb):
    # 300 lb and three turns on 30 threads to the inch, ten springs: 300 + 10 x rate x 0.1 in [derived].
    car = replace(CAR, base_load_lb=300.0, springs=10, spring_rate_lb_per_in=rate, threads_per_inch=30.0)
    load = static_load_n(settings(preload_turns=3.0), conditions(), car) / LBF_N
    assert load == pytest.approx(load_lb, rel=1e-12)


def test_lever_load_is_mass_radius_and_speed_squared():
    # 10 g at 3.5 in and 6000 rpm: 78.89965 lbf [derived].
    car = replace(CAR, levers=1, lever_mass_g=4.0, lever_radius_in=3.5, lever_ratio=1.0)
    per_speed2 = lever_load_per_speed2(settings(counterweight_g=6.0), car)
    assert per_speed2 * (6000 * RPM_RAD_PER_S) ** 2 / LBF_N == pytest.approx(78.89965, rel=1e-6)


def test_grip_falls_as_the_track_warms():
    assert (np.diff(peak_grip(np.linspace(60, 140, 30))) < 0).all()


def test_expected_time_is_a_mean_over_burnouts():
    state = settings(launch_rpm=6900.0), conditions(track_temp_degf=105.0)
    factors, weights = launch_simulation.grip_draws()
    each = simulate(state[0], conditions(track_temp_degf=105.0, grip_factor=factors)).t60_s
    assert expected_times(*state)[0] == pytest.approx(weights @ each, abs=SAME_S)
    assert weights.sum() == pytest.approx(1.0)


def test_section_is_the_difference_of_its_splits():
    state = settings(launch_rpm=RPMS), conditions()
    difference = expected_times(*state, "t330_s") - expected_times(*state, "t60_s")
    assert expected_times(*state, "t60_330_s") == pytest.approx(difference, abs=SAME_S)


def test_changed_replaces_only_what_is_named():
    other = changed(settings(), launch_rpm=7000.0)
    assert other.launch_rpm == 7000.0
    assert other.preload_turns == settings().preload_turns
