import json
from dataclasses import replace
from importlib import resources
from typing import Any

import jsonschema
import pytest

from pipeline.cautions import CAUTIONS
from reports.as_json import (
    attached_document,
    clutch_document,
    compare_document,
    evidence_document,
    fit_document,
    fleet_document,
    next_document,
    nightly_document,
    plan_document,
    season_document,
)
from reports.json_parts import FATES
from tests.reports import example_pages as pages
from tests.reports import example_results as ex

SUM_TOLERANCE_S = 1e-12  # the waterfall's identity
SEASON_KEYS = (
    "car",
    "store_version",
    "generated_at",
    "runs",
    "effects",
    "change",
    "rpm_by_track_temp",
    "next",
    "plan",
    "wear",
    "questions",
)


@pytest.fixture(scope="module")
def validator() -> Any:
    return validator_of("results.schema.json")


def validator_of(name: str) -> Any:
    schema = json.loads(resources.files("reports").joinpath(name).read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


DOCUMENTS = {
    "season": lambda: season_document(pages.season_page()),
    "empty season": lambda: season_document(pages.empty_season_page()),
    "nightly": lambda: nightly_document(pages.nightly_page()),
    "evidence": lambda: evidence_document(pages.evidence_page()),
}


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_document_is_valid_and_carries_the_agreed_keys(validator: Any, name: str) -> None:
    document = DOCUMENTS[name]()
    again = json.loads(json.dumps(document, allow_nan=False))
    validator.validate(again)
    assert again == document
    assert set(SEASON_KEYS) <= set(document)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("effects", 0, "verdict"), "perhaps"),
        (("effects", 0, "per_step_s"), "−0.003"),
        (("runs", "used"), {}),
        (("next", "p_better"), 1.2),
        (("schema_version",), 2),
        (("rpm_by_track_temp", 0, "supported"), None),
    ],
)
def test_the_schema_refuses_what_is_wrong(validator: Any, path: tuple, value: Any) -> None:
    document = season_document(pages.season_page())
    spot: Any = document
    for key in path[:-1]:
        spot = spot[key]
    spot[path[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        validator.validate(document)


def test_the_change_adds_up() -> None:
    change = season_document(pages.season_page())["change"]
    total = sum(part["seconds"] for part in change["parts"]) + change["unexplained_s"]
    assert abs(total - change["total_s"]) <= SUM_TOLERANCE_S
    assert change["response"] == "t60"


def test_slips_are_counted_by_what_became_of_them() -> None:
    season = season_document(pages.season_page())["runs"]
    assert {name: season[name] for name in FATES} == {
        "kept": 119, "questioned": 1, "rejected": 1, "set_aside": 1,
    }  # fmt: skip
    night = nightly_document(pages.nightly_page())
    assert {name: night["runs"][name] for name in FATES} == {
        "kept": 11, "questioned": 1, "rejected": 1, "set_aside": 0,
    }  # fmt: skip
    for counts in (season, night["runs"]):
        assert counts["read"] == sum(counts[name] for name in FATES)
    assert night["event"] == "Last Light"
    assert nightly_document(pages.nightly_page("Thaw Meet"))["as_of"] == "2025-10-04"
    assert {check["run_id"] for check in night["checks"]} == set(range(109, 121))


CARDS = {
    "next": lambda: next_document(pages.next_page()),
    "compare": lambda: compare_document(pages.compare_page()),
    "plan": lambda: plan_document(pages.plan_page()),
    "no plan": lambda: plan_document(pages.plan_page(plan=None, why_not="Too few runs.")),
    "clutch": lambda: clutch_document(pages.clutch_page()),
    "fleet": lambda: fleet_document(pages.fleet_page()),
    "attached": lambda: attached_document(pages.attached_page()),
    "fit": lambda: fit_document([ex.example_fit()]),
}


@pytest.mark.parametrize("name", CARDS)
def test_the_cards_are_plain_values(name: str) -> None:
    document = CARDS[name]()
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    assert document["schema_version"] == 1


def test_what_was_attached_has_a_schema_of_its_own() -> None:
    document = json.loads(json.dumps(CARDS["attached"]()))
    validator = validator_of("attached.schema.json")
    validator.validate(document)
    assert [(event["event"], len(event["runs"])) for event in document["events"]] == [
        ("Thaw Meet", 2), ("Last Light", 1), (None, 1),
    ]  # fmt: skip
    assert [len(event["runs"][0]["used"]) for event in document["events"]] == [5, 5, 0]
    document["events"][0]["runs"][0]["used"][0]["quantities"] = []
    with pytest.raises(jsonschema.ValidationError):
        validator.validate(document)


def test_the_same_is_said_with_the_same_keys() -> None:
    season = season_document(pages.season_page())
    assert CARDS["next"]()["next"] == season["next"]
    assert CARDS["plan"]()["plan"] == season["plan"]
    assert CARDS["fit"]()["cars"][0]["effects"] == season["effects"]


def test_what_is_not_finite_becomes_null_on_a_card_too() -> None:
    odd = replace(ex.example_next(), gain_low_s=float("-inf"), p_better=float("nan"))
    said = next_document(pages.next_page(next_setting=odd))["next"]
    assert (said["gain_low_s"], said["p_better"]) == (None, None)
    assert clutch_document(pages.clutch_page(preload_lb=float("nan")))["bench_card"]["preload_lb"] is None


@pytest.mark.parametrize("name", [*DOCUMENTS, *(name for name in CARDS if name != "fit")])
def test_the_cautions_go_with_the_numbers(name: str) -> None:
    assert (DOCUMENTS | CARDS)[name]()["cautions"] == list(CAUTIONS)


def test_evidence_keeps_to_its_adjustment() -> None:
    document = evidence_document(pages.evidence_page("launch_rpm"))
    assert {effect["adjustment"] for effect in document["effects"]} == {"launch_rpm"}
    assert {point["adjustment"] for point in document["curve"]} == {"launch_rpm"}


def test_what_is_not_finite_becomes_null() -> None:
    wear = replace(ex.example_wear(), runs_to_service=float("inf"))
    assert season_document(pages.season_page(wear=wear))["wear"]["runs_to_service"] is None
