"""A setting is read as people write one; what cannot be read is said whole, with what is known."""

import pytest

from pipeline.decide.typed_setting import Known, read_setting
from pipeline.garage.factors import ADJUSTMENTS
from pipeline.garage.logbook import Garage

GARAGE = Garage.model_validate(
    {
        "clutch": [{"name": "eight", "counterweight_hardware": {"steel nut": "3.6 g"}}],
        "adjustment": [{"name": "shock_clicks", "label": "rear shock", "unit": "click"}],
        "headings": {"arm weight": "counterweight_g"},
    }
)
FACTORS = {factor.name: factor for factor in (*ADJUSTMENTS, GARAGE.adjustments[0].factor)}
KNOWN = Known(GARAGE, GARAGE.clutches[0], FACTORS)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("preload 4.5, rpm 6800", {"preload": 4.5, "launch_rpm": 6800}),
        ("Preload: 4,5 turns; launch rpm = 6,800 rpm", {"preload": 4.5, "launch_rpm": 6800}),
        ("6800 rpm, 4.5 turns", {"preload": 4.5, "launch_rpm": 6800}),
        ("2 step 6800", {"launch_rpm": 6800}),
        ("turns 2, revs 6700, lever grams 4", {"preload": 2, "launch_rpm": 6700, "counterweight": 4}),
        ("rear shock 5 clicks,tire pressure 0.8 bar", {"shock_clicks": 5, "tire_pressure": 11.603}),
        ("arm weight 2 steel nuts", {"counterweight": 7.2}),
        ("preload 3, preload 3", {"preload": 3}),
    ],
)
def test_a_setting_is_read_as_people_write_it(typed: str, meant: dict[str, float]) -> None:
    found, wrong = read_setting(typed, KNOWN)
    assert wrong == []
    assert found == pytest.approx(meant, abs=1e-3)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "names nothing"),
        ("rmp 6800", "Did you mean 'rpm'?"),
        ("wing 3", "preload, counterweight, launch rpm, tire pressure, rear shock"),
        ("track temp 95", "--track-temp"),
        ("preload", "gives no number"),
        ("preload 3, turns 4", "twice, 3 and 4"),
        ("rpm 680000", "680000"),
        ("preload four", "'preload four' cannot be read"),
        ("shock clicks many", "'many' is no number"),
        ("6800", "'6800'"),
    ],
)
def test_what_cannot_be_read_names_the_value_and_the_remedy(typed: str, said: str) -> None:
    _, wrong = read_setting(typed, KNOWN)
    assert len(wrong) == 1
    assert said in str(wrong[0])


def test_every_mistake_is_told() -> None:
    found, wrong = read_setting("preload 3, rmp 1, wing 2", KNOWN)
    assert found == {"preload": 3}
    assert len(wrong) == 2
