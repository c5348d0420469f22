"""Shorthand that a sheet explains by itself: letters of a date, days by number, lists behind a heading."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = """
[[car]]
name = "Marigold"
[[venue]]
name = "Kaislaniemen suora"
[[venue]]
name = "Quarry Road Dragway"
"""


@pytest.mark.parametrize("heads", ["YYMMDD;HHMM", "RRMMDD;HHMM", "ÅÅMMDD;TTMM", "GGAAYY;SSDD", "Date;Time"])
def test_letters_for_the_figures_of_a_date(heads: str, tmp_path: Path) -> None:
    days = ("310510", "310524") if "GG" not in heads else ("100531", "240531")
    rows = f"{heads};reaction ms;60ft ms;330ft ms;1/8 ms;1/8 km/h;preload 1/4 turns\n"
    rows += f"{days[0]};1147;94;1398;3860;5971;188;19\n{days[0]};1240;15;1384;3859;5985;189;17\n"
    rows += f"{days[1]};1339;78;1397;3864;5963;188;17\n{days[1]};1437;83;1397;3855;5968;187;15\n"
    con, report = ingested(write(tmp_path, {"log.csv": rows}))
    if "SS" not in heads:
        assert [f"{at:%m%d %H%M}" for at in column(con, "timeslips", "run_at")][:2] == [
            "0510 1147",
            "0510 1240",
        ]
    assert [f"{at:%d}" for at in column(con, "timeslips", "run_at")] == ["10", "10", "24", "24"]
    assert column(con, "timeslips", "t60_s")[0] == pytest.approx(1.398)
    assert column(con, "timeslips", "preload_turns")[:2] == [4.75, 4.25]
    assert report.open_questions == 0


def test_a_quarter_of_a_turn_cut_short_in_its_tongue(tmp_path: Path) -> None:
    rows = "datum;čas;60ft;1/8;otáčky x100;předpětí 1/4 ot.;závaží g;vzduch;vlhkost\n" + "".join(
        f"{n}.5.2031;11:47;1,39{n};5,97{n};71;{10 + n};3,7;26;43\n" for n in range(1, 7)
    )
    con, _ = ingested(write(tmp_path, {"log.csv": rows}))
    assert column(con, "timeslips", "preload_turns") == [2.75, 3.0, 3.25, 3.5, 3.75, 4.0]


@pytest.mark.parametrize("word", ["Giornata", "Day", "Dag", "Journée"])
def test_days_by_number_on_another_tab(word: str, tmp_path: Path) -> None:
    runs = f"{word},time,60 ft,330 ft,660 ft\n1,10:07,1.482,4.061,6.303\n1,11:40,1.490,4.075,6.321\n"
    runs += "2,10:15,1.479,4.052,6.290\n3,12:00,1.485,4.066,6.310\n"
    days = f"{word},date,strip,air F,humidity %\n1,2031-05-14,Quarry Road,71,50\n"
    days += "2,2031-05-15,Quarry Road,75,44\n3,2031-06-20,Mill Run,80,40\n"
    con, report = ingested(write(tmp_path, {"runs.csv": runs, "days.csv": days}))
    times = [f"{at:%m%d %H}" for at in column(con, "timeslips", "run_at")]
    assert times == ["0514 10", "0514 11", "0515 10", "0620 12"]
    assert column(con, "timeslips", "venue") == ["Quarry Road"] * 3 + ["Mill Run"]
    assert column(con, "weather", "air_temp_degf") == [71.0, 71.0, 75.0, 80.0]
    assert report.open_questions == 0


@pytest.mark.parametrize(("typed", "strip"), [("Kaislaniemi", "Kaislaniemen suora"), ("Kaisaniemi", "")])
def test_a_strip_in_another_case(typed: str, strip: str, tmp_path: Path) -> None:
    rows = f"date,strip,60 ft,330 ft\n2031-05-14,{typed},1.482,4.061\n2031-05-14,{typed},1.490,4.075\n"
    con, _ = ingested(write(tmp_path, {"a.csv": rows, "garage.toml": GARAGE}))
    assert set(column(con, "timeslips", "venue")) == {strip or typed}


@pytest.mark.parametrize(
    ("setup", "air", "times", "codes"),
    [
        ("Set = revs/turns of preload/grams", "Air = air C - track C - humidity % - baro hPa",
         "Slip: light | 60 ft | 330 ft | 1/8 @ km/h", "Cd: A fine, S spun, L lifted"),
        ("Set - revs / turns of preload / grams", "Air: air C - track C - humidity % - baro hPa at the strip",
         "Slip = zzz | 60 ft | 330 ft | 1/8 @ km/h", "Cd: A = fine, S = spun, L = lifted"),
    ],
)  # fmt: skip
def test_what_stands_in_a_cell_is_told_above(
    setup: str, air: str, times: str, codes: str, tmp_path: Path
) -> None:
    rows = f"{setup};;;;;\n{air};;;;;\n{codes};;;;;\n{times};;;;;\n\nDay;At;Set;Air;Slip;Cd\n"
    for minute, light, code in ((10, ".065", "A"), (20, ".110", "S"), (30, ".073", "L"), (40, ".175", "A")):
        slip = f"{light} | 1.4{minute} | 4.0{minute} | 6.2{minute} @ 180.{minute}"
        rows += f"2031-05-14;13:{minute};6300/5½/5.{minute};18-29-4{minute // 10}-1021;{slip};{code}\n"
    con, report = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": rows}))
    assert column(con, "timeslips", "reaction_s", "t60_s") == [
        (0.065, 1.41), (0.11, 1.42), (0.073, 1.43), (0.175, 1.44)
    ]  # fmt: skip
    assert column(con, "timeslips", "outcome") == ["clean", "spun", "lifted", "clean"]
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g")[0] == (6300, 5.5, 5.1)
    assert column(con, "weather", "humidity_pct") == [41.0, 42.0, 43.0, 44.0]
    assert column(con, "weather", "air_temp_degf")[0] == pytest.approx(64.4)
    assert report.open_questions == 0
