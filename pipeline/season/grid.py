"""Fit one response: Student-t weights, then the mixture over the spreads that matter."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Protocol

import numpy as np

from pipeline.season.elimination import NodeSolution, log_evidence, solution
from pipeline.season.lattice import Lattice, Place, Walked, walk
from pipeline.season.posterior import Posterior
from pipeline.season.prior_scale import Group, likeliest_scales
from pipeline.season.spreads import DEFAULT, MS, Layout, Nodes, Settings, plain_layout
from pipeline.season.sums import Array, Index, Observed


class Sorts(Protocol):
    """Says how likely each run was a clean one, given how far off it was; asked at every pass."""

    def sort(self, residual: Array, scale: float, nu: float) -> Array:
        """Return the chance of clean. Shape (n,)."""
        ...


_MAD_TO_SD = 1.4826  # of a normal: 1 / Phi^-1(0.75) [derived]
_LEAST_CLEAN = 1e-6  # a run surely gone wrong; no weight may be 0
_LEAST_NOISE_S = 0.05 * MS  # times are typed to 1 ms at best; below this the fit would be exact nonsense
_NEARLY_NONE = 0.01
_MORE_PASSES, _SETTLED = 40, 0.1
"""Passes beyond the usual ones at most, while the sorting still moves by more than this many runs."""
_FEW = 8
"""Nodes that a run's leverage is taken from."""


def fit(
    x: Array,
    y: Array,
    z: Array,
    event: Index,
    prior_sd: Array,
    settings: Settings = DEFAULT,
    layout: Layout | None = None,
    sorter: Sorts | None = None,
    groups: tuple[Group, ...] = (),
) -> Posterior:
    """Fit the mixed regression to one response.

    Parameters
    ----------
    x
        Coefficient columns, intercept first. shape (n, p)
    y
        Response, centred. [s]. shape (n,)
    z
        Event-wise columns: one, then settings in steps, or as ``layout`` says. shape (n, q)
    event
        Event numbers 0..E-1. shape (n,)
    prior_sd
        shape (p,)
    sorter
        Tells runs that went wrong from clean ones; without it every run counts as clean.
    groups
        Columns whose priors share a scale to be learnt.

    Notes
    -----
    A run counts by its t-weight times its chance of having been clean.
    EM for t errors from unit weights; then one weighted mixture. Variances are multiplied by
    (nu+3)/(nu+1), the ratio of the two informations of a t, because weights were chosen from the data.
    nu = 8: spins make a one-sided tail that belongs to the setting. On simulated launches with such a tail
    nu = 4 leaned away from it (mean effects covered 0.92 to 0.94, nu = 8 0.94 to 0.96); with 8 % ruined
    runs nu = 8 cost a tenth in error and no cover; on plain noise they were alike.

    References
    ----------
    Lange, Little & Taylor, J. Am. Stat. Assoc. 84 (1989) 881-896 (t errors, information) [memory].
    """
    layout = layout or plain_layout(z.shape[1])
    start, weights, clean, scale, spare = _t_weights(
        Observed(x, y, z, event, np.ones(y.size), np.arange(y.size, dtype=np.float64)),
        prior_sd,
        settings,
        layout,
        sorter,
    )
    place = np.arange(y.size, dtype=np.float64) if layout.place is None else layout.place
    runs = Observed(x, y, z, event, _with_unsure(weights, layout, scale), place, clean)
    lattice = Lattice(runs, prior_sd, layout, settings, scale, spare)
    if groups:
        prior_sd = lattice.prior_sd = _learnt_scales(lattice, start, groups)
    walked = walk(lattice, start)
    mix, nodes, solved = _kept(lattice, walked, settings.least_mix)
    inflation = (settings.nu + 3) / (settings.nu + 1) if np.isfinite(settings.nu) else 1.0
    fitted, variance = _fitted(solved, mix, x, z, event, nodes.sigma)
    return Posterior(
        mix=mix,
        nodes=nodes,
        noise=nodes.sigma / scale_of_normal(settings.nu),
        means=solved.means,
        covs=solved.covs * inflation,
        event_gain=solved.event_gain,
        event_base=solved.event_base,
        event_covs=solved.event_covs * inflation,
        prior=prior_sd,
        run_weights=weights,
        fitted=fitted,
        residuals=y - fitted,
        leverage=np.clip(runs.weights * variance, 0.0, 0.999),
        inflation=inflation,
        observed=runs,
    )


@cache
def scale_of_normal(nu: float) -> float:
    """Scale at which a t with nu degrees of freedom settles on standard normal errors.

    Notes
    -----
    The root s of E[(nu + 1) z^2 / (nu + z^2 / s^2)] = s^2 for standard normal z [derived]; 0.831 for
    nu = 4, 0.901 for nu = 8, 1 for a normal. Dividing the fitted scale by it gives an ordinary run's sd.
    Sums at even distances are exact here: the error falls like exp(-8 pi s sqrt(nu)) [derived].
    """
    if not np.isfinite(nu):
        return 1.0
    z = np.linspace(-12, 12, 97)
    weight = np.exp(-(z**2) / 2)
    weight /= weight.sum()
    square = 1.0
    for _ in range(500):
        square = float(weight @ ((nu + 1) * z**2 / (nu + z**2 / square)))
    return float(np.sqrt(square))


def _with_unsure(weights: Array, layout: Layout, scale: float) -> Array:
    """Weights once the variance of what was filled in is added to the run's noise."""
    if layout.unsure is None:
        return weights
    return np.asarray(1 / (1 / weights + layout.unsure / scale**2))


def _learnt_scales(lattice: Lattice, start: Place, groups: tuple[Group, ...]) -> Array:
    """Prior sds by the scales under which the runs are likeliest, the noise following as it does best."""
    found = [
        lattice.evaluate(np.array([[*start[:3], follows]], dtype=np.intp))
        for follows in range(lattice.shape[3])
    ]
    best = int(np.argmax([one.log_weight.max() for one in found]))
    sums, at = lattice.sums[best], found[best]
    middle = at.sigma[:, [int(at.log_weight[0].argmax())]]

    def evidence(prior_sd: Array) -> float:
        return float(log_evidence(sums, at.events, middle, prior_sd)[0, 0])

    return likeliest_scales(lattice.prior_sd, groups, evidence)


def _kept(lattice: Lattice, walked: Walked, least: float) -> tuple[Array, Nodes, NodeSolution]:
    """Shares, spreads and solutions of the nodes that weigh enough."""
    share = _normalised(walked.log_weight)
    row, point = np.nonzero(share >= min(least, float(share.max())))
    mix, sigma = share[row, point], walked.sigma[row, point]
    order = np.argsort(-mix, kind="stable")
    row, mix, sigma = row[order], mix[order] / mix.sum(), sigma[order]
    place = walked.place[row]
    solved = solution(walked.events.taken(row), sigma, lattice.prior_sd)
    return mix, lattice.nodes(place, sigma), solved


def _normalised(log_weights: Array) -> Array:
    weights = np.exp(log_weights - log_weights.max())
    out: Array = weights / weights.sum()
    return out


def _fitted(
    nodes: NodeSolution, mix: Array, x: Array, z: Array, event: Index, sigma: Array
) -> tuple[Array, Array]:
    """Mixture fitted values, and their variance over sigma^2 (before weighting) at the likeliest nodes. (n,).

    Both are of the coefficients b and of the events' own u = base - gain b.
    """
    through = np.einsum("kerp,kp->ker", nodes.event_gain, nodes.means)
    own = np.tensordot(mix, nodes.event_base - through, 1)
    fitted = x @ (mix @ nodes.means) + np.einsum("nq,nq->n", z, own[event])
    few = np.argsort(-mix)[:_FEW]
    share = mix[few] / mix[few].sum() / sigma[few] ** 2
    variance = np.zeros(x.shape[0])
    for k, weight in zip(few, share, strict=True):
        reduced = x - np.einsum("nq,nqp->np", z, nodes.event_gain[k][event])
        lone = np.einsum("nq,nqr,nr->n", z, nodes.event_covs[k][event], z)
        variance += weight * (lone + np.einsum("np,np->n", reduced @ nodes.covs[k], reduced))
    return fitted, variance


def _coarse(settings: Settings, layout: Layout) -> Index:
    """Places of a coarse grid, enough for run weights: every other spread, noise that does not follow."""
    tau = range(len(settings.tau_s))[1 % len(settings.tau_s) :: 2]
    omega = range(len(settings.omega_s))[::2]
    night = range(len(settings.night_s) if "night" in layout.kinds else 1)[::2]
    grid = np.stack(np.meshgrid(tau, omega, night, [0], indexing="ij"), axis=-1)
    return np.asarray(grid.reshape(-1, 4), dtype=np.intp)


def _t_weights(
    runs: Observed, prior_sd: Array, settings: Settings, layout: Layout, sorter: Sorts | None
) -> tuple[Place, Array, Array, float, float]:
    """EM for t errors and for which runs were clean, from unit weights.

    Returns
    -------
    likeliest place, weights and chances of clean (n,), noise scale, spare degrees of freedom
    """
    places, n = _coarse(settings, layout), runs.y.size
    robust, nu = np.isfinite(settings.nu), settings.nu
    one_point = replace(settings, sigma_points=1)
    unsure = np.zeros(n) if layout.unsure is None else layout.unsure
    weights, clean = np.ones(n), np.ones(n)
    scale = max(_MAD_TO_SD * float(np.median(np.abs(runs.y - np.median(runs.y)))) / 2, _LEAST_NOISE_S)
    spare, moved = 1.0, np.inf
    for number in range(max(settings.passes, 1) + _MORE_PASSES):
        counted = _with_unsure(weights, layout, scale)
        now = replace(runs, weights=counted, clean=clean)
        lattice = Lattice(now, prior_sd, layout, one_point, scale, spare)
        walked = lattice.evaluate(places)
        mix = _normalised(walked.log_weight[:, 0])
        sigma = np.full(mix.size, scale)
        solved = solution(walked.events, sigma, prior_sd)
        fitted, variance = _fitted(solved, mix, runs.x, runs.z, runs.event, sigma)
        residual = runs.y - fitted
        spare = max(float((clean - counted * variance).sum()), 1.0)
        scale = _scale(residual, counted, clean, spare, by_median=robust and number < settings.mad_passes)
        if number >= max(settings.passes, 1) and (sorter is None or moved < _SETTLED):
            break
        if sorter is not None:
            before, clean = clean, np.maximum(sorter.sort(residual, scale, nu), _LEAST_CLEAN)
            moved = float(np.abs(clean - before).sum())
        t_weight = (nu + 1) / (nu + residual**2 / (scale**2 + unsure)) if robust else 1.0
        weights = clean * t_weight
        if number >= settings.mad_passes:
            places = places[mix > _NEARLY_NONE]
            mix = mix[mix > _NEARLY_NONE]
    best = places[int(mix.argmax())]
    return (int(best[0]), int(best[1]), int(best[2]), 0), weights, clean, scale, spare


def _scale(residual: Array, weights: Array, clean: Array, spare: float, *, by_median: bool) -> float:
    """Noise scale of clean runs, freed of the degrees of freedom the fit has used."""
    freed = float(clean.sum()) / spare
    if by_median:
        scale = _MAD_TO_SD * float(np.median(np.abs(residual))) * np.sqrt(freed)
    else:
        scale = float(np.sqrt((weights * residual**2).sum() / clean.sum() * freed))
    return float(max(scale, _LEAST_NOISE_S))
