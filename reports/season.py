"""The season review: what moved the numbers, what to set next, what to test."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import polars as pl

from pipeline.decide.results import NextSetting, TestPlan
from pipeline.season.check_results import SecondOpinions
from pipeline.season.results import Wear
from pipeline.season.season_fit import SeasonFit
from reports import equal_air, season_figures, season_tables
from reports.answer import season_answer
from reports.charts.common import unchecked
from reports.clutch_figures import ClutchRecord
from reports.every_run import EveryRun, every_run
from reports.frames import event_choices, first_and_last_day, nights_of, used, with_run_words
from reports.numbers import fixed, long_day, of, seconds
from reports.page import Figure, Page, render_page
from reports.plan_card import plan_card
from reports.setting_card import setting_card
from reports.wear_card import wear_card
from reports.words import settings_of


@dataclass(frozen=True, slots=True)
class SeasonPage(Page):
    """What the season review is made from.

    Attributes
    ----------
    fit
        What the model found.
    runs, questions, sheet_counts
        Tables of the store, for the fitted car.
    slip_fates
        What became of each of its slips; counted in the JSON beside the page.
    wear, next_setting, plan
        None when they could not be worked out.
    clutch
        What garage.toml and the checks say of the clutch.
    borrowed
        Sentences on what was borrowed from a fleet, when it was.
    second_opinions
        What two general libraries make of the same runs, where that was asked for.
    sheet_columns
        What each heading of each sheet was read as.
    """

    fit: SeasonFit
    runs: pl.DataFrame
    questions: pl.DataFrame
    sheet_counts: pl.DataFrame
    slip_fates: pl.DataFrame
    wear: Wear | None
    next_setting: NextSetting | None
    plan: TestPlan | None
    clutch: ClutchRecord = field(default_factory=ClutchRecord)
    borrowed: tuple[str, ...] = field(default=())
    second_opinions: SecondOpinions = field(default_factory=SecondOpinions)
    sheet_columns: pl.DataFrame = field(default_factory=pl.DataFrame)


@unchecked
def figures(page: SeasonPage) -> tuple[Figure, ...]:
    """Return every figure of the season review, in order; each can also be written as a file."""
    return season_figures.season_figures(
        page.fit,
        with_run_words(page.runs),
        page.wear,
        page.next_setting,
        page.plan,
        page.clutch,
    )


@unchecked
def render(page: SeasonPage) -> str:
    """Write the season review as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    known = settings_of(page.fit)
    runs = with_run_words(page.runs)
    first, last = first_and_last_day(runs)
    made = figures(page)
    verdicts = season_tables.verdict_groups(page.fit, known)
    each = every_run(runs, {one.run_id: one for one in page.fit.run_checks if one.response == "t60"}, known)
    return render_page(
        "season.html",
        page,
        extra_scripts=("every-run.js",),
        title=f"{page.fit.car}: season review",
        figures=made,
        car=page.fit.car,
        span=f"{long_day(first)} to {long_day(last)}" if first is not None else "no runs yet",
        answer=season_answer(page.fit, page.next_setting, known),
        slip=_slip(page, runs),
        events=event_choices(runs),
        effect_keys=[figure.key for figure in made if figure.key.startswith("effects-")],
        change_keys=[figure.key for figure in made if figure.key.startswith("change-") and figure.reads],
        more_change_keys=[
            figure.key for figure in made if figure.key.startswith("change-") and not figure.reads
        ],
        verdicts=verdicts,
        glance=verdicts[0]["rows"] if verdicts else [],
        sentences=_effect_sentences(page.fit),
        launch_sentences=launch_sentences(page.fit),
        card=setting_card(page.next_setting, known),
        plan=plan_card(page.plan, known),
        wear=wear_card(page.wear),
        air=equal_air.effects_table(page.fit),
        other_air=equal_air.in_other_air_table(page.fit),
        sections=equal_air.sections_table(runs),
        steadiness=equal_air.steadiness_sentence(page.fit.spread_causes),
        spreads=equal_air.spreads_table(page.fit),
        dial_in=equal_air.dial_in_table(page.fit),
        every_run=each,
        run_words=_run_words(each),
        quality=season_tables.quality(runs, page.questions, page.sheet_counts),
        method=season_tables.method(page.fit),
        method_shared=season_tables.shared_sentences(page.fit),
        held_out=season_tables.held_out_table(page.fit),
        advice=season_tables.advice_table(page.fit, known),
        advice_words=season_tables.advice_words(page.fit),
        held_out_words=[
            *season_tables.held_out_words(page.fit),
            *(one.sentence for one in page.second_opinions.challenger),
        ],
        mixed_words=[one.sentence for one in page.second_opinions.mixed_model],
        cross_check=season_tables.cross_check_table(page.fit, known),
        sensitivity=season_tables.sensitivity_table(page.fit, known),
        borrowed=page.borrowed,
        for_nothing=season_tables.rows_for_nothing(page.sheet_counts),
    )


def launch_sentences(fit: SeasonFit) -> list[str]:
    """Say what each adjustment did to the chance of going wrong, beside what it did to the clean time."""
    clean = {one.adjustment: one for one in fit.effects if one.response == "t60"}
    said = []
    for one in fit.regime_effects:
        if one.verdict != "moved":
            continue
        beside = clean.get(one.adjustment)
        if beside is not None and beside.verdict == "no_sign":
            said.append(f"{one.sentence} In the time of a clean launch there is no sign of it.")
        else:
            said.append(one.sentence)
    return said


def _run_words(each: EveryRun | None) -> str:
    """Say how to read the table of every run, and how many came outside their own bar."""
    if each is None:
        return ""
    checked = sum(1 for row in each.rows if "c" in row.picks)
    return (
        "“Expected” is what the other runs led us to expect of this one at its setting, air, track and "
        f"event; its own bar holds 19 runs in 20. Of {of(checked, 'run')} held against it {each.outside:,} "
        "came outside. A heading sorts. Paper leaves this table out: slipledger export LOGBOOK writes it as "
        "the file every_run."
    )


def _effect_sentences(fit: SeasonFit) -> list[str]:
    """Return the model's own sentence on each effect of 60 ft."""
    return [effect.sentence for effect in fit.effects if effect.response == "t60" and effect.sentence]


def _fitted(fit: SeasonFit, counted: int) -> int:
    """Return how many runs the fit of 60 ft used; those that count where there is no fit."""
    return next((facts.runs_used for facts in fit.facts if facts.response == "t60"), counted)


def _slip(page: SeasonPage, runs: pl.DataFrame) -> dict[str, Any]:
    counted = used(runs, "t60")
    nights = nights_of(page.fit.nights, "t60")
    times = counted["t60_s"].drop_nulls()
    lines: list[dict[str, Any]] = [
        {"name": "runs written down", "value": f"{runs.height:,}"},
        {"name": "counted for 60 ft", "value": f"{_fitted(page.fit, counted.height):,}"},
        {"name": "events", "value": f"{runs['event'].n_unique() if runs.height else 0}"},
        {"name": "best 60 ft", "value": seconds(_number(times.min())), "strong": True},
        {"name": "typical 60 ft", "value": seconds(_number(times.median())), "strong": True},
    ]
    if nights:
        lines.append({"name": "last event", "value": seconds(nights[-1].typical_s)})
    if page.wear is not None and page.wear.runs_to_service is not None:
        lines.append({"name": "runs to service", "value": fixed(max(0.0, page.wear.runs_to_service), 0)})
    waiting = page.questions.height
    note = (
        f"{of(waiting, 'entry waits', 'entries wait')} for your answer."
        if waiting
        else "No entry waits for an answer."
    )
    for line in lines:
        line.setdefault("strong", False)
    return {"heading": page.fit.car, "lines": lines, "note": note}


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) else None
