"""What is said before any time: entries in question, limits passed, a clutch that would not hold."""

import json

import jsonschema
import pytest

from pipeline import stages
from tests.decide.small_season import LAST_DAY, ask_next, garage, write_season

NEXT_DAY = LAST_DAY.replace(day=LAST_DAY.day + 1)


def kinds(outcome) -> list[str]:
    return [warning["kind"] for warning in outcome.document["warnings"]]


def head(outcome) -> str:
    """What stands before the first time on the terminal."""
    return outcome.text.partition("expected 60 ft")[0]


def page(outcome) -> str:
    path = next(path for path in outcome.files if path.suffix == ".html")
    return path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"setups": f"{NEXT_DAY},,Marigold,45,,"}, ("preload '45'", "Perhaps 4.5", "If 45 turns")),
        ({"setups": f"{NEXT_DAY},,Marigold,6.5,,"}, ("preload '6.5'", "more than safe_turns 6")),
        ({"setups": f"{NEXT_DAY},,Marigold,3 3 3 3 3 3 3 4,,"}, ("preload", "a turn or more off")),
        ({"setups": f"{NEXT_DAY},,Marigold,,,60000"}, ("launch rpm '60000'", "Perhaps 6000")),
        ({"setups": ",,Marigold,4,,"}, ("setups.csv, row", "in question")),
    ],
    ids=["45 for 4.5", "past safe turns", "screws apart", "a digit too many", "no date"],
)
def test_nothing_hangs_on_a_latest_setting_in_question(tmp_path, more, said):
    outcome = ask_next(write_season(tmp_path / "book", garage(), **more))
    assert kinds(outcome)[0] == "in_question"
    assert all(words in head(outcome) for words in said)
    assert "Stay" not in outcome.text
    suggestion = outcome.document["next"]
    assert suggestion["change_to"] is None
    assert suggestion["stay"]["expected_s"] is None
    assert outcome.document["rpm_by_track_temp"] == []
    shown = page(outcome)
    assert shown.index('class="warnings"') < shown.index("Nothing is suggested")


def test_a_ring_set_crooked_is_warned_of_and_holds_the_preload_alone(tmp_path):
    crooked = f"{NEXT_DAY},,Marigold,3 3 3 3 3 3 3 3.5,,"
    outcome = ask_next(write_season(tmp_path / "book", garage(), setups=crooked))
    assert kinds(outcome) == ["uneven_screws"]
    assert "0.5 turn apart" in head(outcome)
    suggestion = outcome.document["next"]
    moved = suggestion["change_to"] or suggestion["stay"]
    assert moved["settings"]["preload"] == suggestion["stay"]["settings"]["preload"]


def test_an_answered_or_older_question_stops_nothing(tmp_path):
    first = f"{LAST_DAY.replace(month=4, day=1)},,Marigold,45,,"
    outcome = ask_next(write_season(tmp_path / "book", garage(), setups=first))
    assert "in_question" not in kinds(outcome)
    assert outcome.document["next"]["stay"]["settings"]["preload"] == 3.5


def test_a_clutch_check_in_question_stops_the_preload_alone(tmp_path):
    outcome = ask_next(write_season(tmp_path / "book", garage(), checks=f"{NEXT_DAY},,Marigold,21.01,,"))
    assert kinds(outcome)[0] == "in_question"
    assert "21.01" in head(outcome)
    assert any(
        "clutch check that is in question" in line for line in outcome.document["next"]["no_suggestion_for"]
    )
    suggestion = outcome.document["next"]
    change = suggestion["change_to"] or suggestion["stay"]
    assert change["settings"]["preload"] == suggestion["stay"]["settings"]["preload"]
    assert suggestion["stay"]["expected_s"] > 1


BROKEN = [
    ({"least_base_load": '"760 lb"'}, "least_base_load", "below"),
    ({"safe_turns": "3"}, "safe_turns", "more than safe_turns 3"),
    ({"counterweight_limits": '["0 g", "6 g"]'}, "past_limit", "more than counterweight_limits 0 to 6 g"),
    ({"safe_turns": "3", "least_base_load": None}, "safe_turns", "more than safe_turns 3"),
    ({"service_growth": '"0.005 in"'}, "service_due", "due for service"),
    ({"ring_height_new": '"2.070 in"'}, "service_due", "began on a worn disc"),
]


@pytest.mark.parametrize(("clutch", "kind", "words"), BROKEN)
def test_what_the_present_state_breaks_heads_every_answer(tmp_path, clutch, kind, words):
    space = write_season(tmp_path / "book", garage(**clutch))
    answers = [ask_next(space)]
    if kind in {"least_base_load", "service_due"}:  # the same warnings go to every page
        answers += [stages.nightly(space, event=None, car=None), stages.season(space, car=None)]
    for outcome in answers:
        assert kind in kinds(outcome)
        keys = list(outcome.document)
        assert keys[keys.index("generated_at") + 1] == "warnings"
        assert outcome.text.startswith("See to this first:")
        assert words in outcome.text
        assert page(outcome).index('class="warnings"') < page(outcome).index("<strong>")


def test_a_forced_move_is_counted_from_the_smallest_legal_one(tmp_path):
    space = write_season(tmp_path / "book", garage(least_base_load='"760 lb"'))
    forced = ask_next(space).document["next"]
    assert forced["stay"]["settings"]["preload"] == 3.5
    assert forced["smallest_legal"]["settings"] == forced["stay"]["settings"] | {"preload": 4.25}
    gain = forced["change_to"]["expected_s"] - forced["smallest_legal"]["expected_s"]
    assert forced["gain_s"] == pytest.approx(gain, abs=1e-9)
    more = forced["change_to"]["settings"] != forced["smallest_legal"]["settings"]
    assert more == (forced["p_better"] is not None)
    assert forced["p_better"] is None or forced["p_better"] >= 0.9


def test_what_cannot_come_inside_stops_every_suggestion(tmp_path):
    space = write_season(tmp_path / "book", garage(least_base_load='"1200 lb"'))
    outcome = ask_next(space)
    assert kinds(outcome)[0] == "least_base_load"
    assert outcome.document["next"]["change_to"] is None
    assert "Stay" not in outcome.text


def test_a_document_with_warnings_is_valid(tmp_path):
    from importlib import resources

    schema = json.loads(resources.files("reports").joinpath("results.schema.json").read_text("utf-8"))
    space = write_season(tmp_path / "book", garage(), setups=f"{NEXT_DAY},,Marigold,45,,")
    for outcome in (stages.season(space, car=None), stages.nightly(space, event=None, car=None)):
        plain = json.loads(json.dumps(outcome.document, default=str))
        jsonschema.validate(plain, schema, cls=jsonschema.Draft202012Validator)
        assert plain["warnings"][0]["kind"] == "in_question"


def test_without_its_figures_torque_capacity_was_not_checked(tmp_path):
    outcome = ask_next(write_season(tmp_path / "book", garage()))
    for text in (outcome.text, page(outcome), outcome.document["next"]["torque_capacity"]):
        assert "not checked" in text.replace("&#39;", "'")
        assert "engine_torque" in text
