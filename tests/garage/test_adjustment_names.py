"""An adjustment goes by any name a person has for it."""

import pytest

from pipeline.errors import RequestError
from pipeline.garage.adjustment_names import adjustment_names, find_adjustment
from pipeline.garage.logbook import Garage

GARAGE = Garage.model_validate(
    {
        "adjustment": [{"name": "shock_clicks", "label": "rear shock", "also": ["damper"], "unit": "click"}],
        "headings": {"arm weight": "counterweight_g", "left at": "launch rpm"},
    }
)
KNOWN = ["preload", "counterweight", "launch_rpm", "shock_clicks", "track_temp", "air_density"]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("preload", "preload"),
        ("preload_turns", "preload"),
        ("Preload Turns", "preload"),
        ("counterweight_g", "counterweight"),
        ("arm weight", "counterweight"),
        ("Left At", "launch_rpm"),
        ("launch rpm", "launch_rpm"),
        ("rear shock", "shock_clicks"),
        ("damper", "shock_clicks"),
        ("track temperature", "track_temp"),
        ("air_density_kg_per_m3", "air_density"),
    ],
)
def test_any_spelling_is_understood(typed: str, meant: str) -> None:
    assert find_adjustment(typed, GARAGE, KNOWN) == meant


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("prelod", "There is no adjustment 'prelod'. Did you mean 'preload'?"),
        ("Arm wieght", "Did you mean 'arm weight'?"),
        ("xyzzy", "There is no adjustment 'xyzzy'. Known here: preload"),
        ("tire pressure", "Nothing can be said of 'tire pressure': too few runs say what it was."),
    ],
)
def test_what_is_not_understood_is_said_with_what_is(typed: str, said: str) -> None:
    with pytest.raises(RequestError) as wrong:
        find_adjustment(typed, GARAGE, KNOWN)
    assert said in str(wrong.value)


def test_only_what_can_be_set_can_be_planned() -> None:
    names = adjustment_names(GARAGE)
    assert names[:4] == ["preload", "counterweight", "launch_rpm", "tire_pressure"]
    assert names[-1] == "shock_clicks"
    assert not {"track_temp", "air_density", "wear", "lane"} & set(names)
