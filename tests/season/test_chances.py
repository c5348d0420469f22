"""The chances that fits ask for, against SciPy's."""

import numpy as np
import pytest
from scipy import special

from pipeline.season.chances import chi_square_tail, expit, ndtr, ndtri, student_quantile

CLOSE = 1e-12
"""Relative; an argument rounded to a double moves the far tails by a tenth of that."""


def test_normal_chances_reach_far_into_the_tails() -> None:
    z = np.linspace(-37, 9, 460).reshape(20, 23)
    assert ndtr(z) == pytest.approx(special.ndtr(z), rel=CLOSE)
    assert ndtr(z).shape == z.shape
    assert float(ndtr(0.0)) == 0.5


@pytest.mark.parametrize("p", [1e-10, 0.025, 0.3, 0.5, 0.8, 0.975])
def test_normal_quantiles(p: float) -> None:
    assert ndtri(p) == pytest.approx(special.ndtri(p), rel=CLOSE, abs=1e-15)


def test_log_odds_of_any_size() -> None:
    odds = np.linspace(-745, 745, 299)
    assert expit(odds) == pytest.approx(special.expit(odds), rel=CLOSE)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 12, 31])
def test_chi_square_tails(freedom: int) -> None:
    at = np.linspace(0, 160, 33)
    ours = [chi_square_tail(freedom, float(x)) for x in at]
    assert ours == pytest.approx(special.chdtrc(freedom, at), rel=CLOSE)


@pytest.mark.parametrize("p", [0.6, 0.9, 0.975, 0.999])
def test_quantiles_of_student(p: float) -> None:
    for freedom in (*range(1, 12), 40, 171, 2000):
        assert student_quantile(freedom, p) == pytest.approx(special.stdtrit(freedom, p), rel=CLOSE)
