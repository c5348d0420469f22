"""What moved within a night: every quantity that changed, run by run, on a row of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt

from reports.charts.common import LINE, Rows, ledger, ledger_rows, marks, number, tips
from reports.theme import ink

MOVED_STEP = 44
"""Height of a quantity's row; within it least lies below, most above. [px]"""


@dataclass(frozen=True, slots=True)
class Moved:
    """One quantity of a night: its name, its least and most as printed, and its values by run.

    ``values`` holds the place of the run within the night, its name, the value and the value as printed.
    """

    label: str
    ends: str
    values: tuple[tuple[int, str, float, str], ...]

    def at(self, place: int) -> str:
        """Return the value of one run as printed; empty where it is not known."""
        return next((words for n, _, _, words in self.values if n == place), "")


def within_night_chart(moved: Sequence[Moved]) -> alt.TopLevelLayerSpec | None:
    """Draw what changed within the night, each between its own least and most.

    Parameters
    ----------
    moved
        Quantities that changed, in the order of the page.

    Returns
    -------
    altair.TopLevelLayerSpec or None
        None when nothing moved.
    """
    rows = _rows(moved)
    if not rows:
        return None
    left, between, _ = ledger_rows(rows)
    x = alt.X(**number("n", "run of the night", format=".0f", tickMinStep=1, nice=False, padding=12))
    height = alt.YOffset(field="height", type="quantitative", scale=alt.Scale(domain=[1.25, -0.25]))
    line = {"color": ink("quicker"), "strokeWidth": 1.5, "interpolate": "step-after"}
    shown = tips(("run", "run"), ("what", "what"), ("words", "value"))
    layers = [
        marks(
            "line", line, x=x, y=left, yOffset=height, detail=alt.Detail(field="row", type="nominal"),
            order=alt.Order(field="n", type="quantitative"),
        ),
        marks(
            "point", {"color": ink("quicker"), "size": 34, "filled": True}, x=x, y=between, yOffset=height,
            tooltip=shown,
        ),
    ]  # fmt: skip
    return ledger(rows, layers, step=MOVED_STEP)


def _rows(moved: Sequence[Moved]) -> Rows:
    found: Rows = []
    for one in moved:
        numbers = [value for _, _, value, _ in one.values]
        least, most = min(numbers), max(numbers)
        for place, run, value, words in one.values:
            share = round((value - least) / (most - least), 4)
            found.append(
                {"row": one.label + LINE + one.ends, "what": one.label, "n": place, "run": run,
                 "height": share, "words": words}
            )  # fmt: skip
    return found
