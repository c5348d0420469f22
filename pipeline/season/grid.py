"""Fit one response: variance grid, marginal likelihood, Student-t weights."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from pipeline.season.posterior import NodeSolution, Posterior, solve_nodes
from pipeline.season.sums import Array, EventSums, Index, event_sums

MS = 1e-3


@dataclass(frozen=True, slots=True)
class Settings:
    """Numbers of the fit that are not data; the defaults are the design's.

    Attributes
    ----------
    tau_s, omega_s
        Grid of the event sd [s] and the slope sd [s/step].
    tau_prior_s, omega_prior_s
        Scales of their half-normal priors.
    sigma_points, sigma_reach
        Number of points, and their reach in log units, round the least-squares noise.
    nu
        Degrees of freedom of the t-weights; infinity switches them off.
    passes, mad_passes
        EM passes, and how many of the first take their scale from the median.
    least_mix
        Nodes below this share of the mixture are dropped.
    """

    tau_s: tuple[float, ...] = (0.5 * MS, 2 * MS, 4 * MS, 7 * MS, 11 * MS, 17 * MS)
    omega_s: tuple[float, ...] = (0.1 * MS, 0.6 * MS, 1.2 * MS, 2 * MS, 3.5 * MS)
    tau_prior_s: float = 8 * MS
    omega_prior_s: float = 1 * MS
    sigma_points: int = 9
    sigma_reach: float = 0.4
    nu: float = 8.0
    passes: int = 6
    mad_passes: int = 3
    least_mix: float = 1e-4


DEFAULT = Settings()

_MAD_TO_SD = 1.4826  # of a normal: 1 / Phi^-1(0.75) [derived]
_LEAST_NOISE_S = 0.05 * MS  # times are typed to 1 ms at best; below this the fit would be exact nonsense


def fit(
    x: Array, y: Array, z: Array, event: Index, prior_sd: Array, settings: Settings = DEFAULT
) -> Posterior:
    """Fit the mixed regression to one response.

    Parameters
    ----------
    x
        Coefficient columns, intercept first. shape (n, p)
    y
        Response, centred. [s]. shape (n,)
    z
        Event-wise columns: one, then settings in steps. shape (n, q)
    event
        Event numbers 0..E-1. shape (n,)
    prior_sd
        shape (p,)

    Notes
    -----
    EM for t errors from unit weights; then one weighted grid. Variances are multiplied by
    (nu+3)/(nu+1), the ratio of the two informations of a t, because weights were chosen from the data.
    nu = 8: spins make a one-sided tail that belongs to the setting. On simulated launches with such a tail
    nu = 4 leaned away from it (mean effects covered 0.92 to 0.94, nu = 8 0.94 to 0.96); with 8 % ruined
    runs nu = 8 cost a tenth in error and no cover; on plain noise they were alike.

    References
    ----------
    Lange, Little & Taylor, J. Am. Stat. Assoc. 84 (1989) 881-896 (t errors, information) [memory].
    """
    weights, scale, spare = _t_weights(x, y, z, event, prior_sd, settings)
    sums = event_sums(x, y, z, event, weights)
    sigma, tau, omega, log_prior = _grid(scale, spare, settings)
    nodes = solve_nodes(sums, sigma, event_precision(tau, omega, z.shape[1]), prior_sd)
    mix = _normalised(nodes.log_evidence + log_prior)
    keep = mix >= settings.least_mix
    mix = mix[keep] / mix[keep].sum()
    robust = np.isfinite(settings.nu)
    inflation = (settings.nu + 3) / (settings.nu + 1) if robust else 1.0
    kept = NodeSolution(
        nodes.means[keep],
        nodes.covs[keep],
        nodes.event_gain[keep],
        nodes.event_base[keep],
        nodes.event_covs[keep],
        nodes.log_evidence[keep],
    )
    fitted, variance = _fitted(kept, mix, x, z, event, sigma[keep])
    return Posterior(
        mix=mix,
        sigma=sigma[keep],
        tau=tau[keep],
        omega=omega[keep],
        noise=sigma[keep] / scale_of_normal(settings.nu),
        means=kept.means,
        covs=kept.covs * inflation,
        event_gain=kept.event_gain,
        event_base=kept.event_base,
        event_covs=kept.event_covs * inflation,
        prior=prior_sd,
        run_weights=weights,
        fitted=fitted,
        residuals=y - fitted,
        leverage=np.clip(weights * variance, 0.0, 0.999),
        inflation=inflation,
    )


@cache
def scale_of_normal(nu: float) -> float:
    """Scale at which a t with nu degrees of freedom settles on standard normal errors.

    Notes
    -----
    The root s of E[(nu + 1) z^2 / (nu + z^2 / s^2)] = s^2 for standard normal z [derived]; 0.831 for
    nu = 4, 0.901 for nu = 8, 1 for a normal. Dividing the fitted scale by it gives an ordinary run's sd.
    """
    if not np.isfinite(nu):
        return 1.0
    z, weight = np.polynomial.hermite_e.hermegauss(180)
    weight = weight / weight.sum()
    square = 1.0
    for _ in range(500):
        square = float(weight @ ((nu + 1) * z**2 / (nu + z**2 / square)))
    return float(np.sqrt(square))


def event_precision(tau: Array, omega: Array, q: int) -> Array:
    """Prior precision of an event's intercept and q - 1 slopes at each node. Shape (k, q, q)."""
    out = np.zeros((tau.size, q, q))
    out[:, 0, 0] = tau**-2.0
    for j in range(1, q):
        out[:, j, j] = omega**-2.0
    return out


def _half_normal_cells(points: tuple[float, ...], scale: float) -> Array:
    """Log of half-normal density times cell width at each grid point."""
    at = np.array(points)
    edges = np.r_[0.0, (at[1:] + at[:-1]) / 2, at[-1] + (at[-1] - at[-2]) / 2] if at.size > 1 else np.r_[0, 1]
    out: Array = -0.5 * (at / scale) ** 2 + np.log(np.diff(edges))
    return out


def _grid(scale: float, spare: float, settings: Settings) -> tuple[Array, Array, Array, Array]:
    """All nodes, and the log of prior times cell width at each. Four arrays of shape (k,)."""
    reach = max(settings.sigma_reach, 2.2 / np.sqrt(2 * max(spare, 1.0)))
    sigmas = scale * np.exp(np.linspace(-reach, reach, settings.sigma_points))
    tau_log = _half_normal_cells(settings.tau_s, settings.tau_prior_s)
    omega_log = _half_normal_cells(settings.omega_s, settings.omega_prior_s)
    sigma, tau, omega = (
        a.ravel() for a in np.meshgrid(sigmas, settings.tau_s, settings.omega_s, indexing="ij")
    )
    prior = (tau_log[:, None] + omega_log[None, :]).ravel()
    return sigma, tau, omega, np.tile(prior, settings.sigma_points)


def _normalised(log_weights: Array) -> Array:
    weights = np.exp(log_weights - log_weights.max())
    out: Array = weights / weights.sum()
    return out


def _fitted(
    nodes: NodeSolution, mix: Array, x: Array, z: Array, event: Index, sigma: Array
) -> tuple[Array, Array]:
    """Mixture fitted values, and variance of them over sigma^2 (before weighting). Shapes (n,), (n,)."""
    fitted = np.zeros(x.shape[0])
    variance = np.zeros(x.shape[0])
    for e in range(int(event.max()) + 1):
        rows = event == e
        ze, xe = z[rows], x[rows]
        reduced = xe[None] - ze[None] @ nodes.event_gain[:, e]
        at_nodes = np.einsum("knp,kp->kn", reduced, nodes.means) + nodes.event_base[:, e] @ ze.T
        own = np.einsum("nq,kqr,nr->kn", ze, nodes.event_covs[:, e], ze, optimize=True)
        shared = np.einsum("knp,knp->kn", reduced @ nodes.covs, reduced)
        fitted[rows] = mix @ at_nodes
        variance[rows] = (mix / sigma**2) @ (own + shared)
    return fitted, variance


def _t_weights(
    x: Array, y: Array, z: Array, event: Index, prior_sd: Array, settings: Settings
) -> tuple[Array, float, float]:
    """EM for t errors. Returns weights (n,), noise scale, and spare degrees of freedom."""
    tau, omega = (a.ravel() for a in np.meshgrid(settings.tau_s, settings.omega_s, indexing="ij"))
    prior = _half_normal_cells(settings.tau_s, settings.tau_prior_s)[:, None]
    prior = (prior + _half_normal_cells(settings.omega_s, settings.omega_prior_s)).ravel()
    precision = event_precision(tau, omega, z.shape[1])
    weights = np.ones(y.size)
    scale = max(_MAD_TO_SD * float(np.median(np.abs(y - np.median(y)))) / 2, _LEAST_NOISE_S)
    spare = 1.0
    for number in range(max(settings.passes, 1) + 1):
        nodes, mix = _pass(event_sums(x, y, z, event, weights), scale, precision, prior, prior_sd)
        fitted, variance = _fitted(nodes, mix, x, z, event, np.full(mix.size, scale))
        residual = y - fitted
        spare = max(float((1 - weights * variance).sum()), 1.0)
        scale = _scale(residual, weights, spare, by_median=number < settings.mad_passes, robust=settings.nu)
        if np.isfinite(settings.nu) and number < settings.passes:
            weights = (settings.nu + 1) / (settings.nu + (residual / scale) ** 2)
    return weights, scale, spare


def _pass(
    sums: EventSums, scale: float, precision: Array, prior: Array, prior_sd: Array
) -> tuple[NodeSolution, Array]:
    nodes = solve_nodes(sums, np.full(prior.size, scale), precision, prior_sd)
    return nodes, _normalised(nodes.log_evidence + prior)


def _scale(residual: Array, weights: Array, spare: float, *, by_median: bool, robust: float) -> float:
    """Noise scale, freed of the degrees of freedom the fit has used."""
    freed = residual.size / spare
    if by_median and np.isfinite(robust):
        scale = _MAD_TO_SD * float(np.median(np.abs(residual))) * np.sqrt(freed)
    else:
        scale = float(np.sqrt(np.mean(weights * residual**2) * freed))
    return float(max(scale, _LEAST_NOISE_S))
