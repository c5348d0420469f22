"""What to set: the next setting, two compared, test runs, the clutch, the dash sheet."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from pipeline.errors import RequestError
from pipeline.files.names import name_with
from pipeline.stages.shared import (
    car_data,
    choice_of,
    extras_of,
    fitted,
    ingested,
    mark_of,
    not_twice,
    one_car,
    outcome_of,
    phone_of,
    signed,
    write_report,
    write_text,
)
from pipeline.workspace import ForecastAsked, Outcome, Workspace

MOST_PLANNED_RUNS = 24


@not_twice
def next_setting(
    space: Workspace, asked: ForecastAsked, *, quick_only: bool, car: str | None, risk: str = "cautious"
) -> Outcome:
    """Suggest the next setting under a forecast, as text, page and JSON."""
    from pipeline.decide.advice import advice_given
    from pipeline.decide.deciding import suggest
    from pipeline.season.results import RISKS
    from pipeline.store.advice_given import note_advice
    from pipeline.terminal import next_text
    from reports import next as report
    from reports.as_json import next_document

    with ingested(space) as (con, _):
        data = car_data(con, space, one_car(con, space, car), need_fit=False)
        taken = choice_of("--risk", risk, RISKS, "without it the answer is cautious.")
        choice, dash, model = suggest(data, asked, quick_only=quick_only, risk=taken)
        if (given := advice_given(choice, data.runs, datetime.now(UTC).astimezone().date())) is not None:
            note_advice(con, data.car, given)
    page = report.NextPage(
        car=data.car,
        next_setting=choice,
        dash=dash,
        **signed(data) | {"warnings": choice.warnings},
        runs=data.runs,
        launch_rpm_limits=data.garage_car.launch_rpm_limits,
        extras=extras_of(data),
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
    files = write_report(space, f"{name}{mark_of(data)}", report.render(page), document)
    phone, said = phone_of(space, data, name, model, choice.forecast, quick_only=quick_only)
    text = f"{next_text(choice, extras_of(data))}\n\nThe card is in {files[0]}{said}"
    return Outcome(text, document, data.waiting, (*files, *phone))


@not_twice
def compare(space: Workspace, first: str, second: str, asked: ForecastAsked, *, car: str | None) -> Outcome:
    """Set two settings side by side under a forecast, as text and JSON."""
    from pipeline.decide.comparing import compare as compared
    from pipeline.terminal import compare_text
    from reports.as_json import compare_document
    from reports.compare import ComparePage

    with ingested(space) as (con, _):
        data = car_data(con, space, one_car(con, space, car), need_fit=False)
    found = compared(data, asked, (first, second))
    page = ComparePage(data.car, found, **signed(data) | {"warnings": found.warnings})
    return Outcome(compare_text(found, extras_of(data)), compare_document(page), data.waiting)


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
    from pipeline.decide.results import PURPOSES
    from pipeline.garage.adjustment_names import adjustment_names, find_adjustment
    from pipeline.terminal import plan_text
    from reports import plan as report
    from reports.as_json import plan_document

    if not n_runs.strip().isdecimal() or not 2 <= int(n_runs) <= MOST_PLANNED_RUNS:
        raise RequestError(
            f"--runs {n_runs!r} is not a number of runs.",
            f"Give a whole number from 2 to {MOST_PLANNED_RUNS}.",
        )
    count = int(n_runs)
    aim = choice_of("--for", purpose, PURPOSES, "without it the runs are for the best next 60 ft time.")
    with ingested(space) as (con, _):
        data = car_data(con, space, one_car(con, space, car), need_fit=False)
    names = adjustment_names(data.garage)
    tried = [find_adjustment(each, data.garage, names) for each in wanted]
    found = plan_tests(data, count, tried, aim)
    page = report.PlanPage(
        car=data.car,
        plan=found,
        **signed(data),
        extras=extras_of(data),
    )
    document = plan_document(page)
    files = write_report(space, f"plan{mark_of(data)}", report.render(page), document)
    text = f"{plan_text(found, extras_of(data))}\n\nThe card is in {files[0]}"
    if found.runs:
        sheet = _fresh_sheet(space.out / f"plan-sheet{mark_of(data)}.csv", report.sheet_csv(page))
        files = (*files, sheet)
        text += f"\nA sheet to fill in is {sheet}: copy it into the logbook folder before you type in it."
    return outcome_of(data, text, document, files)


@not_twice
def clutch(
    space: Workspace, *, turns: str | None, counterweight: str | None, rpm: str | None, car: str | None
) -> Outcome:
    """Work out the bench card of a setting, or of the one in force."""
    from pipeline.decide.bench import bench_card_of
    from pipeline.terminal import bench_text
    from reports import clutch as report
    from reports.as_json import clutch_document

    with ingested(space) as (con, _):
        data = car_data(con, space, one_car(con, space, car, also_unrun=True), need_fit=False)
    card = bench_card_of(data, turns=turns, counterweight=counterweight, rpm=rpm)
    page = report.ClutchPage(
        car=data.car,
        card=json.loads(json.dumps(asdict(card), default=str)),
        **signed(data),
    )
    document = clutch_document(page)
    files = write_report(space, f"clutch{mark_of(data)}", report.render(page), document)
    return outcome_of(data, f"{bench_text(card)}\n\nThe card is in {files[0]}", document, files)


@not_twice
def handout(space: Workspace, *, car: str | None) -> Outcome:
    """All stages, then one sheet to print: setting, limits, service, next test."""
    from pipeline.decide.safety import limits_now
    from pipeline.terminal import next_text
    from reports import handout as report
    from reports.as_json import handout_document

    with fitted(space) as con:
        data = car_data(con, space, one_car(con, space, car))
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
        **signed(data),
    )
    document = handout_document(page)
    files = write_report(space, f"handout{mark_of(data)}", report.render(page), document)
    said = "" if data.next_setting is None else f"{next_text(data.next_setting, extras_of(data))}\n\n"
    return outcome_of(data, f"{said}The sheet to print is {files[0]}", document, files)


def _fresh_sheet(path: Path, text: str) -> Path:
    """Write a sheet for a person to fill in; one that may hold typing already is never replaced."""
    number = 1
    place = path
    while place.exists() and place.read_text(encoding="utf-8", errors="replace") != text:
        number += 1
        place = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return write_text(place, text)
