"""Cars whose sums have lost too many digits are summed again, about their own means."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl

from pipeline.fleet.engine import Engine, KnownCars
from pipeline.fleet.passes import car_columns, sum_events
from pipeline.fleet.sums import FleetSums, raw_sums, sweep_level

MOST_DIGITS = 9.0
"""Of sixteen decimal digits this many may be lost to centring and near-dependent columns. [judgement]"""


def sum_poor_again(engine: Engine, known: KnownCars, sums: FleetSums) -> FleetSums:
    """Replace the sums of ill-conditioned cars by sums about their own means.

    Parameters
    ----------
    engine
        In which the batch has just been summed up (its weighted runs still stand).
    known
        The engine's cars.
    sums
        Of that batch.
    """
    poor = np.flatnonzero(sums.digits_lost > MOST_DIGITS)
    if not poor.size:
        return sums
    number = dict(zip(known.columns["car"], known.numbers, strict=True))
    chosen = np.array([number[sums.car[k]] for k in poor], dtype=np.int64)
    engine.give("fleet_chosen", pl.DataFrame({"car_no": chosen}))
    engine.make("own_means")
    sum_events(engine, "own_design")
    swept, level = sums.swept.copy(), sums.level_weight.copy()
    poor = poor[np.argsort(chosen)]
    for i, columns in enumerate(car_columns(engine, sums.lam.tolist())):
        swept[i, poor], level[i, poor], _ = sweep_level(raw_sums(columns), judged=False)
    return replace(sums, swept=swept, level_weight=level)
