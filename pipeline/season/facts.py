"""What the model has to be told about a car besides its runs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pipeline.garage.factors import Factor

_LBF_PER_N = 1 / 4.4482216152605  # exact by definition of the pound-force
_M_PER_IN = 0.0254  # exact by definition of the inch
_RAD_S_PER_RPM = math.tau / 60


@dataclass(frozen=True, slots=True)
class ClutchFacts:
    """What plate load at launch needs.

    Attributes
    ----------
    base_load_lb
        Total static load at zero turns. [lb]
    lb_per_turn
        Total load gained when every screw is turned once. [lb]
    spring_rate_lb_per_in
        Rate of all springs together. [lb/in]
    levers, lever_mass_g, lever_radius_in, lever_ratio
        Count, own equivalent mass at the tip [g], radius of the mass [in], plate force per lever force.
    wear_sign
        -1 when ring-height growth lowers the spring load, +1 when it raises it (construction).
    """

    base_load_lb: float
    lb_per_turn: float
    spring_rate_lb_per_in: float
    levers: float
    lever_mass_g: float
    lever_radius_in: float
    lever_ratio: float = 1.0
    wear_sign: float = -1.0

    @property
    def lb_per_g_rpm2(self) -> float:
        """Centrifugal plate load per gram at every lever and rpm squared. [lb/(g rpm^2)].

        Notes
        -----
        F = levers * m * r * omega^2 * ratio (Newton's second law for circular motion).
        """
        newtons = self.levers * 1e-3 * self.lever_radius_in * _M_PER_IN * _RAD_S_PER_RPM**2
        return newtons * self.lever_ratio * _LBF_PER_N


@dataclass(frozen=True, slots=True)
class CarFacts:
    """A car's name, clutch geometry (None when not all known) and extra adjustments."""

    name: str
    clutch: ClutchFacts | None = None
    extras: tuple[Factor, ...] = ()
