"""The trackside sheet: on paper boxes for a pencil and cold hands, on a screen a form that saves a CSV."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from pipeline.garage.dictionary import SETUPS, TIMESLIPS
from pipeline.garage.factors import ADJUSTMENTS
from reports.page import environment
from reports.scripts import page_script, script_hash

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


ENTRY = (
    "t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph", "reaction_s",
    "track_temp_degf", "round", "lane", "outcome", "notes", "driver", "launch_style",
)  # fmt: skip
"""What the form asks of a run, besides its setting."""


def entry_fields() -> list[dict[str, Any]]:
    """Prepare the fields of the form: heading for the file, label, range, and what kind each is.

    Returns
    -------
    list of dict
        ``kind`` is ``time`` for the splits, which rise in this order, ``setting`` for what is carried on.
    """
    made = []
    for name in (*ENTRY, *(factor.column for factor in ADJUSTMENTS)):
        column = TIMESLIPS.column(name)
        is_split = column.role == "ticket" and column.unit == "s"
        kind = "setting" if column.role == "setting" else "time" if is_split else "other"
        made.append(
            {
                "name": name,
                "heading": column.heading_with_unit,
                "label": column.heading_with_unit.removesuffix(" (s)"),
                "low": column.low,
                "high": column.high,
                "decimals": column.decimals,
                "kind": kind,
                "choices": _CHOICES.get(name, ()),
            }
        )
    return made


_CHOICES = {"lane": ("left", "right"), "outcome": tuple(TIMESLIPS.column("outcome").meaning.split(", "))}
_HEADS = tuple(
    {"name": name, "label": label, "type": "date" if name == "date" else "text"}
    for name, label in (("date", "date"), ("venue", "strip"), ("event", "event"), ("car", "car"))
)


def render_trackside(runs: int = RUNS_ON_THE_SHEET) -> str:
    """Write the sheet as one self-contained HTML page: on paper boxes to fill in, on a screen a form.

    Parameters
    ----------
    runs
        How many run rows it has.

    Returns
    -------
    str
        HTML; prints on one landscape page.
    """
    template, script = environment().get_template("trackside.html"), page_script("trackside.js")
    return template.render(
        fields=entry_fields(),
        heads=_HEADS,
        script=Markup(script),
        script_policy=script_hash(script),
        runs=range(1, runs + 1),
        run_boxes=RUN_BOXES,
        day_lines=DAY_LINES,
        weather_boxes=WEATHER_BOXES,
        setup_boxes=SETUP_BOXES,
    )
