import json
from dataclasses import replace
from html import unescape
from importlib import resources

import jsonschema

from pipeline.cautions import CAUTIONS
from pipeline.decide.results import Trial
from reports import handout
from reports.as_json import handout_document
from tests.reports import example_pages as pages
from tests.reports import example_results as ex
from tests.reports.test_season import words_of


def test_the_sheet_says_what_to_set_why_inside_what_limits_and_every_caution() -> None:
    text = unescape(words_of(handout.render(pages.handout_page())))
    assert "launch rpm 6,400 rpm was 6,200" in text
    assert "4.5 turns" in text
    assert "One step of launch rpm on t60: moved." in text
    assert "October 4, 2025" in text
    for caution in CAUTIONS:
        assert caution in text


def test_no_sign_and_too_little_tried_are_told_apart() -> None:
    page = pages.handout_page()
    mine = tuple(
        ex.effect("t60", *row, "no_sign") for row in (("tire_pressure", 1.9, 3.9), ("preload", None, 0.0))
    )
    assert handout.reasons(replace(page, fit=replace(page.fit, effects=mine))) == [
        "No sign that tire pressure moved it, so nothing speaks for a change there.",
        "Too little was tried of preload to say what a change there does.",
    ]


def test_the_plan_itself_says_whether_its_runs_are_worth_it_and_a_trial_comes_first() -> None:
    page = pages.handout_page()
    assert page.plan is not None
    assert handout.worth_words(page)[0] == page.plan.sentence
    assert "would narrow" in handout.worth_words(page)[-1]
    dull = pages.handout_page(plan=replace(page.plan, is_worth_it=False))
    assert handout.worth_words(dull) == [page.plan.sentence]
    assert handout.runs_table(dull) is None
    trial = Trial(
        {"preload": 4.0}, -0.001, -0.006, -0.015, 0.003, 0.9, 0.1, 0.0, 2, -0.001, -0.001, "", "Worth a try."
    )
    tried = pages.handout_page(next_setting=replace(ex.example_next(stay=True), trial=trial))
    assert handout.worth_words(tried)[0] == "Worth a try."


def test_a_car_with_nothing_known_still_has_its_sheet() -> None:
    text = words_of(handout.render(pages.empty_handout_page()))
    for sentence in (
        "Nothing can be suggested yet",
        "Leave the car as it is",
        "garage.toml gives no limits",
        "Ring height was never entered",
        "No test is planned",
    ):
        assert sentence in text


def test_the_document_holds_to_the_schema() -> None:
    schema = json.loads(resources.files("reports").joinpath("results.schema.json").read_text("utf-8"))
    document = handout_document(pages.handout_page())
    properties = {key: schema["properties"][key] for key in document}
    jsonschema.validate(document, {**schema, "properties": properties, "required": []})
    assert [one["adjustment"] for one in document["limits"]] == ["preload", "launch_rpm"]
    assert document["next"]["change_to"]["settings"]["launch_rpm"] == 6400.0
    assert document["car"] == ex.CAR
