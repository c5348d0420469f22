"""A fit's nodes solved without one event are those solved from the runs of the others."""

import numpy as np
import pytest

from pipeline.season.elimination import eliminate, log_evidence, solution
from pipeline.season.left_out import LeftOut
from pipeline.season.response_fit import fit_response
from pipeline.season.spreads import DEFAULT, Settings
from tests.season.seasons import FACTS, season

ROUNDING = 1e-9
"""Parts of an event are taken off sums that hold them: the digits lost are few."""
FOLLOWING = Settings(follows=(0.65,), follows_prior=(1.0,))


@pytest.mark.parametrize("settings", [DEFAULT, FOLLOWING])
def test_taking_an_event_off_equals_summing_the_others(settings: Settings) -> None:
    posterior = fit_response(season(41, runs=70, events=6), FACTS, settings=settings).posterior.likeliest(12)
    nodes, left_out = posterior.nodes, LeftOut(posterior)
    for e in range(6):
        found, rest = left_out.without(e), posterior.observed.taken(posterior.observed.event != e)
        for k, follows in enumerate(nodes.follows):
            sigma = nodes.sigma[k : k + 1]
            sums = rest.sums(float(follows))
            events = eliminate(sums, nodes.precision[k : k + 1] * sigma[0] ** 2)
            whole = solution(events, sigma, posterior.prior)
            assert found.means[k] == pytest.approx(whole.means[0], abs=ROUNDING)
            assert found.covs[k] == pytest.approx(whole.covs[0], abs=ROUNDING)
            evidence = log_evidence(sums, events, sigma[:, None], posterior.prior)[0, 0]
            assert found.log_evidence[k] == pytest.approx(evidence, abs=1e-7)


def test_with_all_runs_the_nodes_are_as_they_were_fitted() -> None:
    posterior = fit_response(season(41, runs=70, events=6), FACTS).posterior
    whole = LeftOut(posterior).whole()
    assert np.allclose(whole.means, posterior.means, rtol=0, atol=ROUNDING)
    assert np.allclose(whole.covs * posterior.inflation, posterior.covs, rtol=0, atol=ROUNDING)
