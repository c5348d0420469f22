"""Chances made in NumPy are those of scipy."""

import numpy as np
import pytest
from scipy import special

from pipeline.season.chances import chi_square_above, logistic, normal_at, normal_below, student_at

ENDS = [-np.inf, -45.0, -39.0, 0.0, 39.0, 45.0, np.inf]
X = np.concatenate([ENDS, np.linspace(-39, 39, 20_011), np.random.default_rng(1).normal(size=20_000)])


def test_the_normal_below_is_scipys() -> None:
    want = special.ndtr(X)
    assert normal_below(X) == pytest.approx(want, rel=0, abs=1e-15)
    near = np.abs(X) < 8
    assert normal_below(X)[near] == pytest.approx(want[near], rel=3e-10, abs=0)


def test_the_logistic_is_scipys_and_never_overflows() -> None:
    x = np.concatenate([20 * X, [-1e6, 1e6]])
    assert logistic(x) == pytest.approx(special.expit(x), rel=1e-14, abs=1e-300)


@pytest.mark.parametrize("chance", [1e-9, 0.05, 0.5, 0.8, 0.975])
def test_the_normals_value_of_a_chance_is_scipys(chance: float) -> None:
    assert normal_at(chance) == pytest.approx(float(special.ndtri(chance)), rel=1e-14, abs=1e-16)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 12])
def test_the_chi_squares_tail_is_scipys(freedom: int) -> None:
    x = np.array([0.0, 1e-8, 0.3, 2.0, 9.0, 60.0, 400.0])
    want = special.gammaincc(freedom / 2, x / 2)
    assert [chi_square_above(freedom, each) for each in x] == pytest.approx(list(want), rel=1e-12, abs=0)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 18, 19, 233, 5000])
def test_students_value_of_a_chance_is_scipys(freedom: int) -> None:
    for chance in (0.8, 0.975, 0.999):
        want = float(special.stdtrit(freedom, chance))
        assert student_at(freedom, chance) == pytest.approx(want, rel=1e-12, abs=0)
