"""The next-setting card, with the dash sheet of launch rpm by track temperature to tape up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import polars as pl

from pipeline.decide.results import NextSetting
from pipeline.season.results import RpmPoint
from reports.answer import Said, next_sentence
from reports.charts.choice import choice_chart
from reports.charts.common import unchecked
from reports.frames import event_choices, used, with_run_words
from reports.launch_figures import advised_rpm, rpm_figure
from reports.numbers import fixed, interval, known, percent, seconds
from reports.page import Figure, Page, Table, render_page
from reports.setting_card import setting_card
from reports.words import EDGE_WORDS, settings_of

DASH_STEP_RPM = 50
HEADS = {"stay": "Stay.", "come_inside": "Come inside the limits first.", "nothing": "Nothing is suggested."}
NO_RUNS = pl.DataFrame(
    schema={
        "run_words": pl.String,
        "event": pl.String,
        "outcome": pl.String,
        "launch_rpm": pl.Float64,
        "track_temp_degf": pl.Float64,
        "t60_s": pl.Float64,
    }
)


@dataclass(frozen=True, slots=True)
class NextPage(Page):
    """What the next-setting page is made from.

    Attributes
    ----------
    car
        Its name.
    next_setting
        The suggestion, or staying.
    dash
        Best launch rpm by track temperature, in order of temperature; may be empty.
    runs
        Of the car; drawn behind the rpm chart when given.
    extras
        Label and unit of the extra adjustments, by name.
    launch_rpm_limits
        Least and most, printed on the dash sheet. [rpm]
    """

    car: str
    next_setting: NextSetting
    dash: Sequence[RpmPoint]
    runs: pl.DataFrame | None = None
    extras: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    launch_rpm_limits: tuple[float, float] | None = None


@unchecked
def figures(page: NextPage) -> tuple[Figure, ...]:
    """Return every figure of the page, in order."""
    choice = page.next_setting
    options = [("stay", choice.stay)] + ([("change", choice.change_to)] if choice.change_to else [])
    runs = used(with_run_words(page.runs), "t60") if page.runs is not None else NO_RUNS
    return (
        Figure(
            key="choice",
            title="One run under either" if choice.change_to else "One run",
            reads="The mark is the time expected; the bar holds 95 runs in 100.",
            spoken="; ".join(
                f"{name}: {seconds(one.expected_s)}, {interval(one.low_s, one.high_s)}"
                for name, one in options
            ),
            chart=choice_chart(choice) if known(choice.stay.expected_s) else None,
            empty="No time is expected of a setting that is in question.",
            table=Table(
                caption="Expected time of one run, s",
                headings=("choice", "expected", "95 runs in 100"),
                rows=tuple(
                    (name, seconds(one.expected_s), interval(one.low_s, one.high_s)) for name, one in options
                ),
                figures=frozenset({1, 2}),
            ),
            marks=(("center", "expected"), ("band", "one run")),
        ),
        rpm_figure(page.dash, runs, choice.forecast.track_temp_degf, advised_rpm(choice)),
    )


@unchecked
def render(page: NextPage) -> str:
    """Write the next-setting page as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    names = settings_of(None, page.extras)
    card = setting_card(page.next_setting, names)
    assert card is not None
    choice = page.next_setting
    head = HEADS.get(choice.outcome, f"Change, {percent(choice.p_better)} sure.")
    return render_page(
        "next.html",
        page,
        title=f"{page.car}: next setting",
        figures=figures(page),
        car=page.car,
        answer=[Said(head, next_sentence(choice, names))],
        card=card,
        events=event_choices(page.runs) if page.runs is not None else [],
        dash=dash_rows(page),
        limits=page.launch_rpm_limits,
    )


def dash_rows(page: NextPage) -> list[dict[str, object]]:
    """Prepare the dash sheet: launch rpm by track temperature, to the nearest 50 rpm.

    The rpm is held inside the car's limits; a row never tried says so, and so do one whose band is every
    rpm there was to choose from and one at the edge of what was tried.
    """
    low, high = page.launch_rpm_limits or (-math.inf, math.inf)
    rows: list[dict[str, object]] = []
    for point in page.dash:
        rpm = point.launch_rpm
        held = min(max(rpm, low), high)
        rows.append(
            {
                "track": fixed(point.track_temp_f, 0),
                "rpm": fixed(_to_read_at_a_glance(held, low, high), 0),
                "range": f"{fixed(point.low_rpm, 0)} to {fixed(point.high_rpm, 0)}",
                "tried": point.supported,
                "held": held != rpm,
                "settled": point.settled,
                "edge": EDGE_WORDS.get(point.edge or ""),
            }
        )
    return rows


def _to_read_at_a_glance(rpm: float, low: float, high: float) -> float:
    """Round to 50 rpm; where that would leave the limits, leave the number as it is."""
    rounded = DASH_STEP_RPM * round(rpm / DASH_STEP_RPM)
    return rounded if low <= rounded <= high else rpm
