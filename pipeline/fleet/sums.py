"""Per-car sums: put together from SQL, centred on each car, freed of its level, and solved car by car."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.special import polygamma

from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.garage.factors import MS

Mask = npt.NDArray[np.bool_]
Names = npt.NDArray[np.object_]

_SUMMED = ("one", "turns", "grams", "rpm", "track", "air", "rpm2", "rpmtrack", "seconds")
_PLACES = (*range(8), fb.RESPONSE)
_SETTINGS = ("turns", "grams", "rpm")
_CENTRES = ("turns", "grams", "rpm", "track", "air", "seconds")

NEVER_MOVED = 1e-14
"""A column whose own variation is below this share of its square is rounding error, not variation."""

NOISE_PRIOR_S = 10 * MS
NOISE_PRIOR_DF = 4.0
"""A car alone: its run noise is shrunk to 10 ms with the weight of four runs. [judgement]"""

NOISE_PASSES = 6


@dataclass(frozen=True, slots=True)
class FleetSums:
    """All the fleet's regression knows of K cars, about each car's own centre.

    Attributes
    ----------
    car
        Names, or numbers where names were not shared. shape (K,)
    runs, events
        Counts. shape (K,)
    lam
        The ratios (event variance over run variance) at which the sums were taken. shape (L,)
    log_det
        Log determinant of V at each ratio. shape (L, K)
    level_weight
        1'V^-1 1: what was swept out with the car's own level. shape (L, K)
    swept
        Cross products of the p coefficients' columns and the response, the car's level swept out.
        shape (L, K, p + 1, p + 1)
    centre
        The car's mean of the five factors [steps] and the response [s] from the reference; nan where
        it was not shared. shape (K, 6)
    digits_lost
        Decimal digits that centring or near-dependence costs the sums. shape (K,)
    between
        Squares and product of the event means of rpm and track temperature about the car's, summed over
        its runs: rpm rpm, rpm track, track track. [steps^2]. shape (K, 3)
    weighing
        Sums of weights, of squares of weight times residual [s^2] (0 when runs weigh one), and of the
        slope of weight times residual. shape (K, 3)
    robust
        Whether runs carry t-weights.
    """

    car: Names
    runs: Array
    events: Array
    lam: Array
    log_det: Array
    level_weight: Array
    swept: Array
    centre: Array
    digits_lost: Array
    between: Array
    weighing: Array
    robust: bool

    @property
    def cars(self) -> int:
        """Number of cars."""
        return int(self.car.size)

    def at(self, number: int) -> FleetSums:
        """Keep one ratio of the ladder."""
        keep = slice(number, number + 1)
        return replace(
            self,
            lam=self.lam[keep],
            log_det=self.log_det[keep],
            level_weight=self.level_weight[keep],
            swept=self.swept[keep],
        )

    def between_places(self, start: int, stop: int) -> FleetSums:
        """Keep the cars from one place to another, without a copy."""
        return self.of(slice(start, stop))

    def of(self, which: Mask | npt.NDArray[np.intp] | slice) -> FleetSums:
        """Keep some cars."""
        return replace(
            self,
            car=self.car[which],
            runs=self.runs[which],
            events=self.events[which],
            log_det=self.log_det[:, which],
            level_weight=self.level_weight[:, which],
            swept=self.swept[:, which],
            centre=self.centre[which],
            digits_lost=self.digits_lost[which],
            between=self.between[which],
            weighing=self.weighing[which],
        )


def joined(parts: Sequence[FleetSums]) -> FleetSums:
    """Put the cars of several sums in one, in the order given."""
    first = parts[0]
    if len(parts) == 1:
        return first
    return FleetSums(
        car=np.concatenate([part.car for part in parts]),
        runs=np.concatenate([part.runs for part in parts]),
        events=np.concatenate([part.events for part in parts]),
        lam=first.lam,
        log_det=np.concatenate([part.log_det for part in parts], axis=1),
        level_weight=np.concatenate([part.level_weight for part in parts], axis=1),
        swept=np.concatenate([part.swept for part in parts], axis=1),
        centre=np.concatenate([part.centre for part in parts]),
        digits_lost=np.concatenate([part.digits_lost for part in parts]),
        between=np.concatenate([part.between for part in parts]),
        weighing=np.concatenate([part.weighing for part in parts]),
        robust=first.robust,
    )


@dataclass(frozen=True, slots=True)
class RawSums:
    """Cross products of K cars about the fixed reference, at one ratio; these add across shards.

    Attributes
    ----------
    cross
        shape (K, 12, 12)
    centre
        shape (K, 6)
    """

    cross: Array
    centre: Array


def raw_sums(columns: Mapping[str, Array]) -> RawSums:
    """Lay out the columns of ``queries/fleet/car_sums.sql`` as matrices."""
    cars = columns["weight"].size
    cross = np.zeros((cars, fb.WIDTH, fb.WIDTH))
    for i, left in enumerate(_SUMMED):
        for j, right in enumerate(_SUMMED[i:], start=i):
            _put(cross, _PLACES[i], _PLACES[j], columns[f"m_{left}_{right}"])
    for i, left in enumerate(_SETTINGS):
        for place, right in zip(_PLACES, _SUMMED, strict=True):
            _put(cross, fb.EVENT_MEANS[i], place, columns[_between(left, right)])
        for j, right in enumerate(_SETTINGS):
            _put(cross, fb.EVENT_MEANS[i], fb.EVENT_MEANS[j], columns[_between(left, right)])
    centre = np.column_stack([columns[f"s_{name}"] / columns["weight"] for name in _CENTRES])
    return RawSums(cross, centre)


def between_events(columns: Mapping[str, Array], centre: Array) -> Array:
    """Squares of event means about the car's own mean; see :class:`FleetSums`. Shape (K, 3)."""
    rpm, track = centre[:, 2], centre[:, 3]
    about = (("rpm_rpm", rpm * rpm), ("rpm_track", rpm * track), ("track_track", track * track))
    return np.column_stack([columns[f"d_{name}"] - columns["weight"] * shift for name, shift in about])


def _between(left: str, right: str) -> str:
    """Name of a product of event sums; products of two settings stand once."""
    if right in _SETTINGS and _SETTINGS.index(right) < _SETTINGS.index(left):
        left, right = right, left
    return f"g_{left}_{right}"


def _put(cross: Array, i: int, j: int, values: Array) -> None:
    cross[:, i, j] = values
    cross[:, j, i] = values


def sweep_level(raw: RawSums, *, judged: bool = True) -> tuple[Array, Array, Array]:
    """Centre on each car and sweep its own level out.

    Parameters
    ----------
    raw
        Of K cars.
    judged
        Whether to say how many digits near-dependence costs, too.

    Returns
    -------
    swept, level weight, digits lost
        shapes (K, p + 1, p + 1), (K,), (K,)
    """
    centred = fb.centred(raw.cross, raw.centre)
    level = centred[:, 0, 0]
    first = centred[:, 1:, 0]
    swept = centred[:, 1:, 1:] - first[:, :, None] * first[:, None, :] / level[:, None, None]
    swept = (swept + np.swapaxes(swept, 1, 2)) / 2
    before = np.einsum("kii->ki", raw.cross)[:, 1:]
    after = np.einsum("kii->ki", swept)
    still = after <= NEVER_MOVED * np.maximum(before, 1e-300)
    swept[np.broadcast_to(still[:, :, None] | still[:, None, :], swept.shape)] = 0.0
    share = np.where(still, 1.0, after / np.maximum(before, 1e-300))
    lost: Array = -np.log10(share.min(1))
    return swept, level, lost + near_dependence(swept) if judged else lost


def near_dependence(swept: Array) -> Array:
    """Log10 of the condition number of the within-event columns that move, each scaled to length one.

    Event means of the settings are left out: with few events they depend on each other by nature, and
    the prior settles what the runs cannot.

    Returns
    -------
    shape (K,)
    """
    inner = swept[:, : fb.RPM_TRACK, : fb.RPM_TRACK].copy()
    length = np.sqrt(np.einsum("kii->ki", inner))
    length[length == 0.0] = 1.0
    inner /= length[:, :, None] * length[:, None, :]
    at = np.arange(fb.RPM_TRACK)
    inner[:, at, at] = 1.0
    values = np.linalg.eigvalsh(inner)
    out: Array = np.log10(values[:, -1] / np.maximum(values[:, 0], 1e-16))
    return out


@dataclass(frozen=True, slots=True)
class Noise:
    """What fits of cars tell of their noise: residual squares [s^2], degrees of freedom. Shapes (K,)."""

    squares: Array
    spare: Array


@dataclass(frozen=True, slots=True)
class CarFits:
    """Cars each fitted alone, under the weak prior.

    Attributes
    ----------
    mean
        shape (K, p)
    cov
        shape (K, p, p)
    noise
        Run noise (scale of the t when weighted). [s]. shape (K,)
    spare
        Degrees of freedom left for the noise. shape (K,)
    squares
        Weighted squares of residuals. [s^2]. shape (K,)
    log_evidence
        Log marginal likelihood up to a constant that does not depend on the ratio. shape (K,)
    """

    mean: Array
    cov: Array
    noise: Array
    spare: Array
    squares: Array
    log_evidence: Array

    @property
    def of_noise(self) -> Noise:
        """Residual squares and degrees of freedom alone."""
        return Noise(self.squares, self.spare)


def fit_alone(sums: FleetSums, weak_sd: Array, *, noise_passes: int = NOISE_PASSES) -> CarFits:
    """Fit each car by itself, at the first ratio of the sums.

    Parameters
    ----------
    sums
        With at least one ratio.
    weak_sd
        shape (p,)
    noise_passes
        Rounds of the fixed point for the noise.

    Notes
    -----
    b = (A/s^2 + P)^-1 r/s^2, with s^2 by fixed point from the residual squares, freed of the degrees of
    freedom spent and shrunk to ``NOISE_PRIOR_S``.
    """
    inner, right, total = parts(sums)
    penalty = np.diag(weak_sd**-2.0)
    noise2 = np.full(sums.cars, NOISE_PRIOR_S**2)
    for _ in range(noise_passes):
        inverse = np.linalg.inv(inner + noise2[:, None, None] * penalty)
        mean = np.einsum("kij,kj->ki", inverse, right)
        squares = total - 2 * np.einsum("ki,ki->k", mean, right)
        squares = np.maximum(squares + np.einsum("ki,kij,kj->k", mean, inner, mean), 0.0)
        spare = np.maximum(sums.runs - 1 - np.einsum("kij,kji->k", inverse, inner), 0.0)
        noise2 = (NOISE_PRIOR_DF * NOISE_PRIOR_S**2 + squares) / (NOISE_PRIOR_DF + spare)
    penalised = squares + noise2 * np.einsum("ki,ij,kj->k", mean, penalty, mean)
    shrink = np.linalg.slogdet(np.eye(fb.SIZE) + inner * (weak_sd**2 / noise2[:, None])[:, None, :])[1]
    evidence = -0.5 * (
        sums.log_det[0]
        + np.log(sums.level_weight[0])
        + shrink
        + (sums.runs - 1) * np.log(noise2)
        + penalised / noise2
    )
    return CarFits(mean, inverse * noise2[:, None, None], np.sqrt(noise2), spare, squares, evidence)


LEAST_NOISE_DF, MOST_NOISE_DF = 4.0, 200.0
ENOUGH_SPARE = 10.0
"""Degrees of freedom from which a car's own noise is worth comparing with the others'. [judgement]"""


def run_variance(sums: FleetSums, fits: CarFits | Noise) -> Array:
    """Variance of a run to put with each car's sums. [s^2]. Shape (K,).

    Parameters
    ----------
    sums, fits
        Of the same cars.

    Notes
    -----
    A car's own noise is shrunk to the fleet's: s^2 = (d s0^2 + squares) / (d + spare), d from how much
    more the logarithms of the cars' variances differ than chance allows. With weights w = w(z) the
    variance of an estimate is s^2 E[(w z)^2] E[w] / E[(w z)']^2 times that from the weighted sums; the three
    means are taken over the fleet.

    References
    ----------
    Huber & Ronchetti, *Robust Statistics*, 2nd ed. (2009), ch. 7 (variance of M-estimates) [memory].
    """
    centre, weight = _noise_of_fleet(fits)
    own = (weight * centre + fits.squares) / (weight + fits.spare)
    if not sums.robust:
        return own
    spare, runs = max(float(fits.spare.sum()), 1.0), float(sums.runs.sum())
    total_weight, squares, slope = sums.weighing.sum(0)
    asymptotic = squares / spare * (total_weight / runs) / (slope / runs) ** 2
    typical = float((own * fits.spare).sum() / spare) if fits.spare.sum() > 0 else centre
    out: Array = own * asymptotic / typical
    return out


def _noise_of_fleet(fits: CarFits | Noise) -> tuple[float, float]:
    """Typical variance of a run, and the degrees of freedom that it counts for."""
    enough = fits.spare >= ENOUGH_SPARE
    if enough.sum() < LEAST_NOISE_DF:
        total = float(fits.spare.sum()) + NOISE_PRIOR_DF
        return (float(fits.squares.sum()) + NOISE_PRIOR_DF * NOISE_PRIOR_S**2) / total, LEAST_NOISE_DF
    spare = fits.spare[enough]
    logs = np.log(np.maximum(fits.squares[enough], 1e-12) / spare)
    excess = float(logs.var(ddof=1) - polygamma(1, spare / 2).mean())
    weight = MOST_NOISE_DF if excess <= 0 else float(np.clip(2 / excess, LEAST_NOISE_DF, MOST_NOISE_DF))
    return float(np.exp(np.median(logs))), weight


def parts(sums: FleetSums) -> tuple[Array, Array, Array]:
    """X'V^-1X (K, p, p), X'V^-1y (K, p) and y'V^-1y (K,) at the first ratio."""
    swept = sums.swept[0]
    p = fb.SIZE
    return swept[:, :p, :p], swept[:, :p, p], swept[:, p, p]


def run_coefficients(raw: RawSums, mean: Array) -> Array:
    """Coefficients of the expected time in a run's own columns about the fixed reference.

    Parameters
    ----------
    raw
        The sums the coefficients came from.
    mean
        Coefficients about each car's centre. shape (K, p)

    Returns
    -------
    One, seven columns, three event means. shape (K, 11)
    """
    shift = fb.centring(raw.centre)
    row = np.einsum("kij,kj->ki", shift, raw.cross[:, fb.ONE])
    level = (row[:, fb.RESPONSE] - np.einsum("kj,kj->k", row[:, 1 : fb.RESPONSE], mean)) / row[:, 0]
    residual = np.column_stack([-level, -mean, np.ones(mean.shape[0])])
    out: Array = -np.einsum("kij,ki->kj", shift, residual)[:, : fb.RESPONSE]
    return out
