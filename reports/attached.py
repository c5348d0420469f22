"""What was attached to what: the setup, weather, track reading and check of each run, and what none used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import polars as pl
from markupsafe import Markup, escape

from reports.answer import Said
from reports.frames import event_choices
from reports.numbers import UNKNOWN, long_day, of
from reports.page import Page, Table, render_page
from reports.words import COLUMNS, capital, listed, setting, settings_of

KINDS: dict[str, str] = {
    "setup": "setup", "weather": "weather", "track": "track temperature", "check": "clutch check",
}  # fmt: skip
"""What can be attached to a run, with the words for it."""
QUANTITIES = {"vapor": "humidity", "headwind": "wind"}
HOURS_OF_A_DAY = 24.0
SHOWN_IN_HOURS_H = 48.0
SHOWN_IN_MINUTES_H = 1.5


@dataclass(frozen=True, slots=True)
class AttachedPage(Page):
    """What the page of attachments is made from.

    Attributes
    ----------
    car
        Its name.
    used
        One row per run and sheet row it used, as ``queries/attached/uses_of_car.sql`` says.
    unused
        One row per reading, setup and check that no run used, as ``queries/attached/unused_rows.sql`` says.
    extras
        Label and unit of the extra adjustments, by name.
    """

    car: str
    used: pl.DataFrame
    unused: pl.DataFrame
    extras: Mapping[str, tuple[str, str]] = field(default_factory=dict)


def render(page: AttachedPage) -> str:
    """Write what was attached to what as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML; each event is a closed part.
    """
    return render_page(
        "attached.html",
        page,
        title=f"{page.car}: what was attached to what",
        car=page.car,
        answer=_answer(page),
        events=[
            {"words": choice["words"], "table": run_table(page, choice["event"])}
            for choice in event_choices(runs_of(page.used.drop_nulls("run_date")))
        ],
        undated=run_table(page, None),
        summary=event_table(page),
        unused=unused_table(page.unused),
    )


def runs_of(used: pl.DataFrame) -> pl.DataFrame:
    """Return the runs themselves, one row each."""
    return used.unique("run_id", maintain_order=True)


def event_table(page: AttachedPage) -> Table:
    """Return how well each event's runs are covered: how many have what, and how near it is."""
    rows = []
    dated = page.used.drop_nulls("run_date")
    for choice in event_choices(runs_of(dated)):
        mine = dated.filter(pl.col("event") == choice["event"])
        rows.append((choice["words"], *(_covered(mine, kind) for kind in KINDS)))
    caption = (
        "How many runs have each, and how far off its row is at most (the nearest one; of setups the oldest)"
    )
    return Table(caption, ("event", *KINDS.values()), tuple(rows))


def _covered(used: pl.DataFrame, kind: str) -> str:
    """Say how many runs have something attached, and how far off the nearest of it is at most."""
    runs = used["run_id"].n_unique()
    mine = used.filter(pl.col("kind") == kind)
    have = mine["run_id"].n_unique()
    if not have:
        return "none"
    many = "all" if have == runs else f"{have} of {runs}"
    apart = pl.col("off_runs" if kind == "check" else "off_h").abs()
    of_run = apart.max() if kind == "setup" else apart.min()
    farthest: Any = mine.group_by("run_id").agg(of_run.alias("apart"))["apart"].max()
    if farthest is None:
        return f"{many}, same day"
    return f"{many}, {of(int(farthest), 'run') if kind == 'check' else _span(farthest)}"


def run_table(page: AttachedPage, event: str | None) -> Table:
    """Return the runs of an event, each with what it used and from which row; None = runs without a date."""
    rows = tuple(
        (run, *(_lines(words) for words in used.values())) for run, used in runs_with_uses(page, event)
    )
    return Table(event or "Runs without a date", ("run", *KINDS.values()), rows)


def _lines(words: list[str]) -> Markup | str:
    return Markup("<br>").join(escape(line) for line in words) if words else UNKNOWN


def runs_with_uses(page: AttachedPage, event: str | None) -> Iterator[tuple[str, dict[str, list[str]]]]:
    """Put an event's runs into words, each with a line for every row it used, by what was taken.

    Parameters
    ----------
    page
        What the page is made from.
    event
        None = the runs without a date.

    Yields
    ------
    tuple
        The run, and its lines by kind in the words of ``KINDS``.
    """
    dated = pl.col("run_date").is_not_null()
    mine = page.used.filter(~dated if event is None else dated & (pl.col("event") == event))
    known = settings_of(None, page.extras)
    labels = {column: setting(name, known).label for name, column in COLUMNS.items()} | QUANTITIES
    labels |= {name: setting(name, known).label for name in page.extras}
    for _, run in mine.group_by("run_id", maintain_order=True):
        uses = run.to_dicts()
        yield (
            _run_words(uses[0]),
            {
                words: [_use_words(use, labels) for use in uses if use["kind"] == kind]
                for kind, words in KINDS.items()
            },
        )


def _run_words(run: Mapping[str, Any]) -> str:
    clock = f" {run['run_at']:%H:%M}" if run["has_time"] and run["run_at"] is not None else ""
    return f"{run['run_of_event']}.{clock}, {place(run['slip_file'], run['slip_sheet'], run['slip_row'])}"


def _use_words(use: Mapping[str, Any], labels: Mapping[str, str]) -> str:
    quantities = listed(labels.get(name, name) for name in use["quantities"])
    where = "on the slip" if use["is_on_slip"] else place(use["file"], use["sheet"], use["row"])
    off = "" if use["is_on_slip"] else f", {off_words(use)}"
    doubt = "; an entry in it is in question" if use["is_questioned"] else ""
    return f"{where}{off}: {quantities}{doubt}"


def place(file: str, sheet: str | None, row: int) -> str:
    """Name a row: its file, its tab when it has one, its number."""
    return f"{file} ({sheet}) row {row}" if sheet else f"{file} row {row}"


def off_words(use: Mapping[str, Any]) -> str:
    """Say how far a row is from its run, in runs for a check and in time for the rest."""
    if use["kind"] == "check":
        apart = use["off_runs"] or 0
        return f"{of(abs(apart), 'run')} {'before' if apart < 0 else 'after'}" if apart else "just before it"
    if use["off_h"] is None:
        return "same day"
    if use["off_h"] == 0:
        return "at the same time"
    return f"{_span(abs(use['off_h']))} {'before' if use['off_h'] < 0 else 'after'}"


def _span(hours: float) -> str:
    """Write a stretch of time as a person would: minutes, then hours, then days."""
    if hours < SHOWN_IN_MINUTES_H:
        return f"{hours * 60:.0f} min"
    if hours < SHOWN_IN_HOURS_H:
        return f"{hours:.1f} h"
    return of(round(hours / HOURS_OF_A_DAY), "day")


def unused_table(unused: pl.DataFrame) -> Table | None:
    """Return the readings, setups and checks that no run used, each with why; None when there is none."""
    if unused.is_empty():
        return None
    rows = tuple(
        (place(row["file"], row["sheet"], row["row"]), KINDS[row["kind"]], _when(row), unused_why(row))
        for row in unused.iter_rows(named=True)
    )
    return Table("Used by no run", ("row", "what", "when", "why"), rows)


def unused_why(row: Mapping[str, Any]) -> str:
    """Say why no run used a row, and how far the nearest run is."""
    far = row["nearest_run_h"]
    return f"{row['why']}; the nearest is {_span(far)} off" if row["why"] == "no run near it" else row["why"]


def _when(row: Mapping[str, Any]) -> str:
    day = long_day(row["moment"]) if row["moment"] is not None else UNKNOWN
    return f"{day}, {row['venue']}" if row["venue"] else day


def _answer(page: AttachedPage) -> list[Said]:
    runs = runs_of(page.used).height
    have = {kind: page.used.filter(pl.col("kind") == kind)["run_id"].n_unique() for kind in KINDS}
    lacking = [f"{KINDS[kind]} for {of(runs - count, 'run')}" for kind, count in have.items() if count < runs]
    said = [Said(f"{capital(of(runs, 'run'))}.", _lacking_words(lacking))]
    if page.unused.height:
        rows = of(page.unused.height, "row is used", "rows are used")
        said.append(Said("Not used.", f"{rows} by no run; the list says why for each."))
    else:
        said.append(Said("Nothing lies idle.", "Every reading, setup and check is used by some run."))
    return said


def _lacking_words(lacking: Iterable[str]) -> str:
    missing = listed(lacking)
    return (
        f"Not found: {missing}." if missing else "Each has a setup, weather, a track temperature and a check."
    )
