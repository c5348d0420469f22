from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import OutOfRange
from pipeline.physics import correction as cf

DRY = st.floats(60_000.0, 105_000.0)
TEMP_K = st.floats(260.0, 320.0)
FACTORS = [cf.j1349_factor, cf.j607_factor]


@pytest.mark.parametrize("factor", FACTORS)
@given(dry=DRY, temp_k=TEMP_K)
def test_thinner_or_hotter_air_asks_for_more_correction(factor: object, dry: float, temp_k: float) -> None:
    here = factor(dry, temp_k)  # type: ignore[operator]
    assert factor(dry - 1000.0, temp_k) > here  # type: ignore[operator]
    assert factor(dry, temp_k + 5.0) > here  # type: ignore[operator]


@given(DRY, TEMP_K)
def test_j607_is_always_above_j1349_near_its_standard(dry: float, temp_k: float) -> None:
    ratio = cf.j607_factor(dry, temp_k) / cf.j1349_factor(dry, temp_k)
    assert 0.9 < ratio < 1.1
    if 0.93 < cf.j1349_factor(dry, temp_k) < 1.07:
        assert ratio == pytest.approx(1.04, abs=0.015)


@given(st.floats(0.8, 1.5), st.floats(1000.0, 5000.0), st.floats(2e5, 2e6))
def test_the_cube_root_rule_is_exact_at_constant_power(factor: float, mass: float, power: float) -> None:
    # At constant power P a mass m covers d in (9 m d^2 / 8 P)^(1/3): Fox, Am. J. Phys. 41 (1973) 311.
    here, there = ((9 * mass * 402.336**2 / (8 * p)) ** (1 / 3) for p in (power, power * factor))
    assert cf.corrected_time(here, factor) == pytest.approx(there, rel=1e-12)


@pytest.mark.parametrize("factor", FACTORS)
def test_pressure_in_the_wrong_unit_is_refused(factor: object) -> None:
    with pytest.raises(OutOfRange, match=r"dry air pressure of 29\.92 Pa"):
        factor(29.92, 300.0)  # type: ignore[operator]


def test_a_factor_no_air_has_is_refused() -> None:
    with pytest.raises(OutOfRange, match="correction factor of 3"):
        cf.corrected_time(10.0, 3.0)
    with pytest.raises(OutOfRange, match="correction factor of 0"):
        cf.corrected_time(10.0, 0.0)
