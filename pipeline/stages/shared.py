"""What the stages share: opening a store, choosing a car, writing a report."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar, cast

from pipeline.errors import RequestError
from pipeline.files.names import car_mark, slug
from pipeline.files.whole import write_whole
from pipeline.workspace import Outcome, Session, Workspace

if TYPE_CHECKING:
    import duckdb

    from pipeline.decide.results import Forecast, PhoneModel
    from pipeline.season.car_data import CarData
    from reports.clutch_figures import ClutchRecord
    from reports.season import SeasonPage

Picture = Literal["png", "svg", "pdf"]

Choice = TypeVar("Choice", bound=str)
Stage = TypeVar("Stage", bound=Callable[..., Outcome])


def unforeseen_sentence(error: BaseException) -> str:
    """Put an error nobody foresaw into one sentence fit to print."""
    shown = str(error).strip().splitlines()
    return (
        f"Something slipledger did not foresee went wrong ({type(error).__name__}: "
        f"{shown[0][:160] if shown else 'no more is known'}). Your sheets are untouched; "
        "run the same command with 'slipledger --debug' and report what it prints."
    )


def not_twice(stage: Stage) -> Stage:
    """Let a stage give again what it gave, when the store remembers it for the same content and options."""

    @wraps(stage)
    def remembering(space: Workspace, *words: Any, **options: Any) -> Outcome:
        from pipeline.store.remembered import keep_page, logbook_mark, recall

        request, mark = repr((stage.__name__, words, sorted(options.items()))), logbook_mark(space.logbook)
        if not space.fresh and (known := recall(space, request, mark)) is not None:
            return known
        with Session() as session:
            outcome = stage(replace(space, session=session), *words, **options)
            if session.con is not None and mark is not None and mark == logbook_mark(space.logbook):
                keep_page(session.con, space, request, mark, outcome)
        return outcome

    return cast("Stage", remembering)


def clutch_record_of(data: CarData) -> ClutchRecord:
    """Gather what the pages show of a car's clutch."""
    from pipeline.decide.holding import loads_that_hold
    from reports.clutch_figures import ClutchRecord

    wanted = None if data.clutch is None else data.clutch.bearing_clearance_in
    return ClutchRecord(
        data.service_due_in, wanted, loads_that_hold(data.garage_car, data.clutch), data.services
    )


def signed(data: CarData) -> dict[str, Any]:
    """Gather what a page of a car is headed and signed with."""
    from pipeline.decide.safety import warnings_of

    return {
        "warnings": warnings_of(data),
        "store_version": data.store_version,
        "generated_at": now(),
    }


def season_page(data: CarData, **more: Any) -> SeasonPage:
    """Fill the season's page with what is known of a car; ``more`` is what one command alone has."""
    from reports.season import SeasonPage

    return SeasonPage(
        fit=data.fit,
        runs=data.runs,
        questions=data.questions,
        sheet_counts=data.sheet_counts,
        sheet_columns=data.sheet_columns,
        slip_fates=data.slip_fates,
        wear=data.wear,
        next_setting=data.next_setting,
        plan=data.plan,
        **signed(data),
        clutch=clutch_record_of(data),
        **more,
    )


def phone_of(
    space: Workspace,
    data: CarData,
    name: str,
    model: PhoneModel | None,
    forecast: Forecast | None,
    *,
    quick_only: bool = False,
) -> tuple[tuple[Path, ...], str]:
    """Write the page that goes on working in the hand, and say where it is; nothing without a fit."""
    from reports.phone import PhonePage, render

    if model is None or forecast is None:
        return (), ""
    page = PhonePage(data.car, model, forecast, quick_only, **signed(data))
    file = write_text(space.out / f"{name}-phone{mark_of(data)}.html", render(page))
    return (file,), f"\nTo take along on the phone, without a network: {file}"


def outcome_of(data: CarData, text: str, document: dict[str, Any], files: tuple[Path, ...]) -> Outcome:
    """End a stage of one car: warnings first; sheets that could not be read and what waits last."""
    from pipeline.decide.safety import warnings_of
    from reports.numbers import of
    from reports.words import warning_lines

    told = [*warning_lines(warnings_of(data) if document.get("warnings") else ()), text, *data.problems]
    if data.waiting:
        told.append(
            f"{of(data.waiting, 'entry waits', 'entries wait')} for an answer: "
            "slipledger questions LOGBOOK lists them."
        )
    return Outcome("\n".join(told), document, data.waiting, files)


@contextmanager
def ingested(
    space: Workspace, *, steps: bool = False, anew: bool = False
) -> Iterator[tuple[duckdb.DuckDBPyConnection, Any]]:
    """Open the workspace's logbook and its store, ingested; ``anew`` reads all sheets again."""
    from pipeline.garage.logbook import Logbook
    from pipeline.ingest.opening import ingested

    logbook = Logbook.open(space.logbook)
    fresh = space.fresh or anew
    opened = ingested(logbook, space.store, space.progress, fresh=fresh, steps=steps)
    if (session := space.session) is not None:
        session.con = session.enter_context(opened)
        yield session.con, logbook
    else:
        with opened as con:
            yield con, logbook


@contextmanager
def fitted(space: Workspace) -> Iterator[duckdb.DuckDBPyConnection]:
    """As :func:`ingested`, with the model's results of every car written too."""
    from pipeline.store.remembered import is_remembered, mark_of

    with ingested(space) as (con, logbook):
        mark = mark_of(con, "runs")  # of the sheets that were read, whatever was saved since
        if space.fresh or not is_remembered(con, "fit", mark):
            from pipeline.decide.fitted_car import fit_cars

            space.progress("working out what moved the numbers", 0.5)
            found = fit_cars(con, logbook.garage, mark, fresh=space.fresh)
            if space.session is not None:
                space.session.fitted = found
        yield con


def car_data(con: duckdb.DuckDBPyConnection, space: Workspace, car: str, *, need_fit: bool = True) -> CarData:
    """Read one car's part of the store, unless the car was just fitted."""
    known: CarData | None = None if space.session is None else space.session.fitted.get(car)
    if need_fit and known is not None:
        return known
    from pipeline.garage.logbook import GARAGE_FILE, read_garage
    from pipeline.season.car_data import read_car_data

    return read_car_data(con, read_garage(space.logbook / GARAGE_FILE), car, with_fit=need_fit)


def cars_in(
    con: duckdb.DuckDBPyConnection, space: Workspace, wanted: str | None, *, also_unrun: bool = False
) -> list[str]:
    """List the cars wanted; all that have runs where none is named."""
    from pipeline.garage.logbook import GARAGE_FILE, read_garage
    from pipeline.store.tables import car_names

    garage = read_garage(space.logbook / GARAGE_FILE)
    names = car_names(con)
    if also_unrun:
        names += [one.name for one in garage.cars if one.name not in names]
    if not names:
        raise RequestError(
            "There is no run in this logbook yet.", "Type at least one timeslip with a date and a car."
        )
    if wanted is None:
        return names
    meant = {wanted.casefold(), garage.car(wanted).name.casefold()}
    found = [name for name in names if name.casefold() in meant]
    if not found:
        raise RequestError(
            f"There is no run of a car {wanted!r}.",
            f"{did_you_mean(wanted, names)}Cars here: {', '.join(names)}.",
        )
    return found


def one_car(
    con: duckdb.DuckDBPyConnection, space: Workspace, wanted: str | None, *, also_unrun: bool = False
) -> str:
    """Return the car wanted, or the only one."""
    names = cars_in(con, space, wanted, also_unrun=also_unrun)
    if len(names) > 1:
        raise RequestError(
            f"This logbook has {len(names)} cars: {', '.join(names)}.", "Say which with --car NAME."
        )
    return names[0]


def event_of(data: CarData, wanted: str | None) -> str:
    """Find an event by its name, a part of it, or its day; the latest when none is asked for."""
    events = events_of(data)
    if wanted is None:
        return str(events[-1])
    typed = wanted.strip().casefold()
    on_day = {(str(event), str(day)) for event, day in data.runs.select("event", "run_date").iter_rows()}
    ways: tuple[Callable[[str], bool], ...] = (
        lambda event: event.casefold() == typed,
        lambda event: slug(event) == slug(wanted),
        lambda event: (event, typed) in on_day,
        lambda event: bool(typed) and typed in event.casefold(),
    )
    found = next((some for way in ways if (some := [event for event in events if way(event)])), [])
    if len(found) == 1:
        return found[0]
    if found:
        raise RequestError(
            f"--event {wanted!r} fits {len(found)} events: {', '.join(found)}.", "Give more of the name."
        )
    first_day = min(day for _, day in on_day)
    raise RequestError(
        f"There is no event {wanted!r}.",
        f"{did_you_mean(wanted, events)}Give a name, a part of it or a day such as {first_day}. "
        f"Events here: {', '.join(events)}.",
    )


def events_of(data: CarData) -> list[str]:
    """List a car's events in the order of their runs."""
    runs = data.runs.sort("run_at", "run_id")
    return [str(event) for event in runs["event"].unique(maintain_order=True)]


def adjustment_of(data: CarData, wanted: str) -> str:
    """Find the adjustment that a person means."""
    from pipeline.garage.adjustment_names import find_adjustment

    names = list(dict.fromkeys(point.adjustment for point in data.fit.curves))
    if not names:
        raise RequestError(
            f"Nothing can be said of {wanted!r} yet.", " ".join(data.fit.sentences) or "More runs are needed."
        )
    return find_adjustment(wanted, data.garage, names)


def choice_of(option: str, typed: str, choices: Sequence[Choice], otherwise: str) -> Choice:
    """Read which of a few words an option was given, however it is written; say them where it is none."""
    meant = typed.casefold().replace(" ", "")
    for choice in choices:
        if meant == choice:
            return choice
    raise RequestError(f"{option} {typed!r} is not a choice.", f"Choose {' or '.join(choices)}; {otherwise}")


def did_you_mean(word: str, known: list[str]) -> str:
    """Ask whether the likeliest known word was meant; empty when none is like it."""
    import difflib

    close = difflib.get_close_matches(word, known, n=1)
    return f"Did you mean {close[0]!r}? " if close else ""


def extras_of(data: CarData) -> dict[str, tuple[str, str]]:
    """Return the label and unit of each extra adjustment, for pages that read no fit."""
    return {item.name: (item.spoken, item.unit) for item in data.garage.adjustments}


def mark_of(data: CarData) -> str:
    """Return what stands for the car in names of files."""
    return car_mark(data.car, data.cars)


def write_report(
    space: Workspace,
    name: str,
    html: str,
    document: dict[str, Any],
    figures: Callable[[], Any] = tuple,
    formats: tuple[Picture, ...] = (),
) -> tuple[Path, ...]:
    """Write a page, its JSON and the pictures asked for, drawn only then; each file whole or not at all."""
    files = [write_text(space.out / f"{name}.html", html)]
    as_text = json.dumps(document, indent=2, ensure_ascii=False, default=str)
    files.append(write_text(space.out / f"{name}.json", as_text + "\n"))
    if formats:
        from reports.page import figure_files

        drawn = figure_files(figures(), formats)
        files += [write_whole(space.out / f"{name}-{file}", picture) for file, picture in drawn.items()]
    space.progress("done", 1.0)
    return tuple(files)


def write_text(path: Path, text: str) -> Path:
    """Write a text whole."""
    return write_whole(path, text.encode("utf-8"))


def now() -> str:
    """Return the present moment in UTC, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def plain_rows(frame: Any) -> list[dict[str, Any]]:
    """Return a frame's rows as JSON can hold them."""
    return [
        {
            key: value if isinstance(value, int | float | bool | type(None)) else str(value)
            for key, value in row.items()
        }
        for row in frame.iter_rows(named=True)
    ]
