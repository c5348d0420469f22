"""From settings and conditions to the columns of the regression, and their slopes.

A run's *state* is a row of factors in practical steps from the car's reference (median)
values: 1 turn, 1 g, 100 rpm, 1 psi, 10 degF, 1 % of air density. One more feature, the
strain (plate load against the engine's power), is computed from the state in units of one
turn's load, so that a setting nobody has run yet can be evaluated. Every column is a
product of one or two features or a polynomial in one, hence slopes are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import numpy.typing as npt
import polars as pl

from pipeline.season import shape
from pipeline.season.facts import ClutchFacts
from pipeline.season.recorded import raw_values
from pipeline.season.spec import AIR, MAIN, FactorInRuns, Spec
from pipeline.season.sums import Array


def to_steps(spec: Spec, runs: pl.DataFrame) -> Array:
    """States of runs: practical steps from the reference.

    Where an unknown counts as usual (wear; said in the fit's sentences) it is 0; other unknowns are nan.

    Returns
    -------
    shape (n, F)
    """
    return in_steps(spec.factors, [raw_values(runs, factor.kind) for factor in spec.factors], runs.height)


def in_steps(factors: Sequence[FactorInRuns], values: Sequence[Array], runs: int) -> Array:
    """States of so many runs from the values of each factor as recorded; see :func:`to_steps`."""
    columns = []
    for factor, recorded in zip(factors, values, strict=True):
        away = (recorded - factor.reference) / factor.step
        columns.append(np.nan_to_num(away, nan=0.0) if factor.kind.unknown_is_usual else away)
    return np.column_stack(columns) if columns else np.zeros((runs, 0))


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


def strain(spec: Spec, state: Array) -> Array:
    """Plate load against the engine's power, above the reference setting's, in units of one turn's load.

    Notes
    -----
    The clutch pulls the engine down by its load at a given rpm; what the engine has against it grows with
    launch rpm and with air. B = L0 / ((rpm / rpm0) (air / air0)), with L0 the whole load at the reference
    rpm0: a tenth more load, a tenth less rpm or a tenth less air are alike. Simulated launches are followed
    better by powers of B than by those of the load at launch, and with a column less [derived by simulation].

    Returns
    -------
    shape (n,); zeros when the basis has no clutch facts
    """
    state = np.atleast_2d(state)
    if spec.clutch is None:
        return np.zeros(state.shape[0])
    turns, power = _load_and_power(spec, spec.clutch, state)
    usual, _ = _load_and_power(spec, spec.clutch, np.zeros((1, state.shape[1])))
    return turns / power - usual


def _load_and_power(spec: Spec, clutch: ClutchFacts, state: Array) -> tuple[Array, Array]:
    """Return the whole load at the reference rpm, in turns' worth, and power over the reference's. (n,)."""
    own, rpm = _own_units(spec, state), spec.factor("launch_rpm").reference
    load = clutch.base_load_lb + _load_lb(clutch, own | {"launch_rpm": np.array(rpm)})
    power = own["launch_rpm"] / rpm
    if AIR in own:
        power = power * own[AIR] / spec.factor(AIR).reference
    return load / clutch.lb_per_turn, power


def _own_units(spec: Spec, state: Array) -> dict[str, Array]:
    own = {
        factor.name: factor.reference + factor.step * state[:, i]
        for i, factor in enumerate(spec.factors)
        if factor.name in (*MAIN, AIR, "wear")
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


def _moves_strain(spec: Spec, factor: int) -> bool:
    return spec.clutch is not None and spec.factors[factor].name in (*MAIN, AIR, "wear")


def _strain_slope(spec: Spec, state: Array, name: str) -> Array:
    """Strain gained per step of one factor, in turns' worth. Shape (n,)."""
    if spec.clutch is None:
        return np.zeros(state.shape[0])
    clutch, step = spec.clutch, spec.factor(name).step
    turns, power = _load_and_power(spec, clutch, state)
    if name in ("launch_rpm", AIR):
        return np.asarray(-turns / power * step / _own_units(spec, state)[name])
    slope_lb = {
        "preload": clutch.lb_per_turn,
        "wear": clutch.wear_sign * clutch.spring_rate_lb_per_in,
        "counterweight": clutch.lb_per_g_rpm2 * spec.factor("launch_rpm").reference ** 2,
    }[name]
    return np.asarray(slope_lb * step / clutch.lb_per_turn / power)


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
    features = np.column_stack([state, strain(spec, state)])
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


def slopes(
    spec: Spec, state: Array, factors: Sequence[int], columns: Iterable[int] | None = None
) -> Iterator[tuple[int, int, Array]]:
    """Yield what each column gains per step of the factors that move it, others held still.

    Parameters
    ----------
    state
        shape (n, F)
    factors
        Positions of the factors asked for.
    columns
        Positions of the columns asked for; None = all.

    Yields
    ------
    factor, column, slope of shape (n,)
        The slopes given for one factor and column add up; what is not given is nil.
    """
    features, one = np.column_stack([state, strain(spec, state)]), np.ones(state.shape[0])
    load = [(f, _strain_slope(spec, state, spec.factors[f].name)) for f in factors if _moves_strain(spec, f)]

    def moving(feature: int) -> list[tuple[int, Array]]:
        """Factors that move a feature, with its slope in them."""
        if feature == len(spec.factors):
            return load
        return [(feature, one)] if feature in factors else []

    for j in range(len(spec.columns)) if columns is None else columns:
        column = spec.columns[j]
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
