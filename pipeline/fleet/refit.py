"""Cars whose sums have lost too many digits are summed again from their rows, by QR."""

from __future__ import annotations

from dataclasses import replace

import duckdb
import numpy as np
import polars as pl

from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.fleet.sums import FleetSums
from pipeline.season.sums import Index
from pipeline.store.database import query

MOST_DIGITS = 9.0
"""Of sixteen decimal digits this many may be lost to centring and near-dependent columns. [judgement]"""

_OWN = ("turns", "grams", "rpm", "track", "air", "seconds")


def refit_from_rows(con: duckdb.DuckDBPyConnection, sums: FleetSums, first: int, last: int) -> FleetSums:
    """Replace the sums of ill-conditioned cars by what a QR of their rows gives.

    Parameters
    ----------
    con
        The database in which the batch has just been summed up (its design still stands).
    sums
        Of that batch.
    first, last
        Range of ``car_no`` of the batch.
    """
    poor = np.flatnonzero(sums.digits_lost > MOST_DIGITS)
    if not poor.size:
        return sums
    known = con.execute(query("fleet/names"), {"first": first, "last": last}).fetchnumpy()
    number = dict(zip(known["car"], known["car_no"], strict=True))
    chosen = [int(number[sums.car[k]]) for k in poor]
    con.register("fleet_chosen", pl.DataFrame({"car_no": chosen}, schema={"car_no": pl.Int64}))
    rows = con.sql(query("fleet/rows_of_cars")).pl()
    con.unregister("fleet_chosen")
    by_car = rows.partition_by("car_no", as_dict=True)
    swept, level = sums.swept.copy(), sums.level_weight.copy()
    for place, car_no in zip(poor, chosen, strict=True):
        own = by_car[(car_no,)]
        event = own["event_key"].rank("dense").to_numpy().astype(np.intp) - 1
        values = own.select(_OWN).to_numpy().astype(np.float64)
        weights = own["weight"].to_numpy().astype(np.float64)
        for i, lam in enumerate(sums.lam):
            root = triangle(values, weights, event, float(lam))
            swept[i, place] = root[1:, 1:].T @ root[1:, 1:]
            level[i, place] = root[0, 0] ** 2
    return replace(sums, swept=swept, level_weight=level)


def triangle(values: Array, weights: Array, event: Index, lam: float) -> Array:
    """Triangular factor of a car's whitened design: one, the coefficients' columns, the response.

    Parameters
    ----------
    values
        Preload, counterweight, rpm, track temperature, air [steps] and time [s]. shape (n, 6)
    weights
        shape (n,)
    event
        Event numbers 0..E-1. shape (n,)
    lam
        Variance of an event's level over that of a run.

    Returns
    -------
    shape (p + 2, p + 2)

    Notes
    -----
    Rows sqrt(w) (x - t_e m_e), with m_e the event's mean and t_e = 1 - (1 + lam n_e)^-1/2, have cross
    products X'V^-1X; centring is on the values themselves, so nothing is lost to large means.
    """
    design = _design(values, weights, event)
    share = np.bincount(event, weights).astype(np.float64)
    mean = _event_means(design, weights, event, share)
    shrink = 1 - 1 / np.sqrt(1 + lam * share)
    white = np.sqrt(weights)[:, None] * (design - (shrink[:, None] * mean)[event])
    short = design.shape[1] - white.shape[0]
    if short > 0:
        white = np.vstack([white, np.zeros((short, design.shape[1]))])
    return np.asarray(np.linalg.qr(white, mode="r"), dtype=np.float64)


def _design(values: Array, weights: Array, event: Index) -> Array:
    about = values - weights @ values / weights.sum()
    about[:, np.ptp(values, axis=0) == 0] = 0.0
    turns_grams_rpm = about[:, :3]
    share = np.bincount(event, weights).astype(np.float64)
    means = _event_means(turns_grams_rpm, weights, event, share)[event]
    rpm, track = about[:, fb.RPM - 1], about[:, fb.TRACK - 1]
    one = np.ones(values.shape[0])
    return np.column_stack([one, about[:, :5], rpm * rpm, rpm * track, means, about[:, 5]])


def _event_means(columns: Array, weights: Array, event: Index, share: Array) -> Array:
    out = np.zeros((share.size, columns.shape[1]))
    np.add.at(out, event, columns * weights[:, None])
    means: Array = out / share[:, None]
    return means
