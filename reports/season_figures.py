"""Every figure of the season review, with its words and what stands in its place when data are thin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import polars as pl

from pipeline.decide.results import NextSetting, TestPlan
from pipeline.season.check_results import NightCheck
from pipeline.season.results import Effect, SeasonChange, Spread, Wear
from pipeline.season.season_fit import SeasonFit
from reports.charts.effects import effects_chart
from reports.charts.nights import consistency_chart, nights_chart
from reports.charts.precision import precision_chart
from reports.charts.spread import spread_chart
from reports.charts.waterfall import waterfall_chart
from reports.clutch_figures import ClutchRecord, clutch_figures
from reports.equal_air import figures as air_figures
from reports.frames import nights_of, used
from reports.launch_figures import advised_rpm, launch_chances_figure, rpm_figure
from reports.numbers import interval, of, seconds, short_day, thousandths
from reports.page import Figure, Table
from reports.words import (
    RESPONSE_NAMES,
    RUN_MARKS,
    Setting,
    listed,
    plain,
    responses_in,
    setting,
    settings_of,
    spread_label,
    step_words,
    verdict_words,
)


def season_figures(
    fit: SeasonFit,
    runs: pl.DataFrame,
    wear: Wear | None,
    next_setting: NextSetting | None,
    plan: TestPlan | None,
    clutch: ClutchRecord,
) -> tuple[Figure, ...]:
    """Make the figures in the order of the page."""
    known = settings_of(fit)
    start = next_setting.forecast.track_temp_degf if next_setting is not None else None
    nights = nights_of(fit.nights, "t60")
    made = [
        effects_figure(
            [effect for effect in fit.effects if effect.response == name], name, known, brief=place > 0
        )
        for place, name in enumerate(responses_in(fit) or ["t60"])
    ]
    made += [
        spread_figure([one for one in fit.spread if one.response == name], name, known)
        for name in ("t60", "t330")
    ]
    made += [
        change_figure(change, place, brief=change.response != fit.changes[0].response)
        for place, change in enumerate(fit.changes, start=1)
    ]
    if not fit.changes:
        made.append(no_change_figure())
    made += [
        rpm_figure(fit.rpm_by_track_temp, used(runs, "t60"), start, advised_rpm(next_setting)),
        launch_chances_figure(fit.launch_chances, fit.regime_effects, used(runs, "t60")),
        consistency_figure(nights, used(runs, "t60")),
        nights_figure(nights),
        *air_figures(fit),
        *clutch_figures(runs, used(runs, "t60"), wear, clutch),
        precision_figure(plan, known),
    ]
    return tuple(made)


def effects_figure(
    effects: Sequence[Effect], response: str, known: Mapping[str, Setting], *, brief: bool = False
) -> Figure:
    """Make the figure of one response's effects; a brief one leaves out how to read it."""
    name = RESPONSE_NAMES[response]
    return Figure(
        key=f"effects-{response}".replace("_", "-"),
        title=f"What one step of each did to {name}",
        reads=""
        if brief
        else "Left of the line is quicker. A mark is the best estimate, its bar what the runs leave "
        "open (95 chances in 100).",
        spoken=f"Effect of one step of each adjustment on {name}: "
        + listed(f"{step_words(one, known)} {thousandths(one.per_step_s)} thousandths" for one in effects),
        chart=effects_chart(effects, known),
        empty=f"No effect on {name} can be worked out yet: it takes runs with settings, a track temperature "
        "and some change between them.",
        table=Table(
            caption=f"Effects on {name}, thousandths of a second per step",
            headings=("adjustment", "per step", "interval", "verdict"),
            rows=tuple(
                (
                    step_words(one, known),
                    thousandths(one.per_step_s),
                    interval(one.low_s, one.high_s, 1, scale=1000),
                    verdict_words(one, known),
                )
                for one in effects
            ),
            figures=frozenset({1, 2}),
        ),
        marks=()
        if brief
        else (
            ("moved", "moved it"),
            ("likely", "likely moved it"),
            ("no_sign", "no sign of it"),
            ("inseparable", "can’t be told apart"),
            ("unseen", "too small to have shown"),
        ),
    )


def spread_figure(spread: Sequence[Spread], response: str, known: Mapping[str, Setting]) -> Figure:
    """Make the figure of what made the spread between runs of one response."""
    name = RESPONSE_NAMES[response]
    return Figure(
        key=f"spread-{response}",
        title=f"What made {name} differ from run to run",
        reads="How much the times would have varied by had only this one changed as it did. A mark is the "
        "best estimate, its bar what the runs leave open (95 chances in 100); where bars lie over each "
        "other the order is open too.",
        spoken=f"Spread of {name} by what made it: "
        + listed(f"{spread_label(one, known)} {thousandths(one.seconds, sign=False)}" for one in spread),
        chart=spread_chart(spread, known),
        empty=f"What made {name} differ cannot be worked out yet: it takes runs with settings and some "
        "change between them.",
        table=Table(
            caption=f"Spread of {name} between runs, thousandths of a second",
            headings=("made by", "spread", "interval", "cannot be ranked against"),
            rows=tuple(
                (
                    spread_label(one, known),
                    thousandths(one.seconds, sign=False),
                    interval(one.low_s, one.high_s, 1, scale=1000),
                    listed(_labels_of(one.tied_with, spread, known)),
                )
                for one in spread
            ),
            figures=frozenset({1, 2}),
        ),
    )


def _labels_of(names: Sequence[str], spread: Sequence[Spread], known: Mapping[str, Setting]) -> list[str]:
    by_name = {one.adjustment: one for one in spread}
    return [spread_label(by_name[name], known) for name in names if name in by_name]


def change_figure(change: SeasonChange, place: int, *, brief: bool = False) -> Figure:
    """Make a waterfall's figure; a brief one leaves out how to read it."""
    name = RESPONSE_NAMES[change.response]
    parts = [(part.label, part.seconds, part.low_s, part.high_s) for part in change.parts]
    return Figure(
        key=f"change-{place}-{change.response}".replace("_", "-"),
        title=f"{name}: {change.title}" if change.title else f"Where the {name} went",
        reads=""
        if brief
        else "From the mean of the first runs to the mean of the last, step by step down the ledger. "
        "A thin line is what the runs leave open on that step.",
        spoken=f"{name} went from {seconds(change.from_period.mean_s)} to "
        f"{seconds(change.to_period.mean_s)}: "
        + listed(f"{label} {thousandths(value)} thousandths" for label, value, _, _ in parts),
        chart=waterfall_chart(change),
        empty="Nothing changed between the two sets of runs that the model could give a part to.",
        table=Table(
            caption=f"Parts of the change of {name}, thousandths of a second",
            headings=("factor", "part", "interval"),
            rows=(
                *(
                    (label, thousandths(value), interval(low, high, 1, scale=1000))
                    for label, value, low, high in parts
                ),
                ("unexplained", thousandths(change.unexplained_s), ""),
                ("in all", thousandths(change.total_s), ""),
            ),
            figures=frozenset({1, 2}),
        ),
    )


def no_change_figure() -> Figure:
    """Stand where a waterfall would."""
    return Figure(
        key="change-none",
        title="Where the time went",
        reads="",
        spoken="",
        chart=None,
        empty="A season’s change is told between its first and its last runs; there are not yet enough "
        "of either.",
    )


def consistency_figure(nights: Sequence[NightCheck], runs: pl.DataFrame) -> Figure:
    """Make the figure of every run by event."""
    return Figure(
        key="consistency",
        title="Every run, event by event",
        reads="Within a row runs lie from the first (top) to the last. The figure at the right is the "
        "typical 60 ft; a tight cluster is a consistent car.",
        spoken="Typical 60 ft by event: "
        + listed(f"{short_day(one.date)} {seconds(one.typical_s)}" for one in nights),
        chart=consistency_chart(nights, runs),
        empty="No event has usable 60 ft times yet.",
        table=Table(
            caption="Consistency by event, 60 ft",
            headings=("event", "runs", "best", "typical", "expected", "spread, thousandths"),
            rows=tuple(
                (
                    f"{short_day(one.date)} {one.event}",
                    str(one.runs),
                    seconds(one.best_s),
                    seconds(one.typical_s),
                    seconds(one.expected_s),
                    thousandths(one.spread_s, sign=False),
                )
                for one in nights
            ),
            figures=frozenset({1, 2, 3, 4, 5}),
        ),
        marks=(*RUN_MARKS, ("typical", "typical"), ("band", "expected")),
    )


def nights_figure(nights: Sequence[NightCheck], event: str = "") -> Figure:
    """Make the figure of whole nights against the car's usual, one of them picked out."""
    return Figure(
        key="nights",
        title="The whole night against the car’s usual",
        reads="What is left when settings, air, track temperature and wear have had their share. The band "
        "is how far nights usually stray.",
        spoken="Nights against usual, thousandths: "
        + listed(f"{short_day(one.date)} {thousandths(one.night_s)}" for one in nights),
        chart=nights_chart(nights, event),
        empty="It takes at least two events to tell one night from the car’s usual.",
        table=Table(
            caption="The whole night, thousandths of a second from the car’s usual",
            headings=("event", "night", "interval", "runs"),
            rows=tuple(
                (
                    f"{short_day(one.date)} {one.event}",
                    thousandths(one.night_s),
                    interval(one.night_low_s, one.night_high_s, 1, scale=1000),
                    str(one.runs),
                )
                for one in nights
            ),
            figures=frozenset({1, 2, 3}),
        ),
        marks=(("dot", "a night"), ("band", "nights usually stray this far")),
    )


def precision_figure(plan: TestPlan | None, known: Mapping[str, Setting]) -> Figure:
    """Make the figure of what a test plan would teach."""
    precision = plan.precision if plan is not None else ()
    return Figure(
        key="precision",
        title="What the test would teach",
        reads="Hollow is how unsure each step is now, filled how unsure after the test. Further left is "
        "better known.",
        spoken="Uncertainty of each step before and after the test: "
        + listed(
            f"{setting(one.adjustment, known).label} {thousandths(one.now_s, sign=False)} to "
            f"{thousandths(one.after_s, sign=False)} thousandths"
            for one in precision
        ),
        chart=precision_chart(precision, known),
        empty="There is no test plan to judge.",
        table=Table(
            caption="How unsure each step is, thousandths of a second",
            headings=("adjustment", "step", "now", "after the test"),
            rows=tuple(
                (
                    setting(one.adjustment, known).label,
                    plain(one.step),
                    thousandths(one.now_s, sign=False),
                    thousandths(one.after_s, sign=False),
                )
                for one in precision
            ),
            figures=frozenset({2, 3}),
        ),
        marks=(
            ("hollow", "now"),
            ("left", f"after {of(len(plan.runs), 'test run') if plan else 'the test'}"),
        ),
    )
