"""Two settings side by side: the model's figures, limits that hold, no time for what is in question."""

import json
import math
import re
from importlib import resources
from typing import Any

import jsonschema
import pytest

from pipeline import stages
from pipeline.cautions import CAUTIONS
from pipeline.decide.comparing import compare
from pipeline.decide.deciding import launch_fit
from pipeline.decide.forecast import read_forecast
from pipeline.decide.holding import Holding, holding_of
from pipeline.decide.next_setting import present_state
from pipeline.decide.safety import settings_now
from pipeline.errors import RequestError
from pipeline.season.expected_time import ExpectedTime
from pipeline.stages.shared import car_data, ingested
from pipeline.workspace import ForecastAsked, Workspace
from tests.decide.small_season import LAST_DAY, garage, write_season

ENGINE_LB_FT = 300
HOT = ForecastAsked(track_temp="95 F")


@pytest.fixture(scope="module")
def space(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    return write_season(tmp_path_factory.mktemp("season") / "logbook", garage())


@pytest.fixture(scope="module")
def data(space: Workspace) -> Any:
    with ingested(space) as (con, _):
        return car_data(con, space, "Marigold", need_fit=False)


def test_the_figures_are_those_of_the_expected_time(data: Any) -> None:
    found = compare(data, HOT, ("preload 4.5, rpm 5800", "preload 3"))
    fit, present = launch_fit(data), settings_now(data)
    forecast = read_forecast(HOT, runs=data.runs, weather=data.weather, track=data.track, garage=data.garage)
    expected = ExpectedTime.of(fit)
    a, b = (
        present_state(fit, {**present, **asked}, forecast, data.worn_now_in)
        for asked in ({"preload": 4.5, "launch_rpm": 5800}, {"preload": 3})
    )
    mean, cov = expected.mean_and_cov([a, b])
    assert found.difference_s == pytest.approx(mean[0] - mean[1], abs=1e-12)
    sd = math.sqrt(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1])
    assert (found.high_s - found.low_s) / 2 == pytest.approx(1.96 * sd, rel=1e-3)
    assert found.a.choice.expected_s == pytest.approx(mean[0] + fit.centre_s, abs=1e-12)
    spin, bog = expected.chances(a)
    assert (found.a.choice.p_spin, found.a.choice.p_bog) == (spin[0], bog[0])
    assert found.p_a_quicker is not None
    assert found.p_a_quicker > 0.9  # a turn was made to gain 20 thousandths
    assert found.a.against == ()
    assert found.b.choice.settings == {**present, "preload": 3}


def test_the_order_of_the_two_only_turns_the_sign(data: Any) -> None:
    one, other = (compare(data, HOT, pair) for pair in (("turns 4", "turns 3"), ("turns 3", "turns 4")))
    assert one.difference_s == pytest.approx(-other.difference_s, abs=1e-12)
    assert one.low_s == pytest.approx(-other.high_s, abs=1e-12)
    assert one.sentence == re.sub("[AB]", lambda found: "BA"[found[0] == "B"], other.sentence)


def test_one_setting_given_twice_is_said_so(data: Any) -> None:
    found = compare(data, HOT, ("turns 3.5", "rpm 6000"))
    assert (found.difference_s, found.p_a_quicker) == (0.0, None)
    assert found.sentence == "Both are the same setting."


def test_every_mistake_and_every_limit_is_told_at_once(data: Any) -> None:
    asked = ForecastAsked(track_temp="warm")
    with pytest.raises(RequestError) as wrong:
        compare(data, asked, ("preload 6.5, rmp 3", "rpm 7100, track 95"))
    said = str(wrong.value)
    for word in ("'warm'", "'rmp'", "safe_turns 6", "launch_rpm_limits 4500 to 7000", "'track 95'"):
        assert word in said, word
    assert said.count("What can be set here") == 1


def test_what_lies_far_from_the_runs_is_held_back(data: Any) -> None:
    found = compare(data, HOT, ("preload 1, rpm 4600", "preload 3.5"))
    assert found.b.against == ()
    assert "farther out" in found.a.against[0]
    assert "A is not advised" in found.sentence


def test_a_track_nobody_ran_on_is_held_against_both(data: Any) -> None:
    found = compare(data, ForecastAsked(track_temp="140F"), ("turns 4", "turns 3"))
    assert "hotter_than_run" in {warning.kind for warning in found.warnings}
    assert all("140" in side.against[-1] for side in (found.a, found.b))
    assert "Neither is advised" in found.sentence


def test_as_text_and_as_a_document(space: Workspace) -> None:
    outcome = stages.compare(space, "preload 4.5", "preload 3", HOT, car=None)
    schema = json.loads(
        resources.files("reports").joinpath("results.schema.json").read_text(encoding="utf-8")
    )
    own = {**schema["properties"]["compare"], "$defs": schema["$defs"]}
    jsonschema.Draft202012Validator(own).validate(json.loads(json.dumps(outcome.document["compare"])))
    assert outcome.document["compare"]["a"]["asked"] == ["preload"]
    for words in ("4.50 turns", "3.00 turns", "as it is", "chance that A beats B", *CAUTIONS):
        assert words in outcome.text


def test_an_engine_the_clutch_would_not_hold_is_held_against_a_setting(tmp_path: Any) -> None:
    space = write_season(tmp_path / "logbook", garage(engine_lb_ft=ENGINE_LB_FT))
    with ingested(space) as (con, _):
        data = car_data(con, space, "Marigold", need_fit=False)
    holding = holding_of(data.garage_car, data.clutch, data.worn_now_in)
    assert isinstance(holding, Holding)
    held, not_held = (holding.lb_ft(turns, 0.0) for turns in (6.0, 0.5))
    assert not_held < ENGINE_LB_FT < held
    found = compare(data, HOT, ("preload 0.5, cw 0", "preload 6, cw 0"))
    assert any(f"{ENGINE_LB_FT} lb-ft" in said for said in found.a.against)
    assert not any(f"{ENGINE_LB_FT} lb-ft" in said for said in found.b.against)


def test_with_the_present_setting_in_question_only_whole_settings_have_times(tmp_path: Any) -> None:
    space = write_season(tmp_path / "logbook", garage(), setups=f"{LAST_DAY},20:00,Marigold,45,7,6000")
    with ingested(space) as (con, _):
        data = car_data(con, space, "Marigold", need_fit=False)
    assert data.doubts
    left_out = compare(data, HOT, ("rpm 6000", "rpm 5800"))
    assert math.isnan(left_out.difference_s)
    assert left_out.sentence.startswith("Nothing is compared")
    assert "preload" not in left_out.a.choice.settings
    given = compare(data, HOT, ("preload 3, rpm 6000", "preload 3.5, rpm 6000"))
    assert math.isfinite(given.difference_s)
