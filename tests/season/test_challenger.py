"""The challenger: alike where our form is true, ahead where the time hangs on a factor as our form cannot."""

import numpy as np
import polars as pl
import pytest

from pipeline.season.challenger import _better, challenge
from pipeline.season.response_fit import fit_response
from tests.season.seasons import FACTS, season


def test_where_our_form_is_true_the_challenger_is_not_ahead():
    found = challenge(fit_response(season(4, runs=90, events=8), FACTS))
    assert found.better in {"ours", "alike"}
    assert found.leans_on == ""
    assert found.ours_rmse_s < 1.1 * found.challenger_rmse_s


def test_a_form_that_is_missed_is_found_and_its_factor_named():
    runs = season(4, runs=120, events=8)
    preload = runs["preload_turns"].to_numpy()
    zigzag = 0.06 * np.sign(np.sin(2 * np.pi * (preload - preload.min()) / 0.9))
    bent = runs.with_columns(t60_s=pl.col("t60_s") + pl.Series(zigzag))
    found = challenge(fit_response(bent, FACTS))
    assert found.better == "challenger"
    assert found.leans_on == "preload"
    assert "misses something" in found.sentence


def test_two_events_are_too_few():
    assert challenge(fit_response(season(31, runs=30, events=2), FACTS)) is None


@pytest.mark.parametrize(
    ("gain", "ours", "theirs", "better"),
    [
        ([4.0, 5.0, 6.0], 5.0, 4.0, "challenger"),
        ([-4.0, -5.0, -6.0], 4.0, 5.0, "ours"),
        ([9.0, -7.0, 1.0], 5.0, 4.0, "alike"),
        ([4.0, 5.0, 6.0], 5.0, 4.9, "alike"),
    ],
    ids=["each event", "each event, ours", "now this, now that", "too little to matter"],
)
def test_better_is_said_only_where_the_events_agree(gain, ours, theirs, better):
    assert _better(np.array(gain), ours, theirs) == better
