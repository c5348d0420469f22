"""Write the season down the way this person does: two slip sheets, weather, track, and a clutch workbook.

Each sheet has its own headings, units and way to write a date. `Cells` is the common form: headings and
rows of text, to be written as CSV or as a workbook's tab.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
from dataclasses import dataclass
from pathlib import Path

import xlsxwriter

from sample_timeslips.mess import Doubt
from sample_timeslips.season_plan import (
    CINDER,
    EVENTS,
    GROWTH_PER_RUN_IN,
    NEW_RING_HEIGHT_IN,
    SERVICE_DATE,
    SHIM_REMOVED_IN,
    Event,
    Run,
    Season,
    air_at,
    track_temp_degf,
)

SPRING_RUNS = 87
"""Runs before the service, written on the first slip sheet."""
TWICE = 121
"""This run of the season is written down twice on the late sheet."""
MISSING_TRACK = ("Mesa Heat",)
DISC_NEW_IN = 0.3100
CLEARANCE_NEW_IN = 0.225


@dataclass(slots=True)
class Cells:
    """A sheet: keys of its columns, headings as written, and rows of text."""

    keys: tuple[str, ...]
    headings: tuple[str, ...]
    rows: list[list[str]]

    def put(self, row: int, key: str, text: str) -> None:
        """Overwrite one cell."""
        self.rows[row][self.keys.index(key)] = text


def _number(value: float, decimals: int) -> str:
    return "" if math.isnan(value) else f"{value:.{decimals}f}"


def _short(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _splits(run: Run) -> dict[str, str]:
    """Text of the splits this strip's clocks print."""
    texts = {
        name: _number(value, 3 if name.endswith("_s") else 2)
        for name, value in run.times.items()
        if run.event.venue.length_ft > 1000 or name in {"t60_s", "t330_s", "t660_s", "v660_mph"}
    }
    return {name: texts.get(name, "") for name in run.times}


SPRING = {
    "date": "Date",
    "time": "Time",
    "car": "Car",
    "venue": "Strip",
    "event": "Meet",
    "round": "Round",
    "lane": "Lane",
    "reaction_s": "R/T (s)",
    "t60_s": "60 ft (s)",
    "t330_s": "330 ft (s)",
    "t660_s": "1/8 (s)",
    "v660_mph": "1/8 mph",
    "t1000_s": "1000 ft (s)",
    "t1320_s": "1/4 (s)",
    "v1320_mph": "1/4 mph",
    "launch_rpm": "Launch RPM",
    "outcome": "How it went",
    "notes": "Notes",
}
LATE = {
    "date": "date",
    "time": "time",
    "car": "car",
    "venue": "place",
    "event": "event",
    "round": "rnd",
    "lane": "ln",
    "launch_rpm": "left at",
    "reaction_s": "RT",
    "t60_s": "sixty",
    "t330_s": "330'",
    "t660_s": "660",
    "v660_mph": "660 mph",
    "t1000_s": "1000'",
    "t1320_s": "ET",
    "v1320_mph": "MPH",
    "outcome": "result",
    "notes": "remarks",
}
PHRASES = {"spun": "spun", "bogged": "bogged", "": ""}


def slips_spring(season: Season) -> Cells:
    """Slips up to the service: ISO dates, units in the headings."""
    rows: list[list[str]] = []
    for run in season.runs[:SPRING_RUNS]:
        texts = {
            "date": run.at.strftime("%Y-%m-%d"),
            "time": run.at.strftime("%I:%M %p").lstrip("0"),
            "car": "Marigold",
            "venue": run.event.venue.name,
            "event": run.event.name,
            "round": run.round,
            "lane": run.lane[0].upper(),
            "reaction_s": f"{run.reaction_s:.3f}",
            "launch_rpm": f"{run.launch_rpm:.0f}",
            "outcome": run.outcome or "ok",
            "notes": run.notes,
            **_splits(run),
        }
        rows.append([texts[key] for key in SPRING])
    return Cells(tuple(SPRING), tuple(SPRING.values()), rows)


def slips_late(season: Season) -> Cells:
    """Slips after the service: American dates, other headings, one run written twice."""
    rows: list[list[str]] = []
    for number, run in enumerate(season.runs[SPRING_RUNS:], start=SPRING_RUNS):
        texts = {
            "date": f"{run.at.month}/{run.at.day}/{run.at.year}",
            "time": run.at.strftime("%H:%M"),
            "car": "Mari Gold" if number % 9 == 0 else "Marigold",
            "venue": "Cinder" if run.event.venue is CINDER else run.event.venue.name,
            "event": run.event.name,
            "round": run.round,
            "lane": run.lane,
            "reaction_s": f"{run.reaction_s:.3f}",
            "launch_rpm": f"{run.launch_rpm:.0f}",
            "outcome": PHRASES.get(run.outcome, run.outcome),
            "notes": run.notes,
            **_splits(run),
        }
        rows.append([texts[key] for key in LATE])
    rows.append(list(rows[TWICE - SPRING_RUNS]))
    return Cells(tuple(LATE), tuple(LATE.values()), rows)


def _event_hours(season: Season, event: Event, every_min: int) -> list[float]:
    """Give the hours at which somebody takes a reading, from before the first run to after the last."""
    times = [run.at.hour + run.at.minute / 60 for run in season.runs if run.event is event]
    start, end = min(times) - 0.4, max(times) + 0.2
    count = math.ceil((end - start) * 60 / every_min) + 1
    return [round((start + i * (end - start) / (count - 1)) * 12) / 12 for i in range(count)]


def _clock(hour: float) -> str:
    minutes = round(hour * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def weather(season: Season) -> Cells:
    """Weather, about every hundred minutes, units in the cells; a few readings not taken."""
    keys = (
        "date",
        "time",
        "venue",
        "temp_degf",
        "station_inhg",
        "kind",
        "humidity_pct",
        "wind",
        "wind_from",
        "notes",
    )
    headings = ("When", "Clock", "Where", "Air", "Baro", "Baro kind", "RH", "Wind", "Wind from", "Remarks")
    rows: list[list[str]] = []
    for event in EVENTS:
        for hour in _event_hours(season, event, 100):
            air = air_at(event, hour)
            rows.append(
                [
                    event.date.strftime("%d %b %Y").lstrip("0"),
                    _clock(hour),
                    event.venue.name,
                    f"{air.temp_degf:.0f} F",
                    f"{air.station_inhg:.2f} inHg",
                    "station",
                    f"{air.humidity_pct:.0f} %",
                    f"{2 + (len(rows) * 7) % 9} mph",
                    ("W", "SW", "NW", "S")[len(rows) % 4],
                    "",
                ]
            )
    rows[12][6], rows[12][9] = "", "hygrometer battery dead"
    rows[47][4], rows[47][5], rows[47][9] = "", "", "forgot the baro, in the truck"
    return Cells(keys, headings, rows)


def track(season: Season) -> Cells:
    """Track temperature by the gun, about every fifty minutes."""
    rows: list[list[str]] = []
    for event in EVENTS:
        hours = _event_hours(season, event, 50)
        if event.name in MISSING_TRACK:
            hours = [hour for i, hour in enumerate(hours) if i not in {4, 5}]
        for hour in hours:
            temp = f"{track_temp_degf(event, hour):.0f}"
            rows.append([event.date.strftime("%b %d, %Y"), _clock(hour), event.venue.name, temp, ""])
    return Cells(
        ("date", "time", "venue", "track_temp_degf", "notes"),
        ("Date", "Time", "Strip", "Surface temp (F)", "Note"),
        rows,
    )


SETUP_COLUMNS = ("preload_turns", "counterweight_g", "shock_clicks", "tire_pressure_psi")


def setups(season: Season) -> Cells:
    """Write changes only, a few minutes before the run they are for; what is empty stays as it was."""
    rows: list[list[str]] = []
    last: dict[str, float] = {}
    for run in season.runs:
        now = {name: getattr(run, name) for name in SETUP_COLUMNS}
        if now == last:
            continue
        before = run.at - dt.timedelta(minutes=12)
        texts = [_short(now[name]) if now[name] != last.get(name) else "" for name in SETUP_COLUMNS]
        if texts[1]:
            texts[1] += " g"
        rows.append([before.strftime("%Y-%m-%d"), before.strftime("%H:%M"), "Marigold", *texts, ""])
        last = now
    rows[0][7] = "as it came out of the winter"
    return Cells(
        ("date", "time", "car", *SETUP_COLUMNS, "notes"),
        ("Date", "Time", "Car", "Turns", "Arm weight", "Rear shock", "Tire psi", "Why"),
        rows,
    )


def checks(season: Season) -> Cells:
    """Ring height before each event's first run, and the service between the halves."""
    rows: list[list[str]] = []
    for event in EVENTS:
        if event.date > SERVICE_DATE and (not rows or rows[-1][7] != "done") and len(rows) == 6:
            rows.append(_service_row())
        first = next(run for run in season.runs if run.event is event)
        height = NEW_RING_HEIGHT_IN + first.growth_in
        disc = DISC_NEW_IN - first.growth_in - (SHIM_REMOVED_IN if first.service_no else 0.0)
        clearance = f"{CLEARANCE_NEW_IN - first.growth_in:.2f}"
        rows.append(
            [event.date.isoformat(), "08:00", "Marigold", f"{height:.4f}", "", clearance, f"{disc:.4f}", ""]
        )
    last = season.runs[-1]
    height = NEW_RING_HEIGHT_IN + last.growth_in + GROWTH_PER_RUN_IN
    after = last.event.date + dt.timedelta(days=1)
    rows.append(
        [after.isoformat(), "10:00", "Marigold", f"{height:.4f}", "", "0.21", "", "put away for winter"]
    )
    return Cells(
        ("date", "time", "car", "ring_height_in", "shim_removed_in", "bearing", "disc", "notes"),
        (
            "Date",
            "Time",
            "Car",
            "Ring height (in)",
            "Shim out (in)",
            "Bearing clearance (in)",
            "Disc (in)",
            "Notes",
        ),
        rows,
    )


def _service_row() -> list[str]:
    return [
        SERVICE_DATE.isoformat(),
        "14:00",
        "Marigold",
        f"{NEW_RING_HEIGHT_IN:.4f}",
        f"{SHIM_REMOVED_IN:.3f}",
        "0.22",
        "",
        "clutch service: shim out, ring height back to new",
    ]


def as_csv(cells: Cells) -> bytes:
    """Give the sheet as CSV, newlines kept inside quotes, lines ended as spreadsheets do."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(cells.headings)
    writer.writerows(cells.rows)
    return text.getvalue().encode("utf-8")


def write_workbook(path: Path, tabs: dict[str, Cells]) -> None:
    """Write the tabs; numbers as numbers, so that it looks like a workbook and not like a CSV."""
    book = xlsxwriter.Workbook(path)
    book.set_properties({"title": "Clutch book", "created": dt.datetime(2025, 4, 1, tzinfo=dt.UTC)})
    for name, cells in tabs.items():
        tab = book.add_worksheet(name)
        bold = book.add_format({"bold": True})
        tab.write_row(0, 0, cells.headings, bold)
        for r, row in enumerate(cells.rows, start=1):
            for c, text in enumerate(row):
                _write_cell(tab, r, c, text)
        tab.freeze_panes(1, 0)
        tab.set_column(0, len(cells.headings) - 1, 14)
    book.close()


def _write_cell(tab: xlsxwriter.worksheet.Worksheet, row: int, column: int, text: str) -> None:
    if not text:
        return
    try:
        tab.write_number(row, column, float(text))
    except ValueError:
        tab.write_string(row, column, text)


@dataclass(frozen=True, slots=True)
class Typed:
    """A doubtful entry as it stands: its line in the file, what is typed and what was meant."""

    doubt: Doubt
    line: int
    typed: str
    meant: str


def apply(doubts: tuple[Doubt, ...], pages: dict[str, Cells]) -> list[Typed]:
    """Type the doubtful entries over the true ones."""
    done = []
    for doubt in doubts:
        cells = pages[doubt.sheet]
        column = cells.keys.index(doubt.column)
        entry = next(i for i in range(doubt.entry, len(cells.rows)) if cells.rows[i][column])
        row = cells.rows[entry]
        meant = row[column]
        typed = doubt.typed or _mistyped(doubt, meant, row, cells)
        cells.put(entry, doubt.column, typed)
        done.append(Typed(doubt, _line(cells, entry), typed, meant))
    return done


def _line(cells: Cells, entry: int) -> int:
    """Line of an entry in its file: the heading is line 1, a note may take several."""
    return 2 + sum(1 + "".join(row).count("\n") for row in cells.rows[:entry])


def _mistyped(doubt: Doubt, meant: str, row: list[str], cells: Cells) -> str:
    """Type a reading wrongly, from the reading itself."""
    value = float(meant.split()[0])
    if doubt.column == "humidity_pct":
        return f"{value / 100:.2f}"
    if doubt.column == "temp_degf":
        return f"{(value - 32) / 1.8:.0f}"
    if doubt.column == "station_inhg":
        event = next(e for e in EVENTS if e.venue.name == row[cells.keys.index("venue")])
        return f"{value / (1.0 - 6.8756e-6 * event.venue.elevation_ft) ** 5.2559:.2f} inHg"
    if doubt.column == "preload_turns":
        return f"{value * 10:.0f}"
    return f"{value - 34:.0f}"
