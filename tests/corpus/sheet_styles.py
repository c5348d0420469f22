"""Write a season as different people write: headings, units, dates, times, delimiters, workbooks."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import xlsxwriter

from tests.corpus.clean_season import GRAMS_LIMIT, LEVERS, NUMBERS, RPM_LIMITS, SAFE_TURNS, Row, Season

DECIMALS = {
    "reaction_s": 3, "t60_s": 3, "t330_s": 3, "t660_s": 3, "t1000_s": 3, "t1320_s": 3, "v660_mph": 2,
    "v1320_mph": 2, "pressure_inhg": 2, "ring_height_in": 3, "shim_removed_in": 3, "bearing_clearance_in": 3,
}  # fmt: skip
HEADINGS: dict[str, tuple[str, ...]] = {
    "date": ("date", "Date", "day"), "time": ("time", "Time", "clock"), "car": ("car", "Car", "vehicle"),
    "venue": ("venue", "Strip", "where"), "event": ("event", "Meet"), "round": ("round", "Rnd"),
    "lane": ("lane", "Lane"), "reaction_s": ("reaction (s)", "RT", "reaction"),
    "t60_s": ("60 ft (s)", "60'", "short time", "sixty"), "t330_s": ("330 ft (s)", "330", "330'"),
    "t660_s": ("660 ft (s)", "1/8", "660 ET"), "v660_mph": ("660 mph", "1/8 mph", "660 speed"),
    "t1000_s": ("1000 ft (s)", "1000", "1000'"), "t1320_s": ("1320 ft (s)", "1/4", "ET"),
    "v1320_mph": ("1320 mph", "MPH", "trap speed"), "launch_rpm": ("launch rpm", "2-step", "RPM"),
    "outcome": ("outcome", "how it went"), "air_temp_degf": ("air temp (F)", "air temp", "Air"),
    "pressure_inhg": ("pressure (inHg)", "baro", "Barometer"),
    "pressure_kind": ("pressure kind", "baro kind"),
    "humidity_pct": ("humidity (%)", "RH", "humidity"), "wind_speed_mph": ("wind speed (mph)", "wind"),
    "track_temp_degf": ("track temp (F)", "track temp", "Surface temp"),
    "preload_turns": ("preload turns", "turns", "base"),
    "counterweight_g": ("counterweight (g)", "CW", "grams"),
    "tire_pressure_psi": ("tire pressure (psi)", "psi", "rear tire"),
    "ring_height_in": ("ring height (in)", "ring height"),
    "shim_removed_in": ("shim removed (in)", "shim out"),
    "bearing_clearance_in": ("bearing clearance (in)", "clearance"),
}  # fmt: skip
COLUMNS: dict[str, tuple[str, ...]] = {
    "timeslips": (
        "date", "time", "car", "venue", "event", "round", "lane", "reaction_s", "t60_s", "t330_s", "t660_s",
        "v660_mph", "t1000_s", "t1320_s", "v1320_mph", "launch_rpm", "outcome",
    ),
    "weather": (
        "date", "time", "venue", "air_temp_degf", "pressure_inhg", "pressure_kind", "humidity_pct",
        "wind_speed_mph",
    ),
    "track": ("date", "time", "venue", "track_temp_degf"),
    "setups": (
        "date", "time", "car", "preload_turns", "counterweight_g", "launch_rpm", "tire_pressure_psi",
    ),
    "checks": ("date", "time", "car", "ring_height_in", "shim_removed_in", "bearing_clearance_in"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Style:
    """How one person writes.

    ``dates`` is a strftime form; ``titled`` puts a title and an empty line above the headings;
    ``untimed`` writes no time on slips; ``newest_first`` puts each new row on top.
    """

    dates: str
    twelve_hours: bool
    delimiter: str
    decimal_comma: bool
    celsius: bool
    workbook: bool
    titled: bool
    headings: int
    untimed: bool
    newest_first: bool

    @property
    def first_row(self) -> int:
        """Row number of the first data row."""
        return 4 if self.titled else 2


def make_style(rng: np.random.Generator) -> Style:
    """Draw one way of writing."""
    comma = rng.random() < 0.12
    return Style(
        dates=str(rng.choice(["%Y-%m-%d", "%m/%d/%Y", "%d.%m.%Y", "%d %b %Y", "%b %d, %Y"])),
        twelve_hours=bool(rng.random() < 0.5),
        delimiter=";" if comma else str(rng.choice([",", ",", "\t", ";"])),
        decimal_comma=bool(comma),
        celsius=bool(rng.random() < 0.2),
        workbook=bool(rng.random() < 0.2),
        titled=bool(rng.random() < 0.25),
        headings=int(rng.integers(0, 4)),
        untimed=bool(rng.random() < 0.15),
        newest_first=bool(rng.random() < 0.12),
    )


def cell_text(column: str, value: Any, style: Style) -> str:
    """Write one value the way this person does."""
    if value is None:
        return ""
    if isinstance(value, dt.date):
        return value.strftime(style.dates)
    if isinstance(value, dt.time):
        return value.strftime("%I:%M %p").lstrip("0") if style.twelve_hours else value.strftime("%H:%M")
    if isinstance(value, str):
        return value
    if column.endswith("_degf") and style.celsius:
        text = f"{(value - 32) / 1.8:.1f}"
    elif column in DECIMALS:
        text = f"{value:.{DECIMALS[column]}f}"
    else:
        text = f"{value:g}"
    return text.replace(".", ",") if style.decimal_comma else text


def heading(column: str, style: Style) -> str:
    """Name a column the way this person does."""
    if column.endswith("_degf") and style.celsius:
        return {"air_temp_degf": "air temp (C)", "track_temp_degf": "track temp (°C)"}[column]
    choices = HEADINGS[column]
    return choices[style.headings % len(choices)]


def write_logbook(folder: Path, season: Season, style: Style) -> dict[str, tuple[str, str]]:
    """Write garage.toml and the sheets; give the file and tab of each kind."""
    folder.mkdir(parents=True)
    (folder / "garage.toml").write_text(garage_text(season), encoding="utf-8")
    names = {kind: columns_of(kind, season, style) for kind in season.rows}
    tables = {
        kind: [
            [heading(name, style) for name in names[kind]],
            *([_cell(row, name, style) for name in names[kind]] for row in rows),
        ]
        for kind, rows in season.rows.items()
    }
    if style.workbook:
        _write_workbook(folder / "season.xlsx", tables, style)
        return {kind: ("season.xlsx", kind) for kind in tables}
    suffix = "tsv" if style.delimiter == "\t" else "csv"
    for kind, lines in tables.items():
        with (folder / f"{kind}.{suffix}").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, delimiter=style.delimiter)
            writer.writerows([*_title(kind, style), *lines])
    return {kind: (f"{kind}.{suffix}", "") for kind in tables}


def columns_of(kind: str, season: Season, style: Style) -> list[str]:
    """The columns this person's sheet of a kind has."""
    absent = set(NUMBERS) - set(season.numbers)
    if kind == "timeslips" and style.untimed:
        absent.add("time")
    return [name for name in COLUMNS[kind] if name not in absent]


def _title(kind: str, style: Style) -> list[list[str]]:
    return [[f"My {kind}"], []] if style.titled else []


def _cell(row: Row, column: str, style: Style) -> str:
    typed: dict[str, str] = row.get("as_typed", {})
    return typed.get(column) or cell_text(column, row.get(column), style)


def _write_workbook(path: Path, tables: dict[str, list[list[str]]], style: Style) -> None:
    with xlsxwriter.Workbook(str(path)) as book:
        for kind, lines in tables.items():
            tab = book.add_worksheet(kind)
            for at, line in enumerate([*_title(kind, style), *lines]):
                for column, text in enumerate(line):
                    _write_cell(tab, at, column, text)


def _write_cell(tab: Any, row: int, column: int, text: str) -> None:
    try:
        tab.write_number(row, column, float(text))
    except ValueError:
        if text:
            tab.write_string(row, column, text)


def garage_text(season: Season) -> str:
    """Describe the season's cars, clutch and strips."""
    parts = [
        f'[[car]]\nname = "{car.name}"\nclutch = "unit"\n'
        f"launch_rpm_limits = [{RPM_LIMITS[0]:g}, {RPM_LIMITS[1]:g}]\n"
        'tire_pressure_limits = ["8 psi", "14 psi"]\n'
        for car in season.cars
    ]
    parts.append(
        f'[[clutch]]\nname = "unit"\nscrews = 8\nlevers = {LEVERS}\n'
        f"safe_turns = {SAFE_TURNS:g}\nreach_turns = 8\n"
        f'counterweight_limits = ["0 g", "{GRAMS_LIMIT:g} g"]\nring_height_new = "2.150 in"\n'
    )
    parts += [
        f'[[venue]]\nname = "{venue}"\nelevation = "{feet:g} ft"\n'
        for venue, feet in season.elevations_ft.items()
    ]
    return "\n".join(parts)
