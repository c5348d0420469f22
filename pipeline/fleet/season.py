"""From the fleet's prior to the season model's: the same knowledge in another basis."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pipeline.fleet import basis as fb
from pipeline.fleet.model import FleetModel, place_of, prior_without
from pipeline.fleet.prior import FleetPrior, with_odd_cars
from pipeline.season import basis
from pipeline.season.informed_fit import CoefficientPrior
from pipeline.season.response_fit import Prior
from pipeline.season.results import Response
from pipeline.season.spec import Spec
from pipeline.season.sums import Array


def season_prior(models: Sequence[FleetModel], car: str) -> Prior:
    """Prior to hand to ``fit_season`` for one car of the fleet.

    Parameters
    ----------
    models
        Fleets of every clutch type and response that was pooled; other responses keep the usual prior.
    car
        Its name.

    Raises
    ------
    RequestError
        When no fleet has the car.

    Notes
    -----
    The prior is learned again without the car, whose runs would count twice otherwise.
    """
    found: dict[Response, FleetPrior] = {}
    for response in dict.fromkeys(model.response for model in models):
        model, place = place_of([each for each in models if each.response == response], car)
        found[response] = prior_without(model, place)

    def prior(response: Response, spec: Spec, events: int) -> CoefficientPrior | None:
        known = found.get(response)
        return None if known is None else pooled_prior_for(known, spec, events=events)

    return prior


_NUDGE = 1e-3  # steps; slopes are polynomials of low degree, so a central difference is exact enough
_CURVED = (
    ("launch_rpm^2", "launch_rpm", "launch_rpm", 0.5),
    ("launch_rpm x track_temp", "launch_rpm", "track_temp", 1.0),
)


def pooled_prior_for(prior: FleetPrior, spec: Spec, *, events: int) -> CoefficientPrior:
    """Prior of a season's coefficients for a car of the fleet's kind.

    Parameters
    ----------
    prior
        Of the car's clutch type and response.
    spec
        The season's basis, with plate load or without.
    events
        At how many events the car has run.

    Notes
    -----
    The fleet knows t = H b: slopes, bend and twist at the car's reference setting. Its N(m, O) takes the
    place of what the season's own prior N(0, P) says about t, and the season's prior keeps its say about
    b when t is known: with G = P H'(H P H')^-1, mean G m and covariance G O G' + P - G H P.

    References
    ----------
    Diaconis & Zabell, J. Am. Stat. Assoc. 77 (1982) 822-830 (new marginal, old conditional) [memory].
    """
    own = np.diag(spec.prior_sd**2)
    known, seen = fleet_rows(spec)
    if not known:
        return CoefficientPrior(np.zeros(own.shape[0]), own)
    more = max(1.0 / max(events, 1) - prior.inverse_events, 0.0)
    fleet_cov = with_odd_cars(prior) + more * prior.displaced
    inner = seen @ own @ seen.T
    gain = own @ seen.T @ np.linalg.inv(inner)
    cov = gain @ fleet_cov[np.ix_(known, known)] @ gain.T + own - gain @ seen @ own
    cov = (cov + cov.T) / 2 + np.diag(np.diag(own)) * 1e-9
    return CoefficientPrior(gain @ prior.mean[list(known)], cov)


def fleet_rows(spec: Spec) -> tuple[tuple[int, ...], Array]:
    """Which fleet coefficients a season's basis can express, and how.

    Returns
    -------
    places in ``fleet_basis.NAMES``, and the matrix H of shape (places, p)
    """
    p = spec.prior_sd.size
    rows: dict[str, Array] = {}
    for column in fb.COLUMNS:
        if column.is_effect and column.name in spec.names and spec.factor(column.name).varies:
            rows[column.name] = _slope(spec, column.name, np.zeros(len(spec.factors)))
    for name, left, right, share in _CURVED:
        if left in rows and right in rows:
            rows[name] = share * _bend(spec, left, right)
    seen, known = [], []
    for j, name in enumerate(fb.NAMES):
        row = np.zeros(p)
        if name in rows:
            row[: rows[name].size] = rows[name]
        elif name in spec.event_mean_columns:
            row[len(spec.columns) + spec.event_mean_columns.index(name)] = 1.0
        if np.abs(row).max() > 1e-9:
            seen.append(row)
            known.append(j)
    return tuple(known), np.array(seen).reshape(len(seen), p)


def _slope(spec: Spec, name: str, state: Array) -> Array:
    out: Array = basis.gradient(spec, state, name)[0]
    return out


def _bend(spec: Spec, left: str, right: str) -> Array:
    """Second derivative of every basis column in two factors, at the reference. Shape (columns,)."""
    ahead = np.zeros(len(spec.factors))
    ahead[spec.index(right)] = _NUDGE
    return (_slope(spec, left, ahead) - _slope(spec, left, -ahead)) / (2 * _NUDGE)
