"""The trackside sheet: one page to print, with boxes large enough for a pencil and cold hands."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.garage.dictionary import SETUPS
from pipeline.garage.factors import ADJUSTMENTS
from reports.page import environment

RUNS_ON_THE_SHEET = 8


@dataclass(frozen=True, slots=True)
class Box:
    """One box of the sheet: the heading ingest knows it by, and its share of the row's width."""

    heading: str
    width: int


RUN_BOXES: tuple[Box, ...] = (
    Box("time", 7),
    Box("round", 7),
    Box("lane", 5),
    Box("launch rpm", 8),
    Box("track temp (F)", 7),
    Box("reaction", 7),
    Box("60 ft", 9),
    Box("330 ft", 9),
    Box("660 ft", 9),
    Box("660 mph", 9),
    Box("1320 ft", 9),
    Box("1320 mph", 9),
    Box("how it went, what was changed", 22),
)
_SETTINGS = tuple(SETUPS.column(factor.column).heading_with_unit for factor in ADJUSTMENTS)
DAY_LINES: tuple[str, ...] = ("date", "strip", "event", "car")
WEATHER_BOXES: tuple[str, ...] = (
    "time",
    "air temp (F)",
    "pressure (inHg)",
    "station or altimeter",
    "humidity (%)",
    "wind",
)
SETUP_BOXES: tuple[str, ...] = (
    *(heading for heading in _SETTINGS if heading not in {box.heading for box in RUN_BOXES}),
    "ring height (in)",
    "clearance (in)",
)


def render_trackside(runs: int = RUNS_ON_THE_SHEET) -> str:
    """Write the sheet as one self-contained HTML page made for paper.

    Parameters
    ----------
    runs
        How many run rows it has.

    Returns
    -------
    str
        HTML; prints on one landscape page.
    """
    template = environment().get_template("trackside.html")
    return template.render(
        runs=range(1, runs + 1),
        run_boxes=RUN_BOXES,
        day_lines=DAY_LINES,
        weather_boxes=WEATHER_BOXES,
        setup_boxes=SETUP_BOXES,
    )
