"""Times on equal air: by the car's own effect of air density and, beside it, by the published correction.

60 and 330 ft are put right by the fit. Past 330 ft there is no fit: there the section's time is compared
between events, whose air differs most, by a straight line through the events' medians.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import polars as pl
from scipy.special import stdtrit

from pipeline.physics.correction import corrected_time
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import SPLITS, Z95, Response, Split
from pipeline.season.sums import Array, Index
from pipeline.season.whole_run_results import AirEffect, AirTime, DialIn

LEAST_EVENTS = 4
"""With fewer events a line through their medians says nothing of how sure it is. [judgement]"""
AIRS = 5
"""So many airs, from the thinnest event's to the densest one's, are foretold."""
GONE_WRONG = ("spun", "bogged", "missed shift", "lifted", "aborted", "broke")
DENSITY, FACTOR, ALTITUDE = "air_density_kg_per_m3", "j1349_factor", "density_altitude_ft"


@dataclass(frozen=True, slots=True)
class Slope:
    """Change of a time with 1 % more air: seconds, their variance, degrees of freedom (None = many)."""

    seconds: float
    variance: float
    freedom: int | None = None

    def ends(self) -> tuple[float, float]:
        """Return the 95 % limits."""
        half = _quantile(self.freedom) * self.variance**0.5
        return self.seconds - half, self.seconds + half


@dataclass(frozen=True, slots=True)
class EqualAir:
    """Everything that is told of air: one record each of a split, an event's split, a split in some air."""

    effects: tuple[AirEffect, ...] = ()
    times: tuple[AirTime, ...] = ()
    dial_in: tuple[DialIn, ...] = ()


def equal_air(runs: pl.DataFrame, fits: Mapping[Response, ResponseFit]) -> EqualAir:
    """Put every event's typical times on the season's middle air, in both ways.

    Parameters
    ----------
    runs
        Rows of ``runs`` of one car.
    fits
        Its fitted responses, for the early splits.

    Returns
    -------
    EqualAir
        Empty without readings of the air.
    """
    if DENSITY not in runs.columns or runs[DENSITY].drop_nulls().is_empty():
        return EqualAir()
    middle = float(np.median(runs[DENSITY].drop_nulls().to_numpy()))
    known = runs.filter(pl.col(DENSITY).is_not_null() & pl.col("event").is_not_null())
    known = known.with_columns(air_pct=100 * (pl.col(DENSITY) / middle).log())
    factors = known[FACTOR].drop_nulls().to_numpy() if FACTOR in known.columns else np.zeros(0)
    factor = float(np.median(factors)) if factors.size else None
    early = {split: fit_slope(fits[split]) for split in ("t60", "t330") if split in fits}
    effects, times, dials = [], [], []
    for split in SPLITS:
        passes = _whole_passes(known, split)
        if passes.is_empty():
            continue
        slope = early[split] if split in early else _late_slope(passes, split, early.get("t330"))
        effects.append(_effect(passes, split, slope))
        times += _times(passes, split, slope, factor)
        dials += [] if split in early else _dial_in(passes, split, slope)
    return EqualAir(tuple(effects), tuple(times), tuple(dials))


def fit_slope(fit: ResponseFit) -> Slope | None:
    """Return the fit's mean effect of 1 % more air; None where the air never differed."""
    if "air_density" not in fit.spec.names or not fit.spec.factor("air_density").varies:
        return None
    found = fit.posterior.contrast(fit.slope("air_density"))
    return Slope(float(found.mean[0]), float(found.sd[0]) ** 2)


def section_slope(times_s: Array, air_pct: Array, event: Array) -> Slope | None:
    """Fit a line through the events' medians; how sure it is comes from leaving each event out in turn.

    Parameters
    ----------
    times_s, air_pct, event
        Of each run: a section's time [s], its air above the middle [%], its event by number. shape (n,)

    Returns
    -------
    Slope or None
        None with fewer than ``LEAST_EVENTS`` events, or where their air hardly differed.

    References
    ----------
    B. Efron & C. Stein, "The jackknife estimate of variance", Ann. Stat. 9 (1981) 586-596 [memory].
    """
    numbers = np.unique(event)
    if numbers.size < LEAST_EVENTS:
        return None
    x = np.array([np.median(air_pct[event == number]) for number in numbers])
    y = np.array([np.median(times_s[event == number]) for number in numbers])
    weight = np.array([float((event == number).sum()) for number in numbers])
    if np.ptp(x) < 1.0:
        return None

    def line(keep: Index) -> float:
        w, at = weight[keep], x[keep] - np.average(x[keep], weights=weight[keep])
        return float((w * at * y[keep]).sum() / (w * at * at).sum())

    everything = np.arange(x.size)
    without = np.array([line(np.delete(everything, left)) for left in everything])
    variance = (x.size - 1) / x.size * float(((without - without.mean()) ** 2).sum())
    return Slope(line(everything), variance, x.size - 2)


def _quantile(freedom: int | None) -> float:
    return Z95 if freedom is None else float(stdtrit(freedom, 0.975))


def _whole_passes(runs: pl.DataFrame, split: Split) -> pl.DataFrame:
    """Keep the runs whose launch and pass as far as a split were clean."""
    column = f"{split}_s"
    if column not in runs.columns:
        return runs.clear()
    early = "use_t60" if split == "t60" else "use_t330"
    wrong = pl.col("outcome").is_in(GONE_WRONG).fill_null(False)
    return runs.filter(pl.col(column).is_not_null() & pl.col(early).fill_null(False) & ~wrong)


def _late_slope(passes: pl.DataFrame, split: Split, before: Slope | None) -> Slope | None:
    """Add what the air did past 330 ft to what it did before."""
    with_330 = passes.filter(pl.col("t330_s").is_not_null())
    section = (with_330[f"{split}_s"] - with_330["t330_s"]).to_numpy()
    later = section_slope(section, with_330["air_pct"].to_numpy(), _numbers(with_330))
    if later is None or before is None:
        return None
    return Slope(before.seconds + later.seconds, before.variance + later.variance, later.freedom)


def _numbers(runs: pl.DataFrame) -> Array:
    return runs["event"].rank("dense").to_numpy().astype(np.float64)


def _effect(passes: pl.DataFrame, split: Split, slope: Slope | None) -> AirEffect:
    low, high = slope.ends() if slope is not None else (None, None)
    typical = float(np.median(passes[f"{split}_s"].to_numpy()))
    return AirEffect(
        split=split,
        own_s=None if slope is None else slope.seconds,
        low_s=low,
        high_s=high,
        published_s=corrected_time(typical, 1.01) - typical if FACTOR in passes.columns else None,
        runs=passes.height,
        events=passes["event"].n_unique(),
    )


def _times(passes: pl.DataFrame, split: Split, slope: Slope | None, middle: float | None) -> list[AirTime]:
    """Tell each event's typical time; ``middle`` is the published factor of the season's middle air."""
    made = []
    for event, some in _by_event(passes):
        times, air = some[f"{split}_s"].to_numpy(), some["air_pct"].to_numpy()
        published = None
        if middle is not None and not some[FACTOR].drop_nulls().is_empty():
            had = some.filter(pl.col(FACTOR).is_not_null())
            published = float(
                np.median(corrected_time(had[f"{split}_s"].to_numpy(), had[FACTOR].to_numpy() / middle))
            )
        made.append(
            AirTime(
                split=split,
                event=event,
                date=str(some["run_date"].min() or ""),
                runs=some.height,
                air_pct=float(np.median(air)),
                density_altitude_ft=_altitude(some),
                as_run_s=float(np.median(times)),
                own_s=None if slope is None else float(np.median(times - slope.seconds * air)),
                published_s=published,
            )
        )
    return made


def _altitude(runs: pl.DataFrame) -> float | None:
    known = runs[ALTITUDE].drop_nulls() if ALTITUDE in runs.columns else pl.Series([], dtype=pl.Float64)
    return float(np.median(known.to_numpy())) if known.len() else None


def _by_event(passes: pl.DataFrame) -> list[tuple[str, pl.DataFrame]]:
    order = passes.sort("run_date", nulls_last=True)["event"].unique(maintain_order=True).to_list()
    return [(event, passes.filter(pl.col("event") == event)) for event in order]


def _dial_in(passes: pl.DataFrame, split: Split, slope: Slope | None) -> list[DialIn]:
    """Foretell one clean pass in airs from the thinnest event's to the densest one's.

    Notes
    -----
    A pass of an event to come strays by whole events (sd of the events' medians in equal air), by runs (sd
    inside events) and by what is not known of the mean and of the slope; Student's t with as many degrees
    of freedom as there are events less two.
    """
    known = passes.filter(pl.col(ALTITUDE).is_not_null()) if ALTITUDE in passes.columns else passes.clear()
    if slope is None or known.is_empty():
        return []
    equal = known[f"{split}_s"].to_numpy() - slope.seconds * known["air_pct"].to_numpy()
    event = _numbers(known)
    numbers = np.unique(event)
    if numbers.size < LEAST_EVENTS:
        return []
    medians = np.array([np.median(equal[event == number]) for number in numbers])
    airs = np.array([np.median(known["air_pct"].to_numpy()[event == number]) for number in numbers])
    altitudes = known[ALTITUDE].to_numpy()
    inside = equal - medians[np.searchsorted(numbers, event)]
    run_variance = float((inside**2).sum()) / max(1, equal.size - numbers.size)
    event_variance = float(medians.var(ddof=1))
    line = np.polynomial.Polynomial.fit(known["air_pct"].to_numpy(), altitudes, 1)
    made = []
    for air in np.linspace(airs.min(), airs.max(), AIRS):
        mean = float(medians.mean()) + slope.seconds * float(air)
        off = float(air - airs.mean())
        variance = event_variance * (1 + 1 / numbers.size) + run_variance + slope.variance * off**2
        half = _quantile(int(numbers.size) - 2) * variance**0.5
        made.append(
            DialIn(
                split=split,
                air_pct=float(air),
                density_altitude_ft=float(line(air)),
                expected_s=mean,
                low_s=mean - half,
                high_s=mean + half,
                runs=known.height,
                events=int(numbers.size),
            )
        )
    return made
