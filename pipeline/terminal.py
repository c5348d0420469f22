"""What a person reads on the terminal: short tables and sentences, no color needed to follow them."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl
from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from pipeline.cautions import CAUTIONS
from pipeline.decide.results import Comparison, NextSetting, PlannedRun, TestPlan
from pipeline.ingest.questions import GivenAnswer
from pipeline.physics.bench_words import meeting_sentence, wear_sentences
from pipeline.season.results import Effect
from pipeline.season.season_fit import SeasonFit
from reports.answer import chance_sentences, spread_sentence
from reports.attached import AttachedPage, event_table, runs_with_uses, unused_table
from reports.compare import compare_rows, difference_sentence
from reports.numbers import fixed, interval, of, percent, thousandths
from reports.setting_card import forecast_notes
from reports.words import Setting, plain, setting, settings_of, verdict_words, warning_lines

if TYPE_CHECKING:
    from pipeline.fleet.results import CarEffect, FleetFit
    from pipeline.physics.bench_records import BenchCard, LoadPoint

Extras = Mapping[str, tuple[str, str]]
WIDTH = 110
MOST_QUESTIONS = 40
MOST_CARS_NAMED = 12
MOST_REPEATS = 12
MOST_UNUSED = 25


def table_text(
    title: str, headings: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()
) -> str:
    """Lay out a table as plain text.

    Parameters
    ----------
    title
        Line above it; may be empty.
    headings, rows
        Texts.
    right
        Columns to align right, for numbers.
    """
    table = Table(title=title or None, title_justify="left", box=SIMPLE_HEAD, pad_edge=False, title_style="")
    for at, heading in enumerate(headings):
        table.add_column(heading, justify="right" if at in right else "left", overflow="fold")
    for row in rows:
        table.add_row(*(text.replace("[", "\\[") for text in row))
    target = io.StringIO()
    Console(file=target, width=WIDTH, no_color=True, highlight=False, force_terminal=False).print(table)
    return "\n".join(line.rstrip() for line in target.getvalue().splitlines()).strip("\n")


def counts_text(counts: pl.DataFrame) -> str:
    """Say what was read, kept, questioned, rejected and set aside, sheet by sheet and in total."""
    names = ("read", "kept", "questioned", "rejected", "set_aside")
    rows = [
        (place(row["file"], row["sheet"]), row["kind"], *(str(row[name]) for name in names))
        for row in counts.sort("file", "sheet").iter_rows(named=True)
    ]
    total = [str(int(counts[name].sum() or 0)) for name in names]
    headings = ("sheet", "kind", "read", "kept", "questioned", "rejected", "set aside")
    return table_text("", headings, [*rows, ("total", "", *total)], right=range(2, 7))


def place(file: str, sheet: str | None) -> str:
    """Name a sheet: its file, and its tab when it has one."""
    return f"{file} ({sheet})" if sheet else file


def set_aside_text(reasons: Mapping[str, int], repeats: Sequence[Mapping[str, Any]]) -> str:
    """Say why rows were set aside, and name each row that repeats another; empty when none was.

    Parameters
    ----------
    reasons
        Rows by reason.
    repeats
        Rows typed twice, with the row each repeats.
    """
    if not reasons:
        return ""
    lines = ["Set aside: " + ", ".join(f"{reason} {times}" for reason, times in reasons.items()) + "."]
    for row in repeats[:MOST_REPEATS]:
        there = f"row {row['same_row']}"
        if (row["same_file"], row["same_sheet"]) != (row["file"], row["sheet"]):
            there += f" of {place(row['same_file'], row['same_sheet'])}"
        lines.append(f"  Typed twice: {place(row['file'], row['sheet'])}, row {row['row']} is {there} again.")
    if len(repeats) > MOST_REPEATS:
        lines.append(f"  ... and {len(repeats) - MOST_REPEATS} more rows typed twice")
    return "\n".join(lines)


def questions_text(questions: pl.DataFrame) -> str:
    """List what waits for an answer, by sheet; entries wrong in the same way once, with how many they are."""
    waiting = questions.filter(pl.col("answer").is_null())
    if waiting.is_empty():
        return "No entry waits for an answer."
    lines = []
    for (file, sheet), group in waiting.sort("file", "sheet", "row", "column").group_by(
        "file", "sheet", maintain_order=True
    ):
        lines.append(place(str(file), str(sheet or "")))
        causes = group.with_columns(alike=pl.len().over("group_id")).unique("group_id", maintain_order=True)
        for row in causes.head(MOST_QUESTIONS).iter_rows(named=True):
            suggestion = f" Perhaps {row['suggestion']}." if row["suggestion"] else ""
            more = (
                f" {row['alike']} entries here are like this: one answer for all." if row["alike"] > 1 else ""
            )
            lines.append(
                f"  row {row['row']}, {row['column']}: {row['problem']}{suggestion}{more} [{row['severity']}]"
            )
        if causes.height > MOST_QUESTIONS:
            lines.append(f"  ... and {causes.height - MOST_QUESTIONS} more in questions.csv")
    return "\n".join(lines)


def answers_text(stale: Sequence[GivenAnswer], idle: Sequence[GivenAnswer]) -> str:
    """Say which answers do not count, and which count and change nothing; empty when there is neither.

    Parameters
    ----------
    stale
        Answers without a question; they stand at the end of ``questions.csv``.
    idle
        Answers that leave their cell as it was.
    """
    parts = []
    for answers, what in ((stale, "Answers that do not count"), (idle, "Answers that change nothing")):
        if answers:
            parts.append(f"{what} ({len(answers)}):")
            parts += [_answer_line(answer) for answer in answers[:MOST_QUESTIONS]]
            if len(answers) > MOST_QUESTIONS:
                parts.append(f"  ... and {len(answers) - MOST_QUESTIONS} more in questions.csv")
    return "\n".join(parts)


def _answer_line(answer: GivenAnswer) -> str:
    row = "" if answer.row is None else f", row {answer.row}"
    entry = f" to {answer.value!r}" if answer.value else ""
    where = f"{place(answer.file, answer.sheet)}{row}, {answer.column}"
    return f"  {where}: {answer.answer!r}{entry}: {answer.reason}."


def effects_text(fit: SeasonFit, response: str = "t60") -> str:
    """Show each adjustment's effect per step on one response, with its verdict."""
    known = settings_of(fit)
    rows = [
        (
            effect.label,
            effect.step,
            thousandths(effect.per_step_s),
            interval(effect.low_s, effect.high_s, 1, scale=1000),
            verdict_text(effect, known),
        )
        for effect in fit.effects
        if effect.response == response
    ]
    if not rows:
        return "\n".join(fit.sentences)
    headings = ("adjustment", "per", "thousandths", "95 in 100 between", "verdict")
    table = table_text("60 ft time, minus = quicker", headings, rows, right=(2,))
    ranked = spread_sentence(fit, known, response)
    return "\n".join([table, "", *([ranked, ""] if ranked else []), *fit.sentences])


def verdict_text(effect: Effect, known: Mapping[str, Setting]) -> str:
    """Say a verdict in the page's words, with what else the row needs to be read right."""
    words = verdict_words(effect, known)
    if effect.verdict == "moved" and effect.low_s is not None and effect.high_s is not None:
        return f"{words}, best value inside what was tried" if effect.low_s < 0 < effect.high_s else words
    seen = effect.verdict == "no_sign" and effect.per_step_s is not None and not effect.is_hinted
    if seen and effect.smallest_visible_s is not None:
        return f"{words} (could have seen {thousandths(effect.smallest_visible_s, sign=False)})"
    return words


def next_text(choice: NextSetting, extras: Extras) -> str:
    """Show warnings first, then stay and change side by side, what limits them, and the cautions.

    ``extras`` gives label and unit of each adjustment named in garage.toml.
    """
    known = settings_of(None, extras)
    trial = choice.trial.sentence if choice.trial else ""
    said = [choice.sentence, choice.untried, trial, choice.since_last]
    lines = [*warning_lines(choice.warnings), *filter(None, said), "", *forecast_notes(choice.forecast)]
    names = list(choice.stay.settings)
    change = choice.change_to
    both = (choice.stay, change)
    stays = choice.outcome in ("stay", "change")
    rows: list[tuple[str, ...]] = [
        (
            setting(name, known).label,
            setting(name, known).text(choice.stay.settings[name]),
            setting(name, known).text(change.settings[name]) if change else "as it is" if stays else "–",
        )
        for name in names
    ]
    rows.append(("expected 60 ft", *(fixed(c.expected_s, 3) if c else "–" for c in both)))
    rows.append(("19 runs in 20", *(interval(c.low_s, c.high_s) if c else "–" for c in both)))
    if choice.stay.p_spin is not None:
        rows.append(("spins", *(percent(c.p_spin) if c else "–" for c in both)))
        rows.append(("bogs", *(percent(c.p_bog) if c else "–" for c in both)))
    lines.append(table_text("", ("", "stay" if stays else "as it stands", "change"), rows, right=(1, 2)))
    lines += chance_sentences(choice)
    lines += [choice.torque_capacity] if choice.torque_capacity else []
    lines += [f"Limited by: {limit}." for limit in choice.limited_by]
    lines += list(choice.no_suggestion_for)
    return "\n".join([*lines, "", *CAUTIONS])


def compare_text(found: Comparison, extras: Extras) -> str:
    """Show two settings side by side with what speaks against either; ``extras`` as for :func:`next_text`."""
    names = settings_of(None, extras)
    lines = [*warning_lines(found.warnings), found.sentence, "", *forecast_notes(found.forecast)]
    lines.append(table_text("", ("", "A", "B"), compare_rows(found, names), right=(1, 2)))
    lines += list(filter(None, [difference_sentence(found)]))
    lines += [
        f"Against {name}: {plain(said)}"
        for name, side in (("A", found.a), ("B", found.b))
        for said in side.against
    ]
    return "\n".join([*lines, "", *CAUTIONS])


def plan_text(plan: TestPlan, extras: Extras) -> str:
    """Show the test runs in order and what they would teach; ``extras`` as for :func:`next_text`."""
    known = settings_of(None, extras)
    names = list(plan.runs[0].settings) if plan.runs else []
    rows = [
        (str(run.order), str(run.block), *(_marked(run, name) for name in names), *_waits(run), run.why)
        for run in plan.runs
    ]
    lines = [plan.sentence, ""]
    if rows:
        labels = [setting(name, known).label for name in names]
        waits = ("min before",) if _waits(plan.runs[0]) else ()
        figures = range(2 + len(names) + len(waits))
        lines.append(table_text("", ("run", "clutch setting", *labels, *waits, "why"), rows, right=figures))
        precision = [
            (
                setting(item.adjustment, known).label,
                item.step,
                thousandths(item.now_s, sign=False),
                thousandths(item.after_s, sign=False),
            )
            for item in plan.precision
        ]
        headings = ("adjustment", "per", "now", "after")
        lines.append(
            table_text(
                "How unsure each step is, plus or minus thousandths", headings, precision, right=(2, 3)
            )
        )
    lines += [f"Limited by: {limit}." for limit in plan.limited_by]
    lines += list(plan.no_suggestion_for)
    return "\n".join([*lines, "", *CAUTIONS])


def _waits(run: PlannedRun) -> tuple[str, ...]:
    """Write the minutes before a run, where garage.toml says how long things take."""
    return () if run.minutes is None else (f"{run.minutes:.0f}",)


def _marked(run: PlannedRun, name: str) -> str:
    """Write a run's setting, with a mark where it differs from the run before."""
    return f"{'> ' if name in run.changed else ''}{run.settings[name]:g}"


def bench_text(card: BenchCard) -> str:
    """Show a bench card: loads and capacity by rpm, what a step is worth, wear, checks, cautions."""
    points = [point for at, point in enumerate(card.curve) if at % 4 == 0 or at == len(card.curve) - 1]
    shown = [("launch", card.at_launch)] + ([("shift", card.at_shift)] if card.at_shift else [])
    rows = [_load_row("", point) for point in points] + [_load_row(name, point) for name, point in shown]
    headings = ("", "rpm", "static lb", "levers lb", "plate lb", "worn-in lb-ft", "new lb-ft", "engine lb-ft")
    lines = [
        f"Preload {card.preload_lb:.0f} lb now, {card.preload_when_set_lb:.0f} lb when set.",
        table_text("", headings, rows, right=range(1, 8)),
    ]
    worth = [
        (item.step, item.at, fixed(item.load_lb, 1, sign=True), fixed(item.capacity_lb_ft, 1, sign=True))
        for item in card.worth
    ]
    lines.append(table_text("What a step is worth", ("step", "at", "plate lb", "lb-ft"), worth, right=(2, 3)))
    lines += [*filter(None, [meeting_sentence(card)]), *wear_sentences(card.wear)]
    marks = {True: "ok", False: "LOOK", None: "not known"}
    lines += [f"  [{marks[check.passed]}] {check.sentence}" for check in card.checks]
    if card.missing:
        lines.append(f"Parts stay empty for want of these lines in garage.toml: {', '.join(card.missing)}.")
    return "\n".join([*lines, "", *CAUTIONS])


def attached_text(page: AttachedPage, event: str | None) -> str:
    """Show what was attached, event by event, or run by run of one event; then what no run used."""
    if event is None:
        shown = event_table(page)
        parts = [
            table_text(shown.caption, shown.headings, [[str(cell) for cell in row] for row in shown.rows])
        ]
    else:
        parts = [event, *_run_lines(page, event)]
    unused = unused_table(page.unused)
    if unused is None:
        return "\n".join([*parts, "Every reading, setup and check is used by some run."])
    parts.append(f"{unused.caption} ({len(unused.rows)}):")
    parts += [f"  {where}, {what}, {when}: {why}." for where, what, when, why in unused.rows[:MOST_UNUSED]]
    if len(unused.rows) > MOST_UNUSED:
        parts.append(f"  ... and {len(unused.rows) - MOST_UNUSED} more, on the page.")
    return "\n".join(parts)


def _run_lines(page: AttachedPage, event: str) -> Iterator[str]:
    """Lay each run of an event out with a line for every row it used."""
    for run, used in runs_with_uses(page, event):
        yield run
        for kind, words in used.items():
            yield from (f"    {kind}: {line}" for line in words or ["none"])


def fleet_text(fleet: FleetFit, car_effects: Sequence[CarEffect]) -> str:
    """Show the pooled effects, one car beside them when asked, and the cars to look at."""
    lines = [group.sentence for group in fleet.groups]
    rows = [
        (
            effect.clutch_type,
            effect.label,
            effect.step,
            thousandths(effect.mean_s),
            interval(effect.low_s, effect.high_s, 1, scale=1000),
            thousandths(effect.spread_s, sign=False),
        )
        for effect in fleet.effects
    ]
    headings = ("clutch type", "adjustment", "per", "fleet", "95 in 100 between", "cars differ by")
    lines.append(table_text("60 ft time in thousandths, minus = quicker", headings, rows, right=(3, 5)))
    if car_effects:
        own = [
            (
                effect.label,
                effect.step,
                _with_interval(effect.own_s, effect.own_low_s, effect.own_high_s),
                _with_interval(effect.pooled_s, effect.pooled_low_s, effect.pooled_high_s),
            )
            for effect in car_effects
        ]
        title = f"{car_effects[0].car}, {of(car_effects[0].runs, 'run')}"
        lines.append(table_text(title, ("adjustment", "per", "own runs alone", "with the fleet"), own))
    for found in (fleet.odd_cars, fleet.typing_trouble, fleet.service_due):
        lines += [item.sentence for item in found[:MOST_CARS_NAMED]]
        if len(found) > MOST_CARS_NAMED:
            lines.append(f"... and {len(found) - MOST_CARS_NAMED} more, on the page.")
    return "\n".join([*lines, *fleet.sentences, "", *CAUTIONS])


def _with_interval(value_s: float, low_s: float, high_s: float) -> str:
    return f"{thousandths(value_s)} ({interval(low_s, high_s, 1, scale=1000)})"


def _load_row(name: str, point: LoadPoint) -> tuple[str, ...]:
    return (
        name,
        f"{point.rpm:.0f}",
        f"{point.static_lb:.0f}",
        _whole(point.centrifugal_lb),
        _whole(point.plate_load_lb),
        _band(point.worn_in_low_lb_ft, point.worn_in_high_lb_ft),
        _band(point.new_low_lb_ft, point.new_high_lb_ft),
        _whole(point.engine_lb_ft),
    )


def _whole(value: float | None) -> str:
    return fixed(value, 0)


def _band(low: float | None, high: float | None) -> str:
    return "–" if low is None or high is None else f"{low:.0f} to {high:.0f}"
