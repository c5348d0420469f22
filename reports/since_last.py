"""What changed since the event before, what was expected of it, what came: a paragraph and a chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import polars as pl

from pipeline.season.results import Z95, ChangePart
from pipeline.season.season_fit import SeasonFit
from pipeline.season.whole_run_results import EventChange
from reports.night_changes import BUILT_IN, settings_of_run
from reports.numbers import interval, seconds, short_day, thousandths
from reports.page import Figure
from reports.season_figures import change_figure
from reports.words import Setting, capital, listed, setting

AS_NIGHTS_DIFFER = Z95 * 2**0.5
"""Two nights differ by less than so many sds of one in 95 of 100 pairs."""
LEAST_SHOWN_S = 0.00005
HOURLY_PARTS = ("wear", "night", "others")
"""Parts that are told as one."""
NIGHT_PARTS = ("track",)
"""Parts that belong to the night itself: no setting, no reading explains them."""


@dataclass(frozen=True, slots=True)
class SinceLast:
    """The paragraph, its verdict alone, and the figure of an event against the one before."""

    sentences: tuple[str, ...]
    verdict: str
    figure: Figure


def since_last(
    fit: SeasonFit, event: str, runs: pl.DataFrame, known: Mapping[str, Setting]
) -> SinceLast | None:
    """Tell an event apart from the one before it.

    Parameters
    ----------
    fit
        Of the car.
    event
        Which event.
    runs
        All of the car's rows of ``runs``.
    known
        How adjustments are called.

    Returns
    -------
    SinceLast or None
        None where there is no event before it with runs enough to compare with.
    """
    one = next((each for each in fit.event_changes if each.event == event), None)
    if one is None:
        return None
    verdict = verdict_of(one, _came(one, known))
    return SinceLast(
        (_changed(one, runs, known), _apart(one, known), verdict), verdict, since_last_figure(one)
    )


def since_last_figure(one: EventChange | None) -> Figure:
    """Make the figure of an event against the one before it."""
    if one is None:
        return Figure(
            "since-last", "Since the event before", "", "", None,
            "No event before this one has three runs that count, so there is nothing to compare with.",
        )  # fmt: skip
    return replace(
        change_figure(one.change, 0),
        key="since-last",
        title=f"From {one.event_before} to this night",
        reads="From the mean 60 ft of that event to the mean of this one, step by step. A thin line is what "
        "the runs leave open on that step.",
    )


def _is_setting(part: ChangePart, known: Mapping[str, Setting]) -> bool:
    conditions = ("track_temp", "air_density")
    return part.factor in BUILT_IN or (part.factor in known and part.factor not in conditions)


def _came(one: EventChange, known: Mapping[str, Setting]) -> float:
    """Return the settings' part and the night's own, in s: the rest was air, track, clutch and luck."""
    return sum(
        part.seconds for part in one.change.parts if _is_setting(part, known) or part.factor in NIGHT_PARTS
    )


def _changed(one: EventChange, runs: pl.DataFrame, known: Mapping[str, Setting]) -> str:
    """Say which settings differ, by how much, and what was expected of each."""
    before, now = (_usual(runs.filter(pl.col("event") == name)) for name in (one.event_before, one.event))
    day = short_day(one.change.from_period.last_date)
    parts = {part.factor: part for part in one.change.parts}
    said = []
    for name in now:
        if name not in before or before[name] == now[name]:
            continue
        words = setting(name, known)
        text = f"{words.label} {words.bare(before[name])} → {words.text(now[name])}"
        part = parts.get(name)
        if part is not None:
            text += f" ({_size(part)})"
        said.append(text)
    if not said:
        return f"Every setting is as it was at {one.event_before} ({day})."
    return (
        f"Since {one.event_before} ({day}), on average, with what was expected of each in thousandths: "
        f"{listed(said)}."
    )


def _usual(runs: pl.DataFrame) -> dict[str, float]:
    """Return each setting's mean over some runs that count for 60 ft."""
    rows = [settings_of_run(row) for row in runs.filter(pl.col("use_t60")).iter_rows(named=True)]
    names = dict.fromkeys(name for row in rows for name in row)
    values = {name: [row[name] for row in rows if name in row] for name in names}
    return {name: round(sum(some) / len(some), 6) for name, some in values.items()}


def _size(part: ChangePart) -> str:
    return f"{thousandths(part.seconds)}, {interval(part.low_s, part.high_s, 1, scale=1000)}"


def _apart(one: EventChange, known: Mapping[str, Setting]) -> str:
    """Say what came, and what air, track and whatever else says something had of it, then the rest."""
    change = one.change
    others = [p for p in change.parts if not _is_setting(p, known) and p.factor not in NIGHT_PARTS]
    shown = [part for part in others if part.factor not in HOURLY_PARTS]
    rest = sum(part.seconds for part in others if part not in shown)
    named = [f"{part.label} {thousandths(part.seconds)}" for part in shown]
    if abs(rest) >= LEAST_SHOWN_S:
        named.append(f"wear, the hour and smaller things {thousandths(rest)}")
    left = change.unexplained_s
    if abs(left) >= LEAST_SHOWN_S:
        named.append(f"launches that went wrong, and luck, {thousandths(left)}")
    return (
        f"The mean 60 ft went from {seconds(change.from_period.mean_s)} to "
        f"{seconds(change.to_period.mean_s)}, "
        f"{thousandths(change.total_s)} thousandths" + (f"; of that {listed(named)}." if named else ".")
    )


def verdict_of(one: EventChange, came_s: float) -> str:
    """Say whether the changes paid, by all runs of the season and by this night.

    Parameters
    ----------
    one
        The event against the one before.
    came_s
        What came of it with air, track, clutch and luck taken off. [s]
    """
    usual = AS_NIGHTS_DIFFER * one.tau_s
    left = f"with air, track, clutch and luck taken off, this night came {thousandths(came_s)} thousandths"
    nights = f"two nights differ by up to {thousandths(usual, sign=False, decimals=0)} with nothing changed"
    if one.settings is None:
        if abs(came_s) <= usual:
            return f"Nothing was changed, and {left}: no more than nights differ by themselves ({nights})."
        return f"Nothing was changed, yet {left}, more than nights differ by themselves ({nights})."
    expected = one.settings
    if expected.high_s < 0:
        head = "By all runs of the season the changes paid"
    elif expected.low_s > 0:
        head = "By all runs of the season the changes cost time"
    else:
        head = "Whether the changes paid cannot be told yet"
    head = (
        f"{head}: together they were expected to give {thousandths(expected.seconds)} thousandths "
        f"({interval(expected.low_s, expected.high_s, 1, scale=1000)})"
    )
    if abs(came_s - expected.seconds) <= usual:
        return f"{head}. {capital(left)}, which fits: {nights}."
    way = "slower" if came_s > expected.seconds else "quicker"
    return f"{head}. {capital(left)}, {way} than the settings explain: {nights}."
