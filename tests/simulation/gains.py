"""Gains that come true: what ``next`` promises in seasons of known truth, and what would come of it.

    python -m tests.simulation.gains 40 [world ...]

prints, for every world, the gain promised and the one that comes, how often it is worse than staying by more
than a thousandth, how often what is said to be so sure is better, and the share of what there was to gain.
Seeds begin at ``FIRST``, on which no constant of a rule was chosen.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.errors import ThinData
from tests.simulation.coached import WORSE_S, Loop
from tests.simulation.worlds.making import feasible_best, usual_limits, world

FIRST = 7_000
WORLDS = ("own_form", "night_drift", "few_events", "launch_explorer", "launch_climber", "launch_notes")
SURE = ((0.8, 0.9), (0.9, 0.95), (0.95, 0.99), (0.99, 1.01))
LARGE_S = 0.04


@dataclass(frozen=True)
class Promise:
    """One suggestion held to its truth; a season where ``next`` says stay promises nothing. Times in s.

    ``useless`` is whether something that does nothing was moved.
    """

    said_s: float
    came_s: float
    feasible_s: float
    p_better: float | None
    useless: bool


def promise(name: str, seed: int) -> Promise:
    """Ask for the next setting after one season and look it up in the truth of the night to come."""
    loop = Loop(world(name, seed), seed)
    row, start = loop.forecast(), dict(loop.season.present)
    said = loop.suggest(row)
    advised = start | (said.change_to.settings if said.change_to else {})
    ahead = loop.ahead()
    _, feasible = feasible_best(ahead.season, ahead.season.changed(row, **start), usual_limits(loop.season))
    moved = {one for one, value in advised.items() if abs(value - start[one]) > 1e-9}
    came = ahead.true_s(row, start) - ahead.true_s(row, advised)
    return Promise(-said.gain_s, came, feasible, said.p_better, bool(moved & set(loop.season.nulls)))


def promises(name: str, seeds: Iterable[int]) -> list[Promise]:
    """Ask after many seasons of a world; those too thin to say anything are left out."""
    found = []
    for seed in seeds:
        try:
            found.append(promise(name, seed))
        except ThinData:
            continue
    return found


def came_of(found: Sequence[Promise]) -> float:
    """Gain that came over the gain promised."""
    return float(sum(one.came_s for one in found) / sum(one.said_s for one in found))


def worse(found: Sequence[Promise]) -> float:
    """Share of all seasons in which the advice is worse than staying by more than a thousandth."""
    return float(np.mean([one.came_s < -WORSE_S for one in found]))


def better_when_sure(found: Sequence[Promise], low: float, high: float) -> tuple[int, float, float]:
    """Of changes said to be so sure: how many, how sure on average, and how many were better."""
    within = [one for one in found if one.p_better is not None and low <= one.p_better < high]
    if not within:
        return 0, np.nan, np.nan
    said = float(np.mean([one.p_better for one in within if one.p_better is not None]))
    return len(within), said, float(np.mean([one.came_s > 0 for one in within]))


HEADING = (
    "| world | seasons | changed | said | came | came / said | worse | share of feasible "
    "| moved what does nothing | large, half true | .8 to .9 | .9 to .95 | .95 to .99 | .99 on |\n|"
    + " --- |"
    * 14
)


def line(name: str, found: Sequence[Promise]) -> str:
    """Lay a world's promises out as one row of a Markdown table."""
    mean = {key: 1e3 * float(np.mean([getattr(one, key) for one in found])) for key in ("said_s", "came_s")}
    large = [one for one in found if one.said_s > LARGE_S]
    feasible = sum(one.feasible_s for one in found)
    sure = [better_when_sure(found, *ends) for ends in SURE]
    cells = [
        name, str(len(found)), f"{np.mean([one.p_better is not None for one in found]):.2f}",
        f"{mean['said_s']:.1f}", f"{mean['came_s']:.1f}", f"{came_of(found):.2f}", f"{worse(found):.3f}",
        f"{sum(one.came_s for one in found) / feasible:.2f}",
        f"{np.mean([one.useless for one in found]):.2f}",
        f"{sum(one.came_s >= one.said_s / 2 for one in large)} of {len(large)}",
        *(f"{right:.2f} of {count}, said {said:.2f}" if count else "-" for count, said, right in sure),
    ]  # fmt: skip
    return f"| {' | '.join(cells)} |"


def main(count: int, names: Sequence[str]) -> None:
    """Print the table."""
    sys.stdout.write(f"{HEADING}\n")
    whole = []
    for name in names:
        found = promises(name, range(FIRST, FIRST + count))
        whole += found
        sys.stdout.write(f"{line(name, found)}\n")
        sys.stdout.flush()
    sys.stdout.write(f"{line('all', whole)}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2:] or WORLDS)
