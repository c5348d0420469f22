"""The motion table as a form of truth: one car of one season, with its own grip, clutch and power."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tests.simulation.worlds import motion
from tests.simulation.worlds.frame import Floats, State
from tests.simulation.worlds.truth import Luck

BURNOUT = 0.013
"""Standard deviation of grip from burnout to burnout, as a share."""
_Z = np.linspace(-2.2, 2.2, 15)
_W = np.exp(-0.5 * _Z**2) / np.exp(-0.5 * _Z**2).sum()
SPIN_WIDTH_S, BOG_WIDTH_RPM = 0.05, 60.0


@dataclass(frozen=True)
class LaunchForm:
    """Grip, clutch and power of a season's car.

    Attributes
    ----------
    grip
        Best grip at the best track temperature ``kind_degf`` and at the best tire pressure ``best_psi``.
    soft
        How fast grip falls to both sides of that temperature.
    per_psi2
        Loss of grip per squared psi; 0 when pressure does nothing.
    friction, power
        Of the clutch and the engine, relative to the table's car.
    """

    grip: float
    kind_degf: float
    soft: float
    best_psi: float
    per_psi2: float
    friction: float
    power: float
    slick_share: float = 0.006

    def points(self, state: State, slick: Floats) -> Floats:
        """Give the points of the table that belong to the states, shape (n, 6)."""
        grip = self.grip * (1 - self.soft * ((state.track_temp - self.kind_degf) / 100) ** 2)
        grip = grip * (1 - self.per_psi2 * (state.tire_pressure - self.best_psi) ** 2)
        return np.stack(
            [
                self.friction * (360 + 100 * state.turns_left),
                self.friction * (27 + state.counterweight),
                state.shock_clicks,
                state.air_density * self.power,
                state.launch_rpm,
                grip * (1 - self.slick_share * slick),
            ],
            axis=1,
        )

    def _burnouts(self, state: State, slick: Floats) -> tuple[Floats, Floats, Floats]:
        """Times (2, n, k) and chances (2, n, k) for each of a typical set of burnouts, and weights (k,)."""
        out = motion.read(self.points(state, slick), 1 + BURNOUT * _Z)
        return out[:2], _wrong(out), _W

    def means(self, state: State, slick: Floats) -> Floats:
        """Mean times over burnouts, shape (2, n)."""
        times, _, weights = self._burnouts(state, slick)
        return times @ weights

    def clean(self, state: State, slick: Floats) -> Floats:
        """Mean times over the burnouts that go well; nan where less than one in 10,000 does."""
        times, wrong, weights = self._burnouts(state, slick)
        well = (1 - wrong[0]) * (1 - wrong[1]) * weights
        total = well.sum(axis=1)
        out: Floats = (times * well).sum(axis=2) / np.where(total > 1e-4, total, np.nan)
        return out

    def chances(self, state: State, slick: Floats) -> Floats:
        """Chances of spinning and bogging, shape (2, n)."""
        _, wrong, weights = self._burnouts(state, slick)
        return wrong @ weights

    def sample_one(self, state: State, slick: Floats, luck: Luck) -> tuple[float, int]:
        """Give t60 of a single run, and 1 if it spun, -1 if it bogged: `sample` of one run, quickly."""
        at = self.points(state, slick)[0].tolist()
        at[5] *= 1 + BURNOUT * float(luck.burnout[0])
        t60, _, spin, low = motion.read_one(at)
        sure = [(spin - motion.SPUN_S) / SPIN_WIDTH_S, (motion.BOGGED_RPM - low) / BOG_WIDTH_RPM]
        spun, bogged = (1 / (1 + math.exp(-min(max(x, -30.0), 30.0))) for x in sure)
        chance = float(luck.chance[0])
        return t60, 1 if chance < spun else -1 if chance < spun + bogged * (1 - spun) else 0

    def sample(self, state: State, slick: Floats, luck: Luck) -> tuple[Floats, Floats]:
        """Single runs with their own burnout."""
        factor = (1 + BURNOUT * luck.burnout)[:, None]
        out = motion.read(self.points(state, slick), factor)
        spin, bog = _wrong(out)[:, :, 0]
        spun = luck.chance < spin
        bogged = ~spun & (luck.chance < spin + bog)
        return out[:2, :, 0], np.stack([spun, bogged])


def _wrong(out: Floats) -> Floats:
    """How surely a run of these outputs is seen to spin and to bog, shape (2, ...)."""
    spin = (out[2] - motion.SPUN_S) / SPIN_WIDTH_S
    bog = (motion.BOGGED_RPM - out[3]) / BOG_WIDTH_RPM
    sure: Floats = 1 / (1 + np.exp(-np.clip(np.stack([spin, bog]), -30, 30)))
    sure[1] *= 1 - sure[0]
    return sure
