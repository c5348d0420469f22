"""The figures of the launch on the season's page: best rpm by track, and where it spins or bogs."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from pipeline.decide.results import NextSetting
from pipeline.season.results import LaunchChance, RegimeEffect, RpmPoint
from reports.charts.launch_chances import launch_chances_chart
from reports.charts.rpm_by_track import TRACK_TEMP, rpm_by_track_chart
from reports.numbers import fixed, interval, percent
from reports.page import Figure, Slider, SliderStop, Table
from reports.words import EDGE_WORDS, RUN_MARKS, listed, plain

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
                    f"{one.label}, {plain(one.step)}",
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
