"""What one fit looks at: factors, columns of the regression, how wide each is before any run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pipeline.garage.factors import MS, Factor
from pipeline.season import shape
from pipeline.season.facts import ClutchFacts
from pipeline.season.prior_scale import Group
from pipeline.season.results import Response
from pipeline.season.spreads import Kind
from pipeline.season.sums import Array

INTERCEPT_PRIOR_S = 100 * MS
EVENT_MEAN_PRIOR_S = 4 * MS
LOAD = "plate_load"
STRAIN = "strain"
NIGHT = "night"
MAIN = ("preload", "counterweight", "launch_rpm")
AIR = "air_density"
Scaled = Literal["", "twist", "altered", "worn"]
SCALES: dict[Scaled, tuple[float, ...]] = {
    "twist": (0.7, 1.0, 1.6),
    "altered": (1.0, 2.5),
    "worn": (1.0, 3.0),
}
"""What prior sds of small products of two factors, of what services alter and of wear and its bend may be
multiplied by. The products that the clutch is known for keep theirs. [judgement]"""


@dataclass(frozen=True, slots=True)
class FactorInRuns:
    """A factor as the runs of one fit have it.

    Attributes
    ----------
    kind
        What is true of it in any runs.
    step, reference
        In the factor's own unit; the reference is the runs' middle value.
    prior_s
        Prior sd of its straight-line effect. [s per step]
    varies
        False for one that never changed.
    """

    kind: Factor
    step: float
    reference: float
    prior_s: float
    varies: bool

    @property
    def name(self) -> str:
        """Its name in JSON and on the command line."""
        return self.kind.name

    @property
    def label(self) -> str:
        """Its name as spoken."""
        return self.kind.label

    @property
    def step_words(self) -> str:
        """Its step as printed, such as ``100 rpm``."""
        return self.kind.step_words

    @property
    def is_setting(self) -> bool:
        """Whether a person sets it."""
        return self.kind.is_setting


@dataclass(frozen=True, slots=True)
class Column:
    """A product of features: () is the intercept, (i,) linear, (i, j) a square or product.

    With ``powers`` it is a polynomial in its one feature (see :mod:`pipeline.season.shape`). ``scaled`` names
    the columns with which it shares a scale of the prior that the runs tell; none if empty.
    """

    name: str
    features: tuple[int, ...]
    prior_s: float
    powers: shape.Powers = ()
    scaled: Scaled = ""


@dataclass(frozen=True, slots=True)
class Spec:
    """The whole basis of one response.

    Attributes
    ----------
    factors
        F factors, the order of the columns of every state array.
    columns
        The p basis columns; a feature index of F is the strain, plate load against the engine's power.
    clutch
        Facts of the clutch when the plate load is used, else None (raw settings).
    slope_factors
        Indices of the settings whose effect may differ a little from event to event, and whose
        event means enter as extra, shrunken columns.
    event_mean_columns
        Names of those extra columns, in the order of ``slope_factors``.
    prior_scale
        Multiplies every prior width (see ``RESPONSE_SCALE``).
    dropped
        Sentences: what could not be used, and why.
    """

    response: Response
    factors: tuple[FactorInRuns, ...]
    columns: tuple[Column, ...]
    clutch: ClutchFacts | None
    slope_factors: tuple[int, ...]
    event_mean_columns: tuple[str, ...]
    prior_scale: float
    dropped: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the factors, in the order of the state's columns."""
        return tuple(factor.name for factor in self.factors)

    @property
    def column_names(self) -> tuple[str, ...]:
        """Names of all coefficients: basis columns, then event means."""
        return tuple(column.name for column in self.columns) + self.event_mean_columns

    @property
    def night(self) -> int | None:
        """Position of the night's course in the state, when it can be told."""
        return self.index(NIGHT) if NIGHT in self.names and self.factor(NIGHT).varies else None

    @property
    def parts(self) -> dict[str, list[int]]:
        """Positions of what varied, by the part of a change of the times that it belongs to."""
        made: dict[str, list[int]] = {}
        for i, factor in enumerate(self.factors):
            if factor.varies:
                made.setdefault(factor.kind.part_name, []).append(i)
        return made

    def index(self, name: str) -> int:
        """Position of a factor in the state.

        Raises
        ------
        KeyError
            When the basis has no such factor.
        """
        for i, factor in enumerate(self.factors):
            if factor.kind.name == name:
                return i
        raise KeyError(name)

    def factor(self, name: str) -> FactorInRuns:
        """Return the factor of that name (KeyError when there is none)."""
        return self.factors[self.index(name)]

    def event_mean_name(self, factor: int) -> str:
        """Name of the column that holds a setting's event means."""
        return f"event mean of {self.factors[factor].name}"

    @property
    def prior_sd(self) -> Array:
        """Prior sd of every coefficient, basis columns then event means. Shape (p + s,), [s] per step."""
        basis = [column.prior_s for column in self.columns]
        means = [EVENT_MEAN_PRIOR_S] * len(self.event_mean_columns)
        scale = np.r_[1.0, np.full(len(basis) + len(means) - 1, self.prior_scale)]
        widths: Array = np.array(basis + means) * scale
        return widths

    @property
    def groups(self) -> tuple[Group, ...]:
        """Columns whose priors share a scale that the runs tell: small products, services, wear."""
        shared = np.array([column.scaled for column in self.columns])
        found = ((np.flatnonzero(shared == name), scales) for name, scales in SCALES.items())
        return tuple(Group(columns, scales) for columns, scales in found if columns.size)

    @property
    def random_kinds(self) -> tuple[Kind, ...]:
        """What each column of :func:`pipeline.season.basis.random_columns` stands for."""
        slopes: list[Kind] = ["slope"] * len(self.slope_factors)
        night: tuple[Kind, ...] = () if self.night is None else ("night",)
        return ("level", *slopes, *night)
