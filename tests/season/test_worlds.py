"""The model held to worlds made by someone who had not seen it.

The bounded version runs always; ``-m long`` runs 200 seasons a world, and
``python -m tests.season.worlds_study 200`` prints its table (see DEVELOPERS.md).
"""

import numpy as np
import pytest

from tests.season.worlds_study import Tally, share, tally
from tests.simulation.worlds.making import WORLDS, world

FEW = ("own_form", "night_drift_reacts", "missing_air")
ONE_REGIME = [name for name in WORLDS if not name.startswith("launch") and name != "cliff"]
"""Worlds without a place where the launch falls apart; those are held in a study of their own."""


def all_of(held: dict[str, list[bool]]) -> float:
    return float(np.mean([v for values in held.values() for v in values]))


@pytest.mark.parametrize("name", FEW)
def test_few_seasons_are_covered_and_nothing_idle_is_blamed(name):
    found = tally(name, range(5))
    assert all_of(found.covered) >= 0.85  # 5 seasons hold about 35 effects: sd of the share about 0.05
    assert all_of(found.part_covered) >= 0.85
    assert sum(found.null_moved) <= 1
    assert sum(found.largest_first) >= 3


def test_a_pair_never_moved_apart_is_never_split():
    found = tally("locked_pair", range(4))
    assert all(found.pair_together)


def test_a_table_has_a_cell_for_everything_even_of_nothing():
    assert share([]) == "-"
    line = tally("one_event", range(1)).line("one event")
    assert line.count("|") == 12
    assert Tally().pair_together == []


def test_what_is_read_or_noted_wrong_is_true_in_the_truth():
    """Six degrees at one strip, half a turn or one on some runs; the state a world is asked about is so."""
    season = world("gun_off", 3)
    off = season.runs["track_temp_degf"].to_numpy() - season.state(season.runs).track_temp
    assert {round(abs(float(v)), 6) for v in off} == {0.0, 6.0}
    assert season.runs.filter(np.abs(off) > 1)["venue"].n_unique() == 1
    season = world("misnoted", 5)
    off = season.runs["preload_turns"].to_numpy() - season.state(season.runs).preload
    assert 0 < np.mean(off != 0) < 0.15
    assert {float(v) for v in off} <= {-1.0, -0.5, 0.0, 0.5, 1.0}


def test_evenings_cool_as_the_air_thickens_and_a_freshened_engine_is_quicker():
    season = world("evenings", 3)
    state = season.state(season.runs)
    of_event = [state.event == e for e in np.unique(state.event)]
    together = [np.corrcoef(state.track_temp[e], state.air_density[e])[0, 1] for e in of_event]
    assert np.median(together) < -0.9
    fresh = world("freshened", 3).truth
    assert fresh.others.better_s[0] == 0 < 0.008 <= fresh.others.better_s[-1]
    assert fresh.form.by_rpm != 0


@pytest.mark.long
@pytest.mark.parametrize("name", ONE_REGIME)
def test_two_hundred_seasons_meet_the_bar(name):
    found = tally(name, range(200))
    assert all_of(found.covered) >= 0.92
    assert all_of(found.part_covered) >= 0.92
    assert np.mean(found.null_moved or [False]) <= 0.02
    assert np.mean(found.largest_first or [True]) >= 0.9
