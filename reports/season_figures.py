"""Every figure of the season review, with its words and what stands in its place when data are thin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import polars as pl

from pipeline.season.results import (
    Effect,
    LaunchChance,
    NextSetting,
    NightCheck,
    RegimeEffect,
    RpmPoint,
    SeasonChange,
    SeasonFit,
    Spread,
    TestPlan,
    Wear,
)
from reports.charts.effects import effects_chart
from reports.charts.launch_chances import launch_chances_chart
from reports.charts.nights import consistency_chart, nights_chart
from reports.charts.precision import precision_chart
from reports.charts.rpm_by_track import TRACK_TEMP, rpm_by_track_chart
from reports.charts.spread import spread_chart
from reports.charts.waterfall import waterfall_chart
from reports.charts.wear import wear_chart
from reports.equal_air import figures as air_figures
from reports.frames import nights_of, used
from reports.numbers import fixed, interval, of, percent, seconds, short_day, thousandths
from reports.page import Figure, Slider, SliderStop, Table
from reports.words import (
    EDGE_WORDS,
    RESPONSE_NAMES,
    Setting,
    listed,
    responses_in,
    settings_of,
    spread_label,
    step_words,
    verdict_words,
)

RUN_MARKS = (("run", "a run"), ("spun", "spun"), ("bogged", "bogged"))


def season_figures(
    fit: SeasonFit,
    runs: pl.DataFrame,
    wear: Wear | None,
    next_setting: NextSetting | None,
    plan: TestPlan | None,
    service_due_in: float | None = None,
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
        wear_figure(runs, wear, service_due_in),
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


ADVICE_AWAY_RPM = 50.0
"""Advice and line differ from here on: what a dash is read to."""


def advised_rpm(choice: NextSetting | None) -> tuple[float, float] | None:
    """Return the track temperature and the launch rpm of what is advised; None where either is not known."""
    if choice is None or choice.forecast.track_temp_degf is None or choice.outcome == "nothing":
        return None
    rpm = (choice.change_to or choice.stay).settings.get("launch_rpm")
    return None if rpm is None else (choice.forecast.track_temp_degf, rpm)


def advice_and_line(points: Sequence[RpmPoint], advised: tuple[float, float] | None) -> str:
    """Say in a sentence why the advice and the line differ; empty where they do not."""
    if advised is None or not points:
        return ""
    temp, rpm = advised
    nearest = min(points, key=lambda point: abs(point.track_temp_f - temp))
    if abs(nearest.launch_rpm - rpm) < ADVICE_AWAY_RPM:
        return ""
    return (
        f" The setting advised has {fixed(rpm, 0)} rpm where the line has {fixed(nearest.launch_rpm, 0)}: "
        "advice weighs every adjustment at once and moves one only when it is sure enough; the line asks of "
        "launch rpm alone."
    )


def rpm_figure(
    points: Sequence[RpmPoint],
    runs: pl.DataFrame,
    start_degf: float | None = None,
    advised: tuple[float, float] | None = None,
) -> Figure:
    """Make the figure of launch rpm against track temperature, with its slider and the setting advised."""
    start = nearest_stop(points, start_degf, runs)
    edge = (("edge", "best at the edge of what was tried"),) if any(one.edge for one in points) else ()
    return Figure(
        key="rpm-by-track",
        title="Launch rpm by track temperature",
        reads="The line is the rpm the model would pick, the band what the runs leave open. Hatched: "
        "never tried there, so the line is a guess. An open mark: the best is the "
        "lowest or highest rpm tried, so try beyond it, inside your limits. Move the slider to read it off."
        + advice_and_line(points, advised),
        spoken="Best launch rpm by track temperature: "
        + listed(
            f"{fixed(one.track_temp_f, 0)} °F {fixed(one.launch_rpm, 0)} rpm"
            for one in points[:: max(1, len(points) // 4)]
        ),
        chart=rpm_by_track_chart(points, runs, points[start].track_temp_f if points else None, advised),
        empty="It takes runs with launch rpm and track temperature, on cool and on hot tracks, to draw this.",
        table=rpm_table(points),
        slider=Slider(
            label="track temperature",
            switch=TRACK_TEMP,
            stops=tuple(SliderStop(point.track_temp_f, rpm_words(point)) for point in points),
            start=start,
        )
        if len(points) > 1
        else None,
        marks=(
            *RUN_MARKS,
            ("line", "best rpm"),
            *edge,
            *((("advised", "the setting advised"),) if advised is not None else ()),
            ("hatch", "never tried"),
        ),
    )


def launch_chances_figure(
    points: Sequence[LaunchChance], effects: Sequence[RegimeEffect], runs: pl.DataFrame
) -> Figure:
    """Make the figure of how likely a launch spins or bogs, with the table of what moves that."""
    temps = sorted({point.track_temp_f for point in points})
    middle = [point for point in points if temps and point.track_temp_f == temps[len(temps) // 2]]
    return Figure(
        key="launch-chances",
        title="Where it spins, where it bogs",
        reads="The deeper the colour, the likelier the tires spin (at the top) or the engine bogs (at the "
        "bottom), with everything else as it is set now. Numbers are chances in 100 that it goes either way.",
        spoken="Chance of spinning on the middle track: "
        + listed(
            f"{fixed(one.launch_rpm, 0)} rpm {percent(one.p_spin)}"
            for one in middle[:: max(1, len(middle) // 4)]
        ),
        chart=launch_chances_chart(points, runs),
        empty="It takes runs with launch rpm and track temperature, on cool and on hot tracks, to draw this.",
        table=Table(
            caption="What one step more did to the chance of going wrong, chances in 100",
            headings=("adjustment", "way", "per step", "interval", "verdict"),
            rows=tuple(
                (
                    f"{one.label}, {one.step}",
                    "spinning" if one.regime == "spin" else "bogging",
                    fixed(None if one.chance_per_step is None else 100 * one.chance_per_step, 1),
                    interval(one.low, one.high, 1, scale=100),
                    "moved it" if one.verdict == "moved" else "no sign",
                )
                for one in effects
            ),
            figures=frozenset({2, 3}),
        ),
        marks=RUN_MARKS,
    )


def rpm_words(point: RpmPoint) -> str:
    """Read one track temperature off the line."""
    trust = "" if point.settled else "; not settled, the runs fit any rpm here"
    if not point.supported:
        trust = f"; {EDGE_WORDS[point.edge]}" if point.edge else "; never tried, so do not lean on it"
    return (
        f"{fixed(point.track_temp_f, 0)} °F: {fixed(point.launch_rpm, 0)} rpm "
        f"({fixed(point.low_rpm, 0)} to {fixed(point.high_rpm, 0)}){trust}"
    )


def rpm_table(points: Sequence[RpmPoint]) -> Table:
    """Make the table of launch rpm by track temperature."""
    return Table(
        caption="Best launch rpm by track temperature",
        headings=("track, °F", "launch rpm", "from", "to", "tried"),
        rows=tuple(
            (
                fixed(one.track_temp_f, 0),
                fixed(one.launch_rpm, 0),
                fixed(one.low_rpm, 0),
                fixed(one.high_rpm, 0),
                _tried_words(one),
            )
            for one in points
        ),
        figures=frozenset({1, 2, 3}),
    )


def _tried_words(point: RpmPoint) -> str:
    if point.edge:
        return EDGE_WORDS[point.edge]
    return ("yes" if point.settled else "yes, not settled") if point.supported else "never"


def nearest_stop(points: Sequence[RpmPoint], wanted_degf: float | None, runs: pl.DataFrame) -> int:
    """Find the slider's stop nearest to a forecast, or to the typical track of the runs."""
    if not points:
        return 0
    if wanted_degf is None:
        typical = runs["track_temp_degf"].drop_nulls().median() if runs.height else None
        wanted_degf = (
            float(typical) if isinstance(typical, int | float) else points[len(points) // 2].track_temp_f
        )
    target = wanted_degf
    return min(range(len(points)), key=lambda place: abs(points[place].track_temp_f - target))


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


def wear_figure(runs: pl.DataFrame, wear: Wear | None, service_due_in: float | None) -> Figure:
    """Make the figure of ring height by run."""
    return Figure(
        key="wear",
        title="Ring height, run by run",
        reads="Measured at checks, filled in between over runs made. A step down is a service.",
        spoken=wear.sentence if wear is not None else "Ring height by run.",
        chart=wear_chart(runs, service_due_in),
        empty="Ring height was not measured often enough to draw. Two caliper readings between services "
        "are a start.",
        marks=(("dash", "service"),),
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
            f"{one.adjustment.replace('_', ' ')} {thousandths(one.now_s, sign=False)} to "
            f"{thousandths(one.after_s, sign=False)} thousandths"
            for one in precision
        ),
        chart=precision_chart(precision, known),
        empty="There is no test plan to judge.",
        table=Table(
            caption="Standard error of each step effect, thousandths of a second",
            headings=("adjustment", "step", "now", "after the test"),
            rows=tuple(
                (
                    one.adjustment.replace("_", " "),
                    one.step.replace("degF", "°F"),
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
