"""The machine-readable result beside a page: ``season.json``, and the same keys wherever the same is said.

Kept compatible: keys may be added, never renamed or taken away. ``results.schema.json`` describes it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl

from pipeline.cautions import CAUTIONS
from pipeline.season.season_fit import SeasonFit
from reports import json_parts as part
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
    from reports.page import Page
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
            "runs": part.count_fates(page.slip_fates) | {"used": part.used(page.runs)},
            "effects": part.effects(page.fit),
            "regime_effects": part.regime_effects(page.fit),
            **part.told(page.fit),
            "change": part.main_change(page.fit.changes),
            "changes": [part.change(change) for change in page.fit.changes],
            "next": part.next_setting(page.next_setting),
            "plan": part.plan(page.plan),
            "wear": part.wear(page.wear),
            "questions": part.questions(page.questions),
            "sheets": part.sheets(page.sheet_columns),
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
            "runs": part.count_fates(page.slip_fates.filter(pl.col("event") == page.event))
            | {"used": part.used(runs)},
            "effects": part.effects(page.fit),
            "regime_effects": part.regime_effects(page.fit),
            "change": part.main_change(page.fit.changes),
            "rpm_by_track_temp": [asdict(point) for point in page.fit.rpm_by_track_temp],
            "next": part.next_setting(page.next_setting),
            "plan": [],
            "wear": part.wear(page.wear),
            "questions": part.questions(page.questions),
            "as_of": part.text(last_run_date(page.runs)),
            "nights": [asdict(night) for night in page.fit.nights if night.event == page.event],
            "event_changes": [
                part.event_change(one) for one in page.fit.event_changes if one.event == page.event
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
            "runs": part.count_fates(page.slip_fates) | {"used": part.used(page.runs)},
            "effects": part.effects(page.fit, mine),
            "regime_effects": part.regime_effects(page.fit, mine),
            "change": part.main_change(page.fit.changes),
            "rpm_by_track_temp": [asdict(point) for point in page.fit.rpm_by_track_temp],
            "next": None,
            "plan": part.plan(page.plan),
            "wear": None,
            "questions": part.questions(page.questions),
            "curve": [asdict(point) for point in page.fit.curves if point.adjustment == mine],
            "before_after": [asdict(pair) for pair in page.fit.before_after if pair.adjustment == mine],
        }
    )


def fit_document(fits: Sequence[SeasonFit]) -> dict[str, Any]:
    """Return the effects of several cars, each as in ``season_document``."""
    return _document(
        {
            "schema_version": SCHEMA_VERSION,
            "cars": [{"car": fit.car, "effects": part.effects(fit)} for fit in fits],
        }
    )


def next_document(page: NextPage) -> dict[str, Any]:
    """Return a suggestion as a document; ``next`` and ``rpm_by_track_temp`` as in ``season_document``."""
    return _document(
        {
            **_header(page.car, page),
            "next": part.next_setting(page.next_setting),
            "rpm_by_track_temp": [asdict(point) for point in page.dash],
        }
    )


def compare_document(page: ComparePage) -> dict[str, Any]:
    """Return two settings side by side as a document; settings and times as in ``next``."""
    found = page.comparison
    sides = {
        name: {**asdict(side.choice), "asked": side.asked, "against": side.against}
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
            "plan": part.plan(plan),
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
            "effects": part.effects(page.fit),
            "next": part.next_setting(page.next_setting),
            "limits": [asdict(one) for one in page.limits],
            "plan": part.plan(page.plan),
            "wear": part.wear(page.wear),
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
                "run_at": part.text(run["run_at"]),
                "has_time": run["has_time"],
                "venue": run["venue"],
                **{key: run[f"slip_{key}"] for key in ("file", "sheet", "row")},
                "used": [
                    {key: part.text(row[key]) if key == "moment" else row[key] for key in USE_KEYS}
                    for row in used.iter_rows(named=True)
                ],
            }
        )
    return _document(
        {
            **_header(page.car, page),
            "events": [{"event": event, "runs": runs} for event, runs in events.items()],
            "unused": [row | {"moment": part.text(row["moment"])} for row in page.unused.to_dicts()],
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


def _header(car: str | None, page: Page) -> dict[str, Any]:
    """Return what every document opens with: warnings first, and cautions wherever its numbers go."""
    return {
        "schema_version": SCHEMA_VERSION,
        "car": car,
        "store_version": page.store_version,
        "generated_at": page.generated_at,
        "warnings": [asdict(warning) for warning in page.warnings],
        "cautions": CAUTIONS,
    }


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
