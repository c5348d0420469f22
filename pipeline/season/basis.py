"""From settings and conditions to the columns of the regression, and their slopes.

A run's *state* is a row of factors in practical steps from the car's reference (median)
values: 1 turn, 1 g, 100 rpm, 1 psi, 10 degF, 1 % of air density. One more feature, the
plate load at launch, is computed from the state in units of one turn's load, so that a
setting nobody has run yet can be evaluated. Every column is a product of one or two
features, hence design and slopes are exact polynomials.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement

import numpy as np
import numpy.typing as npt
import polars as pl

from pipeline.garage.factors import BY_NAME, FACTORS, MS, Factor
from pipeline.season import shape
from pipeline.season.facts import CarFacts, ClutchFacts
from pipeline.season.nights import heat_left, hours_into_night, usual_length_h
from pipeline.season.results import Response
from pipeline.season.spreads import Kind

Array = npt.NDArray[np.float64]

INTERCEPT_PRIOR_S = 100 * MS
EVENT_MEAN_PRIOR_S = 4 * MS

RESPONSE_SCALE: dict[Response, float] = {"t60": 1.0, "t60_330": 1.0, "t330": 1.5}
"""Prior widths of a response against those of the 60 ft time. What the launch gains or loses
is carried on down the track, so the 330 ft time moves by more than the 60 ft time. [judgement]"""

LOAD = "plate_load"
NIGHT, HEAT = "night", "heat"
LOAD_PRIOR_S = 10 * MS
_MAIN = ("preload", "counterweight", "launch_rpm")

BENT = ("launch_rpm", LOAD)
BEND_PRIOR_S = (4 * MS, 3 * MS)
"""Features with a shape beyond the parabola; prior sd of its third and fourth power at the end of what was
tried. [s]"""

LOAD_PRODUCTS = (
    ("launch_rpm", LOAD, 2 * MS),
    ("launch_rpm", "track_temp", 2 * MS),
    (LOAD, LOAD, 2 * MS),
    (LOAD, "track_temp", 2 * MS),
    (LOAD, "air_density", 1 * MS),
)
"""Squares of the load and products of two features, with their prior sd [s]. Dense air makes torque that
load must hold: a small product, found needed on simulated seasons. Squares of factors: the registry."""

RAW_PRODUCTS = (
    ("launch_rpm", "track_temp", 2 * MS),
    ("preload", "counterweight", 2 * MS),
    ("preload", "launch_rpm", 2 * MS),
    ("counterweight", "launch_rpm", 2 * MS),
    ("preload", "track_temp", 2 * MS),
    ("counterweight", "track_temp", 2 * MS),
)
"""The same without the load."""


_PAIRED = ("track_temp", "air_density")
PAIR_PRIOR_S, SQUARE_PRIOR_S = 1 * MS, 1.2 * MS
WEAR_PRIOR_S, WEAR_BEND_S = 7 * MS, 4 * MS
"""What wear does between middling and much worn, at least, and how far that may bend. [judgement]"""

_LEAST_SPREAD = 0.3
"""Steps: a setting that hardly moved is no reason for a wide prior."""


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

    With ``powers`` it is a polynomial in its one feature (see :mod:`pipeline.season.shape`).
    """

    name: str
    features: tuple[int, ...]
    prior_s: float
    powers: shape.Powers = ()


@dataclass(frozen=True, slots=True)
class Spec:
    """The whole basis of one response.

    Attributes
    ----------
    factors
        F factors, the order of the columns of every state array.
    columns
        The p basis columns; a feature index of F is the plate load.
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

    def index(self, name: str) -> int:
        """Position of a factor in the state.

        Raises
        ------
        KeyError
            When the basis has no such factor.
        """
        if name not in self.names:
            raise KeyError(name)
        return self.names.index(name)

    def factor(self, name: str) -> FactorInRuns:
        """Return the factor of that name (KeyError when there is none)."""
        return self.factors[self.index(name)]


def factors_of(facts: CarFacts) -> tuple[Factor, ...]:
    """Return every factor a car's runs may have: the built-in ones, then those of garage.toml."""
    return (*FACTORS, *facts.extras)


def raw_values(runs: pl.DataFrame, name: str) -> Array:
    """Return one factor's values as recorded, in its own unit; nan where missing.

    Lanes become -0.5 and +0.5 (the commonest lane is -0.5; unknown lanes are 0, halfway).

    Returns
    -------
    shape (n,)
    """
    if name == "lane":
        return _lane_codes(runs)
    if name == NIGHT:
        return hours_into_night(runs)
    if name == HEAT:
        return heat_left(runs)
    if name not in BY_NAME:
        return _extra_values(runs, name)
    column = BY_NAME[name].column
    if column not in runs.columns:
        return np.full(runs.height, np.nan)
    return runs[column].cast(pl.Float64).fill_null(np.nan).to_numpy().astype(np.float64)


def _lane_codes(runs: pl.DataFrame) -> Array:
    if "lane" not in runs.columns:
        return np.zeros(runs.height)
    lanes = runs["lane"].cast(pl.String).str.strip_chars().str.to_lowercase()
    counts = lanes.drop_nulls().value_counts(sort=False).sort(["count", "lane"], descending=[True, False])
    if counts.height < 2:
        return np.zeros(runs.height)
    commonest, second = counts["lane"][0], counts["lane"][1]
    code = np.zeros(runs.height)
    code[(lanes == commonest).fill_null(False).to_numpy()] = -0.5
    code[(lanes == second).fill_null(False).to_numpy()] = 0.5
    return code


def _extra_values(runs: pl.DataFrame, name: str) -> Array:
    """Values of an adjustment of garage.toml: the map column ``extras``, or a column of its own."""
    if name in runs.columns:
        return runs[name].cast(pl.Float64).fill_null(np.nan).to_numpy().astype(np.float64)
    values = np.full(runs.height, np.nan)
    if "extras" not in runs.columns:
        return values
    for row, entry in enumerate(runs["extras"].to_list()):
        pairs = entry.items() if isinstance(entry, dict) else ((e["key"], e["value"]) for e in entry or ())
        for key, value in pairs:
            if key == name and value is not None:
                values[row] = float(value)
    return values


def build_spec(
    runs: pl.DataFrame,
    facts: CarFacts,
    response: Response = "t60",
    without: Mapping[str, str] | None = None,
) -> Spec:
    """Choose the factors and columns the runs can support.

    Parameters
    ----------
    runs
        The runs to be fitted, from the ``runs`` table; every factor used must be known in each
        (``pipeline.season.response_fit`` sees to it). A factor wholly missing is dropped.
    facts
        The car's clutch geometry (or None in it) and its extra adjustments.
    response
        Which time is explained; sets the prior scale only.
    without
        Factors to leave aside, each with the sentence that says why.

    Notes
    -----
    With lever geometry: L, every factor, L^2, rpm^2, L*temp, L*air, rpm*temp,
    temp^2 and small deviations preload, cw, preload^2, cw^2. Without: every setting, its square
    and the pairwise products of the clutch's settings, launch rpm and track temperature. Other
    adjustments enter with a small square: as straight lines, their part of a season's change was
    covered in 72 % of simulated seasons, with the square in 94 %. Columns that do not vary are
    dropped; the reason is recorded.
    """
    factors, dropped = _factors(runs, facts, without or {})
    names = [factor.name for factor in factors]
    clutch = facts.clutch if all(name in names for name in _MAIN) else None
    if clutch is None:
        factors = tuple(replace(f, prior_s=f.kind.prior(with_load=False)) for f in factors)
        dropped = (*dropped, _no_load_sentence(facts, names))
    slopes = tuple(i for i, factor in enumerate(factors) if factor.is_setting and factor.varies)
    scale = RESPONSE_SCALE[response]
    draft = Spec(response, factors, _columns(factors, clutch is not None), clutch, slopes, (), scale, dropped)
    state = to_steps(draft, runs)
    draft = replace(draft, columns=(*_with_pairs(draft, state), *_bends(draft, state)))
    spread = np.ptp(design(draft, state), axis=0) if runs.height else np.zeros(len(draft.columns))
    columns = tuple(c for c, s in zip(draft.columns, spread, strict=True) if s > 1e-9 or not c.features)
    spec = Spec(response, factors, columns, clutch, slopes, (), scale, dropped)
    return replace(spec, event_mean_columns=tuple(event_mean_name(spec, i) for i in slopes))


def _with_pairs(spec: Spec, state: Array) -> tuple[Column, ...]:
    """Add a small square of every setting and condition and a small product of every two.

    What bends or twists beside the columns chosen with care is small: 1 ms (1.2 ms for a square) where both
    lie one sd of the runs from the middle. Without them parts of a season's change were covered in 0.70 to
    0.95 of simulated seasons whose effects twist, with them in 0.90 to 1.00.
    """
    live = [i for i, f in enumerate(spec.factors) if f.varies and (f.is_setting or f.name in _PAIRED)]
    spread = np.maximum(state.std(0), _LEAST_SPREAD) if len(state) else np.ones(len(spec.factors))
    columns = {column.features: column for column in spec.columns}
    for i, j in combinations_with_replacement(live, 2):
        prior = (SQUARE_PRIOR_S if i == j else PAIR_PRIOR_S) / (spread[i] * spread[j])
        features = (j, i) if (j, i) in columns else (i, j)
        known = columns.get(features)
        if known is None or known.prior_s < prior:
            left, right = (spec.factors[k].name for k in features)
            name = f"{left}^2" if i == j else f"{left} x {right}"
            columns[features] = Column(name, features, float(prior))
    if "wear" in spec.names and spec.factor("wear").varies:
        i, size = spec.index("wear"), float(state[:, spec.index("wear")].std())
        line = columns[(i,)]
        columns[(i,)] = replace(line, prior_s=max(line.prior_s, WEAR_PRIOR_S / size))
        columns[(i, i)] = Column("wear^2", (i, i), WEAR_BEND_S / size**2)
    return tuple(columns.values())


def far_prior_s(spec: Spec, column: Column) -> float:
    """Return the prior sd of a column a step from the reference where nothing was tried. [s per step].

    Of squares and products what :func:`_with_pairs` gives a setting that was spread one step; of others the
    column's own.
    """
    if column.powers or len(column.features) != 2:
        return column.prior_s
    products = LOAD_PRODUCTS if spec.clutch is not None else RAW_PRODUCTS
    left, right = (spec.factors[i].name if i < len(spec.factors) else LOAD for i in column.features)
    known = [prior for a, b, prior in products if {a, b} == {left, right}]
    if left == right and left != LOAD:
        bend = spec.factors[column.features[0]].kind.bend(with_load=spec.clutch is not None)
        known.append(max(bend or 0.0, SQUARE_PRIOR_S))
    return max([PAIR_PRIOR_S, *known])


def _bends(spec: Spec, state: Array) -> tuple[Column, ...]:
    """Columns that let launch rpm and plate load leave the parabola, with runs enough."""
    found: list[Column] = []
    if state.shape[0] < shape.LEAST_RUNS:
        return ()
    features = np.column_stack([state, plate_load(spec, state)])
    where = {factor.name: i for i, factor in enumerate(spec.factors) if factor.varies}
    if spec.clutch is not None:
        where[LOAD] = len(spec.factors)
    for name in BENT:
        if name in where and np.ptp(features[:, where[name]]) > 1e-9:
            for powers, prior_s in zip(shape.bends(features[:, where[name]]), BEND_PRIOR_S, strict=True):
                found.append(Column(f"{name}^{len(powers) - 1}", (where[name],), prior_s, powers))
    return tuple(found)


def event_mean_name(spec: Spec, factor: int) -> str:
    """Name of the column that holds a setting's event means."""
    return f"event mean of {spec.factors[factor].name}"


def _factors(
    runs: pl.DataFrame, facts: CarFacts, without: Mapping[str, str]
) -> tuple[tuple[FactorInRuns, ...], tuple[str, ...]]:
    factors: list[FactorInRuns] = []
    dropped: list[str] = []
    for kind in factors_of(facts):
        if kind.name in without:
            dropped.append(without[kind.name])
            continue
        values = raw_values(runs, kind.name)
        known = values[np.isfinite(values)]
        if not known.size:
            dropped.append(f"{sentence_case(kind.label)} is not recorded, so nothing can be said about it.")
            continue
        reference = 0.0 if kind.name == "lane" else float(np.median(known))
        step = kind.step * reference if kind.is_share else kind.step
        if kind.name == NIGHT:
            step = usual_length_h(runs, values)
        varies = bool(np.ptp(known) > 1e-9 * max(1.0, abs(reference)))
        if not varies and kind.name not in {"lane", NIGHT, HEAT}:
            dropped.append(
                f"{sentence_case(kind.label)} never changed ({reference:.4g} {kind.plural or kind.unit} "
                "throughout), so these runs cannot show what it does."
            )
        factors.append(FactorInRuns(kind, step, reference, kind.prior_s, varies))
    return tuple(factors), tuple(dropped)


def sentence_case(words: str) -> str:
    """Words with the first letter large and the rest as they are."""
    return words[:1].upper() + words[1:]


def _no_load_sentence(facts: CarFacts, names: list[str]) -> str:
    if facts.clutch is None:
        return (
            "The clutch's lever geometry and load per turn are not all in garage.toml, so plate load is not "
            "used: settings enter as they are, which costs some precision."
        )
    missing = ", ".join(BY_NAME[name].label for name in _MAIN if name not in names)
    return f"Plate load at launch cannot be computed without {missing}, so settings enter as they are."


def _columns(factors: tuple[FactorInRuns, ...], with_load: bool) -> tuple[Column, ...]:
    """Return all columns the factors allow, in a fixed order (methods: fixed second order, shrunk)."""
    where = {factor.name: i for i, factor in enumerate(factors) if factor.varies}
    if with_load:
        where[LOAD] = len(factors)
    columns = [Column("intercept", (), INTERCEPT_PRIOR_S)]
    if with_load:
        columns.append(Column(LOAD, (where[LOAD],), LOAD_PRIOR_S))
    columns += [Column(f.name, (i,), f.prior_s) for i, f in enumerate(factors) if f.varies]
    for factor in factors:
        bend_s = factor.kind.bend(with_load=with_load)
        if factor.varies and bend_s is not None:
            i = where[factor.name]
            columns.append(Column(f"{factor.name}^2", (i, i), bend_s))
    for left, right, prior_s in LOAD_PRODUCTS if with_load else RAW_PRODUCTS:
        if left in where and right in where:
            name = f"{left}^2" if left == right else f"{left} x {right}"
            columns.append(Column(name, (where[left], where[right]), prior_s))
    return tuple(columns)


def to_steps(spec: Spec, runs: pl.DataFrame) -> Array:
    """States of runs: practical steps from the reference.

    Where an unknown counts as usual (wear; said in the fit's sentences) it is 0; other unknowns are nan.

    Returns
    -------
    shape (n, F)
    """
    columns = []
    for factor in spec.factors:
        values = (raw_values(runs, factor.name) - factor.reference) / factor.step
        columns.append(np.nan_to_num(values, nan=0.0) if factor.kind.unknown_is_usual else values)
    return np.column_stack(columns) if columns else np.zeros((runs.height, 0))


def state_of(spec: Spec, values: Mapping[str, float]) -> Array:
    """One what-if state from values in their own units; factors not named stay at the reference.

    Returns
    -------
    shape (F,)

    Raises
    ------
    KeyError
        When a name is not a factor of this basis.
    """
    state = np.zeros(len(spec.factors))
    for name, value in values.items():
        i = spec.index(name)
        state[i] = (value - spec.factors[i].reference) / spec.factors[i].step
    return state


def plate_load(spec: Spec, state: Array) -> Array:
    """Plate load at launch above the reference setting's, in units of one turn's load.

    Notes
    -----
    L = turns + sign * k_springs * wear / lb_per_turn + c (m_lever + cw) rpm^2 / lb_per_turn, with c from
    :meth:`ClutchFacts.lb_per_g_rpm2`. Base load cancels against the reference.

    Returns
    -------
    shape (n,); zeros when the basis has no clutch facts
    """
    state = np.atleast_2d(state)
    if spec.clutch is None:
        return np.zeros(state.shape[0])
    clutch = spec.clutch
    own = _own_units(spec, state)
    reference = _own_units(spec, np.zeros((1, len(spec.factors))))
    return (_load_lb(clutch, own) - _load_lb(clutch, reference)) / clutch.lb_per_turn


def _own_units(spec: Spec, state: Array) -> dict[str, Array]:
    own = {
        factor.name: factor.reference + factor.step * state[:, i]
        for i, factor in enumerate(spec.factors)
        if factor.name in (*_MAIN, "wear")
    }
    own.setdefault("wear", np.zeros(state.shape[0]))
    return own


def _load_lb(clutch: ClutchFacts, own: dict[str, Array]) -> Array:
    static = (
        clutch.lb_per_turn * own["preload"] + clutch.wear_sign * clutch.spring_rate_lb_per_in * own["wear"]
    )
    return (
        static + clutch.lb_per_g_rpm2 * (clutch.lever_mass_g + own["counterweight"]) * own["launch_rpm"] ** 2
    )


def _moves_load(spec: Spec, factor: int) -> bool:
    return spec.clutch is not None and spec.factors[factor].name in (*_MAIN, "wear")


def _load_slope(spec: Spec, state: Array, name: str) -> Array:
    """Plate load gained per step of one factor, in turns' worth. Shape (n,)."""
    if spec.clutch is None:
        return np.zeros(state.shape[0])
    clutch, own, step = spec.clutch, _own_units(spec, state), spec.factor(name).step
    mass = clutch.lever_mass_g + own["counterweight"]
    slope_lb = {
        "preload": clutch.lb_per_turn * np.ones(state.shape[0]),
        "wear": clutch.wear_sign * clutch.spring_rate_lb_per_in * np.ones(state.shape[0]),
        "counterweight": clutch.lb_per_g_rpm2 * own["launch_rpm"] ** 2,
        "launch_rpm": 2 * clutch.lb_per_g_rpm2 * mass * own["launch_rpm"],
    }[name]
    return slope_lb * step / clutch.lb_per_turn


def design(spec: Spec, state: Array) -> Array:
    """Basis columns at given states.

    Parameters
    ----------
    state
        shape (n, F) or (F,), in steps from the reference.

    Returns
    -------
    shape (n, p)
    """
    state = np.atleast_2d(state)
    features = np.column_stack([state, plate_load(spec, state)])
    out = np.ones((state.shape[0], len(spec.columns)))
    for j, column in enumerate(spec.columns):
        if column.powers:
            out[:, j] = shape.value(column.powers, features[:, column.features[0]])
            continue
        for feature in column.features:
            out[:, j] *= features[:, feature]
    return out


def gradient(spec: Spec, state: Array, name: str) -> Array:
    """Exact slope of every basis column in one factor, per step of it, others held still.

    Returns
    -------
    shape (n, p)

    Raises
    ------
    KeyError
        When the basis has no such factor.
    """
    state = np.atleast_2d(state)
    out = np.zeros((state.shape[0], len(spec.columns)))
    for _, j, slope in slopes(spec, state, (spec.index(name),)):
        out[:, j] += slope
    return out


def slopes(spec: Spec, state: Array, factors: Sequence[int]) -> Iterator[tuple[int, int, Array]]:
    """Yield what each column gains per step of the factors that move it, others held still.

    Parameters
    ----------
    state
        shape (n, F)
    factors
        Positions of the factors asked for.

    Yields
    ------
    factor, column, slope of shape (n,)
        The slopes given for one factor and column add up; what is not given is nil.
    """
    features, one = np.column_stack([state, plate_load(spec, state)]), np.ones(state.shape[0])
    load = [(f, _load_slope(spec, state, spec.factors[f].name)) for f in factors if _moves_load(spec, f)]

    def moving(feature: int) -> list[tuple[int, Array]]:
        """Factors that move a feature, with its slope in them."""
        if feature == len(spec.factors):
            return load
        return [(feature, one)] if feature in factors else []

    for j, column in enumerate(spec.columns):
        for place, feature in enumerate(column.features):
            for f, slope in moving(feature):
                if column.powers:
                    yield f, j, slope * shape.slope(column.powers, features[:, feature])
                else:
                    others = (*column.features[:place], *column.features[place + 1 :])
                    yield f, j, slope * features[:, others].prod(1) if others else slope


def event_means(spec: Spec, state: Array, event: npt.NDArray[np.intp]) -> Array:
    """Event means of the settings, one row a run, in steps from the reference.

    Returns
    -------
    shape (n, s), s = number of ``slope_factors``
    """
    chosen = state[:, spec.slope_factors]
    counts = np.bincount(event)
    sums = np.zeros((counts.size, chosen.shape[1]))
    np.add.at(sums, event, chosen)
    means: Array = (sums / np.maximum(counts, 1)[:, None])[event]
    return means


def random_columns(spec: Spec, state: Array) -> Array:
    """Columns whose coefficients differ by event: one, the settings, the night. Shape (n, q)."""
    state = np.atleast_2d(state)
    night = [] if spec.night is None else [spec.night]
    return np.column_stack([np.ones(state.shape[0]), state[:, [*spec.slope_factors, *night]]])


def random_kinds(spec: Spec) -> tuple[Kind, ...]:
    """Return what each column of :func:`random_columns` stands for."""
    slopes: list[Kind] = ["slope"] * len(spec.slope_factors)
    night: tuple[Kind, ...] = () if spec.night is None else ("night",)
    return ("level", *slopes, *night)


def prior_sd(spec: Spec) -> Array:
    """Prior sd of every coefficient, basis columns then event means. Shape (p + s,), [s] per step."""
    basis = [column.prior_s for column in spec.columns]
    means = [EVENT_MEAN_PRIOR_S] * len(spec.event_mean_columns)
    scale = np.r_[1.0, np.full(len(basis) + len(means) - 1, spec.prior_scale)]
    widths: Array = np.array(basis + means) * scale
    return widths
