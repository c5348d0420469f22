"""Times on equal air, how far runs stray and why, what to dial: figures and tables of the season."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from pipeline.season.season_fit import SeasonFit
from pipeline.season.whole_run_results import AirTime, SpreadCause
from reports.charts.equal_air import causes_chart, equal_air_chart
from reports.numbers import UNKNOWN, fixed, interval, percent, seconds, short_day, thousandths
from reports.page import Figure, Table
from reports.words import RESPONSE_NAMES, listed

SPLIT_NAMES = {"t60": "60 ft", "t330": "330 ft", "t660": "1/8 mile", "t1320": "1/4 mile"}
"""How a split is called on a page."""
SECTIONS = {
    "t60_s": "0-60",
    "t60_330_s": "60-330",
    "t330_660_s": "330-660",
    "t660_1000_s": "660-1000",
    "t1000_1320_s": "1000-1320",
}
"""Sections of the strip, in ft, by the column of ``runs`` that holds their time."""


def figures(fit: SeasonFit) -> tuple[Figure, ...]:
    """Return the figures of both parts, in order."""
    causes = [[one for one in fit.spread_causes if one.response == name] for name in ("t60", "t330")]
    return (
        equal_air_figure(fit.air_times),
        *(causes_figure(some, name) for some, name in zip(causes, ("t60", "t330"), strict=True)),
    )


def _splits(times: Sequence[AirTime]) -> list[str]:
    return [split for split in SPLIT_NAMES if any(one.split == split for one in times)]


def equal_air_figure(times: Sequence[AirTime]) -> Figure:
    """Make the figure of the longest split that can be put on equal air, with the table of all splits."""
    put = [split for split in _splits(times) if any(t.split == split and t.own_s is not None for t in times)]
    longest = put[-1] if put else "t60"
    mine = [one for one in times if one.split == longest]
    name = SPLIT_NAMES[longest]
    return Figure(
        key="equal-air",
        title=f"{name} in the season’s middle air",
        reads="Typical clean pass of each event: as run, and what it would have been in the season’s middle "
        "air, by this car’s own effect of air and by the published correction (SAE J1349, cube root).",
        spoken=f"{name} in equal air: "
        + listed(
            f"{short_day(one.date)} {seconds(one.own_s)}, as run {seconds(one.as_run_s)}" for one in mine
        ),
        chart=equal_air_chart(mine),
        empty="It takes weather readings, and runs in air that differed, to put times on equal air.",
        table=_times_table(times),
        marks=(
            ("typical", "as run"),
            ("dot", "by its own effect"),
            ("diamond", "by the published correction"),
        ),
    )


def _times_table(times: Sequence[AirTime]) -> Table:
    splits = _splits(times)
    by_event: dict[tuple[str, str], dict[str, AirTime]] = {}
    for one in times:
        by_event.setdefault((one.date, one.event), {})[one.split] = one
    rows = []
    for (day, event), of_split in sorted(by_event.items()):
        any_one = next(iter(of_split.values()))
        cells = [f"{short_day(day)} {event}", fixed(any_one.density_altitude_ft, 0)]
        for split in splits:
            found = of_split.get(split)
            cells += (
                [UNKNOWN] * 3
                if found is None
                else [seconds(found.as_run_s), seconds(found.own_s), seconds(found.published_s)]
            )
        rows.append(tuple(cells))
    names = [f"{SPLIT_NAMES[split]} {way}" for split in splits for way in ("as run", "own", "published")]
    return Table(
        caption="Typical clean passes, s: as run, and in the season’s middle air by the car’s own effect and "
        "by the published correction",
        headings=("event", "density altitude, ft", *names),
        rows=tuple(rows),
        figures=frozenset(range(1, 2 + len(names))),
    )


def effects_table(fit: SeasonFit) -> Table | None:
    """Make the table of what air does to this car beside what the published correction says."""
    if not fit.air_effects:
        return None
    return Table(
        caption="What 1 % more air density did, thousandths of a second",
        headings=("time", "this car", "95 in 100 between", "published", "runs", "events"),
        rows=tuple(
            (
                SPLIT_NAMES[one.split],
                thousandths(one.own_s),
                interval(one.low_s, one.high_s, 1, scale=1000),
                thousandths(one.published_s),
                str(one.runs),
                str(one.events),
            )
            for one in fit.air_effects
        ),
        figures=frozenset({1, 2, 3, 4, 5}),
    )


def in_other_air_table(fit: SeasonFit) -> Table | None:
    """Make the table of the last event's times as they would have been in each other event's air."""
    if not fit.air_times:
        return None
    last = max(fit.air_times, key=lambda one: one.date)
    slopes = {one.split: one.own_s for one in fit.air_effects}
    mine = {one.split: one for one in fit.air_times if one.event == last.event and one.own_s is not None}
    splits = [split for split in SPLIT_NAMES if split in mine and slopes.get(split) is not None]
    airs = {(one.date, one.event): one for one in fit.air_times if one.event != last.event}
    if not splits or not airs:
        return None
    return Table(
        caption=f"{last.event} ({short_day(last.date)}), had it been run in the air of another event, s",
        headings=("in the air of", "density altitude, ft", *(SPLIT_NAMES[split] for split in splits)),
        rows=tuple(
            (
                f"{short_day(day)} {event}",
                fixed(air.density_altitude_ft, 0),
                *(
                    seconds((mine[split].own_s or 0.0) + (slopes[split] or 0.0) * air.air_pct)
                    for split in splits
                ),
            )
            for (day, event), air in sorted(airs.items())
        ),
        figures=frozenset(range(1, 2 + len(splits))),
    )


def sections_table(runs: pl.DataFrame) -> Table | None:
    """Make the table of typical times of the strip's sections, event by event."""
    have = [name for name in SECTIONS if name in runs.columns and runs[name].drop_nulls().len()]
    counted = runs.filter(pl.col("use_t330").fill_null(False) & pl.col("event").is_not_null())
    if not have or counted.is_empty():
        return None
    found = (
        counted.group_by("event")
        .agg(
            pl.col("run_date").min().alias("day"), pl.len().alias("runs"), *(pl.col(n).median() for n in have)
        )
        .sort("day", "event")
    )
    return Table(
        caption="Typical time of each section, s, of runs that count to 330 ft; sections in ft",
        headings=("event", "runs", *(SECTIONS[name] for name in have)),
        rows=tuple(
            (f"{short_day(row['day'])} {row['event']}", str(row["runs"]), *(seconds(row[n]) for n in have))
            for row in found.iter_rows(named=True)
        ),
        figures=frozenset(range(1, 2 + len(have))),
    )


def causes_figure(causes: Sequence[SpreadCause], response: str) -> Figure:
    """Make the figure of what made runs of one event stray from each other."""
    name = RESPONSE_NAMES[response]
    return Figure(
        key=f"causes-{response}",
        title=f"{name}: what makes runs of one event differ",
        reads="How far runs of the same event would have strayed had only this one differed.",
        spoken=f"What makes {name} differ inside an event: "
        + listed(f"{one.label} {thousandths(one.seconds, sign=False)} thousandths" for one in causes),
        chart=causes_chart(causes),
        empty=f"What makes {name} differ inside an event cannot be told yet: it takes a fit.",
        table=Table(
            caption=f"{name} inside an event, thousandths of a second",
            headings=("made by", "strays by", "share"),
            rows=tuple(
                (one.label, thousandths(one.seconds, sign=False), percent(one.share)) for one in causes
            ),
            figures=frozenset({1, 2}),
        ),
    )


def steadiness_sentence(causes: Sequence[SpreadCause]) -> str:
    """Answer whether it is the driver or the car, as far as slips can tell."""
    mine = {one.cause: one for one in causes if one.response == "t60"}
    if "unknown" not in mine:
        return ""
    unknown, others = mine["unknown"], [one for one in mine.values() if one.cause != "unknown"]
    first = max(others, key=lambda one: one.seconds, default=None)
    said = (
        f"Inside one event {percent(unknown.share)} of what makes the 60 ft differ is in no entry: the "
        "driver’s feet and luck, which slips cannot tell apart"
    )
    if first is not None:
        said += f"; the largest known part is {first.label}, {percent(first.share)}"
    return f"{said}. Reaction stands apart: it is never part of an elapsed time."


def spreads_table(fit: SeasonFit) -> Table | None:
    """Make the table of how far runs strayed, by event and split."""
    if not fit.split_spreads:
        return None
    splits = [name for name in ("reaction", *SPLIT_NAMES) if any(s.split == name for s in fit.split_spreads)]
    by_event: dict[tuple[str, str], dict[str, float]] = {}
    for one in fit.split_spreads:
        by_event.setdefault((one.date, one.event), {})[one.split] = one.sd_s
    return Table(
        caption="How far runs of one event stray, thousandths of a second (typical distance, outliers held "
        "down)",
        headings=("event", *(SPLIT_NAMES.get(split, split) for split in splits)),
        rows=tuple(
            (
                f"{short_day(day)} {event}",
                *(thousandths(found.get(split), sign=False, decimals=0) for split in splits),
            )
            for (day, event), found in sorted(by_event.items())
        ),
        figures=frozenset(range(1, 1 + len(splits))),
    )


def dial_in_table(fit: SeasonFit) -> Table | None:
    """Make the dial-in aid: the time to expect in given air with the interval of one clean pass."""
    if not fit.dial_in:
        return None
    return Table(
        caption="Dial-in aid: a clean pass in given air, at settings as you have run them",
        headings=("time", "density altitude, ft", "expect, s", "19 passes in 20 between", "runs", "events"),
        rows=tuple(
            (
                SPLIT_NAMES[one.split],
                fixed(round(one.density_altitude_ft, -1), 0),
                seconds(one.expected_s),
                interval(one.low_s, one.high_s),
                str(one.runs),
                str(one.events),
            )
            for one in fit.dial_in
        ),
        figures=frozenset({1, 2, 3, 4, 5}),
    )
