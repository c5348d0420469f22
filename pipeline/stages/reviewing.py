"""What happened: the season, the night, the evidence for one adjustment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pipeline.cautions import IN_SHORT
from pipeline.errors import RequestError
from pipeline.files.names import distinct_slug, slug
from pipeline.libraries_aside import libraries_back
from pipeline.stages.shared import (
    Picture,
    adjustment_of,
    car_data,
    cars_in,
    event_of,
    events_of,
    fitted,
    ingested,
    mark_of,
    not_twice,
    one_car,
    outcome_of,
    phone_of,
    season_page,
    signed,
    write_report,
)
from pipeline.workspace import Outcome, Workspace

if TYPE_CHECKING:
    from pipeline.season.car_data import CarData
    from pipeline.season.check_results import SecondOpinions

FORMATS: tuple[Picture, ...] = ("png", "svg", "pdf")


@not_twice
def fit(space: Workspace, *, car: str | None) -> Outcome:
    """Run the modelling stage for every car and store its results."""
    from pipeline.terminal import effects_text
    from reports.as_json import fit_document

    with fitted(space) as con:
        found = [car_data(con, space, name) for name in cars_in(con, space, car)]
    text = "\n\n".join(f"{data.car}\n{effects_text(data.fit)}" for data in found)
    return Outcome(text, fit_document([data.fit for data in found]), sum(data.waiting for data in found))


@not_twice
def season(
    space: Workspace, *, car: str | None, formats: tuple[str, ...] = (), challenger: bool = False
) -> Outcome:
    """All stages, then the season review; on demand with a challenger beside the model."""
    from pipeline.season.check_results import SecondOpinions
    from pipeline.terminal import effects_text
    from reports import season as report
    from reports.answer import next_line
    from reports.as_json import season_document

    pictures = _pictures(formats)
    with fitted(space) as con:
        data = car_data(con, space, one_car(con, space, car))
    space.progress("drawing", 0.8)
    opinions = _second_opinions(data) if challenger else SecondOpinions()
    page = season_page(data, second_opinions=opinions)
    document = season_document(page)
    files = write_report(
        space, f"season{mark_of(data)}", report.render(page), document, lambda: report.figures(page), pictures
    )
    said = [effects_text(data.fit), *next_line(data.fit, data.next_setting), "", *IN_SHORT, ""]
    text = "\n".join([*said, f"The season review is in {files[0]}"])
    return outcome_of(data, text, document, files)


def _second_opinions(data: CarData) -> SecondOpinions:
    libraries_back()  # scikit-learn and statsmodels look whether it is there
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


@not_twice
def nightly(
    space: Workspace, *, event: str | None, car: str | None, formats: tuple[str, ...] = ()
) -> Outcome:
    """Ingest, fit what a night shows, then the report of one event."""
    from pipeline.decide.fitted_car import with_night
    from reports import nightly as report
    from reports.answer import next_line, night_lines
    from reports.as_json import nightly_document

    pictures = _pictures(formats)
    with ingested(space) as (con, _):
        data = car_data(con, space, one_car(con, space, car), need_fit=False)
        chosen = event_of(data, event)
        space.progress("working out what moved the numbers", 0.5)
        data = with_night(con, data, chosen, fresh=space.fresh)
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
        **signed(data),
    )
    document = nightly_document(page)
    plain_name = f"nightly-{distinct_slug(chosen, events_of(data))}"
    name = f"{plain_name}{mark_of(data)}"
    files = write_report(space, name, report.render(page), document, lambda: report.figures(page), pictures)
    sentences = [*night_lines(data.fit, chosen), *next_line(data.fit, data.next_setting)]
    forecast = None if data.next_setting is None else data.next_setting.forecast
    phone, said = phone_of(space, data, plain_name, data.phone_model, forecast)
    text = "\n".join([chosen, *sentences, "", *IN_SHORT, "", f"The night's report is in {files[0]}{said}"])
    return outcome_of(data, text, document, (*files, *phone))


@not_twice
def evidence(space: Workspace, adjustment: str, *, car: str | None, formats: tuple[str, ...] = ()) -> Outcome:
    """All stages, then the page for one adjustment."""
    from reports import evidence as report
    from reports.as_json import evidence_document

    pictures = _pictures(formats)
    with fitted(space) as con:
        data = car_data(con, space, one_car(con, space, car))
    chosen = adjustment_of(data, adjustment)
    space.progress("drawing", 0.8)
    page = report.EvidencePage(
        adjustment=chosen,
        fit=data.fit,
        runs=data.runs,
        questions=data.questions,
        slip_fates=data.slip_fates,
        plan=data.plan,
        **signed(data),
    )
    document = evidence_document(page)
    name = f"evidence-{slug(chosen)}{mark_of(data)}"
    files = write_report(space, name, report.render(page), document, lambda: report.figures(page), pictures)
    sentences = [effect.sentence for effect in data.fit.effects if effect.adjustment == chosen]
    text = "\n".join([*sentences, "", *IN_SHORT, "", f"The page is in {files[0]}"])
    return outcome_of(data, text, document, files)


def _pictures(asked: tuple[str, ...]) -> tuple[Picture, ...]:
    """Check the kinds of picture asked for."""
    unknown = [form for form in asked if form not in FORMATS]
    if unknown:
        raise RequestError(
            f"--format {unknown[0]} is not a kind of picture.", f"Choose one of {', '.join(FORMATS)}."
        )
    return tuple(form for form in FORMATS if form in asked)
