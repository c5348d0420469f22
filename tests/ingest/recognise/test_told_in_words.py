"""What people say in words of their tongue: a speed "at" a time, turns in words, changes on short tabs."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.ingest.recognise.turns_in_words import turns_in_figures
from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'


@pytest.mark.parametrize("word", ["a", "à", "bei", "med", "con", "przy", "@"])
def test_a_speed_behind_the_word_for_at(word: str, tmp_path: Path) -> None:
    text = "Arrancada 2031, vel km/h\n\n16/05/2031 Quarry Road\n"
    for hour, tenth in ((10, 1), (11, 2), (12, 3), (13, 4)):
        text += f"{hour}h12 / 60 ft 1,44{tenth} / 330 3,97{tenth} / 201m 6,12{tenth} {word} 183,{tenth}"
        text += f" / 402m 9,57{tenth} {word} 234,{tenth} / 28 C 46% 942 hPa\n"
    con, report = ingested(write(tmp_path, {"garage.toml": GARAGE, "nota.txt": text}))
    assert column(con, "timeslips", "t660_s", "t1320_s")[1] == (6.122, 9.572)
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(113.77, abs=0.01)
    assert column(con, "timeslips", "v1320_mph")[3] == pytest.approx(145.65, abs=0.01)
    assert column(con, "setups", "launch_rpm") == []
    assert report.open_questions == 0


@pytest.mark.parametrize("word", ["bei", "a", "med"])
def test_the_same_in_one_cell(word: str, tmp_path: Path) -> None:
    rows = "Datum;60 ft;201 m\n" + "".join(
        f"1{n}.05.2031;1,44{n};6,12{n} {word} 183,{n}\n" for n in range(4, 8)
    )
    con, _ = ingested(write(tmp_path, {"log.csv": rows}))
    assert column(con, "timeslips", "t660_s") == [6.124, 6.125, 6.126, 6.127]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("three and a half turns of preload", "3 1/2 turns of preload"),
        ("drei und eine halbe Umdrehung", "3 1/2 Umdrehung"),
        ("trois tours et demi", "3 1/2 tours"),
        ("tre giri e tre quarti", "3 3/4 giri"),
        ("down a quarter turn", "down 1/4 turn"),
        ("four turns, six bar", "4 turns, six bar"),
        ("two and a half hours of rain", "two and a half hours of rain"),
    ],
)
def test_turns_told_in_words(text: str, told: str) -> None:
    assert turns_in_figures(text) == told


def test_a_new_sentence_names_the_next_number(tmp_path: Path) -> None:
    text = "Saturday 10 May 2031. Quarry Road.\n"
    for run, said in enumerate(("Spun the tyres", "Clean run", "Bogged off the line", "Good"), 1):
        text += (
            f"Run {run} at 1{run}.22. Now three and a half turns of preload. Light .11{run}, sixty foot 1.5, "
            f"eighth 6.2{run} at 112.{run}. {said}. Air 7{run}, track 9{run}, 50 % damp.\n"
        )
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "diary.txt": text}))
    assert column(con, "timeslips", "reaction_s") == [0.111, 0.112, 0.113, 0.114]
    assert {*column(con, "timeslips", "preload_turns"), *column(con, "setups", "preload_turns")} >= {3.5}
    assert column(con, "timeslips", "outcome") == ["spun", None, "bogged", None]
    assert column(con, "weather", "air_temp_degf") == [71.0, 72.0, 73.0, 74.0]


def test_one_change_on_a_short_tab(tmp_path: Path) -> None:
    rows = "date;time;60 ft;660 ft;Zmiana;Uwagi\n" + "".join(
        f"2031-05-14;1{n}:07;1.48{n};6.30{n};{'docisk 5,25' if n == 4 else ''};ok\n" for n in range(2, 7)
    )
    con, report = ingested(write(tmp_path, {"runs.csv": rows}))
    held = [*column(con, "timeslips", "preload_turns"), *column(con, "setups", "preload_turns")]
    assert 5.25 in held
    assert report.open_questions == 0


def test_a_year_in_the_title_is_that_of_a_sheet_without_any(tmp_path: Path) -> None:
    runs = "SEASON 2031,,,,\n\nDate,Time,60 ft,330 ft,Verdict\n20 Apr,10:07,1.482,4.061,tidy\n"
    runs += "20 Apr,11:40,1.490,4.075,hooked\n18 May,12:00,1.485,4.066,tidy\n"
    setups = "Date,Launch rpm,Preload turns,Grams\n20 Apr,6800,2.5,4.8\n18 May,6900,2.5,5.1\n"
    setups += "19 May,6900,2.25,5.4\n"
    con, report = ingested(write(tmp_path, {"runs.csv": runs, "clutch.csv": setups}))
    assert [f"{at:%Y-%m-%d}" for at in column(con, "setups", "set_at")] == [
        "2031-04-20",
        "2031-05-18",
        "2031-05-19",
    ]
    assert column(con, "timeslips", "outcome") == ["clean"] * 3
    assert report.open_questions == 0


@pytest.mark.parametrize(
    "said", ["queimei a largada", "falsa partenza", "start gresit", "Fehlstart", "false start"]
)
def test_a_red_light_in_words_asks_for_its_sign(said: str, tmp_path: Path) -> None:
    rows = "date,time,rt,60 ft,330 ft,660 ft,result\n" + "".join(
        f"2031-05-14,1{n}:07,0.0{n}1,1.48{n},4.06{n},6.30{n},{'' if n != 4 else said}\n" for n in range(2, 7)
    )
    con, _ = ingested(write(tmp_path, {"runs.csv": rows}))
    assert con.execute("select value, suggestion from questions").fetchall() == [("0.041", "-0.041")]


def test_a_lost_point_shows_though_a_weight_is_written_twice_only(tmp_path: Path) -> None:
    rows = "date,time,60 ft,330 ft,660 ft,weights g\n" + "".join(
        f"2031-0{3 + n}-14,1{n}:07,1.48{n},4.06{n},6.30{n},{weight}\n"
        for n, weight in enumerate(("3.8", "", "41", "", "", ""))
    )
    con, _ = ingested(write(tmp_path, {"runs.csv": rows}))
    assert con.execute("select value, suggestion from questions").fetchall() == [("41", "4.1")]
