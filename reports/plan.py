"""The test plan: the runs worth making, what they would teach, and a sheet to fill in beside the car."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, field

from pipeline.decide.results import TestPlan
from pipeline.files.spreadsheet_text import as_text
from pipeline.garage.dictionary import TIMESLIPS
from reports.answer import Said
from reports.charts.common import unchecked
from reports.numbers import of, thousandths
from reports.page import Figure, Page, render_page
from reports.plan_card import plan_card
from reports.season_figures import precision_figure
from reports.words import COLUMNS, Setting, capital, listed, per_step, setting, settings_of

BLANKS = ("60 ft", "330 ft", "660 ft", "660 mph", "track °F", "how it went")
"""What is written by hand beside each planned run."""
SHEET_COLUMNS = ("date", "time", *(column.name for column in TIMESLIPS.columns if column.heading))


@dataclass(frozen=True, slots=True)
class PlanPage(Page):
    """What the test plan's page is made from.

    Attributes
    ----------
    car
        Its name.
    plan
        None when nothing can be planned; then ``why_not`` says so.
    extras
        Label and unit of the extra adjustments, by name.
    why_not
        Why nothing can be planned.
    """

    car: str
    plan: TestPlan | None
    extras: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    why_not: str = ""


@unchecked
def figures(page: PlanPage) -> tuple[Figure, ...]:
    """Return every figure of the page."""
    return (precision_figure(page.plan, settings_of(None, page.extras)),)


@unchecked
def render(page: PlanPage) -> str:
    """Write the test plan as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    known = settings_of(None, page.extras)
    card = plan_card(page.plan, known)
    return render_page(
        "plan.html",
        page,
        title=f"{page.car}: test plan",
        figures=figures(page),
        car=page.car,
        answer=_answer(page, known),
        plan=card,
        sheet=_sheet(page, known),
        blanks=BLANKS,
    )


def sheet_csv(page: PlanPage) -> str:
    """Write the sheet to fill in as CSV with headings that ingest reads back.

    Settings are filled in; dates, times and slips are left for the person at the track.

    Parameters
    ----------
    page
        With a plan.

    Returns
    -------
    str
        CSV text, one row a planned run.
    """
    runs = page.plan.runs if page.plan is not None else ()
    by_column = {column: name for name, column in COLUMNS.items()}
    extras = [
        name for name in dict.fromkeys(key for run in runs for key in run.settings) if name not in COLUMNS
    ]
    headings = {column.name: column.heading for column in TIMESLIPS.columns}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*(headings.get(name) or name for name in SHEET_COLUMNS), *extras])
    for run in runs:
        filled = {
            "car": as_text(page.car),
            "round": f"test {run.order}",
            **{
                column: _plain(run.settings[name])
                for column, name in by_column.items()
                if name in run.settings
            },
        }
        writer.writerow(
            [
                *(filled.get(name, "") for name in SHEET_COLUMNS),
                *(_plain(run.settings[name]) if name in run.settings else "" for name in extras),
            ]
        )
    return text.getvalue()


def _plain(value: float) -> str:
    return f"{value:g}" if abs(value) < 1e5 else f"{value:.0f}"


def _answer(page: PlanPage, known: Mapping[str, Setting]) -> list[Said]:
    if page.plan is None or not page.plan.runs:
        why = page.why_not or "It takes a fit, and limits in garage.toml for the settings to vary."
        return [Said("No test is planned.", why)]
    said = [Said(f"{capital(of(len(page.plan.runs), 'run'))}.", page.plan.sentence)]
    if page.plan.precision:
        better = listed(
            f"{setting(one.adjustment, known).label} from {thousandths(one.now_s, sign=False)} to "
            f"{thousandths(one.after_s, sign=False)} per {per_step(one.step)}"
            for one in page.plan.precision
        )
        said.append(Said("What it would teach.", f"How unsure each step is, in thousandths: {better}."))
    return said


def _sheet(page: PlanPage, known: Mapping[str, Setting]) -> list[dict[str, object]]:
    runs = page.plan.runs if page.plan is not None else ()
    rows: list[dict[str, object]] = []
    block = None
    for run in runs:
        rows.append(
            {
                "order": run.order,
                "new_block": run.block != block,
                "block": run.block,
                "settings": [
                    f"{setting(name, known).label} {setting(name, known).text(value)}"
                    for name, value in run.settings.items()
                ],
            }
        )
        block = run.block
    return rows
