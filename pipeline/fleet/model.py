"""The fleet: every car of one clutch type at once, each borrowing strength from the rest."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.errors import RequestError, ThinData
from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.fleet.engine import Engine, KnownCars
from pipeline.fleet.passes import LAM_LADDER, batch_sums, sum_events, weigh_batch
from pipeline.fleet.prior import SAMPLE, FleetPrior, Information, Pooled, learn_prior, pool
from pipeline.fleet.refit import sum_poor_again
from pipeline.fleet.sums import FleetSums, Noise, fit_alone, joined, parts, run_variance
from pipeline.season.results import Response

SOLVED_AT_ONCE = 10_000
SAMPLE_CARS = 1_000
"""Cars on which a large fleet's ratio of event to run variance is chosen. [judgement]"""

LEAST_RUNS = 5
"""Runs from which a car helps to learn the prior. [judgement]"""

LEAST_CARS = 3
"""Cars of one kind below which there is nothing to pool. [judgement]"""


def sum_fleet(
    engine: Engine,
    known: KnownCars,
    *,
    response: Response = "t60",
    ladder: Sequence[float] | None = None,
    robust: bool = True,
    progress: Callable[[str, float], None] | None = None,
) -> dict[str, FleetSums]:
    """Sum up all cars of ``fleet_runs``, batch by batch.

    Parameters
    ----------
    engine
        With ``fleet_runs`` and ``fleet_cars`` in it; it says how many cars are summed up at once.
    known
        Its cars.
    response
        The time loaded into it.
    ladder
        Ratios of event to run variance; None lets the first batch choose one for all.
    robust
        Whether runs get t-weights.
    progress
        Called with a sentence and the share done.

    Returns
    -------
    dict
        Sums by clutch type.
    """
    numbers = known.numbers
    tried = tuple(ladder or ())
    collected: list[FleetSums] = []
    edges = [*range(0, numbers.size, engine.batch_cars), numbers.size]
    for start, stop in itertools.pairwise(edges):
        chosen = numbers[start:stop]
        weigh_batch(engine, int(chosen[0]), int(chosen[-1]), response=response, robust=robust)
        if not tried:
            tried = (_ratio(engine, known, chosen, response, robust=robust),)
        found = batch_sums(engine, known, ladder=tried, robust=robust)
        collected.append(sum_poor_again(engine, known, found))
        if progress is not None:
            progress("summing up the cars", stop / numbers.size)
    return _by_kind(collected, dict(zip(known.columns["car"], known.columns["clutch_type"], strict=True)))


def _ratio(
    engine: Engine, known: KnownCars, batch: npt.NDArray[np.int64], response: Response, *, robust: bool
) -> float:
    """Choose the ratio on a batch that is weighed; of a large one, on the first cars alone."""
    sample = batch[:SAMPLE_CARS] if batch.size > 2 * SAMPLE_CARS else batch
    found = batch_sums(engine, known, ladder=LAM_LADDER, up_to=int(sample[-1]), robust=robust)
    mended = sum_poor_again(engine, known, found)
    if mended is not found:
        sum_events(engine, "design")
    return float(mended.lam[likeliest_ratio(mended, fb.weak_prior_sd(response))])


def _by_kind(collected: list[FleetSums], kinds: Mapping[str, str]) -> dict[str, FleetSums]:
    """Sort the cars of all batches by clutch type and name; the list is emptied on the way."""
    sums = joined(collected)
    collected.clear()
    kind = np.array([kinds[car] for car in sums.car], dtype=object)
    order = np.lexsort((sums.car.astype(str), kind.astype(str)))
    sums, kind = sums.of(order), kind[order]
    edges = [0, *(np.flatnonzero(kind[1:] != kind[:-1]) + 1).tolist(), kind.size]
    return {str(kind[start]): sums.between_places(start, stop) for start, stop in itertools.pairwise(edges)}


def fit_fleet(
    sums: Mapping[str, Sequence[FleetSums]], *, response: Response = "t60", seed: int = 1
) -> tuple[tuple[FleetModel, ...], tuple[str, ...]]:
    """Pool the cars of each clutch type, from one source of sums or several.

    Parameters
    ----------
    sums
        By clutch type; several (own cars, shares of other shops) are pooled as if their runs had been
        summed up together. Every one must hold the same ladder of ratios.
    response, seed
        See :func:`solve_fleet`.

    Returns
    -------
    models, sentences about clutch types that have too few cars

    Raises
    ------
    RequestError
        When sums of different ratios or weighting are to be pooled.
    ThinData
        When no clutch type has cars enough.
    """
    models: list[FleetModel] = []
    thin: list[ThinData] = []
    for clutch_type, several in sorted(sums.items()):
        _must_agree(clutch_type, several)
        try:
            pooled = several[0] if len(several) == 1 else _by_name(joined(several))
            models.append(solve_fleet(pooled, clutch_type=clutch_type, response=response, seed=seed))
        except ThinData as too_few:
            thin.append(too_few)
    if not models:
        found = (
            f"No clutch type of the {len(sums)} here can be pooled." if thin else "There are no cars to pool."
        )
        raise ThinData(found, " ".join(map(str, thin)) or "Give logbooks with runs in them.")
    return tuple(models), tuple(str(too_few) for too_few in thin)


def _must_agree(clutch_type: str, several: Sequence[FleetSums]) -> None:
    first = several[0]
    for other in several[1:]:
        if tuple(other.lam) != tuple(first.lam) or other.robust != first.robust:
            raise RequestError(
                f"The sums of clutch type {clutch_type!r} were made in different ways (ratios "
                f"{first.lam.tolist()} and {other.lam.tolist()}, weighted {first.robust} and "
                f"{other.robust}).",
                "Sum up all of them with LAM_LADDER and the same weighting.",
            )


def _by_name(sums: FleetSums) -> FleetSums:
    return sums.of(np.argsort(sums.car.astype(str), kind="stable"))


def likeliest_ratio(sums: FleetSums, weak_sd: Array) -> int:
    """Place on the ladder of the ratio of event to run variance that the runs speak for."""
    spaced = np.unique(np.linspace(0, sums.cars - 1, min(sums.cars, SAMPLE)).astype(np.intp))
    sample = sums.of(spaced)
    evidence = [fit_alone(sample.at(i), weak_sd).log_evidence.sum() for i in range(sums.lam.size)]
    return int(np.argmax(evidence))


@dataclass(frozen=True, slots=True)
class FleetModel:
    """Cars of one clutch type, fitted alone and together.

    Attributes
    ----------
    clutch_type, response
        What was pooled.
    sums
        At the ratio used.
    variance
        Of a run, as put with each car's sums. [s^2]. shape (K,)
    own_mean, own_sd
        Each car by its own runs under the weak prior. [s per step]. shape (K, p)
    prior
        What the fleet teaches.
    mean_sd
        How well the fleet's mean is known. [s per step]. shape (p,)
    pooled
        Each car with the fleet behind it.
    noise_s
        Typical run noise. [s]
    learned_from
        Cars with runs enough to teach.
    """

    clutch_type: str
    response: Response
    sums: FleetSums
    variance: Array
    own_mean: Array
    own_sd: Array
    prior: FleetPrior
    mean_sd: Array
    pooled: Pooled
    noise_s: float
    learned_from: int


def solve_fleet(
    sums: FleetSums, *, clutch_type: str = "", response: Response = "t60", seed: int = 1
) -> FleetModel:
    """Learn the prior of one kind of car and estimate every car under it.

    Parameters
    ----------
    sums
        Of the cars of one clutch type.
    clutch_type, response
        What they are of.
    seed
        Picks the cars a large fleet's prior is learned from.

    Raises
    ------
    ThinData
        When fewer than ``LEAST_CARS`` cars have ``LEAST_RUNS`` runs.
    """
    weak = fb.weak_prior_sd(response)
    if sums.lam.size > 1:
        sums = sums.at(likeliest_ratio(sums, weak))
    teachers = np.flatnonzero(sums.runs >= LEAST_RUNS)
    if teachers.size < LEAST_CARS:
        kind = f"clutch type {clutch_type!r}" if clutch_type else "this kind"
        raise ThinData(
            f"Of {kind} only {teachers.size} cars have {LEAST_RUNS} runs that count; pooling needs "
            f"{LEAST_CARS}.",
            "Add logbooks, or fit each car by itself with 'slipledger season'.",
        )
    variance = run_variance(sums, _noise(sums, weak))
    information = information_of(sums, variance)
    teaching = information if teachers.size == sums.cars else information.of(teachers)
    prior = learn_prior(teaching, weak, np.random.default_rng(seed))
    own, pooled = [], []
    for rows in _batches(sums.cars):
        some = information.of(rows)
        own.append(_alone(some, weak))
        pooled.append(pool(some, prior))
    return FleetModel(
        clutch_type=clutch_type,
        response=response,
        sums=sums,
        variance=variance,
        own_mean=np.concatenate([mean for mean, _ in own]),
        own_sd=np.concatenate([sd for _, sd in own]),
        prior=prior,
        mean_sd=_mean_sd(teaching, prior),
        pooled=_stacked(pooled),
        noise_s=float(np.sqrt(np.median(variance))),
        learned_from=int(teachers.size),
    )


def prior_without(model: FleetModel, k: int, *, seed: int = 1) -> FleetPrior:
    """Learn the prior again from every car but the ``k``-th, so that its own runs do not count twice."""
    information = information_of(model.sums, model.variance)
    others = np.flatnonzero((model.sums.runs >= LEAST_RUNS) & (np.arange(model.sums.cars) != k))
    weak = fb.weak_prior_sd(model.response)
    return learn_prior(information.of(others), weak, np.random.default_rng(seed))


def information_of(sums: FleetSums, variance: Array) -> Information:
    """Return what each car's runs say, at the first ratio of the sums."""
    inner, right, _ = parts(sums)
    several = sums.events > 1
    runs = float((sums.weighing[:, 0] * (1 - 1 / sums.events))[several].sum())
    rpm, both, track = sums.between[several].sum(0) / max(runs, 1.0)
    wander = np.array([[rpm, both], [both, track]])
    return Information(inner / variance[:, None, None], right / variance[:, None], 1 / sums.events, wander)


def place_of(models: Sequence[FleetModel], car: str) -> tuple[FleetModel, int]:
    """Find a car by name among the fleets, whatever its case.

    Raises
    ------
    RequestError
        When there is none.
    """
    for model in models:
        at = np.flatnonzero(np.char.lower(model.sums.car.astype(str)) == car.lower())
        if at.size:
            return model, int(at[0])
    known = sorted(str(name) for model in models for name in model.sums.car[:20])
    raise RequestError(
        f"There is no car {car!r} in the fleet.", f"Cars in it: {', '.join(known[:20])} and so on."
    )


def _alone(information: Information, weak_sd: Array) -> tuple[Array, Array]:
    cov = np.linalg.inv(information.precision + np.diag(weak_sd**-2.0))
    return np.einsum("kij,kj->ki", cov, information.score), np.sqrt(np.einsum("kii->ki", cov))


def _mean_sd(information: Information, prior: FleetPrior) -> Array:
    """Sd of the fleet's mean: one over the root of the sum of (O + A^-1)^-1. Shape (p,)."""
    total = np.zeros((prior.mean.size, prior.mean.size))
    inverse = np.linalg.inv(prior.cov)
    for rows in _batches(information.score.shape[0]):
        precision = information.precision[rows]
        total += (precision - precision @ np.linalg.inv(precision + inverse) @ precision).sum(0)
    ridge = inverse * 1e-9
    out: Array = np.sqrt(np.diag(np.linalg.inv(total + ridge)))
    return out


def _batches(cars: int) -> Iterator[npt.NDArray[np.intp]]:
    for start in range(0, cars, SOLVED_AT_ONCE):
        yield np.arange(start, min(start + SOLVED_AT_ONCE, cars))


def _noise(sums: FleetSums, weak_sd: Array) -> Noise:
    """Fit every car alone, batch by batch, and keep what tells of its noise only."""
    found = [fit_alone(sums.of(rows), weak_sd).of_noise for rows in _batches(sums.cars)]
    return Noise(*(np.concatenate([getattr(each, name) for each in found]) for name in Noise.__slots__))


def _stacked(pooled: Sequence[Pooled]) -> Pooled:
    return Pooled(*(np.concatenate([getattr(each, name) for each in pooled]) for name in Pooled.__slots__))
