"""Lines of letters and numbers by a key above them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'
POINTS = (
    "W = weather till next W: air C, track C, Q = QNH hPa, H = humidity.\n"
    "K = clutch till next K: revs, turns preload, grams a lever.\n"
    "Run: time, lane P(ort, left) or S(tarboard, right), r reaction, a 60ft, b 330, c 660/mph, then report:\n"
    "  NIL clean  SLP spun  LOW bogged  GBX missed shift\n\n"
    "== FRI 16 MAY 2031 QUARRY ROAD DRAGWAY\nW 19 22 Q1010 H54\nK 6000 2.25 5.5\n"
) + "".join(
    f"10{n}1 {'SP'[n % 2]} r.06{n} a1.45{n} b3.98{n} c6.14{n}/112.{n} {('NIL', 'SLP')[n % 2]}\n"
    for n in range(6)
)
WHOLE = (
    "KEY: whole numbers, no points\n V/H = venstre/høyre felt\n R reaksjon tusendels s\n"
    " A 60 fot   B 330 fot   C 1/8 mil   alle tusendels s\n J fart 1/8   tidels km/t\n"
    " N startturtall i tiere (N620 = 6200)   S forspenning (S9 = 2 1/4)   G lodd tidels gram\n\n"
    "=== 16MAI2031 QUARRY ROAD DRAGWAY ===\n"
) + "".join(
    f"10{n}5 {'HV'[n % 2]} R06{n} A145{n} B398{n} C614{n} J180{n} N620 S9 G36 = RENT\n" for n in range(6)
)


@pytest.mark.parametrize(("text", "mph"), [(POINTS, 112.1), (WHOLE, 180.1 / 1.609344)])
def test_letters_before_numbers_are_read_by_their_key(text: str, mph: float, tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.txt": text}))
    times = column(con, "timeslips", "reaction_s", "t60_s", "t330_s", "t660_s", "lane")
    assert times[1] == (0.061, 1.451, 3.981, 6.141, "left")
    assert column(con, "timeslips", "v660_mph")[1] == pytest.approx(mph)
    assert f"{column(con, 'timeslips', 'run_at')[0]:%Y-%m-%d}" == "2031-05-16"


def test_outcomes_lanes_and_what_holds_till_the_next_line_of_its_sort(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.txt": POINTS}))
    assert column(con, "timeslips", "outcome", "lane")[1] == ("spun", "left")
    assert column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g") == [(6000, 2.25, 5.5)]
    assert column(con, "weather", "humidity_pct") == [54]


def test_an_example_in_the_key_tells_the_scale(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.txt": WHOLE}))
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g")[0] == (6200, 2.25, 3.6)
