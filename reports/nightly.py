"""The night in one screen: how the car ran against expectation, what was changed, what followed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import polars as pl

from pipeline.decide.results import NextSetting
from pipeline.errors import RequestError
from pipeline.season.check_results import NightCheck, RunCheck
from pipeline.season.results import Wear
from pipeline.season.season_fit import SeasonFit
from reports.answer import Said, advice_sentence, next_sentence
from reports.charts.common import unchecked
from reports.charts.run_checks import run_checks_chart
from reports.every_run import side_of_bar
from reports.frames import last_run_date, left_out, nights_of, run_names, with_run_words
from reports.night_changes import changes_table, run_table_rows
from reports.numbers import fixed, interval, long_day, of, seconds, short_day, thousandths
from reports.page import Figure, Page, Table, render_page
from reports.season_figures import nights_figure
from reports.season_tables import questions_table, rows_for_nothing
from reports.setting_card import setting_card
from reports.since_last import since_last, since_last_figure
from reports.wear_card import wear_card
from reports.within_night import within_night_figure
from reports.words import RESPONSE_NAMES, Setting, listed, settings_of

NEAR_MISS = (
    "A bar holds 19 runs in 20, so a near miss now and then is chance; nothing in the entries explains it."
)
"""What is said of a run just outside its own bar."""


@dataclass(frozen=True, slots=True)
class NightlyPage(Page):
    """What the report of one event is made from.

    Attributes
    ----------
    event
        Its name, as in ``runs``.
    fit
        What the model found over the whole season.
    runs
        All of the car's runs; the event's are picked out.
    questions
        Entries to answer; the caller may keep only those of the event.
    slip_fates
        What became of each of the car's slips; the night's are counted in the JSON beside the page.
    wear, next_setting
        None when not worked out.
    """

    event: str
    fit: SeasonFit
    runs: pl.DataFrame
    questions: pl.DataFrame
    slip_fates: pl.DataFrame
    wear: Wear | None
    next_setting: NextSetting | None
    sheet_counts: pl.DataFrame = field(default_factory=pl.DataFrame)


@unchecked
def figures(page: NightlyPage) -> tuple[Figure, ...]:
    """Return every figure of the report, in order."""
    runs = _event_runs(page)
    names = run_names(runs)
    order = {run_id: place for place, run_id in enumerate(runs["run_id"])}
    made = [checks_figure(_checks(page.fit, response, order), response, names) for response in RESPONSE_NAMES]
    since = since_last(page.fit, page.event, page.runs, settings_of(page.fit))
    return (
        *made,
        since_last_figure(None) if since is None else since.figure,
        nights_figure(nights_of(page.fit.nights, "t60"), page.event),
        within_night_figure(runs, settings_of(page.fit)),
    )


@unchecked
def render(page: NightlyPage) -> str:
    """Write the report of one event as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.

    Raises
    ------
    RequestError
        When the car has no run at that event.
    """
    known = settings_of(page.fit)
    runs = _event_runs(page)
    order = {run_id: place for place, run_id in enumerate(runs["run_id"])}
    checks = _checks(page.fit, "t60", order)
    night = next((one for one in page.fit.nights if one.event == page.event and one.response == "t60"), None)
    first = runs.row(0, named=True)
    since = since_last(page.fit, page.event, page.runs, known)
    return render_page(
        "nightly.html",
        page,
        title=f"{page.fit.car}: {page.event}",
        figures=figures(page),
        event=page.event,
        under=", ".join(
            part for part in (page.fit.car, str(first["venue"] or ""), long_day(first["run_date"])) if part
        ),
        answer=_answer(page, runs, night, checks, known, "" if since is None else since.verdict),
        since=since,
        as_of=as_of_sentence(page),
        slip=_slip(page, runs, night),
        run_rows=run_table_rows(runs, {check.run_id: check for check in checks}, known),
        flagged=[(run_names(runs)[check.run_id][1], check.reason) for check in checks if check.flagged],
        changes=changes_table(runs, {check.run_id: check for check in checks}, known),
        card=setting_card(page.next_setting, known),
        wear=wear_card(page.wear),
        questions=questions_table(
            own_first(page.questions, runs), "Entries to answer, this night’s slips first"
        ),
        left_out=[(row["run_words"], row["left_out_reason"]) for row in left_out(runs).iter_rows(named=True)],
        for_nothing=rows_for_nothing(page.sheet_counts),
    )


def checks_figure(checks: Sequence[RunCheck], response: str, names: Mapping[int, tuple[str, str]]) -> Figure:
    """Make the figure of one night's runs against expectation; only the 60 ft one says how to read it."""
    name = RESPONSE_NAMES[response]
    brief = response != "t60"
    return Figure(
        key=f"runs-{response}".replace("_", "-"),
        title=f"{name} of each run" if brief else f"{name}: each run against what was expected",
        reads=""
        if brief
        else "The bar is where a run with that setting, air and track belonged (95 in 100); the mark is the "
        "time it made. At the right, how far off the expectation.",
        spoken=f"{name} of each run less what was expected: "
        + listed(
            f"{names[one.run_id][0]} {seconds(one.observed_s - one.expected_s, sign=True)}" for one in checks
        ),
        chart=run_checks_chart(checks, names),
        empty=f"No run of this night has a {name} time that can be held against an expectation.",
        table=Table(
            caption=f"{name} of each run, s",
            headings=("run", "time", "expected", "interval", "off by", "probable reason"),
            rows=tuple(
                (
                    names[one.run_id][1],
                    seconds(one.observed_s),
                    seconds(one.expected_s),
                    interval(one.low_s, one.high_s),
                    seconds(one.observed_s - one.expected_s, sign=True),
                    one.reason or (side_of_bar(one) and f"just outside its bar, {side_of_bar(one)}"),
                )
                for one in checks
            ),
            figures=frozenset({1, 2, 3, 4}),
        ),
        marks=() if brief else (("run", "the time"), ("flag", "out of line"), ("band", "expected")),
    )


def runs_since(page: NightlyPage) -> int:
    """Count the car's runs after the night: wear and next setting are worked out from those too."""
    last = page.runs.filter(pl.col("event") == page.event)["run_at"].max()
    return page.runs.filter(pl.col("run_at") > last).height if last is not None else 0


def as_of_sentence(page: NightlyPage) -> str:
    """Say when wear and next setting are not those of the night; empty for the latest event."""
    since = runs_since(page)
    if not since:
        return ""
    return (
        f"As of {long_day(last_run_date(page.runs))}, {of(since, 'run')} after this night: not what the car "
        "had or should have had that night."
    )


def _event_runs(page: NightlyPage) -> pl.DataFrame:
    runs = page.runs.filter(pl.col("event") == page.event).sort("run_at", "run_of_event")
    if runs.is_empty():
        events = listed(page.runs["event"].drop_nulls().unique(maintain_order=True).to_list())
        raise RequestError(
            f"{page.fit.car} has no run at an event called {page.event!r}.",
            f"Its events are {events or 'none yet'}.",
        )
    return with_run_words(runs)


def _checks(fit: SeasonFit, response: str, order: Mapping[int, int]) -> list[RunCheck]:
    mine = [check for check in fit.run_checks if check.response == response and check.run_id in order]
    return sorted(mine, key=lambda check: order[check.run_id])


def _answer(
    page: NightlyPage,
    runs: pl.DataFrame,
    night: NightCheck | None,
    checks: Sequence[RunCheck],
    known: Mapping[str, Setting],
    paid: str = "",
) -> list[Said]:
    said = []
    if night is None:
        said.append(Said("The night.", f"{of(runs.height, 'run')}, none of which counts for 60 ft."))
    else:
        spoiled = runs.filter(pl.col("outcome").is_in(["spun", "bogged"])).height
        wrong = f", {spoiled:,} of them spun or bogged" if spoiled else ""
        said.append(
            Said(
                "The night.",
                f"Best {seconds(night.best_s)}, typical {seconds(night.typical_s)} over "
                f"{of(night.runs, 'run')}{wrong}. {night.sentence}",
            )
        )
    if paid:
        said.append(Said("Did the changes pay.", paid))
    if came := advice_sentence([one for one in page.fit.advice if one.event == page.event]):
        said.append(Said("What came of the advice.", came))
    if checks:
        said.append(Said("Out of line.", out_of_line(checks, run_names(runs))))
    if page.next_setting is not None:
        last = last_run_date(page.runs)
        head = f"Next, as of {short_day(last)}." if runs_since(page) else "Next."
        said.append(Said(head, next_sentence(page.next_setting, known)))
    return said


def out_of_line(checks: Sequence[RunCheck], names: Mapping[int, tuple[str, str]]) -> str:
    """Say which runs came far off expectation and which just outside their own bar, and why.

    Parameters
    ----------
    checks
        Of one night's 60 ft, in the order run; at least one.
    names
        How each run is called.
    """

    def named(one: RunCheck, *, with_reason: bool) -> str:
        why = f", {_in_passing(one.reason)}" if with_reason and one.reason else ""
        number = names[one.run_id][0].replace(".", "", 1)
        return f"run {number} ({seconds(one.observed_s - one.expected_s, sign=True)}{why})"

    flagged = [one for one in checks if one.flagged]
    outside = [one for one in checks if not one.flagged and side_of_bar(one)]
    said = []
    if flagged:
        said.append(f"{of(len(flagged), 'run')}: {listed(named(one, with_reason=True) for one in flagged)}.")
    if outside:
        too = " too" if flagged else ""
        said.append(
            f"Outside {'its' if len(outside) == 1 else 'their'} own bar{too}, but not far: "
            f"{listed(named(one, with_reason=False) for one in outside)}. {NEAR_MISS}"
        )
    return " ".join(said) or "Every run came inside its own bar."


def _in_passing(reason: str) -> str:
    """Fit a reason into the middle of a sentence."""
    return (reason[:1].lower() + reason[1:]).rstrip(".")


def own_first(questions: pl.DataFrame, runs: pl.DataFrame) -> pl.DataFrame:
    """Put the questions on these runs' own slips first; the others keep their order."""
    if questions.is_empty():
        return questions
    own = set(runs.select("file", "row").iter_rows())
    mine = [place in own for place in questions.select("file", "row").iter_rows()]
    return (
        questions.with_columns(own=pl.Series(mine))
        .sort("own", descending=True, maintain_order=True)
        .drop("own")
    )


def _slip(page: NightlyPage, runs: pl.DataFrame, night: NightCheck | None) -> dict[str, Any]:
    lines: list[dict[str, Any]] = [{"name": "runs", "value": str(runs.height), "strong": False}]
    if night is not None:
        lines += [
            {"name": "best 60 ft", "value": seconds(night.best_s), "strong": True},
            {"name": "typical", "value": seconds(night.typical_s), "strong": True},
            {"name": "whole night", "value": f"{thousandths(night.night_s)} thousandths", "strong": False},
            {
                "name": "run to run",
                "value": f"±{thousandths(night.spread_s, sign=False)} thousandths",
                "strong": False,
            },
        ]
    if page.wear is not None and page.wear.runs_to_service is not None:
        left = fixed(max(0.0, page.wear.runs_to_service), 0)
        when = " now" if runs_since(page) else ""
        lines.append({"name": f"runs to service{when}", "value": left, "strong": False})
    waiting = page.questions.height
    note = (
        f"{of(waiting, 'entry waits', 'entries wait')} for your answer."
        if waiting
        else "No entry waits for an answer."
    )
    return {"heading": page.event, "lines": lines, "note": note}
