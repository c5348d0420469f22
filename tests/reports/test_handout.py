import json
from dataclasses import replace
from html import unescape
from importlib import resources

import jsonschema

from pipeline.cautions import CAUTIONS
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


def test_a_test_is_worth_its_runs_only_when_it_settles_something() -> None:
    page = pages.handout_page()
    assert page.plan is not None
    assert handout.worth_words(page).startswith("Worth it: ")
    dull = tuple(replace(one, after_s=one.now_s) for one in page.plan.precision)
    page = pages.handout_page(plan=replace(page.plan, precision=dull))
    assert "not worth a test day of its own" in handout.worth_words(page)


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
