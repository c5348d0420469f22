"""The stages as plain functions: each reads tables, writes tables, and can be run again alone.

This is the one module that imports the heavy parts late, when the stage that needs them runs,
so that ``slipledger --help`` stays quick. A stage returns an :class:`Outcome`: text for a person,
a document for a program, the files written and how many entries wait for an answer.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar, cast

from pipeline.cautions import IN_SHORT
from pipeline.errors import RequestError
from pipeline.files.names import car_mark, distinct_slug, name_with, slug
from pipeline.files.whole import write_whole
from pipeline.pandas_aside import pandas_back
from pipeline.workspace import ForecastAsked, Outcome, Progress, Workspace

if TYPE_CHECKING:
    import duckdb

    from pipeline.decide.results import Forecast, PhoneModel, Purpose
    from pipeline.season.car_data import CarData
    from pipeline.season.check_results import SecondOpinions
    from pipeline.season.results import Risk
    from reports.clutch_figures import ClutchRecord

Picture = Literal["png", "svg", "pdf"]
Stage = TypeVar("Stage", bound=Callable[..., Outcome])
MOST_PLANNED_RUNS = 24
FORMATS: tuple[Picture, ...] = ("png", "svg", "pdf")
NOTHING_YET = (
    "No run, reading, setup or check is written down here yet. Type into the blank sheets that 'slipledger "
    "new LOGBOOK' makes, or put your own CSV, XLSX or ODS files into this folder, and run this again."
)


def unforeseen_sentence(error: BaseException) -> str:
    """Put an error nobody foresaw into one sentence fit to print."""
    shown = str(error).strip().splitlines()
    return (
        f"Something slipledger did not foresee went wrong ({type(error).__name__}: "
        f"{shown[0][:160] if shown else 'no more is known'}). Your sheets are untouched; "
        "run the same command with 'slipledger --debug' and report what it prints."
    )


def _not_twice(stage: Stage) -> Stage:
    """Let a stage give again what it gave, when the store remembers it for the same content and options."""

    @wraps(stage)
    def remembering(space: Workspace, *words: Any, **options: Any) -> Outcome:
        from pipeline.store.remembered import keep_page, logbook_mark, recall

        request, mark = repr((stage.__name__, words, sorted(options.items()))), logbook_mark(space.logbook)
        if not space.fresh and (known := recall(space, request, mark)) is not None:
            return known
        outcome = stage(space, *words, **options)
        if mark is not None and mark == logbook_mark(space.logbook):
            keep_page(space, request, mark, outcome)
        return outcome

    return cast("Stage", remembering)


# --- make, ingest, questions


def new(folder: Path, *, demo: bool = False) -> Outcome:
    """Make a logbook folder with everything a person fills in, or a copy of the demo to try."""
    from pipeline.garage.new_logbook import copy_demo, make_logbook
    from reports.trackside import render_trackside

    if demo:
        copied = copy_demo(folder)
        said = f"Copied the invented demo to {folder}. Try: slipledger season {folder}"
        return Outcome(said, {"folder": folder.name, "files": [path.name for path in copied]}, files=copied)
    files = list(make_logbook(folder))
    files.append(_write_text(folder / "trackside.html", render_trackside()))
    text = "\n".join(
        [
            f"Made {folder} with:",
            *(f"  {path.name}" for path in files),
            "Start with garage.toml: your car, your clutch, your strips, your limits.",
            f"Then fill the sheets (CSV or the workbook) and run: slipledger season {folder}",
        ]
    )
    return Outcome(text, {"folder": folder.name, "files": [path.name for path in files]}, files=tuple(files))


@_not_twice
def ingest(space: Workspace, *, car: str | None = None) -> Outcome:
    """Read every sheet into the store and put every run on equal terms; count one car's slips if asked."""
    with _ingested(space) as (con, _):
        outcome = _ingest_outcome(con)
        return outcome if car is None else _with_car_counts(con, outcome, _one_car(con, space, car))


def _with_car_counts(con: duckdb.DuckDBPyConnection, outcome: Outcome, car: str) -> Outcome:
    from pipeline.season.car_data import slip_fates_of
    from reports.json_parts import count_fates

    counts = count_fates(slip_fates_of(con, car))
    told = ", ".join(f"{count} {fate.replace('_', ' ')}" for fate, count in counts.items())
    document = outcome.document | {"car": car, "slips": counts}
    return replace(outcome, text=f"{outcome.text}\nSlips of {car}: {told}.", document=document)


def questions(space: Workspace, *, car: str | None = None, list_in: Path | None = None) -> Outcome:
    """List what waits for an answer and write ``questions.csv`` to answer in.

    Parameters
    ----------
    space
        Where to work; ``questions.csv`` stands in the logbook, where the next ingest reads it.
    car
        List this car's only; ``questions.csv`` holds every car's.
    list_in
        Folder for the list as text too, to print and take along.
    """
    from pipeline.ingest.questions import (
        HEADINGS,
        asked_rows,
        idle_answers,
        question_lines,
        stale_answers,
        write_questions,
    )
    from pipeline.season.car_data import questions_of_car, waiting_questions
    from pipeline.store.database import STORE_VERSION
    from pipeline.store.tables import read_table
    from pipeline.terminal import answers_text, questions_text
    from reports import questions as report
    from reports.numbers import of

    with _ingested(space, anew=True) as (con, logbook):  # the rows asked about are shown as typed
        found = read_table(con, "questions")
        path = logbook.root / "questions.csv"
        write_questions(con, path)
        page = report.QuestionsPage(
            name=logbook.root.resolve().name,
            headings=HEADINGS,
            lines=question_lines(con),
            rows=asked_rows(con),
            store_version=str(STORE_VERSION),
            generated_at=_now(),
        )
        stale, idle = stale_answers(con), idle_answers(con)
        if car is not None:
            found = questions_of_car(con, found, _one_car(con, space, car))
    waiting = waiting_questions(found)
    text = questions_text(found)
    files: tuple[Path, ...] = (path,)
    if list_in is not None:
        files = (path, _write_text(list_in / "questions.txt", text + "\n"))
    clickable = _write_text(space.out / "questions.html", report.render(page))
    if waiting.height:
        text += (
            f"\n\n{of(waiting.height, 'entry waits', 'entries wait')}. Answer in the column 'answer' of "
            f"{path} with accept, keep, leave out or the right value, or by clicking in {clickable}, and run "
            "this again. Your own sheets are never written to."
        )
    text = "\n\n".join(filter(None, (text, answers_text(stale, idle))))
    text += "".join(f"\nThe list to print is {file}" for file in files[1:])
    files = (*files, clickable)
    told = {
        "questions": _plain_rows(found),
        "stale_answers": [asdict(answer) for answer in stale],
        "idle_answers": [asdict(answer) for answer in idle],
    }
    return Outcome(text, told, waiting.height, files)


def _ingest_outcome(con: duckdb.DuckDBPyConnection) -> Outcome:
    from pipeline.ingest.recognise.ready import spoken_name
    from pipeline.season.car_data import waiting_questions
    from pipeline.store.database import query
    from pipeline.store.tables import read_table
    from pipeline.terminal import counts_text, place, set_aside_text
    from reports.numbers import of

    counts, found = read_table(con, "sheet_counts"), read_table(con, "questions")
    waiting = waiting_questions(found).height
    reasons = dict(con.execute(query("clean/set_aside_reasons")).fetchall())
    repeats = con.sql(query("clean/rows_typed_twice")).pl().to_dicts()
    lines = [counts_text(counts), *filter(None, [set_aside_text(reasons, repeats)])]
    data = counts.filter(counts["kind"] != "answers")
    if not any(int(data[name].sum() or 0) for name in ("kept", "questioned", "rejected")):
        lines.append(NOTHING_YET)
    headings = read_table(con, "sheet_columns")
    unused = headings.filter(headings["column"].is_null()).select("file", "sheet", "heading")
    lines += [
        f"Not used: column {row['heading']!r} of {place(row['file'], row['sheet'])}."
        for row in unused.iter_rows(named=True)
    ]
    read_as = headings.filter((headings["why"] != "") & headings["column"].is_not_null())
    lines += [
        f"Read as {spoken_name(row['column'])}: {row['heading']!r} of {place(row['file'], row['sheet'])} "
        f"({row['why']})."
        for row in read_as.iter_rows(named=True)
    ]
    problems = read_table(con, "sheet_problems")
    lines += problems["problem"].to_list()
    if waiting:
        lines.append(
            f"{of(waiting, 'entry waits', 'entries wait')} for an answer: "
            "slipledger questions LOGBOOK lists them."
        )
    document = {
        "sheets": _plain_rows(counts),
        "unused_columns": _plain_rows(unused),
        "read_as": [
            {"file": file, "sheet": sheet, "column": heading, "read_as": column, "why": why}
            for file, sheet, heading, column, why in read_as.select(
                "file", "sheet", "heading", "column", "why"
            ).iter_rows()
        ],
        "problems": problems["problem"].to_list(),
        "waiting": waiting,
        "set_aside": reasons,
        "typed_twice": repeats,
    }
    return Outcome("\n".join(lines), document, waiting)


# --- fit and the reports


@_not_twice
def fit(space: Workspace, *, car: str | None) -> Outcome:
    """Run the modelling stage for every car and store its results."""
    from pipeline.terminal import effects_text
    from reports.as_json import fit_document

    with _fitted(space) as con:
        found = [_car_data(con, space, name) for name in _cars(con, space, car)]
    text = "\n\n".join(f"{data.car}\n{effects_text(data.fit)}" for data in found)
    return Outcome(text, fit_document([data.fit for data in found]), sum(data.waiting for data in found))


@_not_twice
def season(
    space: Workspace, *, car: str | None, formats: tuple[str, ...] = (), challenger: bool = False
) -> Outcome:
    """All stages, then the season review; on demand with a challenger beside the model."""
    from pipeline.decide.safety import warnings_of
    from pipeline.season.check_results import SecondOpinions
    from pipeline.terminal import effects_text
    from reports import season as report
    from reports.answer import next_line
    from reports.as_json import season_document

    pictures = _pictures(formats)
    with _fitted(space) as con:
        data = _car_data(con, space, _one_car(con, space, car))
    space.progress("drawing", 0.8)
    page = report.SeasonPage(
        fit=data.fit,
        runs=data.runs,
        questions=data.questions,
        sheet_counts=data.sheet_counts,
        sheet_columns=data.sheet_columns,
        slip_fates=data.slip_fates,
        wear=data.wear,
        next_setting=data.next_setting,
        plan=data.plan,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
        clutch=_clutch_record(data),
        second_opinions=_second_opinions(data) if challenger else SecondOpinions(),
    )
    document = season_document(page)
    files = _write_report(
        space, f"season{_mark(data)}", report.render(page), document, lambda: report.figures(page), pictures
    )
    said = [effects_text(data.fit), *next_line(data.fit, data.next_setting), "", *IN_SHORT, ""]
    text = "\n".join([*said, f"The season review is in {files[0]}"])
    return _outcome(data, text, document, files)


def _clutch_record(data: CarData) -> ClutchRecord:
    from pipeline.decide.holding import loads_that_hold
    from reports.clutch_figures import ClutchRecord

    wanted = None if data.clutch is None else data.clutch.bearing_clearance_in
    return ClutchRecord(
        data.service_due_in, wanted, loads_that_hold(data.garage_car, data.clutch), data.services
    )


def _second_opinions(data: CarData) -> SecondOpinions:
    pandas_back()  # scikit-learn and statsmodels look whether it is there
    from pipeline.season.car_data import car_facts
    from pipeline.season.challenger import challenge
    from pipeline.season.check_results import SecondOpinions
    from pipeline.season.mixed_check import mixed_check
    from pipeline.season.response_fit import fit_response

    facts, fitted = car_facts(data.garage, data.car), [one.response for one in data.fit.facts]
    fits = [fit_response(data.runs, facts, response) for response in fitted]
    challenges = (challenge(fit) for fit in fits)
    return SecondOpinions(
        tuple(one for one in challenges if one is not None),
        tuple(row for fit in fits for row in mixed_check(fit, data.fit.effects)),
    )


@_not_twice
def nightly(
    space: Workspace, *, event: str | None, car: str | None, formats: tuple[str, ...] = ()
) -> Outcome:
    """All stages, then the report of one event."""
    from pipeline.decide.safety import warnings_of
    from reports import nightly as report
    from reports.answer import next_line, night_lines
    from reports.as_json import nightly_document

    pictures = _pictures(formats)
    with _fitted(space) as con:
        data = _car_data(con, space, _one_car(con, space, car))
    chosen = _event(data, event)
    space.progress("drawing", 0.8)
    page = report.NightlyPage(
        event=chosen,
        fit=data.fit,
        runs=data.runs,
        questions=data.questions,
        slip_fates=data.slip_fates,
        wear=data.wear,
        next_setting=data.next_setting,
        sheet_counts=data.sheet_counts,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
    )
    document = nightly_document(page)
    plain_name = f"nightly-{distinct_slug(chosen, _events(data))}"
    name = f"{plain_name}{_mark(data)}"
    files = _write_report(space, name, report.render(page), document, lambda: report.figures(page), pictures)
    sentences = [*night_lines(data.fit, chosen), *next_line(data.fit, data.next_setting)]
    forecast = None if data.next_setting is None else data.next_setting.forecast
    phone, said = _phone(space, data, plain_name, data.phone_model, forecast)
    text = "\n".join([chosen, *sentences, "", *IN_SHORT, "", f"The night's report is in {files[0]}{said}"])
    return _outcome(data, text, document, (*files, *phone))


@_not_twice
def evidence(space: Workspace, adjustment: str, *, car: str | None, formats: tuple[str, ...] = ()) -> Outcome:
    """All stages, then the page for one adjustment."""
    from pipeline.decide.safety import warnings_of
    from reports import evidence as report
    from reports.as_json import evidence_document

    pictures = _pictures(formats)
    with _fitted(space) as con:
        data = _car_data(con, space, _one_car(con, space, car))
    chosen = _adjustment(data, adjustment)
    space.progress("drawing", 0.8)
    page = report.EvidencePage(
        adjustment=chosen,
        fit=data.fit,
        runs=data.runs,
        questions=data.questions,
        slip_fates=data.slip_fates,
        plan=data.plan,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
    )
    document = evidence_document(page)
    name = f"evidence-{slug(chosen)}{_mark(data)}"
    files = _write_report(space, name, report.render(page), document, lambda: report.figures(page), pictures)
    sentences = [effect.sentence for effect in data.fit.effects if effect.adjustment == chosen]
    text = "\n".join([*sentences, "", *IN_SHORT, "", f"The page is in {files[0]}"])
    return _outcome(data, text, document, files)


# --- what to set next, what to test, the bench


@_not_twice
def next_setting(
    space: Workspace, asked: ForecastAsked, *, quick_only: bool, car: str | None, risk: str = "cautious"
) -> Outcome:
    """Suggest the next setting under a forecast, as text, page and JSON."""
    from pipeline.decide.advice import advice_given
    from pipeline.decide.deciding import suggest
    from pipeline.store.advice_given import note_advice
    from pipeline.terminal import next_text
    from reports import next as report
    from reports.as_json import next_document

    with _ingested(space) as (con, _):
        data = _car_data(con, space, _one_car(con, space, car), need_fit=False)
        choice, dash, model = suggest(data, asked, quick_only=quick_only, risk=_risk(risk))
        if (given := advice_given(choice, data.runs, datetime.now(UTC).astimezone().date())) is not None:
            note_advice(con, data.car, given)
    page = report.NextPage(
        car=data.car,
        next_setting=choice,
        dash=dash,
        warnings=choice.warnings,
        store_version=data.store_version,
        generated_at=_now(),
        runs=data.runs,
        launch_rpm_limits=data.garage_car.launch_rpm_limits,
        extras=_extras(data),
    )
    document = next_document(page)
    name = name_with(
        "next",
        asked.track_temp and f"track {asked.track_temp}",
        asked.air_temp and f"air {asked.air_temp}",
        asked.pressure,
        asked.humidity and f"humidity {asked.humidity}",
        "quick" if quick_only else None,
        risk if risk != "cautious" else None,
        asked.venue,
    )
    files = _write_report(space, f"{name}{_mark(data)}", report.render(page), document)
    phone, said = _phone(space, data, name, model, choice.forecast, quick_only=quick_only)
    text = f"{next_text(choice, _extras(data))}\n\nThe card is in {files[0]}{said}"
    return Outcome(text, document, data.waiting, (*files, *phone))


def _phone(
    space: Workspace,
    data: CarData,
    name: str,
    model: PhoneModel | None,
    forecast: Forecast | None,
    *,
    quick_only: bool = False,
) -> tuple[tuple[Path, ...], str]:
    """Write the page that goes on working in the hand, and say where it is; nothing without a fit."""
    from pipeline.decide.safety import warnings_of
    from reports.phone import PhonePage, render

    if model is None or forecast is None:
        return (), ""
    page = PhonePage(data.car, model, forecast, warnings_of(data), data.store_version, _now(), quick_only)
    file = _write_text(space.out / f"{name}-phone{_mark(data)}.html", render(page))
    return (file,), f"\nTo take along on the phone, without a network: {file}"


@_not_twice
def compare(space: Workspace, first: str, second: str, asked: ForecastAsked, *, car: str | None) -> Outcome:
    """Set two settings side by side under a forecast, as text and JSON."""
    from pipeline.decide.comparing import compare as compared
    from pipeline.terminal import compare_text
    from reports.as_json import compare_document
    from reports.compare import ComparePage

    with _ingested(space) as (con, _):
        data = _car_data(con, space, _one_car(con, space, car), need_fit=False)
    found = compared(data, asked, (first, second))
    page = ComparePage(data.car, found, data.store_version, _now())
    return Outcome(compare_text(found, _extras(data)), compare_document(page), data.waiting)


def _risk(asked: str) -> Risk:
    """Read how much risk a suggestion may take."""
    from pipeline.season.results import RISKS

    for known in RISKS:
        if asked.strip().casefold() == known:
            return known
    raise RequestError(
        f"--risk {asked!r} is not a choice.",
        f"Choose {' or '.join(RISKS)}; without it the answer is cautious.",
    )


def plan(
    space: Workspace,
    *,
    n_runs: str,
    wanted: tuple[str, ...] = (),
    purpose: str = "60ft",
    car: str | None,
) -> Outcome:
    """Plan the test runs worth making, as text, page, JSON and a sheet to fill in."""
    from pipeline.decide.deciding import plan_tests
    from pipeline.decide.safety import warnings_of
    from pipeline.garage.adjustment_names import adjustment_names, find_adjustment
    from pipeline.terminal import plan_text
    from reports import plan as report
    from reports.as_json import plan_document

    if not n_runs.strip().isdecimal() or not 2 <= int(n_runs) <= MOST_PLANNED_RUNS:
        raise RequestError(
            f"--runs {n_runs!r} is not a number of runs.",
            f"Give a whole number from 2 to {MOST_PLANNED_RUNS}.",
        )
    count, aim = int(n_runs), _purpose(purpose)
    with _ingested(space) as (con, _):
        data = _car_data(con, space, _one_car(con, space, car), need_fit=False)
    names = adjustment_names(data.garage)
    tried = [find_adjustment(each, data.garage, names) for each in wanted]
    found = plan_tests(data, count, tried, aim)
    page = report.PlanPage(
        car=data.car,
        plan=found,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
        extras=_extras(data),
    )
    document = plan_document(page)
    files = _write_report(space, f"plan{_mark(data)}", report.render(page), document)
    text = f"{plan_text(found, _extras(data))}\n\nThe card is in {files[0]}"
    if found.runs:
        sheet = _fresh_sheet(space.out / f"plan-sheet{_mark(data)}.csv", report.sheet_csv(page))
        files = (*files, sheet)
        text += f"\nA sheet to fill in is {sheet}: copy it into the logbook folder before you type in it."
    return _outcome(data, text, document, files)


def _purpose(asked: str) -> Purpose:
    """Read what test runs are for."""
    from pipeline.decide.results import PURPOSES

    for known in PURPOSES:
        if asked.strip().casefold().replace(" ", "") == known:
            return known
    raise RequestError(
        f"--for {asked!r} is not a choice.",
        f"Choose {' or '.join(PURPOSES)}; without it the runs are for the best next 60 ft time.",
    )


def _fresh_sheet(path: Path, text: str) -> Path:
    """Write a sheet for a person to fill in; one that may hold typing already is never replaced."""
    number = 1
    place = path
    while place.exists() and place.read_text(encoding="utf-8", errors="replace") != text:
        number += 1
        place = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return _write_text(place, text)


@_not_twice
def clutch(
    space: Workspace, *, turns: str | None, counterweight: str | None, rpm: str | None, car: str | None
) -> Outcome:
    """Work out the bench card of a setting, or of the one in force."""
    from pipeline.decide.bench import bench_card_of
    from pipeline.decide.safety import warnings_of
    from pipeline.terminal import bench_text
    from reports import clutch as report
    from reports.as_json import clutch_document

    with _ingested(space) as (con, _):
        data = _car_data(con, space, _one_car(con, space, car, also_unrun=True), need_fit=False)
    card = bench_card_of(data, turns=turns, counterweight=counterweight, rpm=rpm)
    page = report.ClutchPage(
        car=data.car,
        card=json.loads(json.dumps(asdict(card), default=str)),
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
    )
    document = clutch_document(page)
    files = _write_report(space, f"clutch{_mark(data)}", report.render(page), document)
    return _outcome(data, f"{bench_text(card)}\n\nThe card is in {files[0]}", document, files)


@_not_twice
def attached(space: Workspace, *, event: str | None, car: str | None) -> Outcome:
    """Say which setup, weather, track reading and check each run used, and what no run used."""
    from pipeline.decide.safety import warnings_of
    from pipeline.store.attached import attached_to
    from pipeline.terminal import attached_text
    from reports import attached as report
    from reports.as_json import attached_document

    with _ingested(space, steps=True) as (con, _):
        data = _car_data(con, space, _one_car(con, space, car), need_fit=False)
        used, unused = attached_to(con, data.car)
    chosen = None if event is None else _event(data, event)
    page = report.AttachedPage(
        car=data.car,
        used=used,
        unused=unused,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
        extras=_extras(data),
    )
    document = attached_document(page)
    files = _write_report(space, f"attached{_mark(data)}", report.render(page), document)
    text = f"{attached_text(page, chosen)}\n\nEvery run, row by row, is in {files[0]}"
    return _outcome(data, text, document, files)


def fleet(
    source: str | Path,
    *,
    engine: str | None = None,
    master: str | None = None,
    store: Path | None,
    out: Path | None,
    car: str | None,
    share_out: Path | None,
    share_in: tuple[Path, ...],
    progress: Progress | None,
    fresh: bool = False,
) -> Outcome:
    """Pool many cars; with ``car``, give that car's season with the fleet behind it as well."""
    from pipeline.fleet.pooling import effects_of_car, pool_fleet, store_fleet
    from pipeline.store.database import STORE_VERSION
    from pipeline.terminal import fleet_text
    from reports import fleet as report
    from reports.as_json import fleet_document

    place = Path() if "://" in str(source) else Path(source)
    home = place if place.is_dir() else place.parent
    space = Workspace.of(home, store=store or home / "slipledger-fleet.duckdb", out=out, progress=progress)
    if engine is not None:
        found = _pool_on(engine)(
            str(source), master=master, share_out=share_out, share_in=share_in, progress=space.progress
        )
    elif master is None:
        found = pool_fleet(
            place, share_out=share_out, share_in=share_in, progress=space.progress, fresh=fresh
        )
    else:
        raise RequestError(f"--master {master} is the address of a cluster.", "Say --engine spark as well.")
    store_fleet(found, space.store)
    chosen = () if car is None else effects_of_car(found, car)
    page = report.FleetPage(
        fleet=found.fit,
        store_version=str(STORE_VERSION),
        generated_at=_now(),
        car=car,
        car_effects=chosen,
    )
    document = fleet_document(page)
    files = _write_report(space, "fleet", report.render(page), document)
    text = [fleet_text(found.fit, chosen), *found.shared, f"The fleet's page is in {files[0]}"]
    if car is not None:
        season_files = _pooled_season(space, found, home, car)
        files += season_files
        text += [f"{car}'s season with the fleet behind it is in {path}" for path in season_files[:1]]
    return Outcome("\n".join(text), document, files=files, left_out=len(found.left_out))


def _pool_on(engine: str) -> Callable[..., Any]:
    """Load what hands the sums to an engine that others run."""
    if engine != "spark":
        raise RequestError(
            f"--engine {engine} is none that is known here.", "Say --engine spark, or leave it out."
        )
    pandas_back()  # Spark's way of handing over tables stumbles over a library that is hidden
    try:
        from pipeline.fleet.shard_pooling import pool_shards
    except ModuleNotFoundError as missing:
        needed = str(missing.name).partition(".")[0]
        raise RequestError(
            f"--engine spark needs {needed}, which is not installed.",
            "Install it with: pip install 'slipledger[spark]'.",
        ) from missing
    return pool_shards


def _pooled_season(space: Workspace, found: Any, home: Path, car: str) -> tuple[Path, ...]:
    from pipeline.decide.fitted_car import decide
    from pipeline.decide.safety import warnings_of
    from pipeline.fleet.pooling import season_of_car
    from reports import season as report
    from reports.as_json import season_document

    own = season_of_car(found, home, car)
    if own is None:
        return ()
    data, fitted, borrowed = own
    assert data.wear is not None
    decided = decide(data, fitted, data.wear)
    page = report.SeasonPage(
        fit=decided.fit,
        runs=data.runs,
        questions=data.questions,
        sheet_counts=data.sheet_counts,
        sheet_columns=data.sheet_columns,
        slip_fates=data.slip_fates,
        wear=decided.wear,
        next_setting=decided.next_setting,
        plan=decided.test_plan,
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
        clutch=_clutch_record(data),
        borrowed=borrowed,
    )
    return _write_report(space, f"pooled-{slug(car)}", report.render(page), season_document(page))


@_not_twice
def handout(space: Workspace, *, car: str | None) -> Outcome:
    """All stages, then one sheet to print: setting, limits, service, next test."""
    from pipeline.decide.safety import limits_now, warnings_of
    from pipeline.terminal import next_text
    from reports import handout as report
    from reports.as_json import handout_document

    with _fitted(space) as con:
        data = _car_data(con, space, _one_car(con, space, car))
    page = report.HandoutPage(
        fit=data.fit,
        as_of=str(data.runs["run_date"].max() or ""),
        wear=data.wear,
        next_setting=data.next_setting,
        plan=data.plan,
        limits=tuple(
            report.LimitLine(
                name,
                one.label,
                one.spoken_end(one.low),
                one.spoken_end(one.high),
                one.low_words,
                one.high_words,
            )
            for name, one in limits_now(data).bounds.items()
        ),
        warnings=warnings_of(data),
        store_version=data.store_version,
        generated_at=_now(),
    )
    document = handout_document(page)
    files = _write_report(space, f"handout{_mark(data)}", report.render(page), document)
    said = "" if data.next_setting is None else f"{next_text(data.next_setting, _extras(data))}\n\n"
    return _outcome(data, f"{said}The sheet to print is {files[0]}", document, files)


def export(space: Workspace, kind: str, *, car: str | None = None) -> Outcome:
    """Write the store's tables as files; one car's rows stand in a folder of their own."""
    from pipeline.season.car_data import waiting_questions
    from pipeline.store.export import KINDS, export_tables
    from pipeline.store.tables import exported_tables, read_table

    if kind not in KINDS:
        raise RequestError(f"--as {kind} is not a kind of export.", f"Choose one of {', '.join(KINDS)}.")
    with _fitted(space) as con:
        chosen = None if car is None else _one_car(con, space, car)
        folder = space.out / "exports" / ("" if chosen is None else slug(chosen))
        files = export_tables(con, exported_tables(con), folder, kind, chosen)
        waiting = waiting_questions(read_table(con, "questions")).height
    text = "\n".join(["Wrote:", *(f"  {path}" for path in files)])
    return Outcome(text, {"files": [path.name for path in files]}, waiting, files)


# --- shared by the stages


def _outcome(data: CarData, text: str, document: dict[str, Any], files: tuple[Path, ...]) -> Outcome:
    """End a stage of one car: warnings first; sheets that could not be read and what waits last."""
    from pipeline.decide.safety import warnings_of
    from pipeline.terminal import warning_lines
    from reports.numbers import of

    told = [*warning_lines(warnings_of(data) if document.get("warnings") else ()), text, *data.problems]
    if data.waiting:
        told.append(
            f"{of(data.waiting, 'entry waits', 'entries wait')} for an answer: "
            "slipledger questions LOGBOOK lists them."
        )
    return Outcome("\n".join(told), document, data.waiting, files)


@contextmanager
def _ingested(
    space: Workspace, *, steps: bool = False, anew: bool = False
) -> Iterator[tuple[duckdb.DuckDBPyConnection, Any]]:
    """Open the workspace's logbook and its store, ingested; ``anew`` reads all sheets again."""
    from pipeline.garage.logbook import Logbook
    from pipeline.ingest.opening import ingested

    logbook = Logbook.open(space.logbook)
    fresh = space.fresh or anew
    with ingested(logbook, space.store, space.progress, fresh=fresh, steps=steps) as con:
        yield con, logbook


@contextmanager
def _fitted(space: Workspace) -> Iterator[duckdb.DuckDBPyConnection]:
    """As :func:`_ingested`, with the model's results of every car written too."""
    from pipeline.store.remembered import is_remembered, mark_of

    with _ingested(space) as (con, logbook):
        mark = mark_of(con, "runs")  # of the sheets that were read, whatever was saved since
        if space.fresh or not is_remembered(con, "fit", mark):
            from pipeline.decide.fitted_car import fit_cars

            space.progress("working out what moved the numbers", 0.5)
            fit_cars(con, logbook.garage, mark, fresh=space.fresh)
        yield con


def _car_data(
    con: duckdb.DuckDBPyConnection, space: Workspace, car: str, *, need_fit: bool = True
) -> CarData:
    from pipeline.garage.logbook import GARAGE_FILE, read_garage
    from pipeline.season.car_data import read_car_data

    return read_car_data(con, read_garage(space.logbook / GARAGE_FILE), car, with_fit=need_fit)


def _cars(
    con: duckdb.DuckDBPyConnection, space: Workspace, wanted: str | None, *, also_unrun: bool = False
) -> list[str]:
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
            f"{_did_you_mean(wanted, names)}Cars here: {', '.join(names)}.",
        )
    return found


def _one_car(
    con: duckdb.DuckDBPyConnection, space: Workspace, wanted: str | None, *, also_unrun: bool = False
) -> str:
    names = _cars(con, space, wanted, also_unrun=also_unrun)
    if len(names) > 1:
        raise RequestError(
            f"This logbook has {len(names)} cars: {', '.join(names)}.", "Say which with --car NAME."
        )
    return names[0]


def _event(data: CarData, wanted: str | None) -> str:
    """Find an event by its name, a part of it, or its day; the latest when none is asked for."""
    events = _events(data)
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
        f"{_did_you_mean(wanted, events)}Give a name, a part of it or a day such as {first_day}. "
        f"Events here: {', '.join(events)}.",
    )


def _events(data: CarData) -> list[str]:
    runs = data.runs.sort("run_at", "run_id")
    return [str(event) for event in runs["event"].unique(maintain_order=True)]


def _adjustment(data: CarData, wanted: str) -> str:
    from pipeline.garage.adjustment_names import find_adjustment

    names = list(dict.fromkeys(effect.adjustment for effect in data.fit.effects))
    if not names:
        raise RequestError(
            f"Nothing can be said of {wanted!r} yet.", " ".join(data.fit.sentences) or "More runs are needed."
        )
    return find_adjustment(wanted, data.garage, names)


def _did_you_mean(word: str, known: list[str]) -> str:
    import difflib

    close = difflib.get_close_matches(word, known, n=1)
    return f"Did you mean {close[0]!r}? " if close else ""


def _extras(data: CarData) -> dict[str, tuple[str, str]]:
    """Return the label and unit of each extra adjustment, for pages that read no fit."""
    return {item.name: (item.spoken, item.unit) for item in data.garage.adjustments}


def _mark(data: CarData) -> str:
    return car_mark(data.car, data.cars)


def _pictures(asked: tuple[str, ...]) -> tuple[Picture, ...]:
    """Check the kinds of picture asked for."""
    unknown = [form for form in asked if form not in FORMATS]
    if unknown:
        raise RequestError(
            f"--format {unknown[0]} is not a kind of picture.", f"Choose one of {', '.join(FORMATS)}."
        )
    return tuple(form for form in FORMATS if form in asked)


def _write_report(
    space: Workspace,
    name: str,
    html: str,
    document: dict[str, Any],
    figures: Callable[[], Any] = tuple,
    formats: tuple[Picture, ...] = (),
) -> tuple[Path, ...]:
    """Write a page, its JSON and the pictures asked for, drawn only then; each file whole or not at all."""
    files = [_write_text(space.out / f"{name}.html", html)]
    as_text = json.dumps(document, indent=2, ensure_ascii=False, default=str)
    files.append(_write_text(space.out / f"{name}.json", as_text + "\n"))
    if formats:
        from reports.page import figure_files

        drawn = figure_files(figures(), formats)
        files += [write_whole(space.out / f"{name}-{file}", picture) for file, picture in drawn.items()]
    space.progress("done", 1.0)
    return tuple(files)


def _write_text(path: Path, text: str) -> Path:
    return write_whole(path, text.encode("utf-8"))


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _plain_rows(frame: Any) -> list[dict[str, Any]]:
    return [
        {
            key: value if isinstance(value, int | float | bool | type(None)) else str(value)
            for key, value in row.items()
        }
        for row in frame.iter_rows(named=True)
    ]
