"""Short marks in running text: halves as one sign, revolutions a minute, a share by itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'
DIARY = (
    "Marigold, her diary for 2031. Air in Centigrade.\n\nSaturday 17 May. Quarry Road Dragway.\n"
    + "".join(
        f"At 1{n}.03 from the left lane, 6300 rpm, preload 4{share} turns and 2.{n} grammes: 60 ft 1.52{n}, "
        f"330 4.15{n}, the eighth 6.43{n} at 106.3 mph. Air 17, glass 1013 hPa, 58%.\n"
        for n, share in enumerate("½¼¾⅛", 1)
    )
)
CARDS = "Treffen, Quarry Road Dragway\n\n== 17.05.2031 ==\n\n" + "".join(
    f"Lauf {n}, 1{n}.56 Uhr, Bahn rechts\nDrehzahl 6{n}00{unit}; Vorspannung 2,75 Umdr.; Gewicht 3,6 g\n"
    f"Reaktion 0,075; 60 Fuß 1,53{n}; 330 4,14{n}; 660 6,47{n} mit 176,4\nLuft 19°, 1000 hPa, 4{n} %\n\n"
    for n, unit in enumerate(("/min", " 1/min", " pro Minute", "/min"), 1)
)


def test_a_diary_with_halves_as_one_sign(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "diary.txt": DIARY}))
    assert column(con, "timeslips", "preload_turns") == [4.5, 4.25, 4.75, 4.125]
    assert {f"{at:%Y-%m-%d}" for at in column(con, "timeslips", "run_at")} == {"2031-05-17"}


def test_cards_with_revolutions_a_minute_and_a_share_alone(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "treffen.txt": CARDS}))
    assert column(con, "timeslips", "launch_rpm") == [6100, 6200, 6300, 6400]
    assert column(con, "weather", "humidity_pct") == pytest.approx([41, 42, 43, 44])
