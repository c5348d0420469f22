"""How far the runs of one event stray from each other, split by split, and what made them stray."""

from __future__ import annotations

import numpy as np
import polars as pl

from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import SPLITS
from pipeline.season.season_change import paired_parts
from pipeline.season.whole_run_results import SplitSpread, SpreadCause

LEAST_RUNS = 4
"""Fewer runs of an event and their spread is mostly luck. [judgement]"""
UNKNOWN_CAUSE = "unknown"
SETTINGS = "settings"
_MAD_TO_SD = 1.4826
_USES = {"t60": "use_t60", "reaction": None}


def split_spreads(runs: pl.DataFrame) -> tuple[SplitSpread, ...]:
    """Tell how far the runs of each event strayed, by split, reaction apart.

    Parameters
    ----------
    runs
        Rows of ``runs`` of one car.

    Returns
    -------
    tuple of SplitSpread
        Robust sd about the event's median, of the runs that count for the split, in order of date.
    """
    made = []
    for split in ("reaction", *SPLITS):
        column, use = f"{split}_s", _USES.get(split, "use_t330")
        if column not in runs.columns or "event" not in runs.columns:
            continue
        counted = runs.filter(pl.col(column).is_not_null() & pl.col("event").is_not_null())
        if use is not None:
            counted = counted.filter(pl.col(use).fill_null(False))
        order = counted.sort("run_date", nulls_last=True)["event"].unique(maintain_order=True)
        for event in order.to_list():
            some = counted.filter(pl.col("event") == event)
            if some.height < LEAST_RUNS:
                continue
            times = some[column].to_numpy()
            sd = _MAD_TO_SD * float(np.median(np.abs(times - np.median(times))))
            made.append(SplitSpread(split, event, str(some["run_date"].min() or ""), some.height, sd))
    return tuple(made)


def spread_causes(fit: ResponseFit) -> tuple[SpreadCause, ...]:
    """Share the straying inside events out among what was set, what was read, and what no one knows.

    Parameters
    ----------
    fit
        A fitted response.

    Returns
    -------
    tuple of SpreadCause
        All settings together, each condition, and the unknown; the largest first. Shares are of the sum of
        squares and add up to 1.

    Notes
    -----
    A cause's part of a run is its line integral from the middle setting at the mean coefficients, less the
    mean over the event's runs; the unknown is the fit's own noise.
    """
    own = fit.spec.parts
    if not own:
        return ()
    parts = paired_parts(fit.spec, np.zeros_like(fit.state), fit.state)
    parts = np.stack([parts[:, factors].sum(1) for factors in own.values()], axis=1)
    shares = parts @ fit.posterior.mean[: len(fit.spec.columns)]
    count = np.bincount(fit.event, minlength=len(fit.events))
    means = np.zeros((len(fit.events), len(own)))
    np.add.at(means, fit.event, shares)
    inside = shares - (means / count[:, None])[fit.event]
    made: dict[str, tuple[str, float]] = {}
    kinds = [fit.spec.factors[factors[0]].kind for factors in own.values()]
    is_setting = np.array([kind.is_setting for kind in kinds])
    made[SETTINGS] = ("what you set", float(inside[:, is_setting].sum(1).std()))
    for column in np.flatnonzero(~is_setting):
        kind = kinds[column]
        made[kind.part_name] = (kind.part_spoken, float(inside[:, column].std()))
    made[UNKNOWN_CAUSE] = (
        "driver and luck: what no one wrote down",
        fit.posterior.typical(fit.posterior.noise),
    )
    total = sum(sd**2 for _, sd in made.values())
    return tuple(
        SpreadCause(fit.response, cause, label, sd, sd**2 / total)
        for cause, (label, sd) in sorted(made.items(), key=lambda item: -item[1][1])
    )
