"""One response of one car, fitted: runs chosen by cause, basis built, posterior solved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import polars as pl

from pipeline.errors import ThinData
from pipeline.season import basis
from pipeline.season.build_spec import factors_of, spec_and_state
from pipeline.season.facts import CarFacts
from pipeline.season.filling import LEAST_KNOWN, Filled, filled_in
from pipeline.season.grid import fit
from pipeline.season.informed_fit import CoefficientPrior, fit_informed
from pipeline.season.nights import event_names, places
from pipeline.season.posterior import Contrast, Posterior
from pipeline.season.recorded import raw_values
from pipeline.season.regimes import Regimes, Sorter
from pipeline.season.results import Response
from pipeline.season.spec import Spec
from pipeline.season.spreads import DEFAULT, Layout, Settings
from pipeline.season.sums import Array, Index
from pipeline.season.words import listed, sentence_case

LEAST_RUNS = 5
"""Below this even the spread of the runs is unknown. [judgement]"""

MOSTLY_MISSING = 1 / 3
"""A factor missing in more than this share is left aside; else the runs lacking it are. [judgement]"""

SPOILED = ("spun", "bogged")

_NAMED_RUNS = 5

_WORDS: dict[Response, str] = {"t60": "60 ft time", "t60_330": "60 to 330 ft time", "t330": "330 ft time"}


def response_words(response: Response) -> str:
    """Return the response's name in words, such as ``60 ft time``."""
    return _WORDS[response]


CLEAN = 0.5
"""Chance above which a launch counts as clean where that is all or nothing. [judgement]"""


@dataclass(frozen=True, slots=True)
class ResponseFit:
    """A fitted response: everything a question about it needs.

    Attributes
    ----------
    response, spec, posterior
        What was explained, the basis, the mixture (coefficients: basis columns, then event means).
    runs
        The n runs used, in time order.
    state
        Steps from the reference. shape (n, F)
    design
        Basis columns and event means. shape (n, p)
    random
        One, then what may act differently by event: settings, the night. shape (n, q)
    observed_s
        Response as run. [s]. shape (n,)
    centre_s
        Median taken off before fitting. [s]
    event, events
        Event number of each run, shape (n,); names of the E events in order of date.
    sentences
        What was left out and why, in plain words.
    filled
        Conditions filled in for some runs; each has a last column in ``random``, in this order.
    regimes
        How launches go wrong; None when nothing is known of it.
    """

    response: Response
    spec: Spec
    posterior: Posterior
    runs: pl.DataFrame
    state: Array
    design: Array
    random: Array
    observed_s: Array
    centre_s: float
    event: Index
    events: tuple[str, ...]
    sentences: tuple[str, ...]
    filled: tuple[str, ...] = ()
    regimes: Regimes | None = None

    @property
    def is_clean(self) -> npt.NDArray[np.bool_]:
        """Which runs most likely were clean launches. Shape (n,)."""
        if self.regimes is None:
            return np.ones(self.event.size, dtype=np.bool_)
        return self.regimes.shares[:, 0] > CLEAN

    def slope(self, name: str, *, over: Array | None = None) -> Array:
        """Contrast of one factor's average effect per step over the runs (or over given states). (1, p)."""
        state = self.state if over is None else over
        return self.posterior.pad(basis.gradient(self.spec, state, name).mean(0))

    def difference(self, state_from: Array, state_to: Array) -> Contrast:
        """Change of a clean launch's expected time between states, same event and air. [s]."""
        change = basis.design(self.spec, state_to) - basis.design(self.spec, state_from)
        return self.posterior.contrast(change)


Prior = Callable[[Response, Spec, int], CoefficientPrior | None]
"""What is known of a response's coefficients in a basis, for a car seen at so many events; None = nothing."""


def fit_response(
    runs: pl.DataFrame,
    facts: CarFacts,
    response: Response = "t60",
    settings: Settings = DEFAULT,
    prior: Prior | None = None,
) -> ResponseFit:
    """Fit one response to one car's runs.

    Parameters
    ----------
    runs
        Rows of the ``runs`` table for one car, in any order.
    facts
        Clutch geometry and extra adjustments.
    prior
        What a fleet teaches about such a car; without it the usual wide priors hold.

    Raises
    ------
    ThinData
        When fewer than ``LEAST_RUNS`` runs have all that is needed.
    """
    chosen, without, sentences = _choose(runs, facts, response)
    if chosen.height < LEAST_RUNS:
        have = f"only {chosen.height} run{'' if chosen.height == 1 else 's'}"
        raise ThinData(
            f"The {response_words(response)} has {have} with settings and conditions recorded; "
            f"at least {LEAST_RUNS} are needed before anything can be told apart.",
            "Enter more runs, or fill in what the questions list names.",
        )
    chosen, filled = filled_in(chosen, factors_of(facts, response))
    names = event_names(chosen)
    events = tuple(names.unique(maintain_order=True).to_list())
    event = names.replace_strict(list(events), list(range(len(events)))).to_numpy().astype(np.intp)
    spec, state = spec_and_state(chosen, facts, response, without)
    spec = _drop_flat_event_means(spec, state, event)
    design = np.column_stack([basis.design(spec, state), _mean_columns(spec, state, event)])
    random = np.column_stack([basis.random_columns(spec, state), *_filled_columns(spec, filled)])
    observed = chosen[f"{response}_s"].to_numpy().astype(np.float64)
    centre = float(np.median(observed))
    known = prior(response, spec, len(events)) if prior is not None else None
    given = (design, observed - centre, random, event)

    sorter = Sorter.of(spec, state, chosen)

    def solve(layout: Layout) -> Posterior:
        if known is None:
            return fit(*given, spec.prior_sd, settings, layout, sorter, spec.groups)
        return fit_informed(*given, known, settings, layout, sorter)

    posterior = solve(_layout(spec, chosen, filled, None, state))
    if filled:
        posterior = solve(_layout(spec, chosen, filled, posterior, state))
    said = (
        *sentences,
        *_filled_sentences(spec, filled, chosen.height),
        *spec.dropped,
        *_data_sentences(chosen, events),
    )
    return ResponseFit(
        response, spec, posterior, chosen, state, design, random, observed, centre, event, events, said,
        tuple(one.name for one in filled if one.name in spec.names), sorter.found(),
    )  # fmt: skip


def _choose(
    runs: pl.DataFrame, facts: CarFacts, response: Response
) -> tuple[pl.DataFrame, dict[str, str], tuple[str, ...]]:
    """Pick runs that count and have every factor known; say which factors or runs are left aside."""
    counts = pl.col(f"use_{response}").fill_null(False) & pl.col(f"{response}_s").is_not_null()
    order = [name for name in ("run_at", "run_id") if name in runs.columns]
    eligible = runs.filter(counts & pl.col(f"{response}_s").is_finite()).sort(order, nulls_last=True)
    without: dict[str, str] = {}
    sentences: list[str] = []
    complete = np.ones(eligible.height, dtype=bool)
    for factor in factors_of(facts, response):
        if factor.unknown_is_usual:
            continue
        missing = ~np.isfinite(raw_values(eligible, factor))
        count = int(missing.sum())
        fills = not factor.is_setting and eligible.height - count >= LEAST_KNOWN
        if fills or count in {0, eligible.height}:
            continue
        if count > MOSTLY_MISSING * eligible.height:
            without[factor.name] = (
                f"{sentence_case(factor.label)} is missing in {count} of {eligible.height} runs, "
                "so it is left out of the comparison; what it did is hidden in the rest."
            )
            continue
        complete &= ~missing
        verb = "has no {0} and is" if count == 1 else "have no {0} and are"
        sentences.append(
            f"{count} of {eligible.height} runs {verb.format(factor.label)} left out of this fit"
            f"{_which(eligible, missing)}."
        )
    return eligible.filter(pl.Series(complete, dtype=pl.Boolean)), without, tuple(sentences)


def _which(runs: pl.DataFrame, chosen: npt.NDArray[np.bool_]) -> str:
    """Name runs by their numbers and days, a handful at most."""
    if "run_id" not in runs.columns:
        return ""
    shown = runs.filter(pl.Series(chosen, dtype=pl.Boolean)).head(_NAMED_RUNS)
    days = shown["run_date"].to_list() if "run_date" in shown.columns else [None] * shown.height
    named = [
        f"{number}" + (f" of {day}" if day else "") for number, day in zip(shown["run_id"], days, strict=True)
    ]
    more = int(chosen.sum()) - shown.height
    return f": run {listed(named)}" + (f" and {more} more" if more else "")


def _mean_columns(spec: Spec, state: Array, event: Index) -> Array:
    means = basis.event_means(spec, state, event)
    kept = [spec.event_mean_name(i) in spec.event_mean_columns for i in spec.slope_factors]
    out: Array = means[:, kept]
    return out


def _drop_flat_event_means(spec: Spec, state: Array, event: Index) -> Spec:
    """Event means that are the same at every event say nothing: drop their columns."""
    spread = np.ptp(basis.event_means(spec, state, event), axis=0)
    names = (spec.event_mean_name(i) for i in spec.slope_factors)
    kept = tuple(name for name, s in zip(names, spread, strict=True) if s > 1e-9)
    return replace(spec, event_mean_columns=kept)


def _filled_columns(spec: Spec, filled: tuple[Filled, ...]) -> list[Array]:
    """Event-wise columns: how far off each filled-in condition may be, in steps."""
    return [one.shared / spec.factor(one.name).step for one in filled if one.name in spec.names]


def _layout(
    spec: Spec, runs: pl.DataFrame, filled: tuple[Filled, ...], before: Posterior | None, state: Array
) -> Layout:
    """Lay the columns out; what was filled in weighs as much as the condition does, so far as is known."""
    kinds, unsure = spec.random_kinds, np.zeros(runs.height)
    sizes: list[float] = []
    for one in filled:
        if one.name not in spec.names:
            continue
        factor = spec.factor(one.name)
        size = factor.prior_s * spec.prior_scale / 2
        if before is not None:
            slope = before.contrast(before.pad(basis.gradient(spec, state, one.name).mean(0)))
            size = float(np.hypot(slope.mean[0], slope.sd[0]))
        kinds, sizes = (*kinds, "filled"), [*sizes, size]
        unsure += (size * one.own / factor.step) ** 2
    return Layout(kinds, places(runs), tuple(sizes), unsure if sizes else None)


def _filled_sentences(spec: Spec, filled: tuple[Filled, ...], runs: int) -> list[str]:
    """Say how many runs lean on what was filled in."""
    return [
        f"{sentence_case(spec.factor(one.name).label)} is not known for {one.count} of {runs} runs: "
        "there the likely value stands in, from the event, the strip, the hour and the season, and every "
        "result allows for how far off it may be."
        for one in filled
        if one.name in spec.names
    ]


def _data_sentences(runs: pl.DataFrame, events: tuple[str, ...]) -> tuple[str, ...]:
    said = []
    if len(events) == 1:
        said.append(
            "All runs are of one event, so the day itself cannot be told from the settings; "
            "what is said holds for that day."
        )
    if "outcome" in runs.columns and runs.height and runs["outcome"].is_in(list(SPOILED)).all():
        said.append(
            "Every run is noted as spun or bogged: the effects describe launches that went wrong, "
            "and may not hold for a clean one."
        )
    return tuple(said)
