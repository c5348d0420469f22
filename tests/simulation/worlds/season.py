"""A season: its table of runs, what the owner has written of the car, and what is so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import polars as pl

from sample_timeslips.launch_simulation import CAR, Car
from tests.simulation.runs_frame import CarFacts, true_clutch, true_facts
from tests.simulation.worlds.frame import ADJUSTMENTS, EXTRA, Floats, Known, State, table_of_runs, with_values
from tests.simulation.worlds.nights import DRIVERS, VENUES, Climate, Life, Night
from tests.simulation.worlds.racers import Racer, Setting, View
from tests.simulation.worlds.truth import Luck, Truth

SPUN, BOGGED, CLEAN = "spun", "bogged", "clean"
"""Words of the outcome column."""
RESPONSES = ("t60", "t330")


@dataclass(frozen=True, slots=True)
class Noise:
    """What a slip adds to the true mean.

    Attributes
    ----------
    run_s, section_s
        Sd of t60 and of what the section from 60 to 330 ft adds.
    degrees
        Of freedom of Student's t; 0 = normal.
    follows
        Correlation of neighbouring runs of an event.
    ruined
        Chance that a run is ruined by 0.04 to 0.4 s for no written reason.
    """

    run_s: float = 0.009
    section_s: float = 0.008
    degrees: float = 0.0
    follows: float = 0.0
    ruined: float = 0.0

    def draw(self, rng: np.random.Generator, n: int) -> Floats:
        """Draw for n runs of one event, shape (2, n) [s]."""
        white = rng.standard_t(self.degrees, n) / np.sqrt(3) if self.degrees else rng.normal(size=n)
        own = white * np.sqrt(1 - self.follows**2)
        own[0] = white[0]
        for i in range(1, n) if self.follows else ():
            own[i] += self.follows * own[i - 1]
        t60 = self.run_s * own + (rng.random(n) < self.ruined) * rng.uniform(0.04, 0.4, n)
        return np.stack([t60, t60 + rng.normal(0, self.section_s, n)])


@dataclass(frozen=True, slots=True)
class Blanks:
    """What is not written down."""

    air_events: float = 0.0
    track_runs: float = 0.0
    noted: float = 0.0
    """Share of spins and bogs that the slip says."""
    drivers: bool = False
    """Whether the slip says who drove."""


@dataclass(frozen=True, slots=True)
class Habits:
    """What a further event of the season is made from."""

    climate: Climate
    life: Life
    drift_s: tuple[float, float]
    days: int
    level_sd: float
    slick_level_s: float


@dataclass(frozen=True)
class Season:
    """One season of one world.

    Attributes
    ----------
    runs
        The table of runs, as a model is given it.
    facts
        The car as its owner has it; geometry a few percent off.
    nulls, movers
        Adjustments that truly do nothing, and the others.
    present
        The settings after the last run.
    racer
        The racer's habit.
    pair
        The two adjustments never moved apart, if any.
    """

    name: str
    seed: int
    runs: pl.DataFrame
    facts: CarFacts
    nulls: tuple[str, ...]
    movers: tuple[str, ...]
    present: Setting
    racer: str
    pair: tuple[str, str] | None
    recorded: Car
    truth: Truth
    known: Known
    noise: Noise
    blanks: Blanks
    habits: Habits
    nights: tuple[Night, ...]

    def state(self, frame: pl.DataFrame) -> State:
        """True state of the rows of a frame; missing weather is looked up by run_id."""
        return self.known.state(frame)

    def expected_s(self, response: str, frame: pl.DataFrame) -> Floats:
        """True mean time of every row without run noise, with the chance of going wrong [s].

        Notes
        -----
        Holds the event's own level, the drift of the night, lane, heat, tires and what the team has become
        better by. Noise that follows from run to run, and ruined runs, are noise and not in it. A row of an
        event that is not of the season is on a usual night.
        """
        return self.truth.means(self.state(frame))[RESPONSES.index(response)]

    def clean_s(self, response: str, frame: pl.DataFrame) -> Floats:
        """True mean time of rows that neither spin nor bog [s]; nan where hardly any would."""
        return self.truth.clean(self.state(frame))[RESPONSES.index(response)]

    def p_spin(self, frame: pl.DataFrame) -> Floats:
        """True chance that the tires let go."""
        return self.truth.chances(self.state(frame))[0]

    def p_bog(self, frame: pl.DataFrame) -> Floats:
        """True chance that the engine bogs."""
        return self.truth.chances(self.state(frame))[1]

    def night_part(self, frame: pl.DataFrame) -> Floats:
        """True part of t60 that is due to how far the night has gone [s]; 1.15 of it in t330."""
        return self.truth.others.night(self.state(frame))

    def changed(self, frame: pl.DataFrame, **values: float | Floats) -> pl.DataFrame:
        """Give a copy with adjustments, track_temp, air_density or wear changed, and the recorded loads."""
        return with_values(frame, values, self.recorded)


def recorded_car(rng: np.random.Generator, error: float = 0.04) -> Car:
    """The true car as its owner believes it to be: lever mass, spring rate and ratio a little off."""
    mass, rate, ratio = 1 + error * np.clip(rng.normal(size=3), -2, 2) * (1.0, 0.7, 0.5)
    return replace(
        CAR,
        lever_mass_g=CAR.lever_mass_g * float(mass),
        spring_rate_lb_per_in=CAR.spring_rate_lb_per_in * float(rate),
        lever_ratio=CAR.lever_ratio * float(ratio),
    )


def facts_of(car: Car, extras: Sequence[str]) -> CarFacts:
    """Facts of the car as recorded."""
    return true_facts(tuple(EXTRA[name] for name in extras), true_clutch(car))


def known_of(nights: Sequence[Night]) -> Known:
    """What the world knows of the runs of these events."""
    return Known(
        track_temp=np.concatenate([night.track_temp for night in nights]),
        air_density=np.concatenate([night.air_density for night in nights]),
        gap_min=np.concatenate([night.gap_min for night in nights]),
        tire_runs=np.concatenate([night.tire_runs for night in nights]),
        since_service=np.concatenate([night.since_service for night in nights]).astype(float),
        headwind=np.concatenate([night.headwind for night in nights]),
        driver=np.concatenate([night.driver for night in nights]),
        events={night.name: e for e, night in enumerate(nights)},
        starts=np.array([night.starts for night in nights], dtype="datetime64[us]"),
        venues=VENUES,
        gun_degf=np.repeat([night.gun_degf for night in nights], [night.runs for night in nights]),
        turns_off=np.concatenate([night.turns_off for night in nights]),
    )


def state_of(nights: Sequence[Night], settings: Sequence[Mapping[str, float]], first: int = 0) -> State:
    """True state of all runs of some events under given settings; ``first`` is the first one's number."""
    sizes = [night.runs for night in nights]

    def joined(name: str) -> Floats:
        out: Floats = np.concatenate([getattr(night, name) for night in nights])
        return out

    def of_night(name: str) -> Floats:
        return np.repeat([getattr(night, name) for night in nights], sizes)

    moment = np.concatenate([np.array(night.run_at, dtype="datetime64[us]") for night in nights])
    starts = np.repeat(np.array([night.starts for night in nights], dtype="datetime64[us]"), sizes, axis=0)
    began = np.where(moment >= starts[:, 1], starts[:, 1], starts[:, 0])
    return State(
        *(np.array([setting.get(name, 0.0) for setting in settings]) for name in ADJUSTMENTS),
        joined("track_temp"),
        joined("air_density"),
        joined("wear"),
        joined("right"),
        of_night("venue").astype(np.intp),
        joined("service").astype(np.intp),
        (moment - began).astype(np.float64) / 3.6e9,
        joined("gap_min"),
        joined("tire_runs"),
        first + np.repeat(np.arange(len(nights)), sizes),
        joined("since_service").astype(float),
        joined("headwind"),
        joined("driver").astype(np.intp),
    )


def rows_of(
    season_parts: tuple[Car, Sequence[str], Blanks],
    nights: Sequence[Night],
    state: State,
    times: Floats,
    wrong: Floats,
    rng: np.random.Generator,
    first_id: int = 1,
) -> pl.DataFrame:
    """Write the runs down, with what is left blank."""
    car, extras, blanks = season_parts
    n = state.preload.size
    sizes = [night.runs for night in nights]
    said = rng.random(n) < blanks.noted
    outcomes = [
        SPUN if spun and told else BOGGED if bogged and told else CLEAN
        for spun, bogged, told in zip(*wrong, said, strict=True)
    ]
    air_known = np.repeat(rng.permutation(len(nights)) >= round(blanks.air_events * len(nights)), sizes)
    track_known = rng.random(n) >= blanks.track_runs
    notes = ["new tires" if age == 0 else None for age in state.tire_runs]
    others: dict[str, Sequence[object] | Floats] = {
        "runs_since_service": np.concatenate([night.since_service for night in nights]),
        "ring_height_in": (0.520 + state.wear).round(4),
        "runs_on_tires": state.tire_runs,
        "headwind_mph": state.headwind,
        "notes": notes,
    }
    if blanks.drivers:
        others["driver"] = [DRIVERS[k] for k in state.driver]
    gun = np.repeat([night.gun_degf for night in nights], sizes)
    written = state.changed(
        preload=state.preload + np.concatenate([night.turns_off for night in nights]),
        air_density=np.where(air_known, state.air_density, np.nan),
        track_temp=np.where(track_known, state.track_temp + gun, np.nan),
    )
    return table_of_runs(
        written,
        events=[night.name for night in nights for _ in range(night.runs)],
        run_at=[moment for night in nights for moment in night.run_at],
        venues=[VENUES[k] for k in state.venue],
        extras=extras,
        car=car,
        t60=times[0],
        t330=times[1],
        outcomes=outcomes,
        others=others,
        first_id=first_id,
    )


def drive(racer: Racer, truth: Truth, nights: Sequence[Night], noise: Floats, luck: Luck) -> list[Setting]:
    """Let a racer drive the season, seeing each slip before the next run."""
    ends = np.cumsum([night.runs for night in nights])
    e_of = np.repeat(np.arange(len(nights)), [night.runs for night in nights])
    every = state_of(nights, [racer.home] * int(ends[-1]))
    rest, slick = truth.others.parts(every), truth.others.slickness(every)

    given = [getattr(every, f.name) for f in fields(State)][len(ADJUSTMENTS) :]

    def answer(i: int, setting: Mapping[str, float]) -> tuple[float, int]:
        here = slice(i, i + 1)
        values = (np.array([setting.get(name, 0.0)]) for name in ADJUSTMENTS)
        one = State(*values, *(column[here] for column in given))
        time, wrong = truth.form.sample_one(one, slick[here], luck.take(here))
        return time + float(rest[i] + noise[0, i]), wrong

    view = View(
        night=e_of,
        part=np.concatenate([night.part for night in nights]),
        hot=(every.track_temp - 98) / 10,
        thick=(every.air_density - np.median(every.air_density)) / 0.02,
        slick=truth.others.slick[e_of],
        answer=answer,
    )
    return racer.season(view)
