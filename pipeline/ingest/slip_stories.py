"""What may have happened to a run though nobody noted it: time lost at the start or on the way, or given up.

A wheel that spins or a missed shift lengthens every later time alike, which is no slip of the pen. Every such
story is held against the numbers of a slip, and the likeliest counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from pipeline.ingest.slip_model import FEET, IS_TIME, Cloud, Floats, spoiled

MOST_AWAY = 2000.0
"""Squared distances count up to this."""
NOT_NOTED, TWICE = 8.0, 5.0
"""How rare a run is that lost time and nothing is noted of it: minus twice the logarithm of one in fifty; and
what it adds that it did so at two places."""
SLOWER, SPEED_AFTER = (0.3, 2.0), 0.02
"""By how much the speed at the end of a section is less than the section is longer, in parts: after a missed
shift, and after a lift at its end; and what else a speed may then be off."""
GIVEN_UP_FT = (60, 330, 660)
"""Where a run may have been given up."""
Loss = tuple[int, Floats]
"""From where on time is lost [ft], and what a second of it adds to the logarithms."""


@dataclass(frozen=True, slots=True)
class Stories:
    """Stories of the runs of one car, for slips that have the same k numbers.

    Attributes
    ----------
    middle
        Of the car's cloud, shape (k,).
    precisions
        Inverse covariance of each story, shape (s, k, k).
    pulling
        From how far a slip is away to what pulls in up to two directions in which time is lost, zeros where
        there is none; shape (s, k, 2).
    solving
        From what pulls in those directions to the time lost, shape (s, 2, 2).
    is_none
        Where there is no such direction, shape (s, 1, 2).
    costs
        How rare each story is, with the size of its cloud; shape (s,).
    """

    middle: Floats
    precisions: Floats
    pulling: Floats
    solving: Floats
    is_none: NDArray[np.bool_]
    costs: Floats

    def surprise(self, logs: Floats) -> Floats:
        """Return minus twice the log of how likely slips are by their likeliest story; ``logs`` is (n, k).

        Time is only lost, never won: a first split too low, or one too high with usual ones after it, stays
        as far off as it is.
        """
        away = logs - self.middle
        pulls = away @ self.pulling
        lost = pulls @ self.solving
        is_lost = ((lost > 0) | self.is_none).all(axis=2)
        gains = np.where(is_lost, (lost * pulls).sum(axis=2), 0.0)
        distances = (away @ self.precisions * away).sum(axis=2) - gains
        return np.asarray((np.minimum(distances, MOST_AWAY) + self.costs[:, None]).min(axis=0))


def stories_of(cloud: Cloud, has: NDArray[np.bool_], *, is_noted: bool) -> Stories:
    """List what may have happened to runs of a car.

    Parameters
    ----------
    cloud
        Of the numbers that the slip has, widened already where its run is noted as spoiled.
    has
        Which of the seven those are, shape (7,).
    is_noted
        Whether the run is noted as spoiled; then it is given up nowhere else.

    Returns
    -------
    Stories
        That nothing happened is the first.
    """
    told: list[tuple[Floats, tuple[Floats, ...], float]] = [(cloud.spread, (), cloud.log_size())]
    for good_ft in () if is_noted else GIVEN_UP_FT:
        given_up = spoiled(cloud, has, good_ft, is_bad_start=False)
        told.append((given_up.spread, (), given_up.log_size() + NOT_NOTED))
    for losses in _losses(cloud, has):
        loose = np.where(~IS_TIME[has] & (FEET[has] > losses[0][0]), SPEED_AFTER**2, 0.0)
        cost = cloud.log_size() + NOT_NOTED + TWICE * (len(losses) - 1)
        told.append((cloud.steady + np.diag(loose), tuple(way for _, way in losses), cost))
    ways = np.zeros((len(told), 2, int(has.sum())))
    for at, (_, directions, _) in enumerate(told):
        if directions:
            ways[at, : len(directions)] = directions
    precisions = np.linalg.inv(np.stack([spread for spread, _, _ in told]))
    pulling = precisions @ ways.swapaxes(1, 2)
    is_none = (ways == 0).all(axis=2)
    solving = np.linalg.inv(ways @ pulling + is_none[:, :, None] * np.eye(2))
    solving[is_none] = 0.0
    costs = np.array([cost for _, _, cost in told])
    return Stories(cloud.middle, precisions, pulling, solving, is_none[:, None, :], costs)


def _losses(cloud: Cloud, has: NDArray[np.bool_]) -> list[tuple[Loss, ...]]:
    """List where time may be lost: at the start, between two times, or at two of these places."""
    feet, is_time, clocks = FEET[has], IS_TIME[has], np.exp(cloud.middle)
    marks = feet[is_time]
    if len(marks) < 2:
        return []
    soft, hard = [(0, np.where(is_time, 1.0 / clocks, 0.0))], []
    for start, end in pairwise(marks):
        section = float(clocks[is_time & (feet == end)][0] - clocks[is_time & (feet == start)][0])
        late = np.where(is_time & (feet > start), 1.0 / clocks, 0.0)
        at_end = np.where(~is_time & (feet == end), 1.0 / section, 0.0)
        soft.append((int(start), late - SLOWER[0] * at_end))
        hard.append((int(start), late - SLOWER[1] * at_end))
    return [*((one,) for one in (*soft, *hard)), *combinations(soft, 2)]
