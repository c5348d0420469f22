"""A run and a night against what was to be expected, and how well unseen events are predicted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.season.check_results import HeldOutCheck, NightCheck, RunCheck
from pipeline.season.left_out import LeftOut, Resolved
from pipeline.season.posterior import Contrast, Posterior, mixture_cdf, summarise
from pipeline.season.response_fit import ResponseFit, response_words
from pipeline.season.results import Z95
from pipeline.season.spec import NIGHT
from pipeline.season.sums import Array, Index
from pipeline.season.words import interval, thousandths

FLAG = 3.0
"""Standardised residual beyond which a run is pointed out."""

LOW_WEIGHT = 0.3
"""Robustness weight under which a run is pointed out too."""

ENOUGH_NODES = 40
"""Nodes that an event is predicted from when it is left out."""

_MAD_TO_SD = 1.4826


def run_checks(fit: ResponseFit) -> tuple[RunCheck, ...]:
    """Every run against what the other runs led us to expect at its setting, air, track and event.

    Notes
    -----
    z = residual / (sigma sqrt(1 - h)). The expectation shown is the one without the run itself,
    observed - residual / (1 - h), whose error has sd sigma / sqrt(1 - h): the same z.

    References
    ----------
    Cook & Weisberg, *Residuals and Influence in Regression* (1982), ch. 2 [memory].
    """
    posterior = fit.posterior
    noise = posterior.typical(posterior.noise)
    left = 1 - posterior.leverage
    missed = posterior.residuals / left
    sd = noise / np.sqrt(left)
    z = missed / sd
    expected = fit.observed_s - missed
    flagged = (np.abs(z) > FLAG) | (posterior.run_weights < LOW_WEIGHT)
    reasons = [_reason(fit, i, float(z[i])) if flagged[i] else "" for i in range(z.size)]
    return tuple(
        RunCheck(
            response=fit.response,
            run_id=int(run_id),
            observed_s=float(fit.observed_s[i]),
            expected_s=float(expected[i]),
            low_s=float(expected[i] - Z95 * sd[i]),
            high_s=float(expected[i] + Z95 * sd[i]),
            z=float(z[i]),
            weight=float(posterior.run_weights[i]),
            flagged=bool(flagged[i]),
            reason=reasons[i],
        )
        for i, run_id in enumerate(fit.runs["run_id"].to_list())
    )


def _reason(fit: ResponseFit, i: int, z: float) -> str:
    """Return a probable cause in words, from the outcome noted and the side of the miss."""
    outcome = fit.runs["outcome"][i] if "outcome" in fit.runs.columns else None
    if outcome is not None and outcome != "clean":
        return f"Noted as {outcome}."
    if z > 0:
        return (
            "Much slower than its setting and track explain, with nothing noted: a spin or a bog not written "
            "down, or an entry to check."
        )
    return (
        "Much quicker than its setting and track explain: check the time, launch rpm and setup written down."
    )


def night_checks(fit: ResponseFit) -> tuple[NightCheck, ...]:
    """Every event's level against the car's usual: ``the whole night``.

    Notes
    -----
    The night is the event effect with its event-mean and slope parts at the settings run; its expected
    level comes from the coefficients alone, and its interval adds tau and the runs' own noise.
    """
    columns, count = len(fit.spec.columns), len(fit.events)
    runs = np.bincount(fit.event, minlength=count)
    design, random = _event_mean(fit, fit.design), _event_mean(fit, fit.random)
    usual, own = design.copy(), design.copy()
    usual[:, columns:] = 0.0
    own[:, :columns] = 0.0
    events = np.zeros((count, count, random.shape[1]))
    events[np.arange(count), np.arange(count)] = random
    night = fit.posterior.contrast(own, events)
    expected, courses = _unseen_levels(fit, usual, random, runs), _courses(fit)
    return tuple(_night(fit, e, night, expected, courses[e]) for e in range(count))


def _courses(fit: ResponseFit) -> list[str]:
    """Say of each event how the times went from its first run to its last; nothing where it is open."""
    place = fit.spec.night
    if place is None:
        return [""] * len(fit.events)
    hours = [fit.state[fit.event == e, place] for e in range(len(fit.events))]
    span = np.array([float(np.ptp(one)) for one in hours])
    contrast = np.zeros((span.size, len(fit.spec.columns)))
    contrast[:, [column.name for column in fit.spec.columns].index(NIGHT)] = span
    events = np.zeros((span.size, span.size, fit.random.shape[1]))
    events[np.arange(span.size), np.arange(span.size), len(fit.spec.slope_factors) + 1] = span
    found = fit.posterior.contrast(contrast, events)
    said = []
    for mean, low, high in zip(found.mean, found.low, found.high, strict=True):
        way = "quicker" if mean < 0 else "slower"
        size = f"{thousandths(abs(mean))} thousandths {way} ({interval(low, high)})"
        said.append("" if low <= 0 <= high else f" As the night went on it got {size}.")
    return said


def _event_mean(fit: ResponseFit, columns: Array) -> Array:
    """Mean of some columns over each event's runs. Shape (E, columns)."""
    sums = np.zeros((len(fit.events), columns.shape[1]))
    np.add.at(sums, fit.event, columns)
    return np.asarray(sums / np.bincount(fit.event, minlength=len(fit.events))[:, None])


def _night(fit: ResponseFit, e: int, night: Contrast, expected: Contrast, course: str) -> NightCheck:
    rows = fit.event == e
    observed, residual = fit.observed_s[rows], fit.posterior.residuals[rows]
    tau = fit.posterior.typical(fit.posterior.tau)
    level, low, high = (float(v[e]) for v in (night.mean, night.low, night.high))
    return NightCheck(
        response=fit.response,
        event=fit.events[e],
        date=_date(fit, e),
        runs=int(rows.sum()),
        best_s=float(observed.min()),
        typical_s=float(np.median(observed)),
        expected_s=fit.centre_s + float(expected.mean[e]),
        expected_low_s=fit.centre_s + float(expected.low[e]),
        expected_high_s=fit.centre_s + float(expected.high[e]),
        night_s=level,
        night_low_s=low,
        night_high_s=high,
        tau_s=tau,
        spread_s=_MAD_TO_SD * float(np.median(np.abs(residual - np.median(residual)))),
        sentence=_night_words(fit, level, low, high, tau) + course,
    )


def _date(fit: ResponseFit, e: int) -> str:
    dates = [str(d) for d in fit.runs.filter(fit.event == e)["run_date"].to_list() if d is not None]
    return min(dates, default="")


def _unseen_levels(fit: ResponseFit, usual: Array, random: Array, runs: Index) -> Contrast:
    """Predict the mean of each event's runs as if the event had not been seen. E contrasts."""
    posterior = fit.posterior
    mean, variance = posterior.at_nodes(usual)
    extra = posterior.event_variance(random)
    return summarise(posterior.mix, mean, variance + extra + posterior.noise[:, None] ** 2 / runs, level=0.95)


def _night_words(fit: ResponseFit, level: float, low: float, high: float, tau: float) -> str:
    what, limits = response_words(fit.response), interval(low, high)
    if low < 0 < high:
        return (
            f"The whole night was within the car's usual on the {what} ({thousandths(level)} thousandths, "
            f"{limits}; nights differ by about {thousandths(tau)})."
        )
    way = "quicker" if level < 0 else "slower"
    return (
        f"The whole night was {thousandths(abs(level))} thousandths {way} on the {what} than settings, air "
        f"and track temperature explain ({limits}; nights differ by about {thousandths(tau)})."
    )


def held_out(fit: ResponseFit) -> HeldOutCheck | None:
    """Predict each event from the others and count the runs that fell inside; None with fewer than three."""
    if len(fit.events) < 3:
        return None
    misses = unseen_misses(fit)
    return HeldOutCheck(
        response=fit.response,
        events=len(fit.events),
        runs=fit.runs.height,
        cover_90=float(misses.inside_90.mean()),
        cover_95=float(misses.inside_95.mean()),
        rmse_s=float(np.sqrt(np.mean(misses.miss_s**2))),
        naive_rmse_s=float(np.sqrt(np.mean(misses.naive_s**2))),
    )


@dataclass(frozen=True, slots=True)
class UnseenMisses:
    """Every run predicted from the other events, in the fit's order; shape (n,) each.

    ``inside_90`` and ``inside_95`` are 0 or 1; ``miss_s`` is observed less predicted, ``naive_s`` observed
    less the mean of the other events' runs. [s]
    """

    inside_90: Array
    inside_95: Array
    miss_s: Array
    naive_s: Array


def unseen_misses(fit: ResponseFit) -> UnseenMisses:
    """Leave each event out and predict its runs from the others.

    Notes
    -----
    The grid's nodes are weighted anew without the event's runs. Event-mean columns are off when an
    event not seen is predicted.
    """
    posterior = fit.posterior.likeliest(ENOUGH_NODES)
    left_out = LeftOut(posterior)
    whole = left_out.whole().log_evidence
    found = np.empty((4, fit.event.size))
    for e in range(len(fit.events)):
        without = left_out.without(e)
        found[:, fit.event == e] = _predict_event(fit, posterior, e, without, without.log_evidence - whole)
    return UnseenMisses(*found)


def _predict_event(
    fit: ResponseFit, posterior: Posterior, e: int, without: Resolved, less_evidence: Array
) -> tuple[Array, Array, Array, Array]:
    """Inside the 90 % and 95 % interval (0 or 1), miss, naive miss: one entry a run."""
    rows = fit.event == e
    y = fit.observed_s - fit.centre_s
    log_mix = np.log(posterior.mix) + less_evidence
    mix = np.exp(log_mix - log_mix.max())
    mix /= mix.sum()
    c = fit.design[rows].copy()
    c[:, len(fit.spec.columns) :] = 0.0
    c, offset, _ = posterior.whitened(c)
    mean = offset + np.einsum("np,kp->kn", c, without.means)
    variance = posterior.inflation * np.einsum("np,kpr,nr->kn", c, without.covs, c, optimize=True)
    extra = posterior.event_variance(fit.random[rows]) + posterior.noise[:, None] ** 2
    below = mixture_cdf(mix, mean, variance + extra, y[rows])
    inside90, inside95 = ((np.abs(below - 0.5) <= level / 2).astype(np.float64) for level in (0.90, 0.95))
    return inside90, inside95, y[rows] - mix @ mean, y[rows] - y[~rows].mean()
