"""The wind in one cell: its speed and where it comes from."""

from pathlib import Path

import pytest

from tests.ingest.logbooks import GARAGE, column, ingested, write

CELLS: dict[str, tuple[float | None, str | None, str | None]] = {
    "8": (8.0, None, None),
    "SW 8": (8.0, "SW", None),
    "8 SSW": (8.0, "SSW", None),
    "W10": (10.0, "W", None),
    "8 mph NNE": (8.0, "NNE", None),
    "south-west at 12 kph": (7.456, "south-west", None),
    "4 m/s": (8.948, None, None),
    "from the East 5": (5.0, "East", None),
    "head 5": (5.0, "head", None),
    "6 mph tailwind": (6.0, "tailwind", None),
    "calm": (0.0, None, None),
    "12 gusting 18": (12.0, None, None),
    "NW 12 G20": (12.0, "NW", None),
    "070/08": (8.0, "070", None),
    "250 @ 12": (12.0, "250", None),
    "07008KT": (9.206, "070", None),
    "SW/9": (9.0, "SW", None),
    "9/SW": (9.0, "SW", None),
    "SW": (None, "SW", None),
    "gust 15": (None, None, "15"),
    "5-10": (None, None, "7.5"),
    "S 5 to 10 mph": (None, "S", "7.5"),
}


@pytest.mark.parametrize(("cell", "expected"), CELLS.items())
def test_wind_in_one_cell(
    tmp_path: Path, cell: str, expected: tuple[float | None, str | None, str | None]
) -> None:
    air = f"date,time,air temp,humidity,wind\n2025-05-04,14:00,80,50,{cell}\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "air.csv": air}))
    ((speed, side),) = column(con, "typed_weather", "wind_speed_mph", "wind_from")
    asked = con.execute("select suggestion from questions where \"column\" = 'wind_speed_mph'").fetchall()
    assert (speed if speed is None else round(speed, 3), side) == expected[:2]
    assert asked == ([(expected[2],)] if expected[2] else [])


def test_a_column_of_its_own_for_the_side_wins(tmp_path: Path) -> None:
    air = "date,time,air temp,humidity,wind,wind from\n2025-05-04,14:00,80,50,8 SW,head\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "air.csv": air}))
    assert column(con, "typed_weather", "wind_speed_mph", "wind_from") == [(8.0, "head")]


def test_a_cell_without_a_number_tells_no_speed_and_is_not_asked_about(tmp_path: Path) -> None:
    air = (
        "date,time,air temp,humidity,wind\n2025-05-04,14:00,80,50,breezy\n2025-05-04,15:00,80,50,Gegenwind\n"
    )
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "air.csv": air}))
    assert column(con, "questions", "column") == []
    assert column(con, "typed_weather", "wind_speed_mph") == [None, None]


def test_a_cell_that_tells_no_wind_is_asked_about(tmp_path: Path) -> None:
    air = "date,time,air temp,humidity,wind\n2025-05-04,14:00,80,50,brisk 1x\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "air.csv": air}))
    assert column(con, "questions", "column", "problem") == [
        ("wind_speed_mph", "'brisk 1x' is not a number.")
    ]
