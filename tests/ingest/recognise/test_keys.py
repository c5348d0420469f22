"""Keys to short words, names behind numbers, one value a line with its unit, and sheets in other scripts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

KEY = (
    "Symbol,Meaning,Unit\nt_R,reaction time,s\n\"v_660, v_ET\",\"speed at 660, at the end\",km/h\n"
    "t_ET,time 1320 ft,s\nn_la,launch rpm,1/min\n\"T_amb, p_amb\",outside air,\"°C, kPa\"\n"
    "k,\"0 clean, 1 spun, 2 bogged, 3 lifted\",\n"
)  # fmt: skip
CODED = (
    "date,time,n_la,T_amb,p_amb,t_R,t_60,t_330,t_660,v_660,t_ET,v_ET,k\n"
    "2031-05-14,10:07,6200,19.4,98.68,0.071,1.482,4.061,6.303,177.0,9.790,226.1,0\n"
    "2031-05-14,11:40,6200,21.1,98.68,0.064,1.690,4.375,6.621,176.4,10.110,225.5,1\n"
    "2031-05-14,13:15,6100,22.2,98.70,0.055,1.479,4.052,6.290,177.8,9.770,226.6,3\n"
)


def test_a_key_with_units_and_with_codes_explained_together(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"key.csv": KEY, "runs.csv": CODED}))
    assert column(con, "timeslips", "outcome") == ["clean", "spun", "lifted"]
    assert column(con, "timeslips", "v660_mph") == pytest.approx([109.98, 109.61, 110.48], abs=0.01)
    assert column(con, "weather", "air_temp_degf") == pytest.approx([66.92, 69.98, 71.96], abs=0.01)
    assert column(con, "weather", "pressure_inhg") == pytest.approx([29.14, 29.14, 29.146], abs=0.01)


def test_a_line_that_explains_some_headings(tmp_path: Path) -> None:
    runs = (
        "xq = turns of preload, zz = launch rpm\ndate,time,60 ft,330 ft,xq,zz\n"
        "2031-05-14,10:07,1.482,4.061,3,6200\n2031-05-14,11:40,1.490,4.075,3.25,6200\n"
    )
    con, _ = ingested(write(tmp_path, {"runs.csv": runs}))
    assert column(con, "timeslips", "preload_turns", "launch_rpm") == [(3.0, 6200.0), (3.25, 6200.0)]


def test_a_number_of_a_car_is_its_name_on_another_sheet(tmp_path: Path) -> None:
    cars = "car_id,car_name\n11,Tin Moose\n14,Late Shift\n"
    runs = "run_id,car_id,run_ts,et_60,et_330\n" + "".join(
        f"{run},{car},2031-05-14 {10 + run}:07:00,1.48{run},4.06{run}\n"
        for run, car in enumerate((11, 14, 11, 14))
    )
    con, _ = ingested(write(tmp_path, {"cars.csv": cars, "runs.csv": runs}))
    assert column(con, "timeslips", "car") == ["Tin Moose", "Late Shift"] * 2


def test_one_value_a_line_with_its_unit(tmp_path: Path) -> None:
    rows = "rit;tijdstip;grootheid;waarde;eenheid\n"
    runs = (
        ("R1;14-05-2031 10:00", "1,482", "177,0", "links"),
        ("R2;14-05-2031 11:30", "1,490", "176,4", "rechts"),
        ("R3;14-05-2031 13:00", "1,479", "177,8", "links"),
    )  # fmt: skip
    for run, t60, kmh, lane in runs:
        told = (
            ("baan", lane, ""), ("toerental start", "6200", "1/min"), ("voorspanning", "3,25", "slagen"),
            ("tijd 60 ft", t60, "s"), ("tijd 330 ft", "4,061", "s"), ("tijd 660 ft", "6,303", "s"),
            ("snelheid 660 ft", kmh, "km/u"), ("resultaat", "schoon", ""),
        )  # fmt: skip
        rows += "".join(f"{run};{name};{value};{unit}\n" for name, value, unit in told)
    con, report = ingested(write(tmp_path, {"export.csv": rows}))
    assert column(con, "timeslips", "t60_s", "lane") == [(1.482, "left"), (1.49, "right"), (1.479, "left")]
    assert column(con, "timeslips", "v660_mph") == pytest.approx([109.98, 109.61, 110.48], abs=0.01)
    assert report.open_questions == 0


def test_runs_side_by_side_in_japanese(tmp_path: Path) -> None:
    rows = (
        "日付,2031年5月14日(水),,場所,白鷺,,練習会\n,,,,,,\n走行,1本目,2本目,3本目,,,\n時刻,09:43,10:45,12:17,,,\n"
        "レーン,左,右,右,,,\n60ft,1.482,1.490,1.479,,,\n330ft,4.061,4.075,4.052,,,\n1/8マイル,6.303,6.321,6.290,,,\n"
        "発進回転,6500,6300,6300,,,\n気温℃,19.5,21.1,22.7,,,\n結果,良好,空転,良好,,,\n"
    )
    con, report = ingested(write(tmp_path, {"a.csv": rows}))
    assert [f"{at:%F %H:%M}" for at in column(con, "timeslips", "run_at")] == [
        "2031-05-14 09:43", "2031-05-14 10:45", "2031-05-14 12:17",
    ]  # fmt: skip
    assert column(con, "timeslips", "venue", "lane", "outcome") == [
        ("白鷺", "left", "clean"), ("白鷺", "right", "spun"), ("白鷺", "right", "clean"),
    ]  # fmt: skip
    assert report.open_questions == 0


def test_a_line_that_says_what_stands_in_each_cell(tmp_path: Path) -> None:
    rows = (
        "Schein: 60 / 330 / 660 Fuss (s);Tempo: km/h bei 660;Kupplung: U/min | Umdrehungen Vorspannung | g\n"
        "Tag;Stunde;Schein;Tempo;Kupplung\n"
        "20.4.2031;10.01 Uhr;1,48 / 4,06 / 6,30;177;6300 | 3,5 | 3,9\n"
        "20.4.2031;10.52 Uhr;1,49 / 4,07 / 6,32;176;6300 | 3,5 | 3,9\n"
        "20.4.2031;11.38 Uhr;1,47 / 4,05 / 6,29;178;6200 | 3,5 | 4,1\n"
        "20.4.2031;12.17 Uhr;1,48 / 4,06 / 6,31;177;6200 | 3,75 | 4,1\n"
    )
    con, report = ingested(write(tmp_path, {"a.csv": rows}))
    assert column(con, "timeslips", "t60_s", "t330_s", "t660_s")[0] == (1.48, 4.06, 6.3)
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(109.98, abs=0.01)
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g")[3] == (
        6200.0,
        3.75,
        4.1,
    )
    assert [f"{at:%H:%M}" for at in column(con, "timeslips", "run_at")][:2] == ["10:01", "10:52"]
    assert report.open_questions == 0


def test_a_setup_by_code_from_a_tab_with_units_below_its_headings(tmp_path: Path) -> None:
    runs = "Nr;Datum;Zeit;60 ft;330 ft;Abstimmung;Bemerkung\n" + "".join(
        f"{at};{14 + at}.5.2031;1{at}:07;1,48{at};4,06{at};{code};\n"
        for at, code in enumerate(("V1", "V1", "V2", "V3"))
    )
    setups = (
        "Abstimmung;ab;Startdrehzahl;Vorspannung;Hebelgewicht;Warum\n;;1/min;Umdrehungen;g;\n"
        "V1;14.5.2031;6200;3,25;4,4;\nV2;16.5.2031;6100;3,25;4,4;\nV3;16.5.2031;6100;3;4,6;rutscht\n"
    )
    con, _ = ingested(write(tmp_path, {"Fahrten.csv": runs, "Abstimmungen.csv": setups}))
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g") == [
        (6200.0, 3.25, 4.4), (6200.0, 3.25, 4.4), (6100.0, 3.25, 4.4), (6100.0, 3.0, 4.6),
    ]  # fmt: skip
    assert column(con, "questions", "column") == []
