"""A batch of cars from runs to sums: screened fit, noise, then passes with t-weights, all in SQL."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import polars as pl

from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.fleet.engine import Engine, KnownCars, in_order
from pipeline.fleet.sums import (
    FleetSums,
    between_events,
    fit_alone,
    raw_sums,
    run_coefficients,
    sweep_level,
)
from pipeline.season.results import Response

LAM = 0.44
"""Variance of an event's level over that of a run while weights are found: (6 ms / 9 ms)^2."""

LAM_LADDER = (0.1, 0.44, 1.6, 6.0)
"""Ratios among which a fleet's own is chosen."""

LAST_CAR = 2**63 - 1
"""No ``car_no`` is greater."""

REFINEMENTS = 1
"""Times the weights are worked out anew from a fit; the first come from the middles of the events."""

NOISE_PASSES = 3
"""Noise passes of a fit that only serves to find weights."""

_FITTED = ("b_one", "b_turns", "b_grams", "b_rpm", "b_track", "b_air", "b_rpm2", "b_rpmtrack")
_LEVELLED = ("g_turns", "g_grams", "g_rpm")
_LADDER = {"rung": pl.Int32, "lam": pl.Float64, "last_car": pl.Int64}


def weigh_batch(
    engine: Engine, first: int, last: int, *, response: Response = "t60", robust: bool = True
) -> None:
    """Weigh the runs of the cars numbered ``first`` to ``last``, and sum up their events.

    Parameters
    ----------
    engine
        With tables ``fleet_runs`` and ``fleet_cars``.
    first, last
        Range of ``car_no``.
    response
        Whose weak prior is used while weights are found; the time itself stands in ``fleet_runs``.
    robust
        Whether runs get t-weights from their own car's fit. The weights of a car depend on no other car,
        so sums made apart pool to what they would have been together.
    """
    engine.make("rows", first=first, last=last)
    if robust:
        _find_weights(engine, response)
    else:
        engine.make("plain_weights")
    sum_events(engine, "design")


def batch_sums(
    engine: Engine,
    known: KnownCars,
    *,
    ladder: Sequence[float] = (LAM,),
    up_to: int = LAST_CAR,
    robust: bool = True,
) -> FleetSums:
    """Sum up the cars of the batch that was weighed last.

    Parameters
    ----------
    engine
        See :func:`weigh_batch`.
    known
        Its cars.
    ladder
        Ratios of event to run variance at which sums are wanted.
    up_to
        Greatest ``car_no`` that is wanted.
    robust
        Whether runs were weighted.

    Returns
    -------
    FleetSums
        Cars in order of ``car_no``.
    """
    columns = car_columns(engine, ladder, up_to=up_to)
    return assembled(known.names(columns[0]["car_no"]), columns, ladder, robust=robust)


def _find_weights(engine: Engine, response: Response) -> None:
    """Leave weighted runs: weights from the events' middles first, then from a fit with those weights."""
    for name in ("middles", "noise", "first_levels", "weights"):
        engine.make(name)
    weak = fb.weak_prior_sd(response)
    for _ in range(REFINEMENTS):
        sum_events(engine, "design")
        (columns,) = car_columns(engine, (LAM,))
        sums = assembled(columns["car_no"], [columns], (LAM,), robust=True, judged=False)
        fits = fit_alone(sums, weak, noise_passes=NOISE_PASSES)
        coefficients = run_coefficients(raw_sums(columns), fits.mean)
        engine.give("fleet_fits", _as_rows(columns["car_no"], coefficients, fits.noise))
        engine.make("levels", lam=LAM)
        engine.make("weights")


def sum_events(engine: Engine, design: str) -> None:
    """Sum up each event's runs about the reference of a design, ``design`` or ``own_design``."""
    engine.make(design)
    engine.make("event_sums")


def car_columns(engine: Engine, ladder: Sequence[float], *, up_to: int = LAST_CAR) -> list[dict[str, Array]]:
    """Per-car sums as columns, in order of car number, at each ratio, for cars numbered so far."""
    rungs = [(rung, lam, up_to) for rung, lam in enumerate(ladder)]
    engine.give("fleet_ladder", pl.DataFrame(rungs, schema=_LADDER, orient="row"))
    found = engine.columns("car_sums")
    return [in_order(found, of=found["rung"] == rung) for rung in range(len(rungs))]


def _as_rows(numbers: Array, coefficients: Array, noise: Array) -> pl.DataFrame:
    named = dict(zip((*_FITTED, *_LEVELLED), coefficients.T, strict=True))
    return pl.DataFrame({"car_no": numbers, **named, "noise": noise})


def assembled(
    car: npt.NDArray[Any],
    columns: Sequence[Mapping[str, Array]],
    ladder: Sequence[float],
    *,
    robust: bool,
    judged: bool = True,
) -> FleetSums:
    """Make per-car sums at every ratio into one record.

    Parameters
    ----------
    car
        Names or numbers. shape (K,)
    columns
        Of ``queries/fleet/car_sums.sql`` at each ratio, cars in the same order.
    ladder
        The ratios.
    robust
        Whether runs were weighted.
    judged
        See :func:`sweep_level`.
    """
    first = columns[0]
    raws = [raw_sums(each) for each in columns]
    swept = [sweep_level(raw, judged=judged) for raw in raws]
    return FleetSums(
        car=car.astype(object),
        runs=first["runs"],
        events=first["events"],
        lam=np.array(ladder, dtype=np.float64),
        log_det=np.stack([each["log_det"] for each in columns]),
        level_weight=np.stack([level for _, level, _ in swept]),
        swept=np.stack([inner for inner, _, _ in swept]),
        centre=raws[0].centre,
        digits_lost=np.max([lost for _, _, lost in swept], axis=0),
        between=between_events(first, raws[0].centre),
        weighing=np.column_stack([first["weight"], first["pull2"], first["slope"]]),
        robust=robust,
    )
