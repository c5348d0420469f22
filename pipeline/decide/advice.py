"""What came of the advice given: which was followed, what it promised and what it brought."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import polars as pl

from pipeline.decide.next_setting import present_state
from pipeline.decide.results import Forecast, NextSetting
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Advice, GivenAdvice
from pipeline.season.words import listed
from pipeline.store.advice_given import LIKE_TRACK_DEGF

_SAME = 1e-6
HOTTER_DEGF = 5.0
"""A track this much hotter or cooler is named as a reason why advice changed. [judgement]"""


def advice_given(choice: NextSetting, runs: pl.DataFrame, today: dt.date) -> GivenAdvice | None:
    """Put a suggestion into the form in which it is kept; None where nothing was advised."""
    after = _last_run_at(runs)
    if after is None or choice.outcome not in ("stay", "change"):
        return None
    advised = choice.change_to or choice.stay
    return GivenAdvice(
        today,
        after,
        dict(choice.stay.settings),
        dict(advised.settings),
        advised.expected_s,
        choice.gain_s,
        choice.p_better,
        choice.forecast.track_temp_degf,
        choice.forecast.air_density_kg_per_m3,
        choice.forecast.venue,
        choice.risk,
    )


def _last_run_at(runs: pl.DataFrame) -> dt.datetime | None:
    last = runs["run_at"].max() if runs.height else None
    return last if isinstance(last, dt.datetime) else None


def judged(
    given: Sequence[GivenAdvice], runs: pl.DataFrame, launch: ResponseFit, extras: Sequence[str]
) -> tuple[Advice, ...]:
    """Judge all advice that runs were made after.

    Parameters
    ----------
    given
        In order of the last run known when it was given.
    runs
        The car's rows of ``runs``.
    launch
        The fitted 60 ft times, with the runs made since.
    extras
        Names of the extra adjustments.

    Notes
    -----
    Only advice for the strip and near the track temperature of the first run after it counts, and of
    several the nearest: the rest were questions asked in passing. Followed: that run was made at the setting
    advised. What a change brought is what is
    expected of it now, with the runs made since, under the conditions it was given for.
    """
    found = []
    for one, first in _taken(given, runs):
        made = present_settings(first, None, extras)
        followed = all(abs(made.get(name, value) - value) <= _SAME for name, value in one.settings.items())
        changed = one.settings != one.stay
        found.append(
            Advice(
                one.given_on.isoformat(),
                one.settings,
                one.expected_s,
                one.gain_s,
                one.p_better,
                followed,
                _came_s(launch, one) if changed and followed else None,
                first["event"][0],
            )
        )
    return tuple(found)


def _taken(given: Sequence[GivenAdvice], runs: pl.DataFrame) -> list[tuple[GivenAdvice, pl.DataFrame]]:
    """Return the advice meant for the first run after it, one a run, with that run."""
    taken: dict[dt.datetime, tuple[float, GivenAdvice, pl.DataFrame]] = {}
    for one in given:
        first = runs.filter(pl.col("run_at") > one.after_run_at).sort("run_at").head(1)
        if first.is_empty():
            continue
        run = first.row(0, named=True)
        if not _is_like(one, run.get("venue"), run.get("track_temp_degf")):
            continue
        off = abs((run.get("track_temp_degf") or 0.0) - (one.track_temp_degf or 0.0))
        if one.after_run_at not in taken or off <= taken[one.after_run_at][0]:
            taken[one.after_run_at] = (off, one, first)
    return [(one, first) for _, one, first in taken.values()]


def _is_like(one: GivenAdvice, venue: str | None, track_temp_degf: float | None) -> bool:
    """Whether advice was for that strip and near that track; what is not known does not part them."""
    here = one.venue is None or venue is None or one.venue == venue
    temps = (one.track_temp_degf, track_temp_degf)
    return here and (None in temps or abs((temps[0] or 0.0) - (temps[1] or 0.0)) <= LIKE_TRACK_DEGF)


def _came_s(launch: ResponseFit, one: GivenAdvice) -> float | None:
    names = launch.spec.names
    if not set(one.settings) <= set(names):
        return None
    at = Forecast(None, one.track_temp_degf, None, None, None, one.air_density_kg_per_m3, None, ())
    before, after = (present_state(launch, settings, at) for settings in (one.stay, one.settings))
    mean, _ = ExpectedTime.of(launch).change(before, after)
    return float(mean[0])


def since_last(
    choice: NextSetting, given: Sequence[GivenAdvice], runs: pl.DataFrame, labels: Mapping[str, str]
) -> str:
    """Say how the advice differs from the last one for like conditions, and why; empty with none before.

    Asked again after the same run it is the same advice, and compared with what was before it.

    Parameters
    ----------
    choice
        The advice now.
    given
        What was advised before, in order.
    runs
        The car's rows of ``runs``.
    labels
        What adjustments are called.
    """
    now, latest = (choice.change_to or choice.stay).settings, _last_run_at(runs)
    asked = choice.forecast
    before = [
        one
        for one in given
        if (one.after_run_at != latest or _differing(now, one))
        and _is_like(one, asked.venue, asked.track_temp_degf)
    ]
    if not before or choice.outcome not in ("stay", "change"):
        return ""
    last = before[-1]
    differs = _differing(now, last)
    if not differs:
        return f"The setting advised is that of {last.given_on.isoformat()}."
    values = listed([f"{labels.get(name, name)} {last.settings[name]:g}" for name in differs])
    return f"On {last.given_on.isoformat()} the advice was {values}. {_because(choice, last, runs)}"


def _differing(now: Mapping[str, float], last: GivenAdvice) -> list[str]:
    return [name for name, value in now.items() if abs(value - last.settings.get(name, value)) > _SAME]


def _because(choice: NextSetting, last: GivenAdvice, runs: pl.DataFrame) -> str:
    count = runs.filter(pl.col("run_at") > last.after_run_at).height
    reasons = [f"{count} run{'' if count == 1 else 's'} made since"] if count else []
    then, temp = last.track_temp_degf, choice.forecast.track_temp_degf
    if then is not None and temp is not None and abs(temp - then) >= HOTTER_DEGF:
        reasons.append(f"a track {abs(temp - then):.0f} degF {'hotter' if temp > then else 'cooler'}")
    if last.risk is not None and choice.risk != last.risk:
        reasons.append(f"asked now at {choice.risk} risk, then at {last.risk}")
    if any(abs(choice.stay.settings.get(n, v) - v) > _SAME for n, v in last.stay.items()):
        reasons.append("another present setting")
    return f"What changed: {listed(reasons or ['limits, answers or the weather'])}."
