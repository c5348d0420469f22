"""Where the gain of a suggestion comes from: each move's part, parts that add up to the whole."""

from __future__ import annotations

from math import factorial

import numpy as np

from pipeline.decide.limits import SAME
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.results import Z95, ChangePart
from pipeline.season.sums import Array


def gain_parts(expected: ExpectedTime, state_from: Array, state_to: Array) -> tuple[ChangePart, ...]:
    """Share the change of the expected time between two states out among what differs.

    Parameters
    ----------
    expected
        Of the fitted response.
    state_from, state_to
        In steps from the reference. shape (F,)

    Returns
    -------
    tuple of ChangePart
        One for each factor that differs, the largest gain first; they add up to the whole change. [s]

    Notes
    -----
    A factor's part is its change of the time averaged over every order in which the moves can be made. What
    spinning and bogging cost by their chance is in it.

    References
    ----------
    L. S. Shapley, "A value for n-person games", Contributions to the Theory of Games II (1953) 307-317
    [memory].
    """
    moved = [int(i) for i in np.flatnonzero(np.abs(state_to - state_from) > SAME)]
    if not moved:
        return ()
    found = expected.at(_every_mixture(state_from, state_to, moved))
    weights = _shares(len(moved))
    seconds = weights @ found.seconds
    slopes, room = weights @ found.slopes, weights @ found.room
    half = Z95 * np.sqrt(np.maximum(((slopes @ expected.cov) * slopes).sum(1) + (room**2).sum(1), 0.0))
    factors = [expected.fit.spec.factors[i] for i in moved]
    made = [
        ChangePart(factor.name, factor.label, float(s), float(s - h), float(s + h))
        for factor, s, h in zip(factors, seconds, half, strict=True)
    ]
    return tuple(sorted(made, key=lambda part: part.seconds))


def _every_mixture(state_from: Array, state_to: Array, moved: list[int]) -> Array:
    """States with every choice of the moves made; bit j of the row's number says that move j is."""
    states = np.tile(state_from, (2 ** len(moved), 1))
    for j, i in enumerate(moved):
        states[(np.arange(states.shape[0]) >> j) & 1 == 1, i] = state_to[i]
    return states


def _shares(count: int) -> Array:
    """Weights that turn the times of all mixtures into each move's part. Shape (count, 2^count)."""
    out = np.zeros((count, 2**count))
    for chosen in range(2**count):
        made = chosen.bit_count()
        for j in range(count):
            if chosen >> j & 1:
                continue
            share = factorial(made) * factorial(count - made - 1) / factorial(count)
            out[j, chosen | 1 << j] += share
            out[j, chosen] -= share
    return out
