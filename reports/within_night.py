"""The night's times, settings and conditions run by run: what moved, from where to where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import polars as pl

from reports.charts.within_night import Moved, within_night_chart
from reports.every_run import heading
from reports.night_changes import settings_of_run
from reports.numbers import fixed
from reports.page import Figure, Table
from reports.words import Setting, listed, setting

CONDITIONS = (
    ("60 ft, s", "t60_s", 3),
    ("track, °F", "track_temp_degf", 0),
    ("air, °F", "air_temp_degf", 0),
    ("density altitude, ft", "density_altitude_ft", 0),
)
"""Heading, column of ``runs`` and decimals."""


def within_night_figure(runs: pl.DataFrame, known: Mapping[str, Setting]) -> Figure:
    """Make the figure of one night: its times, and the settings and conditions that changed.

    Parameters
    ----------
    runs
        The event's runs in order, with ``run_words``.
    known
        How each adjustment is spoken of.
    """
    moved = what_moved(runs, known)
    return Figure(
        key="within-night",
        title="What moved within the night",
        reads="Each row runs between its own least (below) and most (above), which stand under its name.",
        spoken="Within the night: " + listed(f"{one.label} {one.ends}" for one in moved),
        chart=within_night_chart(moved),
        empty="Nothing that is written down changed within this night.",
        table=Table(
            caption="What moved within the night",
            headings=("run", *(one.label for one in moved)),
            rows=tuple(
                (run, *(one.at(place) for one in moved))
                for place, run in enumerate(runs["run_words"].to_list(), start=1)
            ),
            figures=frozenset(range(1, 1 + len(moved))),
        ),
    )


def what_moved(runs: pl.DataFrame, known: Mapping[str, Setting]) -> list[Moved]:
    """List the 60 ft time, then every condition and setting that changed."""
    rows = runs.to_dicts()
    found = []
    for label, column, decimals in CONDITIONS:
        values = [row.get(column) for row in rows]
        found.append(_moved(label, values, [fixed(value, decimals) for value in values], rows))
    own = [settings_of_run(row) for row in rows]
    for name in dict.fromkeys(name for each in own for name in each):
        words = setting(name, known)
        values = [each.get(name) for each in own]
        found.append(_moved(heading(words), values, [words.bare(value) for value in values], rows))
    return [one for one in found if one is not None]


def _moved(
    label: str, values: Sequence[float | None], words: Sequence[str], rows: Sequence[Mapping[str, object]]
) -> Moved | None:
    """Put one quantity together; None where it is known once only or never changed."""
    points = tuple(
        (place, str(row["run_words"]), float(value), word)
        for place, (row, value, word) in enumerate(zip(rows, values, words, strict=True), start=1)
        if value is not None
    )
    by_value = sorted(points, key=lambda point: point[2])
    if not points or by_value[0][3] == by_value[-1][3]:
        return None
    return Moved(label, f"{by_value[0][3]} to {by_value[-1][3]}", points)
