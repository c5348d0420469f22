"""A fresh logbook folder: blank sheets to type in, a workbook with drop-downs, garage.toml."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import xlsxwriter
from xlsxwriter.exceptions import XlsxWriterException

from pipeline.errors import RequestError, StoreError
from pipeline.files.whole import whole_file, write_whole
from pipeline.garage.dictionary import SETUPS
from pipeline.garage.factors import ADJUSTMENTS

REMEDY = "Choose a folder of your own on a disk with room."
BLANK_ROWS = 400  # rows of the workbook that carry drop-downs: a long season

OUTCOMES = ("clean", "spun", "bogged", "missed shift", "lifted", "aborted", "broke", "red light")
PRESSURE_KINDS = ("station", "altimeter")
ROUNDS = ("time trial", "qualifying", "elimination 1", "elimination 2", "elimination 3", "final", "bye")


@dataclass(frozen=True, slots=True)
class BlankSheet:
    """One blank sheet: its name, its headings as a person reads them, its drop-downs by heading."""

    name: str
    headings: tuple[str, ...]
    choices: dict[str, tuple[str, ...]]


SHEETS: tuple[BlankSheet, ...] = (
    BlankSheet(
        "timeslips",
        (
            "date", "time", "car", "venue", "event", "round", "lane", "driver", "launch style",
            "reaction (s)", "60 ft (s)", "330 ft (s)", "660 ft (s)", "660 mph", "1000 ft (s)", "1320 ft (s)",
            "1320 mph", "launch rpm", "track temp (F)", "outcome", "notes",
        ),
        {"outcome": OUTCOMES, "lane": ("left", "right"), "round": ROUNDS},
    ),
    BlankSheet(
        "weather",
        (
            "date", "time", "venue", "air temp (F)", "pressure (inHg)", "pressure kind", "humidity (%)",
            "dew point (F)", "wet bulb (F)", "grains", "wind speed (mph)", "wind from", "notes",
        ),
        {"pressure kind": PRESSURE_KINDS, "wind from": ("ahead", "behind", "left", "right", "none")},
    ),
    BlankSheet(
        "track",
        ("date", "time", "venue", "lane", "track temp (F)", "notes"),
        {"lane": ("left", "right")},
    ),
    BlankSheet(
        "setups",
        (
            "date", "time", "car",
            *(SETUPS.column(factor.column).heading_with_unit for factor in ADJUSTMENTS),
            "notes",
        ),
        {},
    ),
    BlankSheet(
        "checks",
        (
            "date", "time", "car", "ring height (in)", "shim removed (in)", "bearing clearance (in)",
            "disc thickness (in)", "notes",
        ),
        {},
    ),
)  # fmt: skip


def make_logbook(folder: Path) -> tuple[Path, ...]:
    """Write a fresh logbook folder; never touch one that already holds files.

    Parameters
    ----------
    folder
        Where; made when missing.

    Returns
    -------
    tuple of pathlib.Path
        The files written, in the order a person fills them.

    Raises
    ------
    RequestError
        When ``folder`` is a file or already holds something.
    StoreError
        When the folder cannot be written.
    """
    with _fresh(folder):
        written = [_write_garage(folder), *(_write_csv(folder, sheet) for sheet in SHEETS)]
        written.append(_write_workbook(folder))
    return tuple(written)


def copy_demo(folder: Path) -> tuple[Path, ...]:
    """Copy the invented demo logbook into a fresh folder, so that it can be tried without a clone.

    Parameters
    ----------
    folder
        Where; made when missing.

    Returns
    -------
    tuple of pathlib.Path
        The files written.

    Raises
    ------
    RequestError
        When ``folder`` is a file or already holds something.
    StoreError
        When the folder cannot be written.
    """
    demo = resources.files("sample_timeslips").joinpath("logbook")
    with _fresh(folder):
        written = []
        for item in sorted(demo.iterdir(), key=lambda entry: entry.name):
            if (
                item.is_file()
                and item.name.endswith((".csv", ".xlsx", ".toml"))
                and item.name != "questions.csv"
            ):
                path = folder / item.name
                written.append(write_whole(path, item.read_bytes(), REMEDY))
    return tuple(written)


@contextmanager
def _fresh(folder: Path) -> Iterator[None]:
    """Make a folder to write in; refuse one that already holds anything."""
    if folder.is_file() or (folder.is_dir() and any(folder.iterdir())):
        raise RequestError(
            f"{folder} is already there and not empty.",
            "Name a folder that does not exist yet; nothing was changed.",
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        yield
    except OSError as refused:
        raise StoreError(
            f"The folder {folder} cannot be written ({refused.strerror or refused}).",
            REMEDY,
        ) from refused


def _write_garage(folder: Path) -> Path:
    path = folder / "garage.toml"
    text = resources.files("pipeline.garage").joinpath("templates/garage.toml").read_text(encoding="utf-8")
    return write_whole(path, text.encode("utf-8"), REMEDY)


def _write_csv(folder: Path, sheet: BlankSheet) -> Path:
    path = folder / f"{sheet.name}.csv"
    with whole_file(path, REMEDY) as partial, partial.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerow(sheet.headings)
    return path


def _write_workbook(folder: Path) -> Path:
    path = folder / "logbook.xlsx"
    with (
        whole_file(path, REMEDY, failures=(XlsxWriterException,)) as partial,
        xlsxwriter.Workbook(str(partial)) as book,
    ):
        heading = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        as_text = book.add_format({"num_format": "@"})
        for sheet in SHEETS:
            tab = book.add_worksheet(sheet.name)
            tab.freeze_panes(1, 0)
            for column, title in enumerate(sheet.headings):
                width = 30 if title == "notes" else max(10, len(title) + 1)
                tab.set_column(column, column, width, as_text)
                tab.write_string(0, column, title, heading)
                if title in sheet.choices:
                    rule = {
                        "validate": "list",
                        "source": list(sheet.choices[title]),
                        "error_type": "information",
                        "error_title": "Not in the list",
                        "error_message": "Keep it if it is right; slipledger reads most common phrases.",
                    }
                    tab.data_validation(1, column, BLANK_ROWS, column, rule)
    return path
