"""Which factors and columns a car's runs can support, and the prior width of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations_with_replacement

import numpy as np
import polars as pl

from pipeline.garage.factors import BY_NAME, FACTORS, MS, Factor
from pipeline.season import shape
from pipeline.season.basis import design, in_steps, strain
from pipeline.season.facts import CarFacts
from pipeline.season.nights import usual_length_h
from pipeline.season.recorded import as_in_runs, raw_values
from pipeline.season.results import Response
from pipeline.season.spec import (
    INTERCEPT_PRIOR_S,
    MAIN,
    NIGHT,
    STRAIN,
    Column,
    FactorInRuns,
    Scaled,
    Spec,
)
from pipeline.season.sums import Array
from pipeline.season.words import sentence_case

RESPONSE_SCALE: dict[Response, float] = {"t60": 1.0, "t60_330": 1.0, "t330": 1.5}
"""Prior widths of a response against those of the 60 ft time. What the launch gains or loses
is carried on down the track, so the 330 ft time moves by more than the 60 ft time. [judgement]"""
STRAIN_PRIOR_S = 15 * MS
BENT = ("launch_rpm", STRAIN)
BEND_PRIOR_S = (4 * MS, 3 * MS)
"""Features with a shape beyond the parabola; prior sd of its third and fourth power at the end of what was
tried. [s]"""
STRAIN_PRODUCTS = (
    (STRAIN, STRAIN, 8 * MS),
    ("launch_rpm", STRAIN, 3 * MS),
    (STRAIN, "air_density", 3 * MS),
    (STRAIN, "track_temp", 2 * MS),
    ("launch_rpm", "track_temp", 2 * MS),
    ("launch_rpm", "air_density", 1.5 * MS),
)
"""Squares of the strain and products of two features, with their prior sd [s]. Too much load for the rpm and
the air bogs: the time rises steeply with strain, so its square is as large as a line. Squares of factors: the
registry."""
RAW_PRODUCTS = (
    ("launch_rpm", "track_temp", 2 * MS),
    ("preload", "counterweight", 2 * MS),
    ("preload", "launch_rpm", 2 * MS),
    ("counterweight", "launch_rpm", 2 * MS),
    ("preload", "track_temp", 2 * MS),
    ("counterweight", "track_temp", 2 * MS),
)
"""The same without the strain."""
_PAIRED = ("track_temp", "air_density")
PAIR_PRIOR_S, SQUARE_PRIOR_S = 1 * MS, 1.2 * MS
WEAR_PRIOR_S, WEAR_BEND_S = 7 * MS, 4 * MS
"""What wear does between middling and much worn, at least, and how far that may bend. [judgement]"""
_LEAST_SPREAD = 0.3
"""Steps: a setting that hardly moved is no reason for a wide prior."""


def factors_of(facts: CarFacts, response: Response) -> tuple[Factor, ...]:
    """Return every factor that may move a response: the built-in ones, then those of garage.toml."""
    known = (*FACTORS, *facts.extras)
    return tuple(factor for factor in known if not factor.moves or response in factor.moves)


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
    With lever geometry: the strain B, every factor, B^2, rpm^2, B*rpm, B*air, B*temp, rpm*temp, rpm*air,
    temp^2 and small deviations preload, cw, preload^2, cw^2. Without: every setting, its square
    and the pairwise products of the clutch's settings, launch rpm and track temperature. Other
    adjustments enter with a small square: as straight lines, their part of a season's change was
    covered in 72 % of simulated seasons, with the square in 94 %. Columns that do not vary are
    dropped; the reason is recorded.
    """
    return spec_and_state(runs, facts, response, without)[0]


def spec_and_state(
    runs: pl.DataFrame, facts: CarFacts, response: Response, without: Mapping[str, str] | None = None
) -> tuple[Spec, Array]:
    """Choose as :func:`build_spec` does; give the states of the runs too, shape (n, F)."""
    factors, values, dropped = _factors(runs, factors_of(facts, response), without or {})
    names = [factor.name for factor in factors]
    clutch = facts.clutch if all(name in names for name in MAIN) else None
    if clutch is None:
        factors = tuple(replace(f, prior_s=f.kind.prior(with_load=False)) for f in factors)
        dropped = (*dropped, _no_load_sentence(facts, names))
    slopes = tuple(i for i, factor in enumerate(factors) if factor.is_setting and factor.varies)
    scale = RESPONSE_SCALE[response]
    draft = Spec(response, factors, _columns(factors, clutch is not None), clutch, slopes, (), scale, dropped)
    state = in_steps(factors, values, runs.height)
    draft = replace(draft, columns=(*_with_pairs(draft, state), *_bends(draft, state)))
    spread = np.ptp(design(draft, state), axis=0) if runs.height else np.zeros(len(draft.columns))
    columns = tuple(c for c, s in zip(draft.columns, spread, strict=True) if s > 1e-9 or not c.features)
    spec = Spec(response, factors, columns, clutch, slopes, (), scale, dropped)
    return replace(spec, event_mean_columns=tuple(spec.event_mean_name(i) for i in slopes)), state


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
            scaled: Scaled = "twist" if known is None and i != j else ""
            columns[features] = Column(name, features, float(prior), scaled=scaled)
    if "wear" in spec.names and spec.factor("wear").varies:
        i, size = spec.index("wear"), float(state[:, spec.index("wear")].std())
        line = columns[(i,)]
        columns[(i,)] = replace(line, prior_s=max(line.prior_s, WEAR_PRIOR_S / size), scaled="worn")
        columns[(i, i)] = Column("wear^2", (i, i), WEAR_BEND_S / size**2, scaled="worn")
    return tuple(columns.values())


def far_prior_s(spec: Spec, column: Column) -> float:
    """Return the prior sd of a column a step from the reference where nothing was tried. [s per step].

    Of squares and products what :func:`_with_pairs` gives a setting that was spread one step; of others the
    column's own.
    """
    if column.powers or len(column.features) != 2:
        return column.prior_s
    products = STRAIN_PRODUCTS if spec.clutch is not None else RAW_PRODUCTS
    left, right = (spec.factors[i].name if i < len(spec.factors) else STRAIN for i in column.features)
    known = [prior for a, b, prior in products if {a, b} == {left, right}]
    if left == right and left != STRAIN:
        bend = spec.factors[column.features[0]].kind.bend(with_load=spec.clutch is not None)
        known.append(max(bend or 0.0, SQUARE_PRIOR_S))
    return max([PAIR_PRIOR_S, *known])


def _bends(spec: Spec, state: Array) -> tuple[Column, ...]:
    """Columns that let launch rpm and strain leave the parabola, with runs enough."""
    found: list[Column] = []
    if state.shape[0] < shape.LEAST_RUNS:
        return ()
    features = np.column_stack([state, strain(spec, state)])
    where = {factor.name: i for i, factor in enumerate(spec.factors) if factor.varies}
    if spec.clutch is not None:
        where[STRAIN] = len(spec.factors)
    for name in BENT:
        if name in where and np.ptp(features[:, where[name]]) > 1e-9:
            for powers, prior_s in zip(shape.bends(features[:, where[name]]), BEND_PRIOR_S, strict=True):
                found.append(Column(f"{name}^{len(powers) - 1}", (where[name],), prior_s, powers))
    return tuple(found)


def _factors(
    runs: pl.DataFrame, kinds: tuple[Factor, ...], without: Mapping[str, str]
) -> tuple[tuple[FactorInRuns, ...], list[Array], tuple[str, ...]]:
    """Return the factors to be used, their values as recorded, and sentences about the others."""
    factors: dict[str, FactorInRuns] = {}
    recorded: dict[str, Array] = {}
    dropped: list[str] = []
    for kind in as_in_runs(runs, kinds):
        if kind.name in without:
            dropped.append(without[kind.name])
            continue
        values = raw_values(runs, kind)
        known = values[np.isfinite(values)]
        reference = _reference(kind, known)
        varies = bool(known.size and np.ptp(known) > 1e-9 * max(1.0, abs(reference)))
        better = factors.get(kind.stands_in_for)
        if kind.is_told and (not varies or (better is not None and better.varies)):
            continue
        if not known.size:
            dropped.append(f"{sentence_case(kind.label)} is not recorded, so nothing can be said about it.")
            continue
        step = kind.step * reference if kind.is_share else kind.step
        if kind.name == NIGHT:
            step = usual_length_h(runs, values)
        if not varies and kind.name != NIGHT:
            dropped.append(
                f"{sentence_case(kind.label)} never changed ({reference:.4g} {kind.plural or kind.unit} "
                "throughout), so these runs cannot show what it does."
            )
        factors[kind.name] = FactorInRuns(kind, step, reference, kind.prior_s, varies)
        recorded[kind.name] = values
    return tuple(factors.values()), list(recorded.values()), tuple(dropped)


def _reference(kind: Factor, known: Array) -> float:
    """Return what counts as usual: halfway between the lanes, the share of a category, else the middle."""
    if kind.name == "lane" or kind.times or not known.size:
        return 0.0
    return float(known.mean() if kind.category else np.median(known))


def _no_load_sentence(facts: CarFacts, names: list[str]) -> str:
    if facts.clutch is None:
        return (
            "The clutch's lever geometry and load per turn are not all in garage.toml, so plate load is not "
            "used: settings enter as they are, which costs some precision."
        )
    missing = ", ".join(BY_NAME[name].label for name in MAIN if name not in names)
    return f"Plate load at launch cannot be computed without {missing}, so settings enter as they are."


def _columns(factors: tuple[FactorInRuns, ...], with_load: bool) -> tuple[Column, ...]:
    """Return all columns the factors allow, in a fixed order (methods: fixed second order, shrunk)."""
    where = {factor.name: i for i, factor in enumerate(factors) if factor.varies}
    if with_load:
        where[STRAIN] = len(factors)
    columns = [Column("intercept", (), INTERCEPT_PRIOR_S)]
    if with_load:
        columns.append(Column(STRAIN, (where[STRAIN],), STRAIN_PRIOR_S))
    columns += [Column(f.name, (i,), f.prior_s) for i, f in enumerate(factors) if f.varies and f.prior_s > 0]
    for factor in factors:
        bend_s = factor.kind.bend(with_load=with_load)
        if factor.varies and bend_s is not None:
            i = where[factor.name]
            columns.append(Column(f"{factor.name}^2", (i, i), bend_s))
    for left, right, prior_s in STRAIN_PRODUCTS if with_load else RAW_PRODUCTS:
        if left in where and right in where:
            name = f"{left}^2" if left == right else f"{left} x {right}"
            columns.append(Column(name, (where[left], where[right]), prior_s))
    for factor in factors:
        for altered in factor.kind.alters if factor.varies else ():
            if altered in where:
                features = (where[altered], where[factor.name])
                name = f"{altered} x {factor.name}"
                columns.append(Column(name, features, factor.kind.alters_s, scaled="altered"))
    return tuple(columns)
