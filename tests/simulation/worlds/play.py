"""Closing a loop: what would truly be best for a forecast, and a further event under given settings."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from tests.simulation.worlds.frame import RANGES, REACH, Floats, State
from tests.simulation.worlds.nights import Night, make_night
from tests.simulation.worlds.season import Season, known_of, rows_of, state_of
from tests.simulation.worlds.truth import Luck, Truth

Limits = Mapping[str, tuple[float, float]]
Coach = Callable[[pl.DataFrame, pl.DataFrame], Mapping[str, float]]


@dataclass(frozen=True)
class Forecast:
    """A further event before it is run.

    Attributes
    ----------
    rows
        Its runs in the columns of `runs`, at the present settings, times missing, weather as it will be.
    """

    rows: pl.DataFrame
    night: Night
    season: Season


def feasible_best(
    season: Season, row: pl.DataFrame, limits: Limits, response: str = "t60"
) -> tuple[dict[str, float], float]:
    """Find the truly best setting for a forecast within limits and within `REACH` of the row's setting.

    Parameters
    ----------
    row
        One row of the columns of `runs`: weather of the forecast, and the present setting.
    limits
        Least and most of each adjustment that may be changed, by the model's names; others stay.

    Returns
    -------
    dict of settings of the adjustments in ``limits`` (nulls stay as they are), and what changing to them
    gains [s], 0 or more; by the true mean time with the chance of going wrong
    """
    now = season.state(row).take(np.array([0]))
    names = [name for name in limits if name not in season.nulls]
    present = np.array([float(getattr(now, name)[0]) for name in names])
    box = np.array([limits[name] for name in names]).reshape(-1, 2)
    reach = np.array([REACH[name] for name in names])
    low = np.maximum(box[:, 0], present - reach)
    high = np.maximum(low, np.minimum(box[:, 1], present + reach))
    which = 0 if response == "t60" else 1
    rng = np.random.default_rng(0)

    def times(at: Floats) -> Floats:
        many = now.take(np.zeros(len(at), dtype=np.intp))
        many = many.changed(**{name: at[:, k] for k, name in enumerate(names)})
        return season.truth.means(many)[which]

    stay = {name: float(getattr(now, name)[0]) for name in limits}
    as_is = float(season.truth.means(now)[which][0])
    if not names:
        return stay, 0.0
    at = np.concatenate([rng.uniform(low, high, (600, len(names))), np.clip(present, low, high)[None]])
    found = times(at)
    width = high - low
    for _ in range(7):
        width = width * 0.5
        best = at[np.argsort(found)[:6]]
        near = np.concatenate([b + rng.uniform(-0.5, 0.5, (25, len(names))) * width for b in best])
        more = np.clip(near, low, high)
        at, found = np.concatenate([best, more]), np.concatenate([np.sort(found)[:6], times(more)])
    k = int(found.argmin())
    inside = bool(np.all((present >= low - 1e-9) & (present <= high + 1e-9)))
    if inside and found[k] >= as_is:
        return stay, 0.0
    return stay | dict(zip(names, at[k].tolist(), strict=True)), as_is - float(found[k])


def usual_limits(season: Season) -> dict[str, tuple[float, float]]:
    """Give limits a careful owner would write: the range of each adjustment of the season."""
    return {name: RANGES[name] for name in (*season.movers, *season.nulls)}


def forecast(season: Season, rng: np.random.Generator, runs: int = 8) -> Forecast:
    """Make the season's next event, before anything is run."""
    habits = season.habits
    number = len(season.nights)
    life = copy(habits.life)
    night = make_night(rng, number, runs, habits.climate, life, habits.drift_s, habits.days)
    night = replace(night, level_s=habits.level_sd * night.level_s + habits.slick_level_s * night.slick)
    others = season.truth.others
    longer = replace(
        others,
        level_s=np.append(others.level_s, night.level_s),
        slick=np.append(others.slick, night.slick),
        drift_s_per_h=np.append(others.drift_s_per_h, night.drift_s_per_h),
        better_s=np.append(others.better_s, others.better_s[-1]),
    )
    nights = (*season.nights, night)
    next_season = replace(
        season,
        truth=Truth(season.truth.form, longer),
        known=known_of(nights),
        habits=replace(habits, life=life),
        nights=nights,
    )
    nowhere = np.full((2, runs), np.nan)
    state = state_of([night], [season.present] * runs, first=number)
    return Forecast(_written(season, night, state, nowhere, np.zeros((2, runs)), rng), night, next_season)


def play(
    season: Season,
    settings: Sequence[Mapping[str, float]] | Coach,
    rng: np.random.Generator,
    ahead: Forecast | None = None,
) -> Season:
    """Run a further event and give the season with its runs appended.

    Parameters
    ----------
    settings
        One mapping a run (names left out stay as they were), or a coach: a function of the table of runs so
        far and the one-row forecast, asked before each run.
    ahead
        The event from `forecast`, if it was looked at before; else one is made.

    Returns
    -------
    Season
        Its ``runs`` ends with the new rows: ``out.runs.tail(n)``.
    """
    if ahead is None:
        ahead = forecast(season, rng, 8 if callable(settings) else len(settings))
    night, after = ahead.night, ahead.season
    n, number = night.runs, len(season.nights)
    noise, luck = season.noise.draw(rng, n), Luck.draw(rng, n)
    plan: list[dict[str, float]] = []
    table, now = season.runs, dict(season.present)
    for i in range(n):
        if callable(settings):
            row = after.changed(ahead.rows[i], **now)
            now = now | dict(settings(table, row))
        else:
            now = now | dict(settings[i])
        plan.append(dict(now))
        if callable(settings):
            done = _run(after, night, [*plan, *[now] * (n - i - 1)], number, noise, luck, ahead.rows, i + 1)
            table = pl.concat([season.runs, done])
    rows = _run(after, night, plan, number, noise, luck, ahead.rows, n)
    return replace(after, runs=pl.concat([season.runs, rows]), present=now)


def _run(
    after: Season,
    night: Night,
    plan: Sequence[Mapping[str, float]],
    number: int,
    noise: Floats,
    luck: Luck,
    ahead: pl.DataFrame,
    count: int,
) -> pl.DataFrame:
    """Give the first ``count`` runs of the event as written down, blanks as in the forecast."""
    state = state_of([night], plan, first=number)
    times, wrong = after.truth.sample(state, luck)
    same = np.random.default_rng(len(after.runs))
    rows = _written(after, night, state, times + noise, wrong, same)
    blank = ("track_temp_degf", "air_density_kg_per_m3")
    return rows.with_columns([ahead[name] for name in blank]).head(count)


def _written(
    season: Season, night: Night, state: State, times: Floats, wrong: Floats, rng: np.random.Generator
) -> pl.DataFrame:
    extras = [extra.name for extra in season.facts.extras]
    parts = (season.recorded, extras, season.blanks)
    return rows_of(parts, [night], state, times, wrong, rng, first_id=season.runs.height + 1)
