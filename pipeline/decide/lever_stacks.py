"""What can be hung on a lever from the pieces at hand."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

_MOST_PIECES = 3  # on one lever besides its bolt; more do not fit a 1/4-20 bolt. [judgement]


def hardware_stacks(pieces_g: Mapping[str, float]) -> dict[float, tuple[str, ...]]:
    """List what can be hung on a lever from the pieces at hand: mass [g] -> names of the pieces.

    Parameters
    ----------
    pieces_g
        Mass of each kind of piece; any number of each is at hand.

    Notes
    -----
    A lever takes nothing, or one bolt and up to three other pieces on it; when no piece is called a
    bolt, screw or stud, up to three pieces. Masses to 0.01 g; of equal masses, the fewest pieces.

    Examples
    --------
    >>> sorted(hardware_stacks({"bolt": 8.0, "nut": 3.5}))
    [0.0, 8.0, 11.5, 15.0, 18.5]
    """
    if not pieces_g:
        return {}
    bolts = [name for name in pieces_g if any(word in name.casefold() for word in ("bolt", "screw", "stud"))]
    others = [name for name in pieces_g if name not in bolts]
    stacks: dict[float, tuple[str, ...]] = {0.0: ()}
    for count in range(_MOST_PIECES + 1):
        for loose in itertools.combinations_with_replacement(others, count):
            for stack in ((bolt, *loose) for bolt in bolts) if bolts else (loose,):
                stacks.setdefault(round(sum(pieces_g[name] for name in stack), 2), stack)
    return stacks
