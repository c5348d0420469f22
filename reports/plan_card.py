"""A test plan as an ordered card: blocks of clutch settings with launch rpm free inside them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.decide.results import PlannedRun, TestPlan
from reports.numbers import of
from reports.page import Table
from reports.words import RESPONSE_NAMES, Setting, capital, listed, setting

CHANGED = "▸"


def plan_card(plan: TestPlan | None, known: Mapping[str, Setting]) -> dict[str, Any] | None:
    """Prepare a test plan for its template.

    Parameters
    ----------
    plan
        None when nothing can be planned.
    known
        How adjustments are called.

    Returns
    -------
    dict or None
        ``table`` in order of running, ``notes``, ``sentence``, ``response``.
    """
    if plan is None or not plan.runs:
        return None
    names = list(dict.fromkeys(name for run in plan.runs for name in run.settings))
    rows = tuple(
        (
            str(run.order),
            str(run.block),
            *(_marked(run, name, known) for name in names),
            *([f"{run.minutes:.0f}"] if run.minutes is not None else []),
            run.why,
        )
        for run in plan.runs
    )
    blocks = len({run.block for run in plan.runs})
    waits = plan.runs[0].minutes is not None
    notes = [f"Held back: {listed(plan.limited_by)}."] if plan.limited_by else []
    notes += [capital(line) for line in plan.no_suggestion_for]
    return {
        "table": Table(
            caption=f"{of(len(plan.runs), 'run')} in {of(blocks, 'clutch setting')}, "
            f"in the order to make them; {CHANGED} marks what differs from the run before",
            headings=(
                "run",
                "clutch setting",
                *(setting(name, known).label for name in names),
                *(["min before"] if waits else []),
                "why",
            ),
            rows=rows,
            figures=frozenset(range(2, 2 + len(names) + waits)),
        ),
        "notes": notes,
        "sentence": plan.sentence,
        "response": RESPONSE_NAMES[plan.response],
    }


def _marked(run: PlannedRun, name: str, known: Mapping[str, Setting]) -> str:
    """Write a run's setting, with a mark where it differs from the run before."""
    text = setting(name, known).text(run.settings.get(name))
    return f"{CHANGED} {text}" if name in run.changed else text
