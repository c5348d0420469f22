"""The machine-readable result beside a page: ``season.json``, and the same keys wherever the same is said.

Kept compatible: keys may be added, never renamed or taken away. ``results.schema.json`` describes it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
import polars as pl

from pipeline.cautions import CAUTIONS
from pipeline.season.results import (
    Effect,
    EventChange,
    NextSetting,
    Period,
    RegimeEffect,
    RpmPoint,
    SeasonChange,
    SeasonFit,
    SettingChoice,
    TestPlan,
    Wear,
)
from reports.attached import AttachedPage, runs_of
from reports.frames import last_run_date

if TYPE_CHECKING:
    from reports.clutch import ClutchPage
    from reports.compare import ComparePage
    from reports.evidence import EvidencePage
    from reports.fleet import FleetPage
    from reports.handout import HandoutPage
    from reports.next import NextPage
    from reports.nightly import NightlyPage
    from reports.plan import PlanPage
    from reports.season import SeasonPage

SCHEMA_VERSION = 1
LEVEL = 0.95
FATES = ("kept", "questioned", "rejected", "set_aside")
USE_KEYS = (
    "kind", "file", "sheet", "row", "quantities", "is_questioned", "moment", "off_h", "off_runs",
    "is_on_slip",
)  # fmt: skip
QUESTION_KEYS = ("file", "sheet", "row", "column", "value", "reading", "problem", "suggestion", "severity")


def season_document(page: SeasonPage) -> dict[str, Any]:
    """Return the whole season as one document.

    Parameters
    ----------
    page
        What the season review is made from.

    Returns
    -------
    dict
        Valid against ``results.schema.json``; plain values only.
    """
    return _document(
        {
            **_header(page.fit.car, page),
            "runs": count_fates(page.slip_fates) | {"used": _used(page.runs)},
            "effects": _effects(page.fit),
            "regime_effects": _regime_effects(page.fit),
            "spread": [asdict(one) for one in page.fit.spread],
            "change": _main_change(page.fit.changes),
            "changes": [_change(change) for change in page.fit.changes],
            "rpm_by_track_temp": [_rpm(point) for point in page.fit.rpm_by_track_temp],
            "launch_chances": [asdict(point) for point in page.fit.launch_chances],
            "next": _next(page.next_setting),
            "plan": _plan(page.plan),
            "wear": _wear(page.wear),
            "questions": _questions(page.questions),
            "sheets": _sheets(page.sheet_columns),
            "nights": [asdict(night) for night in page.fit.nights],
            "advice": [asdict(one) for one in page.fit.advice],
            "challenger": [asdict(one) for one in page.second_opinions.challenger],
            "mixed_model": [asdict(one) for one in page.second_opinions.mixed_model],
        }
    )


def nightly_document(page: NightlyPage) -> dict[str, Any]:
    """Return one event as a document with the same keys.

    Parameters
    ----------
    page
        What the report of one event is made from.

    Returns
    -------
    dict
        As ``season_document``; ``runs`` counts the event's slips, ``checks`` holds each run against
        expectation, and ``next`` and ``wear`` stand as of the day ``as_of``, the car's last run.
    """
    at_event = pl.col("event") == page.event
    runs = page.runs.filter(at_event)
    ids = set(runs["run_id"])
    return _document(
        {
            **_header(page.fit.car, page),
            "event": page.event,
            "runs": count_fates(page.slip_fates.filter(pl.col("event") == page.event))
            | {"used": _used(runs)},
            "effects": _effects(page.fit),
            "regime_effects": _regime_effects(page.fit),
            "change": _main_change(page.fit.changes),
            "rpm_by_track_temp": [_rpm(point) for point in page.fit.rpm_by_track_temp],
            "next": _next(page.next_setting),
            "plan": [],
            "wear": _wear(page.wear),
            "questions": _questions(page.questions),
            "as_of": _text(last_run_date(page.runs)),
            "nights": [asdict(night) for night in page.fit.nights if night.event == page.event],
            "event_changes": [
                _event_change(one) for one in page.fit.event_changes if one.event == page.event
            ],
            "checks": [asdict(check) for check in page.fit.run_checks if check.run_id in ids],
        }
    )


def evidence_document(page: EvidencePage) -> dict[str, Any]:
    """Return one adjustment's evidence as a document with the same keys.

    Parameters
    ----------
    page
        What the page of one adjustment is made from.

    Returns
    -------
    dict
        As ``season_document`` with the effects of that adjustment only, its curve and its pairs.
    """
    mine = page.adjustment
    return _document(
        {
            **_header(page.fit.car, page),
            "adjustment": mine,
            "runs": count_fates(page.slip_fates) | {"used": _used(page.runs)},
            "effects": _effects(page.fit, mine),
            "regime_effects": _regime_effects(page.fit, mine),
            "change": _main_change(page.fit.changes),
            "rpm_by_track_temp": [_rpm(point) for point in page.fit.rpm_by_track_temp],
            "next": None,
            "plan": _plan(page.plan),
            "wear": None,
            "questions": _questions(page.questions),
            "curve": [asdict(point) for point in page.fit.curves if point.adjustment == mine],
            "before_after": [asdict(pair) for pair in page.fit.before_after if pair.adjustment == mine],
        }
    )


def fit_document(fits: Sequence[SeasonFit]) -> dict[str, Any]:
    """Return the effects of several cars, each as in ``season_document``."""
    return _document(
        {
            "schema_version": SCHEMA_VERSION,
            "cars": [{"car": fit.car, "effects": _effects(fit)} for fit in fits],
        }
    )


def next_document(page: NextPage) -> dict[str, Any]:
    """Return a suggestion as a document; ``next`` and ``rpm_by_track_temp`` as in ``season_document``."""
    return _document(
        {
            **_header(page.car, page),
            "next": _next(page.next_setting),
            "rpm_by_track_temp": [_rpm(point) for point in page.dash],
        }
    )


def compare_document(page: ComparePage) -> dict[str, Any]:
    """Return two settings side by side as a document; settings and times as in ``next``."""
    found = page.comparison
    sides = {
        name: {**_choice(side.choice), "asked": side.asked, "against": side.against}
        for name, side in (("a", found.a), ("b", found.b))
    }
    return _document(
        {
            **_header(page.car, page),
            "compare": {
                "response": found.response,
                "forecast": asdict(found.forecast),
                **sides,
                "difference_s": found.difference_s,
                "low_s": found.low_s,
                "high_s": found.high_s,
                "p_a_quicker": found.p_a_quicker,
                "sentence": found.sentence,
            },
        }
    )


def plan_document(page: PlanPage) -> dict[str, Any]:
    """Return a test plan as a document; ``plan`` as in ``season_document``, the rest beside it."""
    plan = page.plan
    return _document(
        {
            **_header(page.car, page),
            "plan": _plan(plan),
            "purpose": None if plan is None else plan.purpose,
            "worth_s": None if plan is None else plan.worth_s,
            "price_s": None if plan is None else plan.price_s,
            "is_worth_it": None if plan is None else plan.is_worth_it,
            "precision": [] if plan is None else [asdict(one) for one in plan.precision],
            "limited_by": [] if plan is None else plan.limited_by,
            "no_suggestion_for": [] if plan is None else plan.no_suggestion_for,
            "sentence": page.why_not if plan is None else plan.sentence,
        }
    )


def handout_document(page: HandoutPage) -> dict[str, Any]:
    """Return the handout as a document; ``next``, ``plan`` and ``wear`` as in ``season_document``."""
    return _document(
        {
            **_header(page.fit.car, page),
            "as_of": page.as_of or None,
            "effects": _effects(page.fit),
            "next": _next(page.next_setting),
            "limits": [asdict(one) for one in page.limits],
            "plan": _plan(page.plan),
            "wear": _wear(page.wear),
        }
    )


def clutch_document(page: ClutchPage) -> dict[str, Any]:
    """Return a bench card as a document."""
    return _document({**_header(page.car, page), "bench_card": page.card})


def attached_document(page: AttachedPage) -> dict[str, Any]:
    """Return what was attached to what: each event's runs, the rows each used, and the rows none used."""
    events: dict[str | None, list[dict[str, Any]]] = {}
    by_run = page.used.partition_by("run_id", as_dict=True)
    for run in runs_of(page.used).iter_rows(named=True):
        used = by_run[(run["run_id"],)].drop_nulls("kind")
        events.setdefault(run["event"], []).append(
            {
                "run_id": run["run_id"],
                "run_of_event": run["run_of_event"],
                "run_at": _text(run["run_at"]),
                "has_time": run["has_time"],
                "venue": run["venue"],
                **{key: run[f"slip_{key}"] for key in ("file", "sheet", "row")},
                "used": [
                    {key: _text(row[key]) if key == "moment" else row[key] for key in USE_KEYS}
                    for row in used.iter_rows(named=True)
                ],
            }
        )
    return _document(
        {
            **_header(page.car, page),
            "events": [{"event": event, "runs": runs} for event, runs in events.items()],
            "unused": [row | {"moment": _text(row["moment"])} for row in page.unused.to_dicts()],
        }
    )


def fleet_document(page: FleetPage) -> dict[str, Any]:
    """Return a fleet's findings as a document, with one car's effects when a car is asked for."""
    return _document(
        {
            **_header(page.car, page),
            "fleet": asdict(page.fleet),
            "car_effects": [asdict(effect) for effect in page.car_effects],
        }
    )


class _Page(Protocol):
    @property
    def store_version(self) -> str: ...
    @property
    def generated_at(self) -> str: ...


def _header(car: str | None, page: _Page) -> dict[str, Any]:
    """Return what every document opens with: warnings first, and cautions wherever its numbers go."""
    return {
        "schema_version": SCHEMA_VERSION,
        "car": car,
        "store_version": page.store_version,
        "generated_at": page.generated_at,
        "warnings": [asdict(warning) for warning in getattr(page, "warnings", ())],
        "cautions": CAUTIONS,
    }


def count_fates(slip_fates: pl.DataFrame) -> dict[str, int]:
    """Count slips by what became of them; ``read`` is their sum."""
    counts = {fate: slip_fates.filter(pl.col("fate") == fate).height for fate in FATES}
    return {"read": sum(counts.values()), **counts}


def _sheets(columns: pl.DataFrame) -> list[dict[str, Any]]:
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


def _used(runs: pl.DataFrame) -> dict[str, int]:
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


def _effects(fit: SeasonFit, adjustment: str | None = None) -> list[dict[str, Any]]:
    """List effects on the time of a clean launch."""
    return [_effect(one) for one in fit.effects if adjustment in (None, one.adjustment)]


def _regime_effects(fit: SeasonFit, adjustment: str | None = None) -> list[dict[str, Any]]:
    """List effects on the chances of spinning and of bogging."""
    return [_regime_effect(one) for one in fit.regime_effects if adjustment in (None, one.adjustment)]


def _at(values: tuple[float, float, float] | None) -> dict[str, float] | None:
    return None if values is None else dict(zip(("per_step_s", "low_s", "high_s"), values, strict=True))


def _main_change(changes: Sequence[SeasonChange]) -> dict[str, Any] | None:
    """Return the change of 60 ft when there is one, else the first."""
    main = next((change for change in changes if change.response == "t60"), None)
    main = main or next(iter(changes), None)
    return None if main is None else _change(main)


def _change(change: SeasonChange) -> dict[str, Any]:
    return {
        "response": change.response,
        "title": change.title,
        "from": _period(change.from_period),
        "to": _period(change.to_period),
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


def _event_change(one: EventChange) -> dict[str, Any]:
    return {
        "event_before": one.event_before,
        "event": one.event,
        "change": _change(one.change),
        "settings": None if one.settings is None else asdict(one.settings),
        "tau_s": one.tau_s,
    }


def _period(period: Period) -> dict[str, Any]:
    return asdict(period)


def _rpm(point: RpmPoint) -> dict[str, Any]:
    return asdict(point)


def _choice(choice: SettingChoice) -> dict[str, Any]:
    return asdict(choice)


def _next(choice: NextSetting | None) -> dict[str, Any] | None:
    if choice is None:
        return None
    return {
        "response": choice.response,
        "forecast": asdict(choice.forecast),
        "stay": _choice(choice.stay),
        "change_to": None if choice.change_to is None else _choice(choice.change_to),
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
        "smallest_legal": None if choice.smallest_legal is None else _choice(choice.smallest_legal),
        "torque_capacity": choice.torque_capacity,
        "trial": None if choice.trial is None else asdict(choice.trial),
        "parts": [asdict(part) for part in choice.parts],
        "since_last": choice.since_last,
    }


def _plan(plan: TestPlan | None) -> list[dict[str, Any]]:
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


def _wear(wear: Wear | None) -> dict[str, Any] | None:
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


def _questions(questions: pl.DataFrame) -> list[dict[str, Any]]:
    return [
        {key: row.get(key) if key == "row" else _text(row.get(key)) for key in QUESTION_KEYS}
        for row in questions.iter_rows(named=True)
    ]


def _text(value: Any) -> str | None:
    return None if value is None else str(value)


def _document(keys: dict[str, Any]) -> dict[str, Any]:
    return {key: _finite(value) for key, value in keys.items()}


def _finite(value: Any) -> Any:
    """Make a document plain: tuples become lists, and what is not a finite number becomes null."""
    if isinstance(value, Mapping):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
