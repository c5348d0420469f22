"""The registry of adjustments and conditions agrees with the columns and with garage.toml."""

import pytest

from pipeline.garage.dictionary import RUNS, SETUPS, TIMESLIPS
from pipeline.garage.factors import ADJUSTMENTS, CONDITIONS, FACTORS, Factor, extra_factor
from pipeline.garage.parts import Car, Clutch


@pytest.mark.parametrize("factor", [f for f in FACTORS if f.column], ids=lambda factor: factor.name)
def test_a_factor_stands_in_runs_in_the_unit_of_its_column(factor: Factor) -> None:
    assert RUNS.column(factor.column).unit in {factor.unit, ""}


@pytest.mark.parametrize("factor", ADJUSTMENTS, ids=lambda factor: factor.name)
def test_a_setting_can_be_typed_made_and_limited(factor: Factor) -> None:
    assert set(factor.typed_on) == {"timeslips", "setups"}
    assert factor.reach >= factor.grid > 0
    part = {"car": Car, "clutch": Clutch}[factor.limits_part]
    assert factor.limits_key in {field.alias or name for name, field in part.model_fields.items()}


def test_the_columns_that_limits_and_habits_judge_are_those_of_the_settings() -> None:
    judged = {column.name for table in (TIMESLIPS, SETUPS) for column in table.of_role("setting")}
    assert judged == {factor.column for factor in ADJUSTMENTS}


def test_a_name_stands_once() -> None:
    names = [factor.name for factor in FACTORS]
    assert len(set(names)) == len(names)
    assert not any(factor.is_setting for factor in CONDITIONS)


@pytest.mark.parametrize(
    ("unit", "value", "words"),
    [
        ("click", 1, "1 click"),
        ("click", 6, "6 clicks"),
        ("deg", 2, "2 deg"),
        ("holes", 2, "2 holes"),
        ("", 3, "3"),
    ],
)
def test_an_adjustment_of_the_garage_is_spoken_in_the_right_number(
    unit: str, value: float, words: str
) -> None:
    assert extra_factor("own", "own", unit, 1.0).spoken(value) == words
