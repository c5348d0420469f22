"""What a step does to the mean time, launches that go wrong counted in."""

from __future__ import annotations

import numpy as np

from pipeline.season import regimes
from pipeline.season.posterior import Contrast
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Z95

_NUDGE = 0.05
"""Half the step of a central difference. [steps]"""


def on_average(fit: ResponseFit, name: str, clean: Contrast) -> tuple[float, float, float] | None:
    """Return a factor's average effect per step on the mean time, with its 95 % limits. [s].

    Parameters
    ----------
    name
        Of the factor.
    clean
        Its average effect per step on the time of a clean launch.

    Returns
    -------
    effect, low, high; None where nothing is known of how launches go wrong

    Notes
    -----
    To the clean effect comes the average slope of the time lost by going wrong; its variance is that of the
    chances and of what it costs, by the delta method. On simulated launches that spin and bog, mostly without
    a word, 95 % limits of the clean effect held the slope of the mean time in 0.89 to 0.94 of the cases,
    these in 0.93 to 0.96.
    """
    if fit.regimes is None:
        return None
    ends = []
    for way in (_NUDGE, -_NUDGE):
        state = fit.state.copy()
        state[:, fit.spec.index(name)] += way
        ends.append(fit.regimes.expected_loss(regimes.features(fit.spec, state)))
    lost = float((ends[0][0] - ends[1][0]).mean()) / (2 * _NUDGE)
    along = (ends[0][1] - ends[1][1]).mean(0) / (2 * _NUDGE)
    mean = float(clean.mean[0]) + lost
    half = Z95 * float(np.sqrt(clean.sd[0] ** 2 + along @ fit.regimes.cov @ along))
    return mean, mean - half, mean + half
