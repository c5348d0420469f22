"""How large effects are is learnt apart for clutch and rest; too much and too little are expected to cost."""

import numpy as np
import pytest

from pipeline.season import usual_size
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import fit_response
from pipeline.season.spec import STRAIN
from pipeline.season.usual_size import BENT_S, CLUTCH_SIZES, OTHER_SIZES, sized
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, Truth, season


def test_a_clutch_that_does_much_leaves_the_others_small():
    truth = Truth(preload=-0.02, counterweight=-0.012, rpm_curve=0.003, shock=0.0)
    found = sized(fit_response(season(3, truth=truth), FACTS))
    assert found.clutch > found.other + 0.1
    assert (found.of("preload"), found.of("shock_clicks")) == (found.clutch, found.other)


def test_far_from_what_was_tried_both_ways_are_expected_to_cost(monkeypatch):
    runs = season(5, truth=Truth(preload=0.0, counterweight=0.0), runs=60, events=6)
    turns = runs["preload_turns"]
    fit = fit_response(
        runs.with_columns(preload_turns=turns.median() + (turns - turns.median()) * 0.1), FACTS
    )
    at = np.zeros((3, len(fit.spec.factors)))
    at[1:, fit.spec.index("preload")] = (-2.0, 2.0)
    mean, sd = ExpectedTime.of(fit).change(at[0], at[1:])
    monkeypatch.setattr(usual_size, "BENT_S", {})
    plain, _ = ExpectedTime.of(fit).change(at[0], at[1:])
    assert mean.sum() > plain.sum() + 0.001
    assert (sd > 0.002).all()


def test_what_nothing_was_learnt_of_is_as_usual_at_some_size():
    # A single size on either side would give this prior back; of several the mean is between the ends.
    fit = fit_response(season(2, runs=80, events=6), FACTS)
    found, j = sized(fit), fit.spec.column_names.index("strain^2")
    assert 0 < found.mean[j] < BENT_S[STRAIN, STRAIN] * 1.5
    assert min(CLUTCH_SIZES) <= found.clutch <= max(CLUTCH_SIZES)
    assert min(OTHER_SIZES) <= found.other <= max(OTHER_SIZES)
    assert np.linalg.eigvalsh(found.cov).min() > 0


@pytest.mark.parametrize("facts", [FACTS, FACTS_WITHOUT_GEOMETRY])
def test_more_of_a_setting_never_changed_spins_sooner(facts):
    runs = season(1, runs=100, events=8)
    still = runs.with_columns(preload_turns=runs["preload_turns"].median())
    fit = fit_response(still, facts)
    at = np.zeros((2, len(fit.spec.factors)))
    at[1, fit.spec.index("preload")] = 2.0
    spin, _ = ExpectedTime.of(fit, ["preload"]).chances(at)
    assert spin[1] > spin[0]
