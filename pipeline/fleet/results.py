"""What a fleet says, as frozen records; times in seconds per practical step, limits at 95 %."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.season.results import Response


@dataclass(frozen=True, slots=True)
class FleetGroup:
    """Cars of one clutch type, pooled.

    Attributes
    ----------
    clutch_type, response
        What was pooled.
    cars, runs, events
        How much it rests on.
    cars_learned_from
        Cars with enough runs to teach the prior.
    noise_s, event_sd_s
        Typical run-to-run and event-to-event sd. [s]
    sentence
        In plain words.
    """

    clutch_type: str
    response: Response
    cars: int
    runs: int
    events: int
    cars_learned_from: int
    noise_s: float
    event_sd_s: float
    sentence: str


@dataclass(frozen=True, slots=True)
class FleetPriorRow:
    """One coefficient of a stored prior.

    Attributes
    ----------
    coefficient
        As the season model names it, per step of the fleet's basis.
    mean_s, sd_s
        Where a new car of this kind stands, and how sure that is. [s per step]
    covariance_s2
        With every coefficient, in the order of the rows. [s^2]
    """

    clutch_type: str
    response: Response
    coefficient: str
    mean_s: float
    sd_s: float
    covariance_s2: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FleetEffect:
    """An effect over the fleet: its mean with limits, and how much cars differ.

    ``spread_s`` is the sd between cars; two cars in three lie within one of it of the mean.
    """

    clutch_type: str
    response: Response
    adjustment: str
    label: str
    step: str
    mean_s: float
    low_s: float
    high_s: float
    spread_s: float
    cars: int


@dataclass(frozen=True, slots=True)
class CarEffect:
    """One effect of one car, from its own runs alone and with the fleet behind it, side by side.

    ``odd`` is the probability that the car differs from its kind in this effect.
    """

    clutch_type: str
    response: Response
    car: str
    runs: int
    adjustment: str
    label: str
    step: str
    own_s: float
    own_low_s: float
    own_high_s: float
    pooled_s: float
    pooled_low_s: float
    pooled_high_s: float
    odd: float


@dataclass(frozen=True, slots=True)
class OddCar:
    """A car that differs from its kind: ``spreads_out`` counts sds between cars from the fleet's mean."""

    clutch_type: str
    response: Response
    car: str
    runs: int
    adjustment: str
    label: str
    step: str
    own_s: float
    pooled_s: float
    fleet_s: float
    spreads_out: float
    probability: float
    sentence: str


@dataclass(frozen=True, slots=True)
class TypingTrouble:
    """A car whose entries are doubtful more often than others'."""

    car: str
    entries: int
    doubtful: int
    share: float
    usual_share: float
    sentence: str


@dataclass(frozen=True, slots=True)
class ServiceDue:
    """A car whose clutch is near or past its service growth. Lengths in inches."""

    car: str
    wear_in: float
    service_growth_in: float
    runs_to_service: float | None
    sentence: str


@dataclass(frozen=True, slots=True)
class FleetFit:
    """Everything found for one response; ``car_effects`` is empty in fleets too large to list whole."""

    response: Response
    groups: tuple[FleetGroup, ...]
    prior: tuple[FleetPriorRow, ...]
    effects: tuple[FleetEffect, ...]
    odd_cars: tuple[OddCar, ...]
    typing_trouble: tuple[TypingTrouble, ...]
    service_due: tuple[ServiceDue, ...]
    car_effects: tuple[CarEffect, ...]
    sentences: tuple[str, ...]
