"""A factor's values as the runs have them."""

from __future__ import annotations

import numpy as np
import polars as pl

from pipeline.garage.factors import BY_NAME, extras_of
from pipeline.season.nights import heat_left, hours_into_night
from pipeline.season.spec import HEAT, NIGHT
from pipeline.season.sums import Array


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
        values[row] = extras_of(entry).get(name, np.nan)
    return values
