"""What this machine does in a moment: a fixed piece of work that speed is told as a multiple of.

No bench asserts seconds. Ours and the yardstick are taken in turn, in processor time, in one run, so that a
slow machine or a busy one slows both alike.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable

import numpy as np

ROUNDS = 7


def work() -> None:
    """Run the yardstick: a thousand small Cholesky factors and a page's worth of JSON; 20 to 60 ms."""
    rng = np.random.default_rng(60)
    square = rng.normal(size=(40, 40))
    square = square @ square.T + 40 * np.eye(40)
    for _ in range(1000):
        np.linalg.cholesky(square)
    rows = [{"run": i, "t60_s": 1.4 + i / 1e4, "words": "left lane"} for i in range(2000)]
    for _ in range(4):
        json.loads(json.dumps(rows))


def spent_s(doing: Callable[[], object]) -> float:
    """Return the processor seconds of one call."""
    begun = time.process_time()
    doing()
    return time.process_time() - begun


def times_the_yardstick(doing: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Return the best of ``doing`` over the best of the yardstick, the two taken in turn after a warm-up."""
    doing()
    work()
    pairs = [(spent_s(doing), spent_s(work)) for _ in range(rounds)]
    ours, yardstick = (min(times) for times in zip(*pairs, strict=True))
    return ours / yardstick
