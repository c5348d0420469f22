"""Typed elementary functions: a number in, a number out; an array in, an array of its shape out."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from pipeline.physics.constants import N


def _plain(result: Any) -> Any:
    return float(result) if np.ndim(result) == 0 else result


def exp(x: N) -> N:
    """Return e to the power x, element by element."""
    return cast(N, _plain(np.exp(x)))


def log(x: N) -> N:
    """Return the natural logarithm, element by element."""
    return cast(N, _plain(np.log(x)))


def sqrt(x: N) -> N:
    """Return the square root, element by element."""
    return cast(N, _plain(np.sqrt(x)))


def power(x: N, exponent: float) -> N:
    """Return x to a fixed power, element by element."""
    return cast(N, _plain(np.power(x, exponent)))


def at_least(x: N, floor: float) -> N:
    """Return x, or the floor where x is below it; NaN stays NaN."""
    return cast(N, _plain(np.maximum(x, floor)))


def where(condition: Any, x: N, y: N) -> N:
    """Return x where the condition holds and y elsewhere."""
    return cast(N, _plain(np.where(condition, x, y)))
