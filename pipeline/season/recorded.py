"""A factor's values as the runs have them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

import numpy as np
import polars as pl

from pipeline.garage.factors import BY_NAME, Factor, extras_of
from pipeline.season.nights import COOLING_MIN, heat_left, hours_into_night
from pipeline.season.sums import Array

BEDDING_RUNS = 3.0
"""Runs in which a clutch just serviced comes to two thirds of the way to its own. [judgement]"""
REFINED_FROM = 40
"""Runs from which refinements (a lane at one strip) are allowed for: with few they cost more. [judgement]"""
FEW, MANY = 3, 8
"""A value with fewer runs has no effect of its own; more values are no matter of a few. [judgement]"""


def as_in_runs(runs: pl.DataFrame, kinds: Iterable[Factor]) -> tuple[Factor, ...]:
    """Return factors as runs may have them: one that has an effect for each value becomes one for each.

    Of two values the second has one, against the first.
    """
    found: list[Factor] = []
    for kind in kinds:
        if kind.is_refinement and runs.height < REFINED_FROM:
            continue
        values = _values(runs, kind.by) if kind.by else []
        if len(values) == 2 and not kind.times:
            found.append(kind.of_category(values[1], values[0]))
        else:
            found += [kind.of_category(value) for value in values] if kind.by else [kind]
    return tuple(found)


def _values(runs: pl.DataFrame, column: str) -> list[str]:
    if column not in runs.columns:
        return []
    counts = _words(runs, column).drop_nulls().value_counts().filter(pl.col("count") >= FEW)
    values: list[str] = sorted(counts[column].to_list())
    return values if 2 <= len(values) <= MANY else []


def _words(runs: pl.DataFrame, column: str) -> pl.Series:
    """Return a column of words, each in the spelling that it has most often, whatever its capitals."""
    typed = pl.col(column).cast(pl.String).str.strip_chars().replace("", None)
    usual = pl.col(column).mode().sort().first().over(pl.col(column).str.to_lowercase())
    return runs.select(typed).select(usual).to_series()


def raw_values(runs: pl.DataFrame, kind: Factor) -> Array:
    """Return one factor's values as recorded, in its own unit; nan where missing.

    Lanes become -0.5 (left) and +0.5 (right), unknown ones 0, halfway. One of several categories is 1 where
    it is so, 0 where it is not.

    Returns
    -------
    shape (n,)
    """
    if kind.category:
        return _of_category(runs, kind)
    if kind.name in _MEASURED:
        return _MEASURED[kind.name](runs)
    if kind.name not in BY_NAME:
        return _extra_values(runs, kind.name)
    return _numbers(runs, kind.column)


def _numbers(runs: pl.DataFrame, column: str) -> Array:
    if column not in runs.columns:
        return np.full(runs.height, np.nan)
    return runs[column].cast(pl.Float64).fill_null(np.nan).to_numpy().astype(np.float64)


def _of_category(runs: pl.DataFrame, kind: Factor) -> Array:
    words = _words(runs, kind.by)
    is_so = (words == kind.category).cast(pl.Float64).fill_null(np.nan).to_numpy().astype(np.float64)
    return np.nan_to_num(is_so) * raw_values(runs, BY_NAME[kind.times]) if kind.times else is_so


def _lane_codes(runs: pl.DataFrame) -> Array:
    """Left -0.5, right 0.5; with other words the two commonest, in the order of the alphabet."""
    if "lane" not in runs.columns:
        return np.zeros(runs.height)
    lanes = _words(runs, "lane").str.to_lowercase()
    counts = lanes.drop_nulls().value_counts().sort(["count", "lane"], descending=[True, False]).head(2)
    code = np.zeros(runs.height)
    if counts.height == 2:
        for name, value in zip(sorted(counts["lane"].to_list()), (-0.5, 0.5), strict=True):
            code[(lanes == name).fill_null(value=False).to_numpy()] = value
    return code


def _bedding(runs: pl.DataFrame) -> Array:
    """How new the clutch still is: 1 at the first run after a service, nil before the first one."""
    number, since = (_numbers(runs, column) for column in ("service_no", "runs_since_service"))
    new = np.exp(-since / BEDDING_RUNS)
    return np.where(number >= 1, new, 0.0) if np.isfinite(since).any() else new


_MEASURED: dict[str, Callable[[pl.DataFrame], Array]] = {
    "lane": _lane_codes,
    "night": hours_into_night,
    "bedding": _bedding,
    **{name: partial(heat_left, cooling_min=minutes) for name, minutes in COOLING_MIN.items()},
}
"""Conditions that no column holds as they are."""


def _extra_values(runs: pl.DataFrame, name: str) -> Array:
    """Values of an adjustment of garage.toml: the map column ``extras``, or a column of its own."""
    if name in runs.columns:
        return _numbers(runs, name)
    values = np.full(runs.height, np.nan)
    if "extras" not in runs.columns:
        return values
    for row, entry in enumerate(runs["extras"].to_list()):
        values[row] = extras_of(entry).get(name, np.nan)
    return values
