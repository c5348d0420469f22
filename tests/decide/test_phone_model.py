"""What the phone page computes with: plain data that gives Python's times again, and the limits with it."""

import json
import math
import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline import stages
from pipeline.cautions import CAUTIONS
from pipeline.decide.deciding import launch_fit
from pipeline.decide.phone_model import phone_model
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.stages import shared
from pipeline.workspace import ForecastAsked, Outcome, Workspace
from tests.decide.small_season import LAST_DAY, garage, write_season

MOST_BYTES = 600_000


@pytest.fixture(scope="module")
def space(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    return write_season(tmp_path_factory.mktemp("season") / "logbook", garage(safe_turns=None))


def model_in(outcome: Outcome) -> tuple[dict[str, Any], str]:
    file = next(file for file in outcome.files if file.name.endswith("-phone.html"))
    assert file.stat().st_size < MOST_BYTES
    page = file.read_text(encoding="utf-8")
    text = page.partition('id="phone-model">')[2].partition("</script>")[0]
    return json.loads(text), page


@cache
def car_data(space: Workspace) -> Any:
    with shared.ingested(space) as (con, _):
        return shared.car_data(con, space, "Marigold", need_fit=False)


@cache
def fitted(space: Workspace) -> ResponseFit:
    return launch_fit(car_data(space))


def clean_seconds(model: dict[str, Any], state: list[float]) -> float:
    """Clean time at a state, worked out from the description alone."""
    own = [f["reference"] + f["step"] * s for f, s in zip(model["factors"], state, strict=True)]
    middle = [f["reference"] for f in model["factors"]]
    features = list(state)
    for one in model["derived"]:
        made, at = (
            sum(by * math.prod(values[i] for i in of) for by, of in one["terms"])
            / math.prod(values[i] / middle[i] for i in one["over"])
            for values in (own, middle)
        )
        features.append((made - at) / one["per"])
    columns = [
        sum(c * features[one["of"][0]] ** k for k, c in enumerate(one["powers"]))
        if one["powers"]
        else math.prod(features[i] for i in one["of"])
        for one in model["columns"]
    ]
    return float(np.dot(columns, model["mean"]))


def test_the_description_gives_the_clean_time_again(space: Workspace) -> None:
    data, fit = car_data(space), fitted(space)
    expected, model = ExpectedTime.of(fit), json.loads(phone_model(data, fit).document)
    states = np.random.default_rng(4).normal(size=(20, len(fit.spec.factors)))
    lost = np.array(expected.chances(states)).T @ np.array(model["wrong"]["loss_s"])
    found = [clean_seconds(model, state.tolist()) for state in states]
    assert np.array(found) + lost == pytest.approx(expected.at(states).seconds, abs=1e-12)
    p = len(model["mean"])
    assert len(model["cov"]) == p * (p + 1) // 2


def test_next_writes_the_page_with_limits_and_cautions(space: Workspace) -> None:
    asked = ForecastAsked(track_temp="95 F")
    model, page = model_in(stages.next_setting(space, asked, quick_only=True, car=None))
    assert all(caution.replace("'", "&#39;") in page for caution in CAUTIONS)
    assert 'id="quick" checked' in page
    assert not re.search(r"https?://", page)
    assert "preload" not in [move["limit"] for move in model["modes"]["all"]["moves"]]
    assert model["missing"]["preload"] in model["modes"]["all"]["no_suggestion_for"]
    assert model["missing"]["preload"] not in model["modes"]["quick"]["no_suggestion_for"]
    assert [move["limit"] for move in model["modes"]["quick"]["moves"]] == ["launch_rpm"]
    values = next(m["values"] for m in model["modes"]["all"]["moves"] if m["limit"] == "launch_rpm")
    assert min(values) >= 4500
    assert max(values) <= 7000


def test_risk_is_carried_on(space: Workspace) -> None:
    data, fit = car_data(space), fitted(space)
    rules = [json.loads(phone_model(data, fit, risk).document)["rules"] for risk in ("cautious", "even")]
    assert [(rule["gate"], rule["caution_sd"]) for rule in rules] == [(0.9, 0.7), (0.5, 0.0)]


def test_with_the_setting_in_question_there_is_nothing_to_start_from(tmp_path: Path) -> None:
    space = write_season(tmp_path / "logbook", garage(), setups=f"{LAST_DAY},20:00,Marigold,45,7,6000")
    data = car_data(space)
    model = json.loads(phone_model(data, launch_fit(data)).document)
    assert model["in_question"]
    assert "modes" not in model
    assert any("45" in warning for warning in model["warnings"])
