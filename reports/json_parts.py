"""The parts that the documents beside the pages are put together from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, fields
from typing import Any

import polars as pl

from pipeline.decide.results import NextSetting, TestPlan
from pipeline.season.results import Effect, RegimeEffect, SeasonChange, Wear
from pipeline.season.season_fit import IN_JSON, SeasonFit
from pipeline.season.whole_run_results import EventChange

LEVEL = 0.95
FATES = ("kept", "questioned", "rejected", "set_aside")
QUESTION_KEYS = ("file", "sheet", "row", "column", "value", "reading", "problem", "suggestion", "severity")


def count_fates(slip_fates: pl.DataFrame) -> dict[str, int]:
    """Count slips by what became of them; ``read`` is their sum."""
    counts = {fate: slip_fates.filter(pl.col("fate") == fate).height for fate in FATES}
    return {"read": sum(counts.values()), **counts}


def sheets(columns: pl.DataFrame) -> list[dict[str, Any]]:
    """Return the columns whose heading alone does not say what they are, and those nothing is read from."""
    if columns.is_empty():
        return []
    told = columns.filter(pl.col("column").is_null() | (pl.col("why") != ""))
    return [
        {
            "file": row["file"],
            "sheet": row["sheet"],
            "column": row["heading"],
            "read_as": row["column"],
            "why": row["why"] or "not known",
        }
        for row in told.iter_rows(named=True)
    ]


def used(runs: pl.DataFrame) -> dict[str, int]:
    """Count the runs that each response's fit used."""
    return {
        response: int(runs[f"use_{response}"].fill_null(False).sum() or 0) if runs.height else 0
        for response in ("t60", "t330", "t60_330")
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "response": effect.response,
        "adjustment": effect.adjustment,
        "label": effect.label,
        "step": effect.step,
        "per_step_s": effect.per_step_s,
        "low_s": effect.low_s,
        "high_s": effect.high_s,
        "level": effect.level,
        "verdict": effect.verdict,
        "apart_from": list(effect.confounded_with),
        "smallest_visible_s": effect.smallest_visible_s,
        "runs_used": effect.runs_used,
        "p_holm": effect.p_holm,
        "joint": None if effect.joint is None else asdict(effect.joint),
        "at_cool": _at(effect.at_cool),
        "at_hot": _at(effect.at_hot),
        "on_average": _at(effect.on_average),
        "sentence": effect.sentence,
        "regime": "clean",
    }


def _regime_effect(effect: RegimeEffect) -> dict[str, Any]:
    """Write an effect on a chance with the keys of an effect on a time, those without meaning empty."""
    return {
        "response": effect.response,
        "adjustment": effect.adjustment,
        "label": effect.label,
        "step": effect.step,
        "per_step_s": None,
        "low_s": None,
        "high_s": None,
        "level": LEVEL,
        "verdict": effect.verdict,
        "apart_from": [],
        "regime": effect.regime,
        "chance_per_step": effect.chance_per_step,
        "chance_low": effect.low,
        "chance_high": effect.high,
        "sentence": effect.sentence,
    }


def told(fit: SeasonFit) -> dict[str, list[dict[str, Any]]]:
    """List the results that the fit marks for ``season.json``, each under its own name."""
    return {
        field.name: [asdict(one) for one in getattr(fit, field.name)]
        for field in fields(fit)
        if field.metadata == IN_JSON
    }


def effects(fit: SeasonFit, adjustment: str | None = None) -> list[dict[str, Any]]:
    """List effects on the time of a clean launch."""
    return [_effect(one) for one in fit.effects if adjustment in (None, one.adjustment)]


def regime_effects(fit: SeasonFit, adjustment: str | None = None) -> list[dict[str, Any]]:
    """List effects on the chances of spinning and of bogging."""
    return [_regime_effect(one) for one in fit.regime_effects if adjustment in (None, one.adjustment)]


def _at(values: tuple[float, float, float] | None) -> dict[str, float] | None:
    return None if values is None else dict(zip(("per_step_s", "low_s", "high_s"), values, strict=True))


def main_change(changes: Sequence[SeasonChange]) -> dict[str, Any] | None:
    """Return the change of 60 ft when there is one, else the first."""
    main = next((change for change in changes if change.response == "t60"), None)
    main = main or next(iter(changes), None)
    return None if main is None else change(main)


def change(change: SeasonChange) -> dict[str, Any]:
    """Return a season's change with its parts."""
    return {
        "response": change.response,
        "title": change.title,
        "from": asdict(change.from_period),
        "to": asdict(change.to_period),
        "total_s": change.total_s,
        "parts": [
            {
                "factor": part.factor,
                "label": part.label,
                "seconds": part.seconds,
                "low_s": part.low_s,
                "high_s": part.high_s,
            }
            for part in change.parts
        ],
        "unexplained_s": change.unexplained_s,
    }


def event_change(one: EventChange) -> dict[str, Any]:
    """Return an event against the one before."""
    return {
        "event_before": one.event_before,
        "event": one.event,
        "change": change(one.change),
        "settings": None if one.settings is None else asdict(one.settings),
        "tau_s": one.tau_s,
    }


def next_setting(choice: NextSetting | None) -> dict[str, Any] | None:
    """Return the next setting with what was weighed; None where none was worked out."""
    if choice is None:
        return None
    return {
        "response": choice.response,
        "forecast": asdict(choice.forecast),
        "stay": asdict(choice.stay),
        "change_to": None if choice.change_to is None else asdict(choice.change_to),
        "gain_s": choice.gain_s,
        "gain_low_s": choice.gain_low_s,
        "gain_high_s": choice.gain_high_s,
        "p_better": choice.p_better,
        "limited_by": list(choice.limited_by),
        "no_suggestion_for": list(choice.no_suggestion_for),
        "quick_only": choice.quick_only,
        "sentence": choice.sentence,
        "p_spin": choice.p_spin,
        "p_bog": choice.p_bog,
        "risk": choice.risk,
        "smallest_legal": None if choice.smallest_legal is None else asdict(choice.smallest_legal),
        "torque_capacity": choice.torque_capacity,
        "trial": None if choice.trial is None else asdict(choice.trial),
        "parts": [asdict(part) for part in choice.parts],
        "since_last": choice.since_last,
        "untried": choice.untried,
    }


def plan(plan: TestPlan | None) -> list[dict[str, Any]]:
    """Return the test runs in order."""
    if plan is None:
        return []
    return [
        {
            "order": run.order,
            "block": run.block,
            "settings": run.settings,
            "why": run.why,
            "changed": list(run.changed),
            "minutes": run.minutes,
        }
        for run in plan.runs
    ]


def wear(wear: Wear | None) -> dict[str, Any] | None:
    """Return the wear state and its services."""
    if wear is None:
        return None
    return {
        "ring_height_in": wear.ring_height_in,
        "growth_in_per_run": wear.growth_in_per_run,
        "preload_lost_lb": wear.preload_lost_lb,
        "runs_to_service": wear.runs_to_service,
        "runs_to_service_low": wear.runs_to_service_low,
        "runs_to_service_high": wear.runs_to_service_high,
        "grown_since_set_in": wear.grown_since_set_in,
        "grown_since_service_in": wear.grown_since_service_in,
        "shim_to_remove_in": wear.shim_to_remove_in,
        "shims": list(wear.shims),
        "services": [asdict(service) for service in wear.services],
        "sentence": wear.sentence,
    }


def questions(questions: pl.DataFrame) -> list[dict[str, Any]]:
    """Return the entries that wait for an answer."""
    return [
        {key: row.get(key) if key == "row" else text(row.get(key)) for key in QUESTION_KEYS}
        for row in questions.iter_rows(named=True)
    ]


def text(value: Any) -> str | None:
    """Return a value as text; what is missing stays missing."""
    return None if value is None else str(value)
