"""What is so: true mean times as functions of the state of a run, and single runs drawn about them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from tests.simulation.worlds.frame import Floats, State

SCALES = {
    "turns_left": 0.6,
    "counterweight": 1.2,
    "launch_rpm": 250.0,
    "tire_pressure": 1.0,
    "shock_clicks": 1.8,
    "wing_hole": 1.6,
    "track_temp": 12.0,
    "air_density": 0.025,
}
"""A typical sd of each in a season: the unit in which synthetic effects are drawn."""


@dataclass(frozen=True, slots=True)
class Luck:
    """What one run draws, one entry a run: grip of its burnout, chance of going wrong, size of a jump."""

    burnout: Floats
    chance: Floats
    jump: Floats

    @classmethod
    def draw(cls, rng: np.random.Generator, n: int) -> Luck:
        """Draw for n runs."""
        return cls(np.clip(rng.normal(size=n), -2.2, 2.2), rng.random(n), rng.uniform(0.1, 0.2, n))

    def take(self, rows: slice) -> Luck:
        """Give some runs' luck."""
        return Luck(self.burnout[rows], self.chance[rows], self.jump[rows])


class Form(Protocol):
    """True times of a launch from its state; ``slick`` is the unseen track, in sd, one entry a run."""

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean t60 and t330 with the chance of going wrong, shape (2, n) [s]."""
        ...

    def clean(self, state: State, slick: Floats) -> Floats:
        """Mean t60 and t330 of runs that neither spin nor bog, shape (2, n) [s]."""
        ...

    def chances(self, state: State, slick: Floats) -> Floats:
        """Chance of spinning and of bogging, shape (2, n)."""
        ...

    def sample(self, state: State, slick: Floats, luck: Luck) -> tuple[Floats, Floats]:
        """Times of single runs, shape (2, n), and whether they spun or bogged, shape (2, n)."""
        ...

    def sample_one(self, state: State, slick: Floats, luck: Luck) -> tuple[float, int]:
        """Give t60 of a single run, and 1 if it spun, -1 if it bogged, else 0."""
        ...


class _One:
    """A form whose single run is a batch of one."""

    def sample(self, state: State, slick: Floats, luck: Luck) -> tuple[Floats, Floats]:
        raise NotImplementedError

    def sample_one(self, state: State, slick: Floats, luck: Luck) -> tuple[float, int]:
        times, wrong = self.sample(state, slick, luck)
        return float(times[0, 0]), int(wrong[0, 0]) - int(wrong[1, 0])


class _Sure(_One):
    """A form in which nothing goes wrong."""

    def means(self, state: State, slick: Floats) -> Floats:
        raise NotImplementedError

    def clean(self, state: State, slick: Floats) -> Floats:
        return self.means(state, slick)

    def chances(self, state: State, slick: Floats) -> Floats:
        return np.zeros((2, state.preload.size))

    def sample(self, state: State, slick: Floats, luck: Luck) -> tuple[Floats, Floats]:
        return self.means(state, slick), self.chances(state, slick)


@dataclass(frozen=True)
class SecondOrder(_Sure):
    """Linear, squared and product terms of the scaled settings and conditions.

    ``linear`` has shape (2, 8), ``square`` (2, 8, 8), for t60 and for the 60-330 ft section [s].
    """

    centre: Floats
    linear: Floats
    square: Floats
    base: tuple[float, float]
    by_service: Floats | None = None

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean times, shape (2, n)."""
        z = scaled(state, self.centre)
        out = z @ self.linear.T + np.einsum("ni,rij,nj->nr", z, self.square, z)
        t60 = self.base[0] + out[:, 0]
        if self.by_service is not None:
            t60 = t60 + self.by_service[state.service] * z[:, 0]
        return np.stack([t60, t60 + self.base[1] + out[:, 1]])


def scaled(state: State, centre: Floats) -> Floats:
    """Settings and conditions less ``centre`` in units of `SCALES`, shape (n, 8)."""
    columns = np.stack([getattr(state, name) for name in SCALES], axis=1)
    out: Floats = (columns - centre) / np.array(list(SCALES.values()))
    return out


@dataclass(frozen=True)
class Ridge(_Sure):
    """A lopsided valley: launch rpm, plate load and track trade off; nothing in it is a polynomial.

    Attributes
    ----------
    best
        Launch rpm, plate load [lb], turns left, counterweight [g], pressure [psi] and clicks of the middle.
    depth_s
        Sizes of the valley, of the balance of springs and grams, of pressure, shock, track and air [s].
    left, right
        Steepness of the two sides of the valley.
    load_share, temp_share
        How far load and track temperature move the valley.
    """

    best: tuple[float, float, float, float, float, float]
    depth_s: tuple[float, float, float, float, float, float]
    left: float
    right: float
    load_share: float
    temp_share: float
    base: tuple[float, float]
    by_service: Floats | None = None

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean times, shape (2, n)."""
        rpm, load, turns, grams, psi, clicks = self.best
        valley, balance, pressure, shock, track, air = self.depth_s
        hot = (state.track_temp - 98) / 12
        u = (state.launch_rpm - rpm) / 250 + self.load_share * (state.load_lb - load) / 150
        u = u + self.temp_share * hot + 0.25 * slick
        share = self.left / (self.left + self.right)
        steep = np.log(share * np.exp(self.right * u) + (1 - share) * np.exp(-self.left * u))
        v = (state.turns_left - turns) / 0.7 - 0.5 * (state.counterweight - grams) / 1.3
        t60 = self.base[0] + valley * steep + balance * (np.sqrt(1 + v * v) - 1)
        t60 = t60 + pressure * (np.sqrt(1 + (state.tire_pressure - psi) ** 2) - 1)
        t60 = t60 + shock * np.tanh((state.shock_clicks - clicks) / 2.5)
        t60 = t60 + track * np.logaddexp(0, hot - 0.5) - air * (state.air_density - 1.12) / 0.025
        if self.by_service is not None:
            t60 = t60 + self.by_service[state.service] * (state.turns_left - turns) / 0.6
        section = self.base[1] - 1.6 * air * (state.air_density - 1.12) / 0.025 + 0.2 * (t60 - self.base[0])
        return np.stack([t60, t60 + section])


@dataclass(frozen=True)
class Cliff(_One):
    """Another form, with a cliff: past a launch rpm the tires may let go, and the times jump.

    The rpm falls by ``per_10_degf`` with each 10 degF of track and by ``per_100_lb`` of plate load.
    """

    under: Form
    at_rpm: float
    at_load_lb: float
    width_rpm: float
    per_10_degf: float
    per_100_lb: float
    jumps_s: tuple[float, float] = (0.15, 0.19)

    def _spin(self, state: State, slick: Floats) -> Floats:
        edge = self.at_rpm - self.per_10_degf * (state.track_temp - 98) / 10
        edge = edge - self.per_100_lb * (state.load_lb - self.at_load_lb) / 100 - 40 * slick
        out: Floats = 1 / (1 + np.exp(-np.clip((state.launch_rpm - edge) / self.width_rpm, -30, 30)))
        return out

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean times with the chance of a jump, shape (2, n)."""
        return self.clean(state, slick) + np.outer(self.jumps_s, self._spin(state, slick))

    def clean(self, state: State, slick: Floats) -> Floats:
        """Mean times without a jump, shape (2, n)."""
        return self.under.means(state, slick)

    def chances(self, state: State, slick: Floats) -> Floats:
        """Chance of spinning; nothing bogs."""
        return np.stack([self._spin(state, slick), np.zeros(slick.size)])

    def sample(self, state: State, slick: Floats, luck: Luck) -> tuple[Floats, Floats]:
        """Single runs: a jump of 0.1 to 0.2 s in those whose tires let go."""
        spun = luck.chance < self._spin(state, slick)
        jump = np.outer((1.0, self.jumps_s[1] / self.jumps_s[0]), luck.jump * spun)
        return self.clean(state, slick) + jump, np.stack([spun, np.zeros_like(spun)])


@dataclass(frozen=True)
class Freshened(_Sure):
    """Another form whose engine is freshened before one event: from then on it acts as more launch rpm."""

    under: Form
    first: int
    by_rpm: float

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean times, shape (2, n)."""
        fresh = (state.event >= self.first) | (state.event < 0)
        return self.under.means(state.changed(launch_rpm=state.launch_rpm + self.by_rpm * fresh), slick)


@dataclass(frozen=True)
class Others:
    """Parts of the time beside the launch's own form, all zero unless a world has them.

    Attributes
    ----------
    level_s, slick, drift_s_per_h
        Of each event; of an event that is not of the season: 0, 0 and ``usual_drift``.
    better_s
        By how much the team has become quicker by each event.
    """

    level_s: Floats
    slick: Floats
    drift_s_per_h: Floats
    usual_drift: float
    better_s: Floats
    lane_s: Floats = field(default_factory=lambda: np.zeros(4))
    service_s: Floats = field(default_factory=lambda: np.zeros(1))
    heat_s: float = 0.0
    tires_s: float = 0.0
    wear_s: float = 0.0
    wear_knee_in: float = 0.004
    bedding_s: float = 0.0
    wind_s_per_mph: float = 0.0
    driver_s: float = 0.0

    def slickness(self, state: State) -> Floats:
        """Unseen state of the track, in sd."""
        return np.where(state.event >= 0, self.slick[state.event], 0.0)

    def night(self, state: State) -> Floats:
        """The part due to how far the night has gone [s]."""
        rate = np.where(state.event >= 0, self.drift_s_per_h[state.event], self.usual_drift)
        out: Floats = rate * state.hours
        return out

    def written(self, state: State) -> dict[str, Floats]:
        """Give the parts of which a racer has written down what they hang on, lanes from halfway [s]."""
        by_lane = np.where(state.venue >= 0, self.lane_s[state.venue], 0.0)
        return {
            "lane": by_lane * (state.right - 0.5),
            "heat": self.heat_s * np.exp(-(state.gap_min - 25) / 14),
            "tire_runs": self.tires_s * (1 - np.exp(-state.tire_runs / 20)),
            "bedding": self.bedding_s * np.exp(-state.since_service / 2),
            "driver": self.driver_s * state.driver,
        }

    def parts(self, state: State) -> Floats:
        """Sum of all parts at each run [s]."""
        known = state.event >= 0
        out = self.night(state) + np.where(known, self.level_s[state.event], 0.0)
        out = out - np.where(known, self.better_s[state.event], self.better_s[-1])
        out = out + np.where(state.venue >= 0, self.lane_s[state.venue], 0.0) / 2
        if self.service_s.size > 1:
            out = out + self.service_s[state.service]
        out = out + sum(self.written(state).values())
        deep = np.maximum(state.wear - self.wear_knee_in, 0.0) / self.wear_knee_in
        return out + self.wear_s * deep**1.5


@dataclass(frozen=True)
class Truth:
    """A form and the other parts; t330 carries 1.15 of the others, and the wind."""

    form: Form
    others: Others

    def _with_others(self, times: Floats, state: State) -> Floats:
        late = np.outer((0.0, 1.0), self.others.wind_s_per_mph * state.headwind)
        return times + np.outer((1.0, 1.15), self.others.parts(state)) + late

    def means(self, state: State) -> Floats:
        """True mean t60 and t330, shape (2, n) [s]."""
        return self._with_others(self.form.means(state, self.others.slickness(state)), state)

    def clean(self, state: State) -> Floats:
        """True mean of runs that do not go wrong, shape (2, n) [s]; nan where all do."""
        return self._with_others(self.form.clean(state, self.others.slickness(state)), state)

    def chances(self, state: State) -> Floats:
        """Chances of spin and bog, shape (2, n)."""
        return self.form.chances(state, self.others.slickness(state))

    def sample(self, state: State, luck: Luck) -> tuple[Floats, Floats]:
        """Single runs without timing noise, and whether they spun or bogged."""
        times, wrong = self.form.sample(state, self.others.slickness(state), luck)
        return self._with_others(times, state), wrong
