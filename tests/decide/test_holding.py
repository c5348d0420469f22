"""Torque capacity: no suggestion slips at the engine's peak, and a lower one is marked."""

import polars as pl
import pytest

from pipeline.decide.holding import Holding, held_sentence, holding_of
from pipeline.decide.next_setting import suggest_next
from pipeline.decide.safety import clearance_warning
from pipeline.garage.parts import Car, Clutch
from tests.decide.test_next_setting import fitted, forecast, limits, present


def holding(engine_lb_ft: float) -> Holding:
    """A clutch that holds 100 lb-ft, 10 more a turn and 5 more a gram."""
    return Holding(5000.0, engine_lb_ft, 1.0, 100.0, 10.0, 0.0, 0.0, 5.0)


@pytest.mark.parametrize("margin_lb_ft", [-200.0, -1.0, 0.0, 1.0, 8.0, 200.0])
def test_what_is_suggested_holds_the_engine(margin_lb_ft):
    fit = fitted()
    now = present(fit)
    free = suggest_next(fit, limits(fit), now, forecast())
    wanted = float(holding(0.0).of(free.change_to.settings)) + margin_lb_ft
    check = holding(wanted)
    found = suggest_next(fit, limits(fit), now, forecast(), holding=check)
    assert found.change_to is None or check.locks(found.change_to.settings)
    assert ("torque_capacity" in [one.kind for one in found.warnings]) == (not check.locks(now))
    if margin_lb_ft <= 0:
        assert found.change_to.settings == free.change_to.settings


def test_a_setting_that_holds_less_is_marked():
    before, after = {"preload": 3.0, "counterweight": 4.0}, {"preload": 2.0, "counterweight": 4.0}
    assert "lowers what the clutch holds, from 150 lb-ft" in held_sentence(holding(90.0), before, after)
    assert "lowers" not in held_sentence(holding(90.0), after, before)


def test_figures_that_are_missing_are_named():
    missing = holding_of(Car(name="Marigold"), Clutch(name="any", levers=4), None)
    assert "engine_torque" in missing
    assert "levers" not in missing


@pytest.mark.parametrize(
    ("read", "said"),
    [
        ([0.2, 0.19, 0.18], None),
        ([0.2, 0.16, 0.12], "about 0.0040 in a run"),
        ([0.1, 0.3], None),
        ([0.1], "once"),
    ],
)
def test_too_small_a_bearing_clearance_warns_with_its_trend(read, said):
    checks = pl.DataFrame(
        {
            "checked_at": range(len(read)),
            "entry_order": range(len(read)),
            "runs_made": [10 * at for at in range(len(read))],
            "bearing_clearance_in": read,
        }
    )
    found = clearance_warning(checks, Clutch.model_validate({"name": "any", "bearing_clearance": 0.2}))
    assert (found is None) == (said is None)
    assert found is None or said in found.text
