"""A learner that knows nothing of clutches, asked the same question: the runs of an event it has not seen.

scikit-learn takes longer to load than a season takes to fit, so this is asked for by itself and nothing else
imports it.
"""

from __future__ import annotations

import warnings

import numpy as np
from sklearn.exceptions import ConvergenceWarning
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, WhiteKernel
from sklearn.inspection import permutation_importance
from sklearn.model_selection import LeaveOneGroupOut
from sklearn.pipeline import Pipeline, make_pipeline
from sklearn.preprocessing import StandardScaler

from pipeline.season.check_results import ChallengerCheck
from pipeline.season.expected import unseen_misses
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Prediction
from pipeline.season.sums import Array
from pipeline.season.words import thousandths

LEAST_EVENTS = 3
CLEAR = 2.0
"""Standard errors by which one must beat the other over the events. [judgement]"""
LEAST_PART = 0.03
"""A smaller part of the miss is no difference to a racer. [judgement]"""


def challenge(fit: ResponseFit) -> ChallengerCheck | None:
    """Let a Gaussian process predict each event from the others, beside our own model.

    Parameters
    ----------
    fit
        Of one response.

    Returns
    -------
    ChallengerCheck
        None with fewer than three events, or where nothing varied. Only launches that most likely were
        clean are learned from and judged, for both alike.

    References
    ----------
    Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), chapter 5.4 (cross-validation).
    """
    names = [factor.name for factor in fit.spec.factors if factor.varies]
    clean = fit.is_clean
    events = np.unique(fit.event[clean])
    if len(events) < LEAST_EVENTS or not names:
        return None
    state = fit.state[:, [fit.spec.index(name) for name in names]][clean]
    times, event = (fit.observed_s - fit.centre_s)[clean], fit.event[clean]
    theirs = np.empty_like(times)
    for seen, unseen in LeaveOneGroupOut().split(state, times, groups=event):
        theirs[unseen] = times[unseen] - _taught(state[seen], times[seen]).predict(state[unseen])
    ours = unseen_misses(fit).miss_s[clean]
    gain = np.array([np.mean(ours[event == e] ** 2 - theirs[event == e] ** 2) for e in events])
    ours_s, theirs_s = (float(np.sqrt(np.mean(miss**2))) for miss in (ours, theirs))
    better = _better(gain, ours_s, theirs_s)
    leans = names[_leans_on(state, fit.posterior.residuals[clean])] if better == "challenger" else ""
    return ChallengerCheck(
        fit.response, len(events), times.size, ours_s, theirs_s, better, leans,
        _words(fit, ours_s, theirs_s, better, leans),
    )  # fmt: skip


def _taught(state: Array, times: Array) -> Pipeline:
    scales = RBF(np.full(state.shape[1], 2.0), (0.1, 100.0))
    kernel = ConstantKernel(1.0, (1e-3, 1e3)) * scales + WhiteKernel(0.5, (1e-4, 10.0))
    learner = make_pipeline(StandardScaler(), GaussianProcessRegressor(kernel, normalize_y=True))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # a scale at its bound is an answer too
        return learner.fit(state, times)


def _better(gain: Array, ours_s: float, theirs_s: float) -> Prediction:
    error = float(gain.std(ddof=1) / np.sqrt(gain.size))
    if abs(ours_s - theirs_s) < LEAST_PART * ours_s or abs(gain.mean()) < CLEAR * error:
        return "alike"
    return "challenger" if gain.mean() > 0 else "ours"


def _leans_on(state: Array, residuals: Array) -> int:
    """Return the place of the factor on which what our model leaves over depends most."""
    learner = _taught(state, residuals)
    found = permutation_importance(learner, state, residuals, n_repeats=5, random_state=0)
    return int(np.argmax(found.importances_mean))


def _words(fit: ResponseFit, ours_s: float, theirs_s: float, better: Prediction, leans: str) -> str:
    sizes = f"{thousandths(theirs_s)} thousandths, ours by {thousandths(ours_s)}"
    said = (
        f"A learner that knows nothing of clutches missed the {response_words(fit.response)} of clean "
        f"launches at an event not seen by {sizes}: "
    )
    if better == "ours":
        return f"{said}ours predicts better."
    if better == "alike":
        return f"{said}no clear difference."
    return (
        f"{said}it predicts better, so our form misses something, most likely in how the time hangs on "
        f"{fit.spec.factor(leans).label}."
    )
