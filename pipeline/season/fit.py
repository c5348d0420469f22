"""The modelling stage for one car: every response fitted, every question of the season answered."""

from __future__ import annotations

from dataclasses import dataclass, replace

import polars as pl

from pipeline.errors import ThinData
from pipeline.season.check_results import Sensitivity
from pipeline.season.cross_check import cross_check
from pipeline.season.curves import before_after, curves, partial_residuals
from pipeline.season.effects import effects
from pipeline.season.equal_air import equal_air
from pipeline.season.event_changes import event_changes
from pipeline.season.expected import held_out, night_checks, run_checks
from pipeline.season.facts import CarFacts
from pipeline.season.regime_effects import regime_effects, regime_sentences
from pipeline.season.response_fit import SPOILED, Prior, ResponseFit, fit_response, response_words
from pipeline.season.results import RESPONSES, Effect, ModelFacts, Response, SeasonChange
from pipeline.season.season_change import (
    before_and_after_services,
    first_and_last_third,
)
from pipeline.season.season_fit import SeasonFit
from pipeline.season.shares import spread
from pipeline.season.spec import NIGHT
from pipeline.season.steadiness import split_spreads, spread_causes
from pipeline.season.words import interval, thousandths

FEW_RUNS = 20
"""Below this many runs the priors say as much as the runs do, and the person is told. [judgement]"""
USES = ("use_t60", "use_t60_330", "use_t330")


@dataclass(frozen=True, slots=True)
class FittedSeason:
    """The results, and the fitted responses they came from (for suggestions and test plans)."""

    season: SeasonFit
    responses: dict[Response, ResponseFit]


def fit_night(
    runs: pl.DataFrame, facts: CarFacts, *, prior: Prior | None = None, event: str | None = None
) -> FittedSeason:
    """Fit all responses of one car and hold runs and events against them: what the report of a night shows.

    Of the changes over the season it has that of the first response only.

    Parameters
    ----------
    runs
        Rows of the ``runs`` table for one car.
    facts
        The car's clutch geometry and extra adjustments.
    prior
        What a fleet teaches about such a car; see :func:`fit_response`.
    event
        The only event to be held against the one before it; None = each is.

    Returns
    -------
    FittedSeason
        A response with too few runs has no entries, and a sentence that says so.
    """
    fitted: dict[Response, ResponseFit] = {}
    said: list[str] = []
    for response in RESPONSES:
        try:
            fitted[response] = fit_response(runs, facts, response, prior=prior)
        except ThinData as thin:
            said.append(str(thin))
    fits = list(fitted.values())
    season = replace(
        SeasonFit.empty(facts.name),
        facts=tuple(_facts(fit) for fit in fits),
        effects=tuple(e for fit in fits for e in effects(fit)),
        changes=tuple(c for fit in fits[:1] for c in _changes(fit)),
        run_checks=tuple(c for fit in fits for c in run_checks(fit)),
        nights=tuple(n for fit in fits for n in night_checks(fit)),
        sentences=(*said, *_left_out(runs), *_thin(fits), *_gone_wrong(fitted)),
        regime_effects=tuple(e for fit in fits if fit.response == "t60" for e in regime_effects(fit)),
        event_changes=event_changes(fitted["t60"], event) if "t60" in fitted else (),
    )
    return FittedSeason(season, fitted)


def fit_season(runs: pl.DataFrame, facts: CarFacts, *, prior: Prior | None = None) -> FittedSeason:
    """Answer every question of the season: :func:`fit_night`, and what only the review shows.

    What hangs on the present setting is not among it: see :mod:`pipeline.decide.fitted_car`.
    """
    night = fit_night(runs, facts, prior=prior)
    fits = list(night.responses.values())
    by_response = {
        fit.response: tuple(e for e in night.season.effects if e.response == fit.response) for fit in fits
    }
    air = equal_air(runs, night.responses)
    season = replace(
        night.season,
        changes=(*night.season.changes, *(c for fit in fits[1:] for c in _changes(fit))),
        curves=tuple(c for fit in fits for c in curves(fit)),
        partial_residuals=tuple(r for fit in fits for r in partial_residuals(fit)),
        before_after=tuple(b for fit in fits for b in before_after(fit)),
        held_out=tuple(h for fit in fits if (h := held_out(fit)) is not None),
        cross_check=tuple(row for fit in fits for row in cross_check(fit, by_response[fit.response])),
        sensitivity=tuple(s for fit in fits for s in _sensitivity(runs, facts, fit, by_response, prior)),
        spread=tuple(s for fit in fits for s in spread(fit)),
        air_effects=air.effects,
        air_times=air.times,
        dial_in=air.dial_in,
        split_spreads=split_spreads(runs),
        spread_causes=tuple(s for fit in fits if fit.response != "t60_330" for s in spread_causes(fit)),
    )
    return FittedSeason(season, night.responses)


def _facts(fit: ResponseFit) -> ModelFacts:
    posterior = fit.posterior
    return ModelFacts(
        response=fit.response,
        runs_used=fit.runs.height,
        events=len(fit.events),
        sigma_s=posterior.typical(posterior.noise),
        tau_s=posterior.typical(posterior.tau),
        omega_s=posterior.typical(posterior.omega),
        uses_plate_load=fit.spec.clutch is not None,
        dropped=fit.spec.dropped,
        sentences=(*fit.sentences, *_night_sentence(fit)),
    )


def _night_sentence(fit: ResponseFit) -> tuple[str, ...]:
    """Say what a usual night did to the times by itself, and how far luck follows from run to run."""
    if fit.spec.night is None:
        return ()
    posterior, step = fit.posterior, fit.spec.factors[fit.spec.night].step
    found = posterior.contrast(fit.slope(NIGHT))
    mean, low, high = (float(v[0]) for v in (found.mean, found.low, found.high))
    return (
        f"Over a usual night of {step:.1f} h the {response_words(fit.response)} changed by "
        f"{thousandths(mean)} thousandths ({interval(low, high)}) that nothing else explains, on some nights "
        f"about {thousandths(posterior.typical(posterior.nodes.night))} more or less. Of a run's luck about "
        f"{posterior.typical(posterior.nodes.follows):.0%} carries over to the next run.",
    )


def _changes(fit: ResponseFit) -> list[SeasonChange]:
    thirds = first_and_last_third(fit)
    return [*([] if thirds is None else [thirds]), *before_and_after_services(fit)]


def _sensitivity(
    runs: pl.DataFrame,
    facts: CarFacts,
    fit: ResponseFit,
    ours: dict[Response, tuple[Effect, ...]],
    prior: Prior | None,
) -> list[Sensitivity]:
    """Every effect again without the runs noted as spun or bogged; nothing when there are none."""
    if "outcome" not in runs.columns:
        return []
    spoiled = pl.col("outcome").is_in(list(SPOILED)).fill_null(False)
    count = fit.runs.filter(spoiled).height
    if not count:
        return []
    try:
        without = fit_response(runs.filter(~spoiled), facts, fit.response, prior=prior)
        again = {e.adjustment: e for e in effects(without)}
    except ThinData:
        again = {}
    return [
        Sensitivity(
            response=fit.response,
            adjustment=effect.adjustment,
            all_runs_s=effect.per_step_s,
            without_spun_bogged_s=again[effect.adjustment].per_step_s if effect.adjustment in again else None,
            runs_left_out=count,
        )
        for effect in ours[fit.response]
    ]


def _left_out(runs: pl.DataFrame) -> tuple[str, ...]:
    """Count the runs that do not count, or count only in part, by stated cause."""
    if "left_out_reason" not in runs.columns:
        return ()
    uses = [pl.col(name).fill_null(False) for name in USES if name in runs.columns]
    counts = (
        runs.filter(pl.col("left_out_reason").is_not_null())
        .with_columns(in_part=pl.any_horizontal(uses) if uses else pl.lit(False))
        .group_by("left_out_reason", "in_part")
        .len()
        .sort(["len", "left_out_reason", "in_part"], descending=[True, False, True])
    )
    return tuple(_left_out_sentence(*row) for row in counts.iter_rows())


def _left_out_sentence(reason: str, in_part: bool, count: int) -> str:
    one = count == 1
    if in_part:
        verb = "counts only in part" if one else "count only in part"
    else:
        verb = "does not count" if one else "do not count"
    return f"{count} run{'' if one else 's'} {verb} ({reason.rstrip('.')})."


def _gone_wrong(fitted: dict[Response, ResponseFit]) -> tuple[str, ...]:
    return regime_sentences(fitted["t60"]) if "t60" in fitted else ()


def _thin(fits: list[ResponseFit]) -> tuple[str, ...]:
    return tuple(
        f"The {response_words(fit.response)} rests on {fit.runs.height} runs: few enough that what is "
        "usual for such cars weighs as much as the runs themselves."
        for fit in fits
        if fit.runs.height < FEW_RUNS
    )
