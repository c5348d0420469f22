"""The tables and lists of the season review."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import polars as pl

from pipeline.garage.dictionary import TABLES
from pipeline.season.season_fit import SeasonFit
from reports.frames import left_out
from reports.numbers import UNKNOWN, fixed, interval, of, percent, seconds, thousandths
from reports.page import Table
from reports.words import (
    RESPONSE_NAMES,
    Setting,
    capital,
    listed,
    responses_in,
    setting,
    step_words,
    verdict_words,
)

HEADINGS = {column.name: column.heading for table in TABLES for column in table.columns if column.heading}
"""What a person calls a column, by its name in the store."""
MOST_NAMED = 4
"""So many sheets that count for nothing are named at a page's head."""
MOST_QUESTIONS = 40
"""A page lists so many; the terminal and ``questions.csv`` list them all."""


def verdict_groups(fit: SeasonFit, known: Mapping[str, Setting]) -> list[dict[str, Any]]:
    """Group the verdicts by response for the verdict table."""
    return [
        {
            "response": RESPONSE_NAMES[response],
            "rows": [
                {
                    "name": step_words(effect, known),
                    "label": setting(effect.adjustment, known).label,
                    "figure": thousandths(effect.per_step_s),
                    "range": interval(effect.low_s, effect.high_s, 1, scale=1000),
                    "visible": thousandths(effect.smallest_visible_s, sign=False),
                    "runs": str(effect.runs_used),
                    "verdict": {
                        "verdict": effect.verdict,
                        "glyph": effect.verdict
                        if effect.per_step_s is not None or effect.verdict != "no_sign"
                        else "nothing",
                        "words": verdict_words(effect, known),
                    },
                    "kind": "setting" if effect.is_setting else "condition",
                }
                for effect in fit.effects
                if effect.response == response
            ],
        }
        for response in responses_in(fit)
    ]


def questions_table(questions: pl.DataFrame, caption: str = "Entries to answer") -> Table | None:
    """Make the table of entries that wait for an answer; None when there is none."""
    if questions.is_empty():
        return None
    return Table(
        caption=caption,
        headings=("where", "written", "what is wrong", "suggested reading", "state"),
        rows=tuple(
            (
                _where(row),
                str(row.get("value") or ""),
                capital(str(row.get("problem") or "")),
                str(row.get("suggestion") or "") or UNKNOWN,
                str(row.get("severity") or ""),
            )
            for row in questions.head(MOST_QUESTIONS).iter_rows(named=True)
        ),
    )


def _where(row: Mapping[str, Any]) -> str:
    sheet = f" [{row['sheet']}]" if row.get("sheet") else ""
    column = f", {HEADINGS.get(row['column'], row['column'])}" if row.get("column") else ""
    return f"{row.get('file', '')}{sheet}, row {row.get('row', '')}{column}"


def rows_for_nothing(sheet_counts: pl.DataFrame) -> str:
    """Return which sheets were not understood and how many rows that costs; empty when there is none."""
    if sheet_counts.is_empty():
        return ""
    lost = sheet_counts.filter((pl.col("kind") == "unrecognised") & (pl.col("read") > 0))
    if lost.is_empty():
        return ""
    parts = [
        f"{of(int(row['read']), 'row')} of {', tab '.join(filter(None, (row['file'], row['sheet'])))}"
        for row in lost.head(MOST_NAMED).iter_rows(named=True)
    ]
    if lost.height > MOST_NAMED:
        parts.append(of(lost.height - MOST_NAMED, "more sheet"))
    return (
        f"Not understood, so it counts for nothing: {'; '.join(parts)}. slipledger ingest says what to name."
    )


def quality(runs: pl.DataFrame, questions: pl.DataFrame, sheet_counts: pl.DataFrame) -> dict[str, Any]:
    """Prepare the part on what was read, kept, asked and left out."""
    out = left_out(runs)
    reasons = out.group_by("left_out_reason").len().sort("len", "left_out_reason", descending=[True, False])
    kept = int(sheet_counts["kept"].sum() or 0) if sheet_counts.height else 0
    read = int(sheet_counts["read"].sum() or 0) if sheet_counts.height else 0
    return {
        "sentence": f"{of(read, 'row')} read from {of(sheet_counts.height, 'sheet')}, {kept:,} kept; "
        f"{of(questions.height, 'entry waits', 'entries wait')} for an answer; "
        f"{of(out.height, 'run')} left out of something, each for a cause and never for its time.",
        "sheets": _sheets_table(sheet_counts),
        "questions": questions_table(questions),
        "more": max(0, questions.height - MOST_QUESTIONS),
        "reasons": [f"{reason}: {of(count, 'run')}" for reason, count in reasons.iter_rows()],
        "left_out": _left_out_table(out),
    }


def _sheets_table(counts: pl.DataFrame) -> Table | None:
    if counts.is_empty():
        return None
    names = ("read", "kept", "questioned", "rejected", "set_aside")
    return Table(
        caption="Sheets read",
        headings=("sheet", "kind", "rows read", "kept", "questioned", "rejected", "set aside"),
        rows=tuple(
            (
                f"{row['file']}{' [' + row['sheet'] + ']' if row.get('sheet') else ''}",
                str(row.get("kind") or ""),
                *(fixed(row.get(name), 0) for name in names),
            )
            for row in counts.iter_rows(named=True)
        ),
        figures=frozenset(range(2, 7)),
    )


def _left_out_table(out: pl.DataFrame) -> Table | None:
    if out.is_empty():
        return None
    return Table(
        caption="Every run left out, and why",
        headings=("run", "60 ft", "counts for", "reason", "notes"),
        rows=tuple(
            (
                row["run_words"],
                seconds(row.get("t60_s")),
                _counts_for(row),
                str(row["left_out_reason"]),
                str(row.get("notes") or ""),
            )
            for row in out.sort("run_at").iter_rows(named=True)
        ),
        figures=frozenset({1}),
    )


def _counts_for(row: Mapping[str, Any]) -> str:
    uses = (("use_t60", "60 ft"), ("use_t60_330", "60 to 330 ft"), ("use_t330", "330 ft"))
    return ", ".join(words for column, words in uses if row.get(column)) or "nothing"


def method(fit: SeasonFit) -> list[dict[str, Any]]:
    """Prepare what is to be said of each response's fit alone."""
    shared = shared_sentences(fit)
    return [
        {
            "response": RESPONSE_NAMES[facts.response],
            "size": f"{of(facts.runs_used, 'run')} in {of(facts.events, 'event')}. One run strays "
            f"{thousandths(facts.sigma_s, sign=False)} thousandths (standard deviation), whole events "
            f"{thousandths(facts.tau_s, sign=False)}, effects from event to event "
            f"{thousandths(facts.omega_s, sign=False)} per step.",
            "feature": "The clutch enters through its plate load against the engine's power (launch rpm and "
            "air), with room for each setting to differ from it."
            if facts.uses_plate_load
            else "Lever geometry was not given, so clutch settings enter as they are.",
            "sentences": [said for said in facts.sentences if said not in shared],
        }
        for facts in fit.facts
    ]


def shared_sentences(fit: SeasonFit) -> list[str]:
    """Return what the model says alike of every response, to be said once; nothing for a single one."""
    if len(fit.facts) < 2:
        return []
    first, *others = fit.facts
    return [said for said in first.sentences if all(said in facts.sentences for facts in others)]


def held_out_table(fit: SeasonFit) -> Table | None:
    """Make the table of predictions of events the model had not seen."""
    if not fit.held_out:
        return None
    return Table(
        caption="Each event predicted from the others",
        headings=(
            "time",
            "events",
            "runs",
            "inside 90 %",
            "inside 95 %",
            "typical miss",
            "guessing the mean",
        ),
        rows=tuple(
            (
                RESPONSE_NAMES[one.response],
                str(one.events),
                str(one.runs),
                percent(one.cover_90),
                percent(one.cover_95),
                seconds(one.rmse_s),
                seconds(one.naive_rmse_s),
            )
            for one in fit.held_out
        ),
        figures=frozenset(range(1, 7)),
    )


def held_out_words(fit: SeasonFit) -> list[str]:
    """Say of which times the model predicts an event it has not seen no better than the car's mean does."""
    return [
        f"{RESPONSE_NAMES[one.response]} of an event not seen is missed by {seconds(one.rmse_s)} s, "
        f"where the car's mean would miss by {seconds(one.naive_rmse_s)} s: before such a night, go by the "
        "mean. What is said here is about changes within nights, which this does not test."
        for one in fit.held_out
        if one.rmse_s > one.naive_rmse_s
    ]


def advice_table(fit: SeasonFit, known: Mapping[str, Setting]) -> Table | None:
    """Make the table of the advice given and what came of it; None where no change was advised."""
    rows = [one for one in fit.advice if one.p_better is not None]
    if not rows:
        return None
    return Table(
        caption="Changes advised, and what came of them by what the runs since say, thousandths",
        headings=("given on", "advised", "chance said", "followed", "promised", "came"),
        rows=tuple(
            (
                one.date,
                listed(
                    f"{setting(name, known).label} {setting(name, known).text(value)}"
                    for name, value in one.settings.items()
                ),
                percent(one.p_better),
                "yes" if one.followed else "no",
                fixed(-1000 * one.gain_s, 1),
                UNKNOWN if one.came_s is None else fixed(-1000 * one.came_s, 1),
            )
            for one in rows
        ),
        figures=frozenset({2, 4, 5}),
    )


def advice_words(fit: SeasonFit) -> str:
    """Say whether the changes followed were quicker as often as they were said to be; empty with none."""
    judged = [(one.p_better, one.came_s) for one in fit.advice if one.p_better and one.came_s is not None]
    if not judged:
        return ""
    expected = fixed(sum(chance for chance, _ in judged), 1)
    quicker = sum(came < 0 for _, came in judged)
    return (
        f"By the chances said, {expected} of {of(len(judged), 'change')} followed were to be quicker; "
        f"{quicker} {'was' if quicker == 1 else 'were'}."
    )


def cross_check_table(fit: SeasonFit, known: Mapping[str, Setting], adjustment: str = "") -> Table | None:
    """Make the table of the plain regression beside ours."""
    rows = [one for one in fit.cross_check if adjustment in {"", one.adjustment}]
    if not rows:
        return None
    never = any(one.plain_s is None for one in rows)
    return Table(
        caption="Ours beside a plain regression with its own level for each event, thousandths per step"
        + (f"; {UNKNOWN} where the runs of single events cannot tell it" if never else ""),
        headings=(
            "time",
            "adjustment",
            "ours",
            "interval",
            "plain",
            "interval",
            "changed with others",
            "agree",
        ),
        rows=tuple(
            (
                RESPONSE_NAMES[one.response],
                setting(one.adjustment, known).label,
                thousandths(one.ours_s),
                interval(one.ours_low_s, one.ours_high_s, 1, scale=1000),
                thousandths(one.plain_s),
                interval(one.plain_low_s, one.plain_high_s, 1, scale=1000),
                fixed(one.variance_inflation, 1),
                UNKNOWN if one.plain_s is None or one.ours_s is None else "yes" if one.agrees else "no",
            )
            for one in rows
        ),
        figures=frozenset(range(2, 7)),
    )


def sensitivity_table(fit: SeasonFit, known: Mapping[str, Setting], adjustment: str = "") -> Table | None:
    """Make the table of effects with spun and bogged runs left out."""
    rows = [one for one in fit.sensitivity if adjustment in {"", one.adjustment}]
    if not rows:
        return None
    return Table(
        caption="If spun and bogged runs were left out, thousandths per step",
        headings=("time", "adjustment", "all runs", "without them", "runs left out"),
        rows=tuple(
            (
                RESPONSE_NAMES[one.response],
                setting(one.adjustment, known).label,
                thousandths(one.all_runs_s),
                thousandths(one.without_spun_bogged_s),
                str(one.runs_left_out),
            )
            for one in rows
        ),
        figures=frozenset({2, 3, 4}),
    )
