"""What a stranger's logbook truly says, and which row of the store is which of its runs.

A book made by a stranger is a folder ``logbook`` with a ``truth.json`` beside it: ``runs`` (each with its
values, and ``where`` each stands as ``[file, tab, row, column]``), ``weather``, ``setups``, ``strips``,
``car`` and ``errors``.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

SLIP_FIELDS = {
    "rt_s": "reaction_s", "t60_s": "t60_s", "t330_s": "t330_s", "t660_s": "t660_s", "v660_mph": "v660_mph",
    "t1000_s": "t1000_s", "t1320_s": "t1320_s", "v1320_mph": "v1320_mph",
}  # fmt: skip
SETTING_FIELDS = {name: name for name in ("launch_rpm", "preload_turns", "counterweight_g")}
AIR_FIELDS = {name: name for name in ("air_temp_degf", "pressure_inhg", "humidity_pct", "track_temp_degf")}
NUMBERS = SLIP_FIELDS | SETTING_FIELDS | AIR_FIELDS
COLUMNS = NUMBERS | {"date": "date", "time": "time", "outcome": "outcome"}
"""Name of a value in the truth -> the column of the store."""
ROUNDING = {
    "s": 0.0006, "mph": 0.011, "degf": 0.11, "pct": 0.6, "inhg": 0.003, "rpm": 0.6, "turns": 0.006, "g": 0.06,
}  # fmt: skip
SUGGESTED = ROUNDING | {"degf": 1.0, "inhg": 0.02, "mph": 0.06}
"""The same for a suggestion, which may come of an entry in another unit."""
LEAST_ALIKE = 4
"""A row is a run of the truth when at least so many of its values are."""

Record = dict[str, Any]


@dataclass(slots=True)
class Book:
    """One logbook with its truth; ``homes`` holds the slip of each run, by number."""

    kind: str
    everyday: bool
    root: Path
    truth: Record
    homes: dict[int, Record] = field(default_factory=dict)

    @classmethod
    def open(cls, folder: Path) -> Book:
        """Open the book in ``folder``."""
        truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
        return cls(truth["kind"], truth["everyday"], folder / "logbook", truth)

    def garage(self) -> str:
        """A least ``garage.toml``: cars and strips with their elevation."""

        def named(what: object) -> str:
            return json.dumps(what, ensure_ascii=False)

        cars = [f"[[car]]\nname = {named(car)}\n" for car in self.truth["car"]]
        strips = [
            f'[[venue]]\nname = {named(strip["name"])}\nelevation = "{strip["elevation_ft"]} ft"\n'
            for strip in self.truth["strips"]
        ]
        return "\n".join([*cars, *strips])

    def find_homes(self, slips: list[Record]) -> None:
        """Settle which slip of the store is which run: best pairs first, by how many values agree."""
        pairs = sorted(
            (
                (score, -number, -at)
                for number, run in enumerate(self.truth["runs"])
                for at, slip in enumerate(slips)
                if (score := _alike(run, slip)) >= LEAST_ALIKE
            ),
            reverse=True,
        )
        self.homes = {}
        taken: set[int] = set()
        for _, number, at in pairs:
            if -number not in self.homes and -at not in taken:
                self.homes[-number] = slips[-at]
                taken.add(-at)

    def value_at(self, file: str, sheet: str, row: int, name: str) -> object:
        """Give the true value of a row of the store; None when it is not known."""
        for number, home in self.homes.items():
            if (home["file"], home["row"]) == (file, row) and sheet.startswith(home["sheet"]):
                return self.truth["runs"][number].get(name)
        for kind in ("weather", "setups"):
            for each in self.truth[kind]:
                if (each["file"], each["row"]) == (file, row) and sheet.startswith(each["tab"] or ""):
                    return each.get(name)
        return None


def same(said: object, truth: object, column: str, within: dict[str, float] = ROUNDING) -> bool:
    """Whether a value is the true one, within rounding of what was typed."""
    if said is None or truth is None:
        return said is truth
    try:
        number, true = float(str(said)), float(str(truth))
    except ValueError:
        return str(said).strip().casefold() == str(truth).strip().casefold()
    return abs(number - true) <= within.get(column.rpartition("_")[2], 0.006) + 1e-9


def _alike(run: Record, slip: Record) -> int:
    if slip["file"] != run["file"] or (run["tab"] and not slip["sheet"].startswith(run["tab"])):
        return 0
    at = slip["run_at"]
    score = 3 * (slip["row"] == run["row"])
    if at is not None:
        score += 2 * (at.date().isoformat() == run["date"]) + 2 * (f"{at:%H:%M}" == run["time"])
    score += run["lane"] is not None and slip["lane"] == run["lane"]
    score += run["car"] is not None and slip["car"] == run["car"]
    for name, column in SLIP_FIELDS.items():
        score += run[name] is not None and slip[column] is not None and same(slip[column], run[name], column)
    return score
