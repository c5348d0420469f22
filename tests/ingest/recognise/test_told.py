"""Settings and air told in a few words."""

import pytest

from pipeline.garage.logbook import Garage
from pipeline.ingest.recognise.drafts import Reader
from pipeline.ingest.recognise.headed import Names
from pipeline.ingest.recognise.told import told_by

MEANING = Reader(Garage.model_validate({}), Names(frozenset(), frozenset())).meaning


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        (["Clutch now 2 3/4 turns"], {"preload_turns": "2 3/4"}),
        (["3.25t 2.5g 6200"], {"preload_turns": "3.25", "counterweight_g": "2.5", "launch_rpm": "6200"}),
        (["SCREWS: 3 turns, tires 10.5"], {"preload_turns": "3", "tire_pressure_psi": "10.5"}),
        (
            ["Air at", "9:05 AM", "temp", "47", "station baro", "28.34", "humidity", "86"],
            {
                "time": "9:05 AM", "air_temp_degf": "47", "pressure_inhg": "28.34", "humidity_pct": "86",
                "pressure_kind": "station",
            },
        ),
        (["18 C, 1012, 60 %"], {"air_temp_degf": "18 C", "pressure_inhg": "1012 hPa", "humidity_pct": "60"}),
        (["Best 60 foot 1.402"], {}),
        (["Points 1 at Quarry Road"], {}),
        (["took 2 g off, now 4.5 g"], {}),
        (["Run 12"], {}),
    ],
)  # fmt: skip
def test_a_line_tells_settings_and_air(cells: list[str], told: dict[str, str]) -> None:
    assert told_by(cells, MEANING) == told
