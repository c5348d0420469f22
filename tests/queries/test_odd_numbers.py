"""Whatever a person answered, the build neither fails nor lets a number that is none into ``runs``."""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import pytest

from pipeline.garage.dictionary import RUNS, SHEET_TABLES
from tests.queries.given import at, runs_of, store

WHEN = {
    "timeslips": "run_at",
    "weather": "read_at",
    "track": "read_at",
    "setups": "set_at",
    "checks": "checked_at",
}
ODD = (0.0, -1.0, 1e-300, 1e308, -1e308)


def odd_row(kind: str, number: float) -> dict[str, Any]:
    columns = SHEET_TABLES[kind].columns  # type: ignore[index]
    return {column.name: number for column in columns if column.sql_type == "DOUBLE"}


@pytest.mark.parametrize(("kind", "number"), list(product(WHEN, ODD)))
def test_odd_numbers_do_no_harm(kind: str, number: float) -> None:
    sheets: dict[str, list[dict[str, Any]]] = {
        "timeslips": [{"run_at": at("11:00")}, {"run_at": at("12:00")}],
        "weather": [
            {"read_at": at("11:00"), "air_temp_degf": 80.0, "pressure_inhg": 29.0, "humidity_pct": 50.0}
        ],
        "track": [{"read_at": at("11:00"), "track_temp_degf": 100.0}],
        "setups": [
            {"set_at": at("10:00"), "preload_turns": 3.0, "launch_rpm": 6000.0, "counterweight_g": 5.0}
        ],
        "checks": [{"checked_at": at("10:00"), "ring_height_in": 2.15}],
    }
    sheets[kind] = [*sheets[kind], {WHEN[kind]: at("11:30"), **odd_row(kind, number)}]
    numbers = [column.name for column in RUNS.columns if column.sql_type == "DOUBLE"]
    found = runs_of(store(**sheets), ", ".join(numbers))
    assert len(found) == len(sheets["timeslips"])
    assert [value for row in found for value in row if value is not None and not math.isfinite(value)] == []
