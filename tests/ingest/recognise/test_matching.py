"""The best assignment beside the library's, ties included."""

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from pipeline.ingest.recognise.matching import best_columns


@pytest.mark.parametrize("levels", [0, 2, 4])
@pytest.mark.parametrize("shape", [(1, 1), (3, 3), (5, 12), (17, 60)])
def test_the_choice_is_the_librarys(shape: tuple[int, int], levels: int) -> None:
    rng = np.random.default_rng(levels)
    for _ in range(20):
        worth = rng.normal(size=shape) * 3
        if levels:  # so that many are tied
            worth = np.round(worth * levels) / levels
        assert best_columns(worth) == linear_sum_assignment(worth, maximize=True)[1].tolist()
