"""From solved fleets to what a person is told: effects, odd cars, typing trouble, service due."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.stats import binom

from pipeline.fleet import basis as fb
from pipeline.fleet.engine import KnownCars
from pipeline.fleet.model import FleetModel
from pipeline.fleet.prior import FEW_CARS
from pipeline.fleet.read import FleetCar, unique_names
from pipeline.fleet.results import (
    CarEffect,
    FleetEffect,
    FleetFit,
    FleetGroup,
    FleetPriorRow,
    OddCar,
    ServiceDue,
    TypingTrouble,
)
from pipeline.season.results import Z95, Response

ODD_FROM = 0.5
"""A car is said to differ when that is likelier than not."""

TROUBLE_FROM = 3
TROUBLE_CHANCE = 0.01
"""Doubtful entries are trouble when there are three or more and as many would come by chance, at the fleet's
usual rate, in fewer than one fleet in a hundred."""

SERVICE_SHARE = 0.8
SERVICE_RUNS = 10.0
"""Service is announced from four fifths of the growth allowed, or ten runs before it. [judgement]"""

LISTED_CARS = 500
"""Cars above which not every car is listed; ask for one by name. [judgement]"""


def fleet_fit(
    models: Sequence[FleetModel],
    response: Response,
    *,
    typing_trouble: tuple[TypingTrouble, ...] = (),
    service_due: tuple[ServiceDue, ...] = (),
    sentences: tuple[str, ...] = (),
) -> FleetFit:
    """Gather what the fleets of several clutch types say.

    Parameters
    ----------
    models
        One a clutch type.
    response
        The time explained.
    typing_trouble, service_due
        As found by the functions below.
    sentences
        More to be said, such as clutch types with too few cars.
    """
    listed = sum(model.sums.cars for model in models) <= LISTED_CARS
    said = list(sentences)
    if not listed:
        said.append(f"More than {LISTED_CARS} cars: single cars are shown when asked for by name.")
    return FleetFit(
        response=response,
        groups=tuple(_group(model) for model in models),
        prior=tuple(row for model in models for row in prior_rows(model)),
        effects=tuple(effect for model in models for effect in _effects(model)),
        odd_cars=tuple(car for model in models for car in odd_cars(model)),
        typing_trouble=typing_trouble,
        service_due=service_due,
        car_effects=tuple(
            effect
            for model in models
            if listed
            for k in range(model.sums.cars)
            for effect in car_effects(model, k)
        ),
        sentences=tuple(said),
    )


def _group(model: FleetModel) -> FleetGroup:
    cars, pooled, runs = model.learned_from, model.sums.cars, int(model.sums.runs.sum())
    event_sd = float(np.sqrt(model.sums.lam[0])) * model.noise_s
    few = f" Below {FEW_CARS} cars the spread between them is leaned on lightly." if cars < FEW_CARS else ""
    kind = f"Clutch type {model.clutch_type}" if model.clutch_type else "All cars"
    return FleetGroup(
        clutch_type=model.clutch_type,
        response=model.response,
        cars=pooled,
        runs=runs,
        events=int(model.sums.events.sum()),
        cars_learned_from=cars,
        noise_s=model.noise_s,
        event_sd_s=event_sd,
        sentence=f"{kind}: {pooled} {'car' if pooled == 1 else 'cars'}, {runs} runs.{few}",
    )


def prior_rows(model: FleetModel) -> tuple[FleetPriorRow, ...]:
    """Return the prior of a clutch type as records, to be stored."""
    sd = np.sqrt(np.diag(model.prior.cov))
    return tuple(
        FleetPriorRow(
            clutch_type=model.clutch_type,
            response=model.response,
            coefficient=name,
            mean_s=float(model.prior.mean[j]),
            sd_s=float(sd[j]),
            covariance_s2=tuple(model.prior.cov[j].tolist()),
        )
        for j, name in enumerate(fb.NAMES)
    )


def _effects(model: FleetModel) -> list[FleetEffect]:
    out = []
    for j in fb.EFFECTS:
        column, mean, reach = fb.COLUMNS[j], float(model.prior.mean[j]), Z95 * float(model.mean_sd[j])
        out.append(
            FleetEffect(
                clutch_type=model.clutch_type,
                response=model.response,
                adjustment=column.name,
                label=column.label,
                step=column.step,
                mean_s=mean,
                low_s=mean - reach,
                high_s=mean + reach,
                spread_s=float(np.sqrt(model.prior.spread[j, j])),
                cars=model.learned_from,
            )
        )
    return out


def car_effects(model: FleetModel, k: int) -> tuple[CarEffect, ...]:
    """Own-data and pooled estimates of the ``k``-th car, side by side."""
    out = []
    for j in fb.EFFECTS:
        column, own, sd = fb.COLUMNS[j], float(model.own_mean[k, j]), float(model.own_sd[k, j])
        out.append(
            CarEffect(
                clutch_type=model.clutch_type,
                response=model.response,
                car=str(model.sums.car[k]),
                runs=int(model.sums.runs[k]),
                adjustment=column.name,
                label=column.label,
                step=column.step,
                own_s=own,
                own_low_s=own - Z95 * sd,
                own_high_s=own + Z95 * sd,
                pooled_s=float(model.pooled.mean[k, j]),
                pooled_low_s=float(model.pooled.low[k, j]),
                pooled_high_s=float(model.pooled.high[k, j]),
                odd=float(model.pooled.odd[k, j]),
            )
        )
    return tuple(out)


def odd_cars(model: FleetModel) -> tuple[OddCar, ...]:
    """Find the cars that more likely than not differ from their kind, the surest first."""
    found = []
    for k, j in zip(*np.nonzero(model.pooled.odd[:, list(fb.EFFECTS)] >= ODD_FROM), strict=True):
        column, pooled = fb.COLUMNS[j], float(model.pooled.mean[k, j])
        mean, spread = float(model.prior.mean[j]), float(np.sqrt(model.prior.cov[j, j]))
        car = str(model.sums.car[k])
        found.append(
            OddCar(
                clutch_type=model.clutch_type,
                response=model.response,
                car=car,
                runs=int(model.sums.runs[k]),
                adjustment=column.name,
                label=column.label,
                step=column.step,
                own_s=float(model.own_mean[k, j]),
                pooled_s=pooled,
                fleet_s=mean,
                spreads_out=(pooled - mean) / spread,
                probability=float(model.pooled.odd[k, j]),
                sentence=(
                    f"{car} differs in {column.label}: {_ms(pooled)} a step of {column.step}, where cars of "
                    f"its kind show {_ms(mean)}. Look at the car, and at its entries, before borrowing the "
                    "fleet's answer."
                ),
            )
        )
    return tuple(sorted(found, key=lambda car: (-car.probability, car.car)))


def _ms(seconds: float) -> str:
    return f"{seconds * 1000:+.1f} thousandths"


def typing_trouble(cells: Sequence[tuple[str, int, int]]) -> tuple[TypingTrouble, ...]:
    """Find the cars whose entries are doubtful more often than the fleet's.

    Parameters
    ----------
    cells
        Car, cells typed, and how many of those are doubtful.

    Notes
    -----
    One-sided binomial test at the rate of all cars together, each car's chance below ``TROUBLE_CHANCE``
    over the number of cars (Bonferroni).
    """
    entries, doubtful = sum(cell[1] for cell in cells), sum(cell[2] for cell in cells)
    if not entries or not doubtful:
        return ()
    usual = doubtful / entries
    found = []
    for car, typed, bad in cells:
        if bad < TROUBLE_FROM or not binom.sf(bad - 1, typed, usual) < TROUBLE_CHANCE / len(cells):
            continue
        found.append(
            TypingTrouble(
                car=car,
                entries=typed,
                doubtful=bad,
                share=bad / typed,
                usual_share=usual,
                sentence=(
                    f"{car}: {bad} of {typed} entries are doubtful ({bad / typed:.1%}; the fleet's rate is "
                    f"{usual:.1%}). Answer its questions first; its numbers rest on fewer runs till then."
                ),
            )
        )
    return tuple(sorted(found, key=lambda trouble: (-trouble.share, trouble.car)))


def typing_trouble_of(cars: Sequence[FleetCar]) -> tuple[TypingTrouble, ...]:
    """Find typing trouble among the cars of logbooks; see :func:`typing_trouble`."""
    cells = zip(unique_names(cars), cars, strict=True)
    return typing_trouble([(name, car.entries, car.doubtful) for name, car in cells])


def typing_trouble_in_table(known: KnownCars) -> tuple[TypingTrouble, ...]:
    """Find typing trouble among the cars of one big table; see :func:`typing_trouble`."""
    cells = zip(*(known.columns[name].tolist() for name in ("car", "cells_typed", "cells_bad")), strict=True)
    return typing_trouble([(str(car), int(typed), int(bad)) for car, typed, bad in cells])


def service_due_of(cars: Sequence[FleetCar]) -> tuple[ServiceDue, ...]:
    """Find the cars of logbooks that are due for service, the most worn first."""
    found = []
    for name, car in zip(unique_names(cars), cars, strict=True):
        wear = car.wear
        if wear is None or wear.ring_height_in is None or car.service_growth_in is None:
            continue
        worn = wear.grown_since_service_in or 0.0
        left = wear.runs_to_service
        near = left is not None and left <= SERVICE_RUNS
        if worn >= SERVICE_SHARE * car.service_growth_in or near:
            found.append(_due(name, worn, car.service_growth_in, left))
    return tuple(sorted(found, key=lambda due: (-due.wear_in / due.service_growth_in, due.car)))


def service_due_in_table(known: KnownCars) -> tuple[ServiceDue, ...]:
    """Find the cars of one big table that are due for service, where it says what growth is allowed."""
    worn, growth = (
        np.ma.filled(np.ma.asarray(known.columns[name], dtype=np.float64), np.nan)
        for name in ("worn_in", "service_growth_in")
    )
    due = np.flatnonzero(worn >= SERVICE_SHARE * growth)
    found = [_due(str(known.columns["car"][k]), float(worn[k]), float(growth[k]), None) for k in due]
    return tuple(sorted(found, key=lambda due: (-due.wear_in / due.service_growth_in, due.car)))


def _due(car: str, worn: float, growth: float, left: float | None) -> ServiceDue:
    what = f"{car}: {worn:.4f} in of growth of the {growth:.3f} in at which its clutch is due for service"
    if worn >= growth or (left is not None and left <= 0):
        what += "; it is due now"
    elif left is not None:
        what += f"; about {left:.0f} runs are left"
    return ServiceDue(
        car, worn, growth, left, what + ". The maker's limit and a technician's eye come first."
    )
