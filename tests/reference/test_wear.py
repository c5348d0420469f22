from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pipeline.physics.wear import theil_sen
from tests.reference.checks import Check, each

SEN = "Sen, J. Am. Stat. Assoc. 63 (1968) 1379, worked example"
X, Y = [1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]

EXAMPLE = [
    Check("slope", lambda: theil_sen(X, Y).slope, 4.0, SEN, "seen", rel=1e-12),
    Check("low at 0.07", lambda: theil_sen(X, Y, level=0.93).low, 3.71, SEN, "seen", abs=5e-3),
    Check("high at 0.07", lambda: theil_sen(X, Y, level=0.93).high, 4.38, SEN, "seen", abs=6e-3),
    Check("low, library", lambda: theil_sen(X, Y, level=0.93).low, 3.7142857, "scipy", "lib", rel=1e-7),
    Check("high, library", lambda: theil_sen(X, Y, level=0.93).high, 4.375, "scipy", "lib", rel=1e-12),
]


@each(EXAMPLE)
def test_theil_sen(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize("seed", range(12))
def test_theil_sen_agrees_with_scipy(seed: int) -> None:
    # scipy.stats.theilslopes [lib]: slope and limits, ties in x and y included.
    rng = np.random.default_rng(seed)
    x = rng.integers(0, 25, 30).astype(float)
    y = np.round(0.01 * x + rng.normal(0, 0.05, 30), 2)
    there = stats.theilslopes(y, x, alpha=0.95)
    ours = theil_sen(x, y)
    assert (ours.slope, ours.low, ours.high) == pytest.approx((there[0], there[2], there[3]), rel=1e-12)
