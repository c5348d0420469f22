"""Clutch facts: centrifugal load per gram against hand arithmetic."""

import math

import pytest

from pipeline.garage.factors import extra_factor
from pipeline.season.facts import ClutchFacts


def test_load_per_gram_is_levers_mass_radius_speed_squared() -> None:
    clutch = ClutchFacts(360.0, 50.0, 1200.0, 6, 30.0, 3.5, 0.8)
    omega = 6000 * math.tau / 60
    newtons = 6 * 0.001 * (3.5 * 0.0254) * omega**2 * 0.8  # [derived] F = m r omega^2
    assert clutch.lb_per_g_rpm2 * 6000**2 == pytest.approx(newtons / 4.4482216152605, rel=1e-12)


def test_a_step_is_written_with_its_unit() -> None:
    assert extra_factor("shock", "rear shock", "click", 2.0).step_words == "2 click"
    assert extra_factor("ratio", "gear", "", 1.0).step_words == "1"
